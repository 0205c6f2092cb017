//! Label sheets and rolls, their slots, and drawings placed on pages.
//!
//! Start with [`find_sheet`] and [`lay_out`]; [`Device`] is what is printed on.
//! How near to the paper's edge a printer prints is only guessed, unless its [`Device`] knows better.

mod align;
mod align_words;
mod canvas;
mod catalog;
mod correction;
mod margin;
mod page;
mod readings;
mod turn;

pub use align::{AlignError, alignment_page};
pub use catalog::{Paper, Sheet, SheetError, find_sheet, sheets, sheets_with_label};
pub use correction::{Correction, Device, USUAL_EDGE};
pub use margin::{EdgeWarning, cut_at_the_edge};
pub use page::{Page, Placed, lay_out};
pub use readings::{CROSS, ReadingError, Readings, SPAN};
pub use turn::Turn;
