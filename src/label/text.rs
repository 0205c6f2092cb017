//! Text in a column: the largest size at which it fits, broken at words, shortened only at last.
//!
//! Start with [`fit`]. Words are measured once, whatever sizes are tried. Letters with what belongs to
//! them (accents, joined emoji) are never parted. A line's letters run as their script does, but lines
//! begin at the left, with the code.

mod block;
mod marks;
mod pieces;
mod setter;

use std::borrow::Cow;

use crate::{
    font::{FaceId, Fonts},
    unit::{Mm, Size},
};
pub(super) use block::Block;
pub(super) use marks::missing;
pub use marks::text_marks;
use pieces::{breaks, wrap};
use setter::Setter;

/// From base line to base line, in ems.
pub(super) const LEADING_EM: f64 = 1.2;
/// From the top of a line's accented capitals to its base line, in ems; more where letters are higher.
pub(super) const ASCENT_EM: f64 = 0.86;
/// From the base line to the lowest descender, in ems; more where letters hang lower.
const DESCENT_EM: f64 = 0.22;
/// Between the lowest descender and the next line's accented capitals, in ems.
const BETWEEN_EM: f64 = LEADING_EM - ASCENT_EM - DESCENT_EM;
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
        (lines.len() <= most).then(|| setter.block(&lines, em)).filter(|block| block.fits(room))
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

#[cfg(test)]
mod tests;
