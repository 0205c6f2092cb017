//! A page to tick what is in a bin, for a count without a reader.

use std::{path::PathBuf, sync::Arc};

use super::{FontsError, ListPdf, PrinterError, Settings, device, fonts_known, print::shown, printer_by_name};
use crate::{
    label::{ContentsList, LabelError, LabelWarning, Listed, Stock},
    output::{DocumentInfo, FileError, OutputError, PendingFile, pdf},
    register::{Bin, Item, ItemFilter, Register, RegisterError, RunKind, Status},
    sheet::{Paper, SheetError, lay_out, places},
};

/// How to write a page to tick.
#[derive(Debug, Clone, Default)]
pub struct TickListOptions {
    /// The paper; else the one that is set.
    pub paper: Option<Paper>,
    /// The file; else one named by the bin in the current folder.
    pub out: Option<PathBuf>,
    /// Replace a file that is there.
    pub force: bool,
}

/// A page to tick, or several.
#[derive(Debug, Clone, PartialEq)]
pub struct TickList {
    /// The file.
    pub file: PathBuf,
    /// How many pages it has.
    pub pages: usize,
    /// How many items are on it.
    pub items: usize,
    /// What is worth saying.
    pub warnings: Vec<LabelWarning>,
}

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
pub enum TickListError {
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
    /// A font that is remembered can't be used.
    #[error(transparent)]
    Font(#[from] FontsError),
    /// No such sheet.
    #[error(transparent)]
    Sheet(#[from] SheetError),
    /// No such printer.
    #[error(transparent)]
    Printer(#[from] PrinterError),
    /// It does not fit.
    #[error(transparent)]
    Label(#[from] LabelError),
    /// The PDF can't be made.
    #[error(transparent)]
    Output(#[from] OutputError),
    /// The file can't be put in place.
    #[error(transparent)]
    File(#[from] FileError),
}

/// Writes a page with what the register has in a bin, a box to tick before each item. It is no label: no run is
/// recorded.
///
/// # Errors
/// [`TickListError`]; no file is left then.
pub fn tick_list(register: &Register, bin: &Bin, options: &TickListOptions) -> Result<TickList, TickListError> {
    let (ListPdf { bytes, pages, warnings }, items) = drawn(register, bin, options.paper)?;
    let file = put_in_place(register, bin, &bytes, options)?;
    Ok(TickList { file, pages, items, warnings })
}

/// That page, of which no file is written.
///
/// # Errors
/// [`TickListError`].
pub fn tick_list_pdf(register: &Register, bin: &Bin) -> Result<ListPdf, TickListError> {
    drawn(register, bin, None).map(|(pdf, _)| pdf)
}

/// The pages, and how many items are on them.
fn drawn(register: &Register, bin: &Bin, paper: Option<Paper>) -> Result<(ListPdf, usize), TickListError> {
    bin.require_live()?;
    let settings = Settings::of(register)?;
    // Paper is named, so that a sheet of labels that is set once for all does not stand in.
    let sheet = settings.sheet_for(RunKind::Contents, Some(paper.unwrap_or(settings.paper)))?;
    let device = device(printer_by_name(register, None)?.as_ref(), None, settings.dpi);
    let stock = Stock { fonts: fonts_known(register)?, ..sheet.stock(device) };
    let items = register.items(&ItemFilter::within(bin.code))?;
    let drawn = list(bin, &items).draw(&stock)?;
    let warnings = drawn.iter().flat_map(|drawn| drawn.warnings.clone()).collect();
    let drawings: Vec<_> = drawn.into_iter().map(|drawn| Arc::new(drawn.drawing)).collect();
    let pages = lay_out(&sheet, &drawings, &places(&sheet, &[], drawings.len()), device);
    let title = format!("Count of bin {}", bin.code);
    let bytes = pdf(&pages, &DocumentInfo { title, language: "en".into() })?;
    Ok((ListPdf { bytes, pages: pages.len(), warnings }, items.len()))
}

fn list(bin: &Bin, items: &[Item]) -> ContentsList {
    let title = |item: &Item| match item.status {
        Status::Sold => format!("(sold, to be picked) {}", item.title),
        _ => item.title.clone(),
    };
    let listed = |item: &Item| item.code.map(|code| Listed { code, title: title(item) });
    ContentsList {
        code: bin.code,
        area_name: bin.place.area_name.clone(),
        spot: bin.place.spot.as_ref().map(|spot| spot.name.clone()),
        items: items.iter().filter_map(listed).collect(),
        date: jiff::ZonedDateTime::now().date().to_string(),
        ticks: true,
    }
}

fn put_in_place(register: &Register, bin: &Bin, bytes: &[u8], options: &TickListOptions) -> Result<PathBuf, FileError> {
    let target = options.out.clone().unwrap_or_else(|| PathBuf::from(format!("count-{}.pdf", bin.code)));
    let pending = PendingFile::new(&target, options.force)?;
    if register.owns(&pending.target) {
        return Err(FileError::Register(pending.target));
    }
    pending.write(bytes)?;
    pending.put_in_place()?;
    Ok(shown(&target))
}
