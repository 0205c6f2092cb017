//! The JSON of runs: labels on their pages, as they are printed and as they are on record.
//!
//! Start with [`PlacedJson`] for what is printed and [`RunJson::new`] for what was. What a label said is given as it is
//! on record.

use serde::Serialize;

use crate::{
    register::{RecordedLabel, Run, RunId, RunKind, RunState},
    symbol::SymbolKind,
    unit::Mm,
};

/// A label on its page.
#[derive(Debug, Serialize)]
pub struct PlacedJson {
    /// What its symbols carry.
    pub payload: String,
    /// Its symbols.
    pub symbols: Vec<SymbolJson>,
    /// The page, counted from 1.
    pub page: usize,
    /// The slot, counted from 1.
    pub slot: u32,
    /// From the page's left edge.
    pub left_mm: Mm,
    /// From the page's top edge.
    pub top_mm: Mm,
    /// Width of the label.
    pub width_mm: Mm,
    /// Height of the label.
    pub height_mm: Mm,
}

/// A symbol of a label.
#[derive(Debug, Serialize)]
pub struct SymbolJson {
    /// The symbology.
    pub kind: SymbolKind,
    /// Width of a module.
    pub x_dimension_mm: Mm,
    /// What it carries.
    pub payload: String,
}

/// What a run does to the sheets.
#[derive(Debug, Serialize)]
pub struct SheetStateJson {
    /// Whether it begins on a part-used sheet.
    pub part_used: bool,
    /// The slots of that sheet that it takes.
    pub slots: Vec<u32>,
    /// How many fresh sheets it takes.
    pub fresh_sheets: usize,
    /// The free slots of its last sheet when it is printed.
    pub free_after: Vec<u32>,
    /// What is said once about part-used sheets.
    pub caution: Option<&'static str>,
}

/// A run on record.
#[derive(Debug, Serialize)]
pub struct RunJson {
    run: RunId,
    at: String,
    kind: RunKind,
    state: RunState,
    labels: usize,
    pages: usize,
    sheet: String,
    dpi: f64,
    printer: Option<String>,
    file: String,
    cancelled_at: Option<String>,
    reprint_of: serde_json::Value,
}

impl RunJson {
    /// A run with so many labels.
    #[must_use]
    pub fn new<L>(run: &Run<L>, labels: usize) -> Self {
        Self {
            run: run.id,
            at: run.at.clone(),
            kind: run.kind,
            state: run.state,
            labels,
            pages: run.pages,
            sheet: run.sheet.clone(),
            dpi: run.dpi,
            printer: run.printer.clone(),
            file: run.target.display().to_string(),
            cancelled_at: run.cancelled_at.clone(),
            reprint_of: run.options["reprint_of"].clone(),
        }
    }
}

/// A label of a run on record.
#[derive(Debug, Serialize)]
pub struct RecordedLabelJson {
    page: usize,
    slot: u32,
    payload: String,
    symbols: Vec<String>,
    said: serde_json::Value,
}

impl From<&RecordedLabel> for RecordedLabelJson {
    fn from(label: &RecordedLabel) -> Self {
        Self {
            page: label.page,
            slot: label.slot,
            payload: label.payload.clone(),
            symbols: label.symbols.split(' ').map(str::to_owned).collect(),
            said: label.said.clone(),
        }
    }
}

/// A run with its labels.
#[derive(Debug, Serialize)]
pub struct RunLabelsJson {
    /// The run.
    #[serde(flatten)]
    pub run: RunJson,
    /// Its labels in the order of the file.
    pub placed: Vec<RecordedLabelJson>,
}
