//! What stands on a tag or a sign, fitted into a label's size as a [`Drawing`] in millimetres.
//!
//! Start with [`Tag::draw`] and [`Sign::draw`].
//! Where on a page a label goes is not known here; only the dots of the printer are, since symbols
//! stand on them.

mod code_line;
mod compose;
mod design;
mod drawing;
mod error;
mod fit;
mod sign;
mod tag;
mod text;
mod words;

pub use drawing::{Drawing, Mark, PlacedSymbol, TextRun};
pub use error::{LabelError, LabelWarning};
pub use sign::Sign;
pub use tag::Tag;
pub use text::text_marks;

use crate::{
    font::Fonts,
    symbol::SymbolKind,
    unit::{Dpi, Mm, Size},
};

/// Which symbol to put on a label.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SymbolChoice {
    /// Code 128 where its aimed-for module fits, else QR.
    #[default]
    Auto,
    /// This one.
    Only(SymbolKind),
}

/// The room for a label: its size, how far its content keeps from the edges, and the printer's dots.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// Size of the label.
    pub size: Size,
    /// What stays free at the left and the right.
    pub inset_x: Mm,
    /// What stays free at the top and the bottom.
    pub inset_y: Mm,
    /// The printer's resolution.
    pub dpi: Dpi,
    /// The faces for its text.
    pub fonts: Fonts,
}

/// A label as drawn, and what is worth saying about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// The drawing.
    pub drawing: Drawing,
    /// What the user should know.
    pub warnings: Vec<LabelWarning>,
}
