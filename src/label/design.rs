//! What a kind of label says, how it shares out its room, and the column that is left for words.

use unicode_normalization::UnicodeNormalization;

use super::{PlacedSymbol, text::Sizes};
use crate::{
    font::{FaceId, Fonts},
    unit::{Mm, Point, Size},
};

/// Capitals of text are never lower: 5.5 pt, about what ISO 9241-3 asks for at arm's length (16' at 0.4 m).
pub(super) const LEAST_TEXT_CAP: Mm = Mm(5.5 * 25.4 / 72.0);

/// A text on a label.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Text {
    pub face: FaceId,
    pub words: String,
    /// Whether it stands as a whole or not at all.
    pub whole: bool,
    /// Whether it is never broken into lines.
    pub one_line: bool,
}

impl Text {
    pub(super) fn new(face: FaceId, words: impl Into<String>) -> Self {
        Self { face, words: tidy(words.into()), whole: false, one_line: false }
    }

    pub(super) fn one_line(face: FaceId, words: impl Into<String>) -> Self {
        Self { one_line: true, ..Self::new(face, words) }
    }

    pub(super) fn whole(face: FaceId, words: impl Into<String>) -> Self {
        Self { whole: true, ..Self::new(face, words) }
    }
}

/// Letters and their accents as one, since faces hold accents of their own that stand beside letters; line ends
/// and tabs as spaces.
pub(super) fn tidy(text: String) -> String {
    if text.bytes().all(|byte| byte.is_ascii() && !byte.is_ascii_control()) {
        return text;
    }
    text.nfc().map(|character| if character.is_control() { ' ' } else { character }).collect()
}

/// What stands on a label.
pub(super) struct Content {
    pub payload: String,
    /// Small words over the code; on one row with it where there is no room above.
    pub above: Option<String>,
    /// The code in its faces, left to right.
    pub code: Vec<(FaceId, String)>,
    /// Texts below it, the first one first to stay.
    pub texts: Vec<Text>,
}

impl Content {
    /// The code with the small words before it, for labels of one row.
    pub(super) fn row(&self) -> Vec<(FaceId, String)> {
        let above = self.above.iter().map(|words| (FaceId::Regular, format!("{words} ")));
        above.chain(self.code.iter().cloned()).collect()
    }

    /// The code as one.
    pub(super) fn code_text(&self) -> String {
        self.code.iter().map(|(_, part)| part.as_str()).collect()
    }
}

/// How a kind of label shares out its room.
pub(super) struct Design {
    /// The highest capitals of the code.
    pub most_cap: Mm,
    /// The heights that the code's capitals should have, where they are to be read from afar.
    pub far: Option<Far>,
    /// The part of the room above or beside the symbol that the text may take.
    pub text_share: f64,
    pub text_sizes: Sizes,
    /// Lines that each text may take.
    pub lines: usize,
    /// The height of bars where there is room for it.
    pub bars: Mm,
    /// Whether a QR stands right of the text.
    pub symbol_right: bool,
}

/// Heights of capitals for reading from afar.
#[derive(Debug, Clone, Copy)]
pub(super) struct Far {
    /// Texts that were asked for may press them down to this.
    pub least: Mm,
    /// What is preferred.
    pub preferred: Mm,
}

impl Design {
    /// Sizes of text from the floor up to this em.
    pub(super) fn sizes(largest: Mm) -> Sizes {
        let smallest = LEAST_TEXT_CAP * (1.0 / Fonts::main(FaceId::Regular).cap_height_em());
        Sizes { largest: largest.max(smallest), smallest }
    }
}

/// The place for code and text, and the symbols next to it.
pub(super) struct Column {
    pub at: Point,
    pub room: Size,
    pub symbols: Vec<PlacedSymbol>,
    /// Whether all symbols stand below.
    pub is_above: bool,
    /// How far down the code begins where there is room: level with its symbol.
    pub level: Mm,
}
