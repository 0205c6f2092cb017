//! Label sheets and rolls, their slots, and drawings placed on pages.
//!
//! Start with [`find_sheet`] and [`lay_out`].
//! Whether a printer reaches the paper's edge is only guessed, by [`Sheet::stock`]'s insets.

mod catalog;
mod page;

pub use catalog::{Paper, Sheet, SheetError, find_sheet, sheets, sheets_with_label};
pub use page::{Page, Placed, lay_out};
