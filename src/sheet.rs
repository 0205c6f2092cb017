//! Label sheets and rolls, their slots, and drawings placed on pages.
//!
//! Start with [`find_sheet`], [`cut_sheet`] or [`NewSheet`], then [`places`] and [`lay_out`].
//! Whether a printer reaches the paper's edge is only guessed, by [`Sheet::stock`]'s insets.

mod catalog;
mod cut;
mod error;
mod own;
mod page;
mod slots;

pub use catalog::{Paper, Sheet, SheetKind, find_sheet, sheets};
pub use cut::cut_sheet;
pub use error::SheetError;
pub use own::NewSheet;
pub use page::{CutMark, Page, Placed, SlotOnPage, lay_out, places};
pub use slots::{SlotError, SlotList, slots_text};
