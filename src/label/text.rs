//! Text in a column: the largest size at which it fits, broken at words, shortened only at last.

use crate::{
    font::{FaceId, MISSING_EM},
    label::{Mark, TextRun},
    unit::{Mm, Point, Size},
};

/// From base line to base line, in ems.
pub(super) const LEADING_EM: f64 = 1.2;
/// From the top of a line's accented capitals to its base line, in ems.
pub(super) const ASCENT_EM: f64 = 0.86;
/// From the base line to the lowest descender, in ems.
const DESCENT_EM: f64 = 0.22;
/// The side of a hollow box's stroke, in ems.
const STROKE_EM: f64 = 0.05;
const ELLIPSIS: &str = "…";
/// Sizes are tried in steps of half a point.
const STEP: Mm = Mm(25.4 / 72.0 / 2.0);

/// The sizes that a text may be set in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sizes {
    pub largest: Mm,
    pub smallest: Mm,
}

impl Sizes {
    #[cfg(test)]
    pub(super) fn pt(largest: f64, smallest: f64) -> Self {
        let mm = |pt: f64| Mm(pt * 25.4 / 72.0);
        Self { largest: mm(largest), smallest: mm(smallest) }
    }

    /// From the largest down, in steps.
    fn down(self) -> impl Iterator<Item = Mm> {
        let next = move |em: &Mm| Some(*em - STEP).filter(|em| em.0 >= self.smallest.0 - 1e-9);
        std::iter::successors(Some(self.largest), next)
    }
}

/// Text that has been broken into lines.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Block {
    pub face: FaceId,
    pub em: Mm,
    pub lines: Vec<String>,
    pub shortened: bool,
}

impl Block {
    /// Height from the top of the first line to the lowest descender; nothing for no lines.
    pub(super) fn height(&self) -> Mm {
        if self.lines.is_empty() { Mm::ZERO } else { height_of(self.lines.len(), self.em) }
    }

    /// The marks of the block with its top left corner there.
    pub(super) fn marks(&self, at: Point) -> Vec<Mark> {
        let line = |(row, text): (usize, &String)| {
            let baseline = at.y + self.em * (ASCENT_EM + LEADING_EM * row_number(row));
            // A j reaches out to the left of its place.
            let out = (-self.face.face().ink(text).left).max(0.0);
            run(self.face, self.em, Point { x: at.x + self.em * out, y: baseline }, text)
        };
        self.lines.iter().enumerate().flat_map(line).collect()
    }
}

fn row_number(row: usize) -> f64 {
    f64::from(u32::try_from(row).unwrap_or(u32::MAX))
}

fn height_of(lines: usize, em: Mm) -> Mm {
    em * (ASCENT_EM + DESCENT_EM + LEADING_EM * row_number(lines.saturating_sub(1)))
}

/// Height of one line from the top of its accented capitals to its lowest descender.
pub(super) fn height_of_line(em: Mm) -> Mm {
    height_of(1, em)
}

/// Fits a text into a column of this size: the largest size first, and at the smallest it is
/// shortened at a word. Where not even one line fits, there are no lines.
pub(super) fn fit(text: &str, face: FaceId, room: Size, sizes: Sizes, most_lines: usize) -> Block {
    let whole = sizes.down().find_map(|em| {
        let Wrapped { lines, has_cut } = wrap(text, face, room.width.0 / em.0);
        let fits = !has_cut && lines.len() <= most_lines.min(lines_within(room.height, em));
        fits.then_some(Block { face, em, lines, shortened: false })
    });
    whole.unwrap_or_else(|| {
        let em = sizes.smallest;
        shorten(wrap(text, face, room.width.0 / em.0).lines, face, em, room, most_lines)
    })
}

fn lines_within(height: Mm, em: Mm) -> usize {
    (1..=50).take_while(|lines| height_of(*lines, em).0 <= height.0 + 1e-6).count()
}

fn shorten(mut lines: Vec<String>, face: FaceId, em: Mm, room: Size, most_lines: usize) -> Block {
    let whole = lines.len();
    lines.truncate(most_lines.min(lines_within(room.height, em)));
    if face.face().width_em(ELLIPSIS) > room.width.0 / em.0 {
        lines.clear();
    }
    let shortened = lines.len() < whole;
    if let Some(last) = lines.last_mut().filter(|_| shortened) {
        *last = with_ellipsis(last, face, room.width.0 / em.0);
    }
    Block { face, em, lines, shortened }
}

/// The line without the words, and then the characters, that an ellipsis needs the room of.
fn with_ellipsis(line: &str, face: FaceId, width_em: f64) -> String {
    let fits = |text: &str| face.face().width_em(text) + face.face().width_em(ELLIPSIS) <= width_em;
    let mut kept = line;
    while !fits(kept) {
        kept = match kept.rfind(' ') {
            Some(space) => &kept[..space],
            None => kept.char_indices().next_back().map_or("", |(at, _)| &kept[..at]),
        };
        if kept.is_empty() {
            break;
        }
    }
    format!("{}{ELLIPSIS}", kept.trim_end_matches([' ', ',', ';', ':', '-', '–']))
}

/// A text broken into lines, and whether a word had to be cut for that.
struct Wrapped {
    lines: Vec<String>,
    has_cut: bool,
}

/// Breaks a text into lines of at most `width` ems, at spaces and after hyphens; a piece that is wider
/// is cut.
fn wrap(text: &str, face: FaceId, width: f64) -> Wrapped {
    let space = face.face().advance_em(' ');
    let mut lines: Vec<(String, f64)> = Vec::new();
    let mut has_cut = false;
    for (piece, is_word_start) in pieces(text) {
        let wide = face.face().width_em(piece);
        let (gap, blank) = if is_word_start { (space, " ") } else { (0.0, "") };
        match lines.last_mut() {
            Some((line, taken)) if *taken + gap + wide <= width => {
                *taken += gap + wide;
                line.push_str(blank);
                line.push_str(piece);
            }
            _ if wide <= width => lines.push((piece.to_owned(), wide)),
            _ => {
                has_cut = true;
                lines.extend(cut(piece, face, width));
            }
        }
    }
    Wrapped { lines: lines.into_iter().map(|(line, _)| line).collect(), has_cut }
}

/// Words, parted again after hyphens and slashes; whether a space stands before.
fn pieces(text: &str) -> impl Iterator<Item = (&str, bool)> {
    let words = text.split(' ').filter(|word| !word.is_empty());
    words.flat_map(|word| {
        let parts = word.split_inclusive(['-', '–', '/']);
        parts.enumerate().map(|(at, part)| (part, at == 0))
    })
}

/// Cuts one word into pieces of at most `width` ems, each of at least a character.
fn cut(word: &str, face: FaceId, width: f64) -> Vec<(String, f64)> {
    let mut pieces: Vec<(String, f64)> = Vec::new();
    for character in word.chars() {
        let wide = face.face().advance_em(character);
        match pieces.last_mut() {
            Some((piece, taken)) if *taken + wide <= width => {
                piece.push(character);
                *taken += wide;
            }
            _ => pieces.push((character.to_string(), wide)),
        }
    }
    pieces
}

/// The marks of one line, with a hollow box for each character that the face lacks.
pub(super) fn run(face: FaceId, em: Mm, at: Point, text: &str) -> Vec<Mark> {
    let (mut marks, mut pending, mut start, mut pen) = (Vec::new(), String::new(), at.x, at.x);
    for character in text.chars() {
        if face.face().glyph(character).is_some() {
            pending.push(character);
        } else {
            marks.extend(text_mark(face, em, start, at.y, &mut pending));
            marks.extend(hollow_box(Point { x: pen, y: at.y }, em, face));
            start = pen + em * MISSING_EM;
        }
        pen = pen + em * face.face().advance_em(character);
    }
    marks.extend(text_mark(face, em, start, at.y, &mut pending));
    marks
}

fn text_mark(face: FaceId, em: Mm, left: Mm, baseline: Mm, pending: &mut String) -> Option<Mark> {
    let text = std::mem::take(pending);
    let blank = text.trim().is_empty();
    (!blank).then_some(Mark::Text(TextRun { face, em, left, baseline, text }))
}

/// Four thin bars around the place of a character that can't be shown.
fn hollow_box(pen: Point, em: Mm, face: FaceId) -> [Mark; 4] {
    let (stroke, height) = (em * STROKE_EM, em * face.face().cap_height_em());
    let (left, top) = (pen.x + stroke, pen.y - height);
    let width = em * MISSING_EM - stroke * 2.0;
    let bar = |x: Mm, y: Mm, width: Mm, height: Mm| Mark::Rect { at: Point { x, y }, size: Size { width, height } };
    [
        bar(left, top, width, stroke),
        bar(left, pen.y - stroke, width, stroke),
        bar(left, top + stroke, stroke, height - stroke * 2.0),
        bar(left + width - stroke, top + stroke, stroke, height - stroke * 2.0),
    ]
}

/// The characters of a text that the face lacks, each once, parted by spaces.
pub(super) fn missing(text: &str, face: FaceId) -> String {
    let mut missing = String::new();
    for character in text.chars().filter(|c| face.face().glyph(*c).is_none()) {
        if !missing.contains(character) {
            missing.push(character);
            missing.push(' ');
        }
    }
    missing.truncate(missing.trim_end().len());
    missing
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZES: fn() -> Sizes = || Sizes::pt(9.0, 6.5);

    fn block(text: &str, width: f64, lines: usize) -> Block {
        fit(text, FaceId::Regular, Size::new(width, 10.0), SIZES(), lines)
    }

    #[test]
    fn a_short_title_is_set_in_the_largest_size() {
        let block = block("Copper jam pan", 40.0, 2);
        assert_eq!((block.lines.len(), block.shortened), (1, false));
        assert!((block.em.0 - SIZES().largest.0).abs() < 1e-9);
    }

    #[test]
    fn a_long_title_shrinks_then_breaks_off_at_a_word() {
        let block = block("Enamel casserole with lid, cream and green, four litres, small chip", 25.0, 2);
        assert!(block.shortened);
        assert_eq!(block.lines.len(), 2);
        assert!(block.lines[1].ends_with('…') && !block.lines[1].ends_with(" …"), "{:?}", block.lines);
    }

    #[test]
    fn words_are_broken_after_hyphens_and_cut_only_in_the_smallest_size() {
        assert_eq!(block("Raclette-Pfännchen", 18.0, 3).lines, ["Raclette-", "Pfännchen"]);
        let cut = block("Sonderausgabenverzeichnis", 18.0, 3);
        assert!((cut.em.0 - SIZES().smallest.0).abs() < 0.1 && cut.lines.len() == 2, "{cut:?}");
    }

    #[test]
    fn every_line_is_within_the_column_whatever_the_text() {
        let texts = ["", "x", &"w".repeat(60), &"Strickmuster ".repeat(30), "🫖🫖🫖 чайник 茶壺", "a b c d e f g"];
        for text in texts {
            for width in [8.0, 18.0, 36.0] {
                let block = block(text, width, 3);
                for line in &block.lines {
                    let wide = FaceId::Regular.face().width_em(line) * block.em.0;
                    assert!(wide <= width + 1e-6, "{line} is {wide} mm of {width}");
                }
                assert!(block.height().0 <= 10.0);
            }
        }
    }

    #[test]
    fn missing_characters_become_boxes_and_are_named() {
        let marks = run(FaceId::Regular, Mm(3.0), Point::default(), "a🫖b");
        assert_eq!(marks.iter().filter(|mark| matches!(mark, Mark::Rect { .. })).count(), 4);
        assert_eq!(marks.iter().filter(|mark| matches!(mark, Mark::Text(_))).count(), 2);
        assert_eq!(missing("a🫖b🫖茶", FaceId::Regular), "🫖 茶");
    }
}
