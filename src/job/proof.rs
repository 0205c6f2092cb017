//! A file that was printed to, read back: that of a run, or any other.

use std::path::{Path, PathBuf};

use super::{SheetNameError, sheet_by_name};
use crate::{
    code::StockCode,
    output::{OpenPdf, OutputError, sha256},
    proof::{Expected, Extent, Found, Report, Resolution, prove, read_back, search},
    register::{RecordedLabel, RecordedRun, Register, RegisterError, RunId, RunState},
    sheet::Sheet,
    symbol::SymbolKind,
    unit::{Dpi, Mm, Point, Size, UnitError},
};

/// Told how much there is to do, and each time how much more of it is done.
pub trait Progress: Sync {
    /// So many symbols or pages are to come.
    fn begin(&self, total: usize);
    /// So many more are done.
    fn more(&self, done: usize);
    /// Whether to leave off.
    fn is_cancelled(&self) -> bool {
        false
    }
}

/// Nobody is told.
impl Progress for () {
    fn begin(&self, _: usize) {}
    fn more(&self, _: usize) {}
}

/// What reading a file back gave.
#[derive(Debug, Clone, PartialEq)]
pub enum FileProof {
    /// A run printed it.
    OfRun {
        /// Which.
        run: RunId,
        /// Pages of the file.
        pages: usize,
        /// The resolution at which it was drawn.
        dpi: Dpi,
        /// What was found.
        report: Report,
    },
    /// No run of this register printed it.
    Foreign {
        /// Pages of the file.
        pages: usize,
        /// The resolution at which it was drawn.
        dpi: Dpi,
        /// The symbols on it.
        found: Vec<KnownSymbol>,
    },
}

/// A symbol of a file that no run printed.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownSymbol {
    /// The symbol.
    pub symbol: Found,
    /// The code that it stands for, when the register knows it.
    pub code: Option<StockCode>,
}

/// Why a file could not be read back.
#[derive(Debug, thiserror::Error)]
pub enum ProofError {
    /// The file is gone, or no file.
    #[error("`{path}` can't be read; name a PDF that was printed to")]
    Read {
        /// Which.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The file is no PDF, or can't be drawn.
    #[error("`{path}` can't be drawn; name a PDF that was printed to")]
    Draw {
        /// Which.
        path: PathBuf,
        /// Why.
        source: OutputError,
    },
    /// The sheet is no longer known.
    #[error(transparent)]
    Sheet(#[from] SheetNameError),
    /// The run's resolution makes no sense.
    #[error(transparent)]
    Unit(#[from] UnitError),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

/// Reads a file back: each symbol that the run which printed it put there, or without one all that can be found. `dpi` is
/// the resolution, else that of the run.
///
/// # Errors
/// [`ProofError`].
pub fn proof_file(
    register: &Register,
    path: &Path,
    dpi: Option<Dpi>,
    progress: &impl Progress,
) -> Result<FileProof, ProofError> {
    let bytes = read_file(path)?;
    let draw = |source| ProofError::Draw { path: path.to_owned(), source };
    let pages = OpenPdf::new(&bytes).map_err(draw)?.pages();
    if let Some(run) = run_of(register, &sha256(&bytes))? {
        let made_for = Dpi::new(run.dpi)?;
        let dpi = dpi.unwrap_or(made_for);
        let expected = expected_of(register, &run, &bytes).map_err(|fault| fault.at(path))?;
        progress.begin(expected.len());
        let report = prove(&bytes, &expected, Resolution::new(dpi, made_for), &|done| progress.more(done));
        return Ok(FileProof::OfRun { run: run.id, pages, dpi, report: report.map_err(draw)? });
    }
    let dpi = dpi.unwrap_or(Dpi::DEFAULT);
    progress.begin(pages);
    let found = search(&bytes, dpi, &|| progress.more(1)).map_err(draw)?;
    let found = found.into_iter().map(|symbol| known(register, symbol)).collect::<Result<_, _>>()?;
    Ok(FileProof::Foreign { pages, dpi, found })
}

/// Reads every symbol of a run back from its file at this resolution, without simulated prints.
///
/// # Errors
/// [`ProofError`].
pub fn read_back_run(register: &Register, run: &RecordedRun, dpi: Dpi) -> Result<Report, ProofError> {
    let bytes = read_file(&run.target)?;
    let expected = expected_of(register, run, &bytes).map_err(|fault| fault.at(&run.target))?;
    let report = read_back(&bytes, &expected, Resolution::new(dpi, Dpi::new(run.dpi)?), &|_| {});
    report.map_err(|source| ProofError::Draw { path: run.target.clone(), source })
}

fn read_file(path: &Path) -> Result<Vec<u8>, ProofError> {
    std::fs::read(path).map_err(|source| ProofError::Read { path: path.to_owned(), source })
}

/// The last run that printed just these bytes: the same labels give the same file.
fn run_of(register: &Register, sha256: &str) -> Result<Option<RecordedRun>, RegisterError> {
    let runs = register.run_summaries()?;
    let last = runs.iter().rev().find(|run| run.sha256 == sha256 && run.state != RunState::Writing);
    last.map(|run| register.run(run.id)).transpose()
}

/// Why it is not known what to expect.
enum Unexpected {
    Sheet(SheetNameError),
    Output(OutputError),
}

impl Unexpected {
    fn at(self, path: &Path) -> ProofError {
        match self {
            Self::Sheet(fault) => fault.into(),
            Self::Output(source) => ProofError::Draw { path: path.to_owned(), source },
        }
    }
}

fn expected_of(register: &Register, run: &RecordedRun, pdf: &[u8]) -> Result<Vec<Expected>, Unexpected> {
    let sheet = sheet_by_name(register, &run.sheet).map_err(Unexpected::Sheet)?;
    let pdf = OpenPdf::new(pdf).map_err(Unexpected::Output)?;
    let of = |label: &RecordedLabel| {
        let size = pdf.size(label.page).map_err(Unexpected::Output)?;
        Ok(expected(label, &sheet, size))
    };
    Ok(run.labels.iter().map(of).collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect())
}

fn expected(label: &RecordedLabel, sheet: &Sheet, page: Size) -> Vec<Expected> {
    let kinds = label.symbols.split(' ').filter_map(SymbolKind::by_name);
    let (at, size) = place(label, sheet, page);
    let of = |kind| Expected {
        page: label.page,
        slot: label.slot,
        at,
        size,
        extent: Extent::Label,
        kind,
        text: label.payload.clone(),
        or_link: true,
    };
    kinds.map(of).collect()
}

/// Where a label is: in its slot, or anywhere on a page that is not the sheet's, as when it was turned for the printer.
fn place(label: &RecordedLabel, sheet: &Sheet, page: Size) -> (Point, Size) {
    let is_alike = |a: Mm, b: Mm| (a.0 - b.0).abs() < 0.5;
    let upright = sheet.page();
    if is_alike(upright.width, page.width) && is_alike(upright.height, page.height) {
        (sheet.corner(label.slot), sheet.label())
    } else {
        (Point::default(), page)
    }
}

/// What a symbol, or a link's last part, stands for.
fn known(register: &Register, symbol: Found) -> Result<KnownSymbol, RegisterError> {
    let last = symbol.text.rsplit('/').next().unwrap_or_default();
    let is_known = |code: &StockCode| register.look_up(*code).map(|found| found.is_some());
    let code = StockCode::from_payload(last);
    let code = if code.as_ref().map_or(Ok(false), is_known)? { code } else { None };
    Ok(KnownSymbol { symbol, code })
}
