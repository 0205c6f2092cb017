//! The things that users ask for, each walked down the whole road: find, import, print, set.
//!
//! Start with [`find()`], [`import()`] and [`print()`]. The command line calls these, and so will other
//! front ends; how an answer looks is theirs.

mod align;
mod choice;
mod find;
mod fonts;
mod import;
mod open;
mod picture;
mod print;
mod printer;
mod proof;
mod reference;
mod send;
mod settings;

pub use align::{AlignOptions, AlignPageError, align};
pub use choice::Choice;
pub use find::{FindAnswer, find};
pub use fonts::{FontState, FontsError, add_font, font_states, fonts_of, remove_font};
pub use import::{ImportError, ImportOptions, Imported, import, row_text};
pub use open::{Opened, PlaceWarning, open};
pub use picture::{PictureError, write_pngs};
pub use print::{PrintError, PrintOptions, Printed, PrintedLabel, print};
pub use printer::{
    PlaceChange, Printer, PrinterChange, PrinterError, add_printer, change_printer, device, printer_by_name, printers,
    remove_printer,
};
pub use proof::{ProofError, Proved, read_back_run};
pub use reference::{ReferenceError, bin_by_text, found_by_text, item_by_text};
pub use send::{JobTicket, SendError, send};
pub use settings::{SETTINGS, SettingError, Settings, check, set};
