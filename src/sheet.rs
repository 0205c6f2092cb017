//! Label sheets and rolls, their slots, and drawings placed on pages.
//!
//! Start with [`find_sheet`], [`cut_sheet`] or [`NewSheet`], then [`places`] and [`lay_out`]; [`Device`] is what is
//! printed on. How near to the paper's edge a printer prints is only guessed, unless its [`Device`] knows better.

mod align;
mod align_words;
mod canvas;
mod catalog;
mod correction;
mod cut;
mod error;
mod margin;
mod own;
mod page;
mod readings;
mod slots;
mod turn;

pub use align::{AlignError, alignment_page};
pub use catalog::{Paper, Sheet, SheetKind, find_sheet, sheets};
pub use correction::{Correction, Device, USUAL_EDGE};
pub use cut::cut_sheet;
pub use error::SheetError;
pub use margin::{EdgeWarning, cut_at_the_edge};
pub use own::NewSheet;
pub use page::{CutMark, Page, Placed, SlotOnPage, lay_out, places};
pub use readings::{CROSS, ReadingError, Readings, SPAN};
pub use slots::{SlotError, SlotList, slots_text};
pub use turn::Turn;
