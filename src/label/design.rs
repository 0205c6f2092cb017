//! What a kind of label says, how it shares out its room, and the column that is left for words.

use super::{PlacedSymbol, text::Sizes};
use crate::{
    font::FaceId,
    unit::{Mm, Point, Size},
};

/// What stands on a label.
pub(super) struct Content {
    pub payload: String,
    /// The code in its faces, left to right.
    pub code: Vec<(FaceId, String)>,
    /// Lines of text below it, the first one first to stay.
    pub texts: Vec<(FaceId, String)>,
}

/// How a kind of label shares out its room.
pub(super) struct Design {
    /// The highest capitals of the code.
    pub most_cap: Mm,
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

/// The place for code and text, and the symbol next to it.
pub(super) struct Column {
    pub at: Point,
    pub room: Size,
    pub symbol: PlacedSymbol,
    /// Whether the symbol stands below.
    pub is_above: bool,
}
