//! A finished run read back from its file.

use std::path::PathBuf;

use super::{SheetNameError, sheet_by_name};
use crate::{
    output::OutputError,
    proof::{Expected, Fault, read_back},
    register::{RecordedLabel, RecordedRun, Register},
    sheet::Sheet,
    symbol::SymbolKind,
    unit::Dpi,
};

/// What reading a run back gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Proved {
    /// How many symbols were read.
    pub symbols: usize,
    /// Those that don't say what they should.
    pub faults: Vec<Fault>,
}

/// Why a run could not be read back.
#[derive(Debug, thiserror::Error)]
pub enum ProofError {
    /// The file is gone.
    #[error("`{path}` can't be read; print the labels again")]
    Read {
        /// Which.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The PDF can't be drawn.
    #[error(transparent)]
    Output(#[from] OutputError),
    /// The sheet is no longer known.
    #[error(transparent)]
    Sheet(#[from] SheetNameError),
}

/// Reads every symbol of a run from its file, drawn as a printer of this resolution would.
///
/// # Errors
/// [`ProofError`].
pub fn read_back_run(register: &Register, run: &RecordedRun, dpi: Dpi) -> Result<Proved, ProofError> {
    let sheet = sheet_by_name(register, &run.sheet)?;
    let bytes = std::fs::read(&run.target).map_err(|source| ProofError::Read { path: run.target.clone(), source })?;
    let expected: Vec<Expected> = run.labels.iter().flat_map(|label| expected(label, &sheet)).collect();
    Ok(Proved { symbols: expected.len(), faults: read_back(&bytes, &expected, dpi)? })
}

fn expected(label: &RecordedLabel, sheet: &Sheet) -> Vec<Expected> {
    let kinds = label.symbols.split(' ').filter_map(SymbolKind::by_name);
    let of = |kind| Expected {
        page: label.page,
        at: sheet.corner(label.slot),
        size: sheet.label(),
        kind,
        payload: label.payload.clone(),
    };
    kinds.map(of).collect()
}
