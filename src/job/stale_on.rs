//! What wrong labels are printed on again: the sheet, the printer and the number of copies of the runs that printed them.
//!
//! Start with [`printed_on`]. It goes by what the runs have on record, and does not know what lies in the printer now.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    ReprintError, StaleLabel,
    run::{device_of, turn_of},
    sheet_by_name,
};
use crate::{
    register::{Register, RunId, RunSummary},
    sheet::{Device, Sheet, Turn},
};

/// What labels were printed on.
#[derive(Debug, Clone)]
pub struct PrintedOn {
    /// The sheet that most of them are on; nothing where it was removed.
    pub sheet: Option<Sheet>,
    /// Its printer as it is now, at the resolution of then.
    pub device: Device,
    /// The printer's name, if one was chosen.
    pub printer: Option<String>,
    /// How pages were turned.
    pub turn: Turn,
    /// How many of each there were; nothing where that differs.
    pub copies: Option<u16>,
    /// The names of all sheets that they are on.
    pub sheets: BTreeSet<String>,
}

/// What these labels were printed on; of several sheets the one of the most labels, and its last run. `None` without
/// labels.
///
/// # Errors
/// [`ReprintError`] when what is on record makes no sense.
pub fn printed_on(register: &Register, labels: &[StaleLabel]) -> Result<Option<PrintedOn>, ReprintError> {
    let mut count: BTreeMap<RunId, usize> = BTreeMap::new();
    for label in labels {
        *count.entry(label.run).or_default() += 1;
    }
    let mut runs = register.run_summaries()?;
    runs.retain(|run| count.contains_key(&run.id));
    let mut on: BTreeMap<&str, (usize, RunId)> = BTreeMap::new();
    for run in &runs {
        let (labels, last) = on.entry(&run.sheet).or_insert((0, run.id));
        (*labels, *last) = (*labels + count[&run.id], run.id.max(*last));
    }
    let Some(last) = on.values().max().and_then(|(_, last)| runs.iter().find(|run| run.id == *last)) else {
        return Ok(None);
    };
    let copies: BTreeSet<u16> = runs.iter().map(copies).collect();
    Ok(Some(PrintedOn {
        sheet: sheet_by_name(register, &last.sheet).ok(),
        device: device_of(register, last)?,
        printer: last.printer.clone(),
        turn: turn_of(last),
        copies: copies.first().copied().filter(|_| copies.len() == 1),
        sheets: on.into_keys().map(str::to_owned).collect(),
    }))
}

fn copies(run: &RunSummary) -> u16 {
    run.options["copies"].as_u64().and_then(|copies| u16::try_from(copies).ok()).unwrap_or(1)
}
