//! The JSON that commands answer with: amounts as strings in major units, dates ISO 8601, lengths in mm.
//!
//! Each type is one object of the answers. They are written only, never read.

mod bin;
mod found;
mod item;
mod proof;
mod run;

use serde::Serialize;

pub use bin::{AreaJson, BinContentsJson, BinJson};
pub use found::{FindJson, FoundJson, LabelledItemJson, PhotoJson};
pub use item::{ItemJson, MoveJson};
pub use proof::{FigureJson, KindJson};
pub use run::{PlacedJson, RecordedLabelJson, RunJson, RunLabelsJson, SheetStateJson, SymbolJson};

/// A refused row of an imported file.
#[derive(Debug, Serialize)]
pub struct RefusedJson {
    /// The line of the file.
    pub line: u64,
    /// The column of the fault, where one is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column: Option<u64>,
    /// What is wrong.
    pub reason: String,
}
