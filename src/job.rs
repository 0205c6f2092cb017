//! The things that users ask for, each walked down the whole road: find, import, print, set.
//!
//! Start with [`find()`], [`import()`], [`print()`] and [`reprint()`]. The command line calls these, and so will other
//! front ends; how an answer looks is theirs.

mod choice;
mod find;
mod import;
mod open;
mod print;
mod proof;
mod reference;
mod run;
mod settings;
mod sheet;

pub use choice::Choice;
pub use find::{FindAnswer, find};
pub use import::{ImportError, ImportOptions, Imported, import, row_text};
pub use open::{Opened, PlaceWarning, open};
pub use print::{
    LabelJob, Look, Prepared, PrintError, PrintOptions, Printed, PrintedLabel, PrintedSymbol, SheetState, Start,
    StartError, prepare, print,
};
pub use proof::{FileProof, KnownSymbol, Progress, ProofError, proof_file, read_back_run};
pub use reference::{ReferenceError, bin_by_text, found_by_text, item_by_text};
pub use run::{Again, Reprint, ReprintError, cancel, reprint, run_by_text};
pub use settings::{SETTINGS, SettingError, Settings, check, set};
pub use sheet::{SheetNameError, Sheets, add_sheet, remove_sheet, sheet_by_name, sheet_in_use};
