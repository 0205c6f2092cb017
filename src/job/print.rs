//! Labels: from the register to a PDF in its place and a run that knows what it says.
//!
//! [`prepare`] draws the labels, keeps other programs from printing and lays them out on free slots,
//! so that the user can be told what to put into the printer; [`Prepared::commit`] puts the file in
//! place and records the run. [`print()`] does both.

mod check;
mod draw;
mod hint;
mod labels;
mod look;
mod place;
mod record;

pub use hint::Hint;
pub use labels::{LabelJob, OwnLook};
pub use look::{Field, Look, LookWish};
pub use place::{SheetState, Start, StartError};
pub(super) use record::shown;

use std::path::PathBuf;

use crate::{
    font::Fonts,
    label::{Drawing, LabelError, LabelWarning},
    output::{DocumentInfo, FileError, OutputError, pdf},
    proof::Refused,
    register::{Lock, Register, RegisterError, RunId, RunKind},
    sheet::{Device, EdgeWarning, Page, Paper, Placed, Sheet, SheetKind, SlotOnPage, Turn, cut_at_the_edge, lay_out},
    symbol::SymbolKind,
    unit::{Currency, Dpi, Mm, Point, Size},
};
use draw::{Drawings, draw_all};
use labels::Brush;
use place::FirstSheet;

/// How to print.
#[derive(Debug, Clone)]
pub struct PrintOptions {
    /// The sheet.
    pub sheet: Sheet,
    /// On which of its slots to begin.
    pub start: Start,
    /// How the labels look.
    pub look: Look,
    /// What is printed on: resolution, correction of places, unprinted edge.
    pub device: Device,
    /// How pages are turned for the printer.
    pub turn: Turn,
    /// The faces of the text.
    pub fonts: Fonts,
    /// The currency of amounts on tags.
    pub currency: Currency,
    /// The printer's name, if one was chosen.
    pub printer: Option<String>,
    /// How many of each label.
    pub copies: u16,
    /// The file; else one named by the run in the current folder.
    pub out: Option<PathBuf>,
    /// Replace a file that is there.
    pub force: bool,
    /// The run of which labels are printed again.
    pub reprint_of: Option<RunId>,
}

impl PrintOptions {
    /// What draws a label: its own look, else that of the run.
    fn brush<'a>(&'a self, job: &'a OwnLook) -> Brush<'a> {
        Brush { look: job.look.as_ref().unwrap_or(&self.look), currency: &self.currency, level: None }
    }
}

/// What a user should know about a run that is printed all the same.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PrintWarning {
    /// About a label.
    #[error(transparent)]
    Label(#[from] LabelWarning),
    /// About labels at the paper's edge.
    #[error(transparent)]
    Edge(#[from] EdgeWarning),
}

impl PrintWarning {
    /// Whether it is of letters that no font has, which a font of the user mends.
    #[must_use]
    pub fn is_of_letters(&self) -> bool {
        matches!(self, Self::Label(LabelWarning::MissingCharacters { .. }))
    }
}

/// A run that is laid out and not yet printed. Other programs can't print until it is dropped, unless it is only to be
/// looked at, as [`preview`] gives it.
#[derive(Debug)]
pub struct Prepared<L = Lock> {
    /// What it prints.
    pub kind: RunKind,
    /// How it prints.
    pub options: PrintOptions,
    /// Its pages.
    pub pages: Vec<Page>,
    /// The finished PDF.
    pub bytes: Vec<u8>,
    /// Its labels in the order of the file.
    pub labels: Vec<PrintedLabel>,
    /// What the user should know, each once.
    pub warnings: Vec<PrintWarning>,
    /// What it does to the sheets; `None` where no slots are remembered.
    pub sheet_state: Option<SheetState>,
    jobs: Vec<OwnLook>,
    first: FirstSheet,
    lock: L,
}

/// A finished run.
#[derive(Debug)]
pub struct Printed {
    /// Its number.
    pub run: RunId,
    /// What it printed.
    pub kind: RunKind,
    /// Its sheet's name.
    pub sheet: String,
    /// Its file.
    pub file: PathBuf,
    /// Its pages.
    pub pages: usize,
    /// Its labels in the order of the file.
    pub labels: Vec<PrintedLabel>,
    /// What the user should know, each once.
    pub warnings: Vec<PrintWarning>,
    /// What it did to the sheets; `None` where no slots are remembered.
    pub sheet_state: Option<SheetState>,
}

/// A label of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct PrintedLabel {
    /// Which of the jobs it is of, counted from 0.
    pub job: usize,
    /// The code that it is about, without hyphen.
    pub payload: String,
    /// Its symbols.
    pub symbols: Vec<PrintedSymbol>,
    /// The page, counted from 1.
    pub page: usize,
    /// The slot, counted from 1.
    pub slot: u32,
    /// Its corner by the sheet's measures; on paper it lies on the nearest dot.
    pub corner: Point,
    /// Its size.
    pub size: Size,
}

/// A symbol of a label.
#[derive(Debug, Clone, PartialEq)]
pub struct PrintedSymbol {
    /// The symbology.
    pub kind: SymbolKind,
    /// Width of a module.
    pub x: Mm,
    /// What it carries.
    pub payload: String,
}

/// Why nothing was printed. No run is recorded then and no file is left, but for [`Self::Unfinished`].
#[derive(Debug, thiserror::Error)]
pub enum PrintError {
    /// A label can't be made.
    #[error("{error}; {hint}")]
    Label {
        /// Why.
        error: LabelError,
        /// What would do.
        hint: Box<Hint>,
    },
    /// The PDF can't be made.
    #[error(transparent)]
    Output(#[from] OutputError),
    /// Symbols read back from the finished file are not as they should be.
    #[error("nothing was printed: {0}\nchoose another sheet, symbol or resolution; --no-proof prints all the same")]
    Refused(Refused),
    /// The user left off before it was done.
    #[error("nothing was printed: it was cancelled")]
    Cancelled,
    /// The file can't be put in place.
    #[error(transparent)]
    File(#[from] FileError),
    /// The file is in place, but the register could not be told so.
    #[error("`{file}` is printed and whole, but the register could not be told; the next command will tell it")]
    Unfinished {
        /// The file.
        file: PathBuf,
        /// Why.
        source: RegisterError,
    },
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

/// Prints labels in walking order; `None` when there are none.
///
/// # Errors
/// [`PrintError`].
pub fn print(
    register: &mut Register,
    kind: RunKind,
    jobs: Vec<impl Into<OwnLook>>,
    options: PrintOptions,
) -> Result<Option<Printed>, PrintError> {
    prepare(register, kind, jobs, options)?.map(|prepared| prepared.commit(register)).transpose()
}

/// Draws labels and lays them out in walking order; `None` when there are none. Nothing is changed.
///
/// # Errors
/// [`PrintError`].
pub fn prepare(
    register: &Register,
    kind: RunKind,
    jobs: Vec<impl Into<OwnLook>>,
    options: PrintOptions,
) -> Result<Option<Prepared>, PrintError> {
    laid(register, kind, jobs, options, Register::lock_runs, &|| false)
}

/// The same only to be looked at: its bytes are those that printing would give now, and other programs may print. It is
/// left off between its steps when nobody looks any more.
///
/// # Errors
/// [`PrintError`].
pub fn preview(
    register: &Register,
    kind: RunKind,
    jobs: Vec<impl Into<OwnLook>>,
    options: PrintOptions,
    is_cancelled: &(dyn Fn() -> bool + Sync),
) -> Result<Option<Prepared<()>>, PrintError> {
    laid(register, kind, jobs, options, |_| Ok(()), is_cancelled)
}

fn laid<L>(
    register: &Register,
    kind: RunKind,
    jobs: Vec<impl Into<OwnLook>>,
    options: PrintOptions,
    lock: impl FnOnce(&Register) -> Result<L, RegisterError>,
    is_cancelled: &(dyn Fn() -> bool + Sync),
) -> Result<Option<Prepared<L>>, PrintError> {
    let mut jobs: Vec<OwnLook> = jobs.into_iter().map(Into::into).collect();
    if jobs.is_empty() {
        return Ok(None);
    }
    register.refuse_undone(jobs.iter().map(|job| job.job.of()))?;
    jobs.sort_by_key(|job| job.job.order());
    let Drawings { all: drawings, jobs: of, mut warnings } = draw_all(&jobs, &options, is_cancelled)?;
    // From here on the free slots are ours.
    let lock = lock(register)?;
    let first = FirstSheet::new(register, &options.sheet, &options.start)?;
    let places = first.places(&options.sheet, drawings.len());
    let sheet_state = sheet_state(register, &options.sheet, &first, &places)?;
    let pages = lay_out(&options.sheet, &drawings, &places, options.device);
    warnings.extend(cut_at_the_edge(&options.sheet, &pages, &options.device).into_iter().map(PrintWarning::from));
    let pages: Vec<Page> = pages.into_iter().map(|page| page.turned(options.turn)).collect();
    if is_cancelled() {
        return Err(PrintError::Cancelled);
    }
    let bytes = pdf(&pages, &info(kind, &options.sheet))?;
    let labels = printed_labels(&pages, &places, &jobs, &of, &options);
    Ok(Some(Prepared { kind, options, pages, bytes, labels, warnings, sheet_state, jobs, first, lock }))
}

impl Prepared {
    /// Puts the file in place and records the run.
    ///
    /// # Errors
    /// [`PrintError`]; no run is recorded then.
    pub fn commit(self, register: &mut Register) -> Result<Printed, PrintError> {
        let (run, file) = record::put_in_place(register, &self)?;
        Ok(Printed {
            run,
            kind: self.kind,
            sheet: self.options.sheet.name,
            file,
            pages: self.pages.len(),
            labels: self.labels,
            warnings: self.warnings,
            sheet_state: self.sheet_state,
        })
    }

    /// The slots that the user said to be spent, with the number of their sheet.
    fn declared(&self) -> Vec<(u32, u32)> {
        let number = self.first.number.unwrap_or_default();
        self.first.declared.iter().map(|slot| (number, *slot)).collect()
    }
}

fn sheet_state(
    register: &Register,
    sheet: &Sheet,
    first: &FirstSheet,
    places: &[SlotOnPage],
) -> Result<Option<SheetState>, RegisterError> {
    let Some(state) = SheetState::new(sheet, first, places) else { return Ok(None) };
    let caution = place::caution(register, &state)?;
    Ok(Some(SheetState { caution, ..state }))
}

fn info(kind: RunKind, sheet: &Sheet) -> DocumentInfo {
    let what = match kind {
        RunKind::Tags => "Item tags",
        RunKind::Signs => "Bin signs",
        RunKind::Lids => "Lid signs",
        RunKind::Strips => "Shelf strips",
        RunKind::Areas => "Area signs",
        RunKind::Contents => "Contents lists",
    };
    let on = if sheet.paper == Paper::Roll || sheet.kind == SheetKind::Cut { "on" } else { "on sheet" };
    DocumentInfo { title: format!("{what} {on} {}", sheet.name), language: "en".into() }
}

fn printed_labels(
    pages: &[Page],
    places: &[SlotOnPage],
    jobs: &[OwnLook],
    of: &[usize],
    options: &PrintOptions,
) -> Vec<PrintedLabel> {
    let labels = pages.iter().flat_map(|page| &page.placed);
    let label = |((placed, at), job): ((&Placed, &SlotOnPage), &usize)| {
        let payload = jobs[*job].job.payload();
        PrintedLabel {
            job: *job,
            symbols: symbols(&placed.drawing, options.device.dpi),
            payload,
            page: at.page,
            slot: at.slot,
            corner: options.sheet.corner(at.slot),
            size: placed.drawing.size,
        }
    };
    labels.zip(places).zip(of).map(label).collect()
}

fn symbols(drawing: &Drawing, dpi: Dpi) -> Vec<PrintedSymbol> {
    let of = drawing.symbols();
    of.map(|placed| PrintedSymbol { kind: placed.symbol.kind(), x: dpi.length(placed.x), payload: placed.text.clone() })
        .collect()
}
