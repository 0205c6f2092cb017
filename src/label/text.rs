//! Text in a column: the largest size at which it fits, broken at words, shortened only at last.
//!
//! Start with [`fit`]. Words are measured once, whatever sizes are tried. Letters with what belongs to
//! them (accents, joined emoji) are never parted. A line's letters run as their script does, but lines
//! begin at the left, with the code.

use std::{borrow::Cow, ops::Range};

use unicode_linebreak::linebreaks;
use unicode_segmentation::UnicodeSegmentation;

use crate::{
    font::{Direction, FaceId, Fonts, LetterEdges, MISSING_EM, Part, Run, Shaped},
    label::{Mark, TextRun},
    unit::{Mm, Point, Size},
};

/// From base line to base line, in ems.
pub(super) const LEADING_EM: f64 = 1.2;
/// From the top of a line's accented capitals to its base line, in ems; more where letters are higher.
pub(super) const ASCENT_EM: f64 = 0.86;
/// From the base line to the lowest descender, in ems; more where letters hang lower.
const DESCENT_EM: f64 = 0.22;
/// Between the lowest descender and the next line's accented capitals, in ems.
const BETWEEN_EM: f64 = LEADING_EM - ASCENT_EM - DESCENT_EM;
/// The side of a hollow box's stroke, in ems.
const STROKE_EM: f64 = 0.05;
const ELLIPSIS: &str = "…";
/// Sizes are tried in steps of half a point.
const STEP: Mm = Mm(25.4 / 72.0 / 2.0);
/// Rounding of lengths is not to cost a line.
const SLACK: f64 = 1e-6;

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

/// A line of text as shaped.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Line {
    /// What it says, in the order of reading.
    pub text: String,
    shaped: Shaped,
}

impl Line {
    fn new(fonts: &Fonts, text: &str, face: FaceId, direction: Direction) -> Self {
        Self { text: text.to_owned(), shaped: fonts.shape(face, text, direction) }
    }

    /// How far its ink reaches out to the left of its pen, in ems, as that of a j does.
    fn out_em(&self) -> f64 {
        (-self.shaped.ink.left).max(0.0)
    }

    /// All of its width, in ems.
    fn width_em(&self) -> f64 {
        self.shaped.width_em.max(self.shaped.ink.right) + self.out_em()
    }

    fn above_em(&self) -> f64 {
        self.shaped.ink.above.max(ASCENT_EM)
    }

    fn below_em(&self) -> f64 {
        self.shaped.ink.below.max(DESCENT_EM)
    }
}

/// Text that has been broken into lines.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Block {
    pub em: Mm,
    pub lines: Vec<Line>,
    pub shortened: bool,
    cap_em: f64,
}

impl Block {
    /// Height from the top of the first line to the lowest descender; nothing for no lines.
    pub(super) fn height(&self) -> Mm {
        let lines: f64 = self.lines.iter().map(|line| line.above_em() + line.below_em()).sum();
        self.em * (lines + BETWEEN_EM * number(self.lines.len().saturating_sub(1)))
    }

    /// Its first lines, so many of them.
    pub(super) fn first(&self, count: usize) -> Self {
        Self { lines: self.lines.iter().take(count).cloned().collect(), ..*self }
    }

    /// The marks of the block with its top left corner there.
    pub(super) fn marks(&self, at: Point) -> Vec<Mark> {
        let (mut marks, mut top) = (Vec::new(), at.y);
        for line in &self.lines {
            marks.extend(self.line_marks(line, Point { x: at.x, y: top + self.em * line.above_em() }));
            top = top + self.em * (line.above_em() + line.below_em() + BETWEEN_EM);
        }
        marks
    }

    /// The marks of the first line with its base line beginning there.
    pub(super) fn marks_on(&self, baseline: Point) -> Vec<Mark> {
        self.lines.first().map(|line| self.line_marks(line, baseline)).unwrap_or_default()
    }

    fn line_marks(&self, line: &Line, at: Point) -> Vec<Mark> {
        let pen = Point { x: at.x + self.em * line.out_em(), y: at.y };
        marks(&line.shaped, self.em, self.cap_em, pen)
    }
}

fn number(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

fn nominal_height(lines: usize, em: Mm) -> Mm {
    em * (ASCENT_EM + DESCENT_EM + LEADING_EM * number(lines.saturating_sub(1)))
}

/// Height of one line from the top of its accented capitals to its lowest descender.
pub(super) fn height_of_line(em: Mm) -> Mm {
    nominal_height(1, em)
}

/// Height of a text on one line, of letters that are higher or hang lower as well.
pub(super) fn height_of(fonts: &Fonts, text: &str, face: FaceId, em: Mm) -> Mm {
    let ink = fonts.ink(face, text);
    em * (ink.above.max(ASCENT_EM) + ink.below.max(DESCENT_EM))
}

/// Fits a text into a column of this size: the largest size first, and at the smallest it is
/// shortened at a word. Where not even one line fits, there are no lines.
pub(super) fn fit(fonts: &Fonts, text: &str, face: FaceId, room: Size, sizes: Sizes, most_lines: usize) -> Block {
    let text = single_spaced(text);
    let setter = Setter::new(fonts, &text, face);
    let broken = setter.measured(breaks(&text));
    if broken.is_empty() {
        return setter.block(&[], sizes.largest);
    }
    let whole = sizes.down().find_map(|em| {
        let lines = wrap(&broken, room.width.0 / em.0)?;
        let most = most_lines.min(lines_within(room.height, em));
        (lines.len() <= most).then(|| setter.block(&lines, em)).filter(|block| has_room(block, room))
    });
    whole.unwrap_or_else(|| setter.shortened(&broken, room, sizes.smallest, most_lines))
}

/// Without spaces at the ends and next to each other.
fn single_spaced(text: &str) -> Cow<'_, str> {
    let is_space = |character: char| matches!(character, ' ' | '\t' | '\n' | '\r' | '\u{3000}');
    if text.chars().any(|c| is_space(c) && c != ' ') || text.contains("  ") || text.trim() != text {
        let words: Vec<&str> = text.split(is_space).filter(|word| !word.is_empty()).collect();
        return Cow::Owned(words.join(" "));
    }
    Cow::Borrowed(text)
}

fn lines_within(height: Mm, em: Mm) -> usize {
    (1..=50).take_while(|lines| nominal_height(*lines, em).0 <= height.0 + SLACK).count()
}

fn has_room(block: &Block, room: Size) -> bool {
    let wide = |line: &Line| line.width_em() * block.em.0 > room.width.0 + SLACK;
    block.height().0 <= room.height.0 + SLACK && !block.lines.iter().any(wide)
}

/// The places where a line may end (Unicode Standard Annex #14), and after a slash; spaces there belong
/// to no piece.
fn breaks(text: &str) -> Vec<Range<usize>> {
    let mut start = 0;
    let mut piece = |end: usize| {
        let kept = text[start..end].trim_end_matches(' ');
        let range = start..start + kept.len();
        start = end;
        range
    };
    linebreaks(text).map(|(end, _)| piece(end)).filter(|range| !range.is_empty()).collect()
}

/// A piece of text that stays on one line, with the places of its ends in ems.
#[derive(Debug, Clone, PartialEq)]
struct Piece {
    range: Range<usize>,
    left: f64,
    right: f64,
}

/// Breaks pieces into lines of at most `width` ems; `None` when one of them is wider.
fn wrap(pieces: &[Piece], width: f64) -> Option<Vec<Range<usize>>> {
    let mut lines: Vec<(Range<usize>, f64)> = Vec::new();
    for piece in pieces {
        match lines.last_mut() {
            _ if piece.right - piece.left > width => return None,
            Some((line, left)) if piece.right - *left <= width => line.end = piece.range.end,
            _ => lines.push((piece.range.clone(), piece.left)),
        }
    }
    Some(lines.into_iter().map(|(line, _)| line).collect())
}

/// A text with what is needed to set it.
struct Setter<'a> {
    fonts: &'a Fonts,
    text: &'a str,
    face: FaceId,
    direction: Direction,
    /// The ends of its letters where all are Latin.
    edges: Option<Vec<LetterEdges>>,
}

impl<'a> Setter<'a> {
    fn new(fonts: &'a Fonts, text: &'a str, face: FaceId) -> Self {
        let (direction, edges) = (Direction::of(text), Fonts::latin_edges(face, text));
        Self { fonts, text, face, direction, edges }
    }

    fn width_em(&self, text: &str) -> f64 {
        self.fonts.width_em(self.face, text)
    }

    fn line(&self, text: &str) -> Line {
        Line::new(self.fonts, text, self.face, self.direction)
    }

    fn block(&self, lines: &[Range<usize>], em: Mm) -> Block {
        let lines = lines.iter().map(|line| self.line(&self.text[line.clone()])).collect();
        self.block_of(lines, em, false)
    }

    fn block_of(&self, lines: Vec<Line>, em: Mm, shortened: bool) -> Block {
        Block { em, lines, shortened, cap_em: self.fonts.cap_height_em(self.face) }
    }

    /// The pieces with their places: for Latin to a hair, kerning over their ends included.
    fn measured(&self, ranges: Vec<Range<usize>>) -> Vec<Piece> {
        match &self.edges {
            Some(edges) => ranges.into_iter().map(|range| latin_piece(edges, range)).collect(),
            None => self.measured_one_by_one(ranges),
        }
    }

    fn measured_one_by_one(&self, ranges: Vec<Range<usize>>) -> Vec<Piece> {
        let space = self.width_em(" ");
        let (mut pen, mut end) = (0.0, 0);
        let mut piece = |range: Range<usize>| {
            let left = if range.start > end { pen + space } else { pen };
            let right = left + self.width_em(&self.text[range.clone()]);
            (pen, end) = (right, range.end);
            Piece { range, left, right }
        };
        ranges.into_iter().map(&mut piece).collect()
    }

    /// The text at the smallest size: with words cut where they are wider than the column, then with
    /// its end left off.
    fn shortened(&self, broken: &[Piece], room: Size, em: Mm, most_lines: usize) -> Block {
        let width = room.width.0 / em.0;
        let cut = broken.iter().flat_map(|piece| self.cut(piece, width)).collect();
        let lines = wrap(&self.measured(cut), width).unwrap_or_default();
        let whole = self.block(&lines, em);
        if lines.len() <= most_lines && has_room(&whole, room) && !lines.is_empty() {
            return whole;
        }
        let most = most_lines.min(lines.len());
        let fewer = (1..=most).rev().map(|count| self.with_ellipsis(&lines[..count], width, em));
        fewer.into_iter().find(|block| has_room(block, room)).unwrap_or_else(|| self.block_of(Vec::new(), em, true))
    }

    /// A piece that is wider than `width` ems, cut between letters; each part has at least one.
    fn cut(&self, piece: &Piece, width: f64) -> Vec<Range<usize>> {
        if piece.right - piece.left <= width {
            return vec![piece.range.clone()];
        }
        let mut parts: Vec<Range<usize>> = Vec::new();
        for (at, letter) in self.text[piece.range.clone()].grapheme_indices(true) {
            let (start, end) = (piece.range.start + at, piece.range.start + at + letter.len());
            match parts.last_mut() {
                Some(part) if self.width_em(&self.text[part.start..end]) <= width => part.end = end,
                _ => parts.push(start..end),
            }
        }
        parts
    }

    /// These lines, the last one without the words, and then the letters, that an ellipsis needs the
    /// room of.
    fn with_ellipsis(&self, lines: &[Range<usize>], width: f64, em: Mm) -> Block {
        let mut set: Vec<Line> = lines.iter().map(|line| self.line(&self.text[line.clone()])).collect();
        if let (Some(last), Some(range)) = (set.last_mut(), lines.last()) {
            *last = self.ending(&self.text[range.clone()], width);
        }
        self.block_of(set, em, true)
    }

    fn ending(&self, line: &str, width: f64) -> Line {
        let mut kept = line;
        loop {
            let ended = self.line(&format!("{}{ELLIPSIS}", kept.trim_end_matches([' ', ',', ';', ':', '-', '–'])));
            if kept.is_empty() || ended.width_em() <= width {
                return ended;
            }
            kept = match kept.rfind(' ') {
                Some(space) => &kept[..space],
                None => kept.grapheme_indices(true).next_back().map_or("", |(at, _)| &kept[..at]),
            };
        }
    }
}

fn latin_piece(edges: &[LetterEdges], range: Range<usize>) -> Piece {
    let first = edges.partition_point(|letter| letter.at < range.start);
    let last = edges.partition_point(|letter| letter.at < range.end) - 1;
    Piece { range, left: edges[first].start, right: edges[last].end }
}

/// The marks of one line from a pen and base line on, with a hollow box for each letter that no face has.
#[must_use]
pub fn text_marks(fonts: &Fonts, face: FaceId, em: Mm, at: Point, text: &str) -> Vec<Mark> {
    marks(&fonts.shape(face, text, Direction::of(text)), em, fonts.cap_height_em(face), at)
}

fn marks(shaped: &Shaped, em: Mm, cap_em: f64, at: Point) -> Vec<Mark> {
    let mark = |part: &Part| match part {
        Part::Run(run) => text_mark(run, em, at).into_iter().collect::<Vec<Mark>>(),
        Part::Missing { at_em } => hollow_box(Point { x: at.x + em * *at_em, y: at.y }, em, cap_em).into(),
    };
    shaped.parts.iter().flat_map(mark).collect()
}

fn text_mark(run: &Run, em: Mm, at: Point) -> Option<Mark> {
    let Run { face, scale, at_em, text, glyphs } = run.clone();
    let is_blank = text.trim().is_empty();
    let (em, left) = (em * scale, at.x + em * at_em);
    (!is_blank).then_some(Mark::Text(TextRun { face, em, left, baseline: at.y, text, glyphs }))
}

/// Four thin bars around the place of a letter that can't be shown.
fn hollow_box(pen: Point, em: Mm, cap_em: f64) -> [Mark; 4] {
    let (stroke, height) = (em * STROKE_EM, em * cap_em);
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

/// The characters of a text that no face has, each once, parted by spaces.
pub(super) fn missing(fonts: &Fonts, text: &str, face: FaceId) -> String {
    fonts.missing(face, text).iter().map(char::to_string).collect::<Vec<String>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZES: fn() -> Sizes = || Sizes::pt(9.0, 6.5);

    fn block(text: &str, width: f64, lines: usize) -> Block {
        fit(&Fonts::default(), text, FaceId::Regular, Size::new(width, 10.0), SIZES(), lines)
    }

    fn lines(block: &Block) -> Vec<&str> {
        block.lines.iter().map(|line| line.text.as_str()).collect()
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
        assert!(lines(&block)[1].ends_with('…') && !lines(&block)[1].ends_with(" …"), "{:?}", lines(&block));
    }

    #[test]
    fn words_are_broken_after_hyphens_and_cut_only_in_the_smallest_size() {
        assert_eq!(lines(&block("Raclette-Pfännchen", 18.0, 3)), ["Raclette-", "Pfännchen"]);
        let cut = block("Sonderausgabenverzeichnis", 18.0, 3);
        assert!((cut.em.0 - SIZES().smallest.0).abs() < 0.1 && cut.lines.len() == 2, "{:?}", lines(&cut));
    }

    /// [S] UAX #14: ideographs may part anywhere but before a full stop, numbers stay whole.
    #[test]
    fn lines_break_where_the_script_lets_them() {
        assert_eq!(breaks("茶壺。有蓋").len(), 4);
        let text = "jug 3-17, 1.5 l";
        let pieces: Vec<&str> = breaks(text).into_iter().map(|range| &text[range]).collect();
        assert_eq!(pieces, ["jug", "3-17,", "1.5", "l"]);
    }

    const NASTY: [&str; 17] = [
        "",
        " ",
        "x",
        "jjj ȷ ƒƒ QQ",
        "Emailleschmortopfdeckelknaufbefestigungsschraubensammelkiste",
        "Μπρίκι του καφέ από μπρούντζο, με ξύλινη λαβή",
        "Чайник эмалированный с крышкой, три литра",
        "茶壺有蓋、急須、湯呑み五客、桐箱入り",
        "🫖🫖🫖 👩\u{200D}🍳👩\u{200D}🍳 ❤\u{FE0F}",
        "קומקום נחושת, 3 ליטר",
        "إبريق شاي نحاسي قديم",
        "e\u{301}\u{302}\u{303}\u{304}e\u{301}\u{302}\u{303}\u{304} Z\u{351}\u{36B}\u{343}a\u{35B}l\u{348}g\u{32C}o\u{321}",
        "Ấm trà Bát Tràng, đĩa sứ, ỄỆỔ",
        "a b c d e f g",
        "\u{202E}turned\u{202C} \u{200B}\u{FEFF}",
        "one\ttwo\n\nthree   four",
        "-–-/-/",
    ];

    /// Ends of the pen and of the ink of each mark, as they lie on the label.
    fn reach(marks: &[Mark]) -> (f64, f64) {
        let of = |mark: &Mark| match mark {
            Mark::Text(run) => {
                let unit = |units: i32| run.face.in_em(units) * run.em.0;
                let (mut pen, mut ends) = (0, (run.left.0, run.left.0));
                for glyph in &run.glyphs {
                    let ink = run.face.glyph_by_id(glyph.id).and_then(|glyph| glyph.ink);
                    let at = run.left.0 + unit(pen + i32::from(glyph.right));
                    pen += glyph.advance;
                    let ink = ink.map_or((at, at), |ink| (at + unit(ink.left.into()), at + unit(ink.right.into())));
                    ends = (ends.0.min(ink.0), ends.1.max(ink.1).max(run.left.0 + unit(pen)));
                }
                ends
            }
            Mark::Rect { at, size } => (at.x.0, at.x.0 + size.width.0),
            Mark::Symbol(_) => (0.0, 0.0),
        };
        marks.iter().map(of).fold((0.0, 0.0), |all, ends| (f64::min(all.0, ends.0), f64::max(all.1, ends.1)))
    }

    #[test]
    fn every_line_is_within_the_column_whatever_the_text() {
        let long = "Strickmuster für Zopfpullover, ".repeat(10);
        for text in NASTY.into_iter().chain([long.as_str(), &"w".repeat(300)]) {
            for width in [1.0, 3.0, 8.0, 18.0, 36.0] {
                for most in [1, 3] {
                    let block = block(text, width, most);
                    let (left, right) = reach(&block.marks(Point::default()));
                    assert!(left >= -1e-6 && right <= width + 1e-6, "{text} from {left} to {right} of {width}");
                    assert!(block.height().0 <= 10.0 && block.lines.len() <= most, "{text}");
                }
            }
        }
    }

    /// Breaking, cutting and shortening leave every letter with what belongs to it [S, UAX #29].
    #[test]
    fn letters_are_never_cut_in_two() {
        for text in NASTY {
            let text = single_spaced(text);
            let letters: Vec<&str> = text.graphemes(true).collect();
            for width in [3.0, 8.0, 18.0] {
                for line in lines(&block(&text, width, 2)) {
                    let line = line.trim_end_matches(ELLIPSIS);
                    let is_whole = |letter: &&str| letters.contains(letter);
                    assert!(line.graphemes(true).all(|letter| is_whole(&letter)), "`{line}` of `{text}`");
                }
            }
        }
    }

    /// In this order: broken at words, set smaller, words cut, shortened.
    #[test]
    fn a_text_gives_way_in_a_fixed_order() {
        let text = "Copper jam pan with two handles";
        let at = |width: f64| block(text, width, 2);
        let (wide, narrow, least) = (at(50.0), at(22.0), at(12.0));
        assert_eq!((wide.lines.len(), wide.shortened), (1, false));
        assert!(narrow.lines.len() == 2 && !narrow.shortened && narrow.em.0 < wide.em.0, "{narrow:?}");
        assert!(least.shortened && least.em.0 <= SIZES().smallest.0 + 1e-9, "{least:?}");
    }

    #[test]
    fn missing_characters_become_boxes_and_are_named() {
        let fonts = Fonts::default();
        let marks = text_marks(&fonts, FaceId::Regular, Mm(3.0), Point::default(), "a🫖b");
        assert_eq!(marks.iter().filter(|mark| matches!(mark, Mark::Rect { .. })).count(), 4);
        assert_eq!(marks.iter().filter(|mark| matches!(mark, Mark::Text(_))).count(), 2);
        assert_eq!(missing(&fonts, "a🫖b🫖茶", FaceId::Regular), "🫖 茶");
        let joined = text_marks(&fonts, FaceId::Regular, Mm(3.0), Point::default(), "👩\u{200D}🍳");
        assert_eq!(joined.len(), 4, "one box for one joined emoji");
    }
}
