//! What stands on a tag, a sign, a strip or a list, fitted into a label's size as a [`Drawing`] in
//! millimetres.
//!
//! Start with [`Tag::draw`], [`Sign::draw`], [`ShelfStrip::draw`], [`AreaSign::draw`],
//! [`ContentsList::draw`] and [`PickList::draw`]. Where on a page a label goes is not known here; only the dots of the printer are,
//! since symbols stand on them.

mod area_sign;
mod both;
mod choice;
mod code_line;
mod compose;
mod contents;
mod design;
mod distance;
mod drawing;
mod error;
mod fit;
mod pick_list;
mod shelf;
mod sign;
mod stack;
mod tag;
mod text;
mod words;

pub use area_sign::AreaSign;
pub use choice::{SymbolChoice, Symbols};
pub use contents::{ContentsList, Listed};
pub use distance::{cap_for, read_from};
pub use drawing::{Drawing, Mark, PlacedSymbol, TextRun};
pub use error::{LabelError, LabelWarning};
pub use pick_list::{LIFTING, PickItem, PickList, PickStop};
pub use shelf::ShelfStrip;
pub use sign::{Form, Sign};
pub use tag::Tag;
pub use text::text_marks;

use crate::{
    font::Fonts,
    unit::{Dpi, Mm, Size},
};

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
    /// The faces that text is set in.
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
