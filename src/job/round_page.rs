//! The picking round, and lists like it, on paper to be ticked.
//!
//! Start with [`print_round`]. It is no run: nothing is remembered of it.

use std::path::{Path, PathBuf};

use jiff::civil::Date;

use super::{PrinterError, Settings, Stop, device, print::shown, printer_by_name};
use crate::{
    font::Fonts,
    label::{LabelWarning, PickItem, PickList, PickStop, Stock},
    output::{DocumentInfo, FileError, OutputError, PendingFile, pdf},
    register::{Item, Register, RegisterError, RunKind},
    sheet::{Paper, SheetError, lay_out, places},
};

/// How to write the page.
#[derive(Debug, Clone)]
pub struct RoundPageOptions {
    /// The paper; else the one that is set.
    pub paper: Option<Paper>,
    /// The faces of the text.
    pub fonts: Fonts,
    /// The file; else one named by the day in the current folder.
    pub out: Option<PathBuf>,
    /// Replace a file that is there.
    pub force: bool,
    /// The day of the round.
    pub day: Date,
    /// How much it is, in words.
    pub size: String,
}

/// What was written.
#[derive(Debug)]
pub struct RoundPage {
    /// The file.
    pub file: PathBuf,
    /// Its pages.
    pub pages: usize,
    /// What the user should know.
    pub warnings: Vec<LabelWarning>,
}

/// The pages of a list as a PDF.
#[derive(Debug)]
pub struct ListPdf {
    /// The PDF.
    pub bytes: Vec<u8>,
    /// Its pages.
    pub pages: usize,
    /// What the user should know.
    pub warnings: Vec<LabelWarning>,
}

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
pub enum RoundPageError {
    /// The PDF can't be made.
    #[error(transparent)]
    Output(#[from] OutputError),
    /// The file can't be put in place.
    #[error(transparent)]
    File(#[from] FileError),
    /// The default printer can't be told.
    #[error(transparent)]
    Printer(#[from] PrinterError),
    /// The usual page is missing.
    #[error(transparent)]
    Sheet(#[from] SheetError),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

/// Writes the pages of a round and gives their file.
///
/// # Errors
/// [`RoundPageError`]; no file is left then.
pub fn print_round(
    register: &Register,
    stops: &[Stop],
    options: &RoundPageOptions,
) -> Result<RoundPage, RoundPageError> {
    write_list(register, &round_list(stops, options), ("Picking round", "pick"), options)
}

/// The pages of a round, of which no file is written.
///
/// # Errors
/// [`RoundPageError`].
pub fn round_pdf(register: &Register, stops: &[Stop], options: &RoundPageOptions) -> Result<ListPdf, RoundPageError> {
    list_pdf(register, &round_list(stops, options), "Picking round", options)
}

fn round_list(stops: &[Stop], options: &RoundPageOptions) -> PickList {
    PickList {
        heading: "Picking round".into(),
        stops: stops.iter().map(pick_stop).collect(),
        summary: format!("{}, {}", options.day, options.size),
        foot: String::new(),
    }
}

/// Writes the pages of a list; `names` are what it is called and how its file begins.
pub(super) fn write_list(
    register: &Register,
    list: &PickList,
    (name, stem): (&str, &str),
    options: &RoundPageOptions,
) -> Result<RoundPage, RoundPageError> {
    let ListPdf { bytes, pages, warnings } = list_pdf(register, list, name, options)?;
    let file = put_in_place(register, &bytes, stem, options)?;
    Ok(RoundPage { file, pages, warnings })
}

/// The pages of a list.
pub(super) fn list_pdf(
    register: &Register,
    list: &PickList,
    name: &str,
    options: &RoundPageOptions,
) -> Result<ListPdf, RoundPageError> {
    let settings = Settings::of(register)?;
    let sheet = settings.sheet_for(RunKind::Contents, Some(options.paper.unwrap_or(settings.paper)))?;
    let device = device(printer_by_name(register, None)?.as_ref(), None, settings.dpi);
    let stock = Stock { fonts: options.fonts.clone(), ..sheet.stock(device) };
    let (drawings, warnings): (Vec<_>, Vec<_>) =
        list.draw(&stock).into_iter().map(|drawn| (drawn.drawing.into(), drawn.warnings)).unzip();
    let pages = lay_out(&sheet, &drawings, &places(&sheet, &[], drawings.len()), device);
    let info = DocumentInfo { title: format!("{name} of {}", options.day), language: "en".into() };
    Ok(ListPdf { bytes: pdf(&pages, &info)?, pages: pages.len(), warnings: warnings.concat() })
}

fn pick_stop(stop: &Stop) -> PickStop {
    PickStop {
        bin: stop.bin,
        part: String::new(),
        section: stop.place.area_name.clone(),
        place: stop.spot_text().unwrap_or_default(),
        items: stop.items.iter().filter_map(pick_item).collect(),
    }
}

fn pick_item(item: &Item) -> Option<PickItem> {
    let order = item.sold.as_ref().and_then(|sold| sold.order.as_ref());
    let order = order.map(|order| format!("order {order}")).unwrap_or_default();
    item.code.map(|code| PickItem { code: Some(code), title: item.title.clone(), aside: order })
}

fn put_in_place(
    register: &Register,
    bytes: &[u8],
    stem: &str,
    options: &RoundPageOptions,
) -> Result<PathBuf, FileError> {
    let target = options.out.clone().unwrap_or_else(|| free_name(stem, options.day));
    let pending = PendingFile::new(&target, options.force)?;
    if register.owns(&pending.target) {
        return Err(FileError::Register(pending.target));
    }
    pending.write(bytes)?;
    pending.put_in_place()?;
    Ok(shown(&target))
}

/// There may be several rounds a day.
fn free_name(stem: &str, day: Date) -> PathBuf {
    let name = |number: u32| match number {
        1 => PathBuf::from(format!("{stem}-{day}.pdf")),
        number => PathBuf::from(format!("{stem}-{day}-{number}.pdf")),
    };
    (1..1000).map(name).find(|name| !Path::new(name).exists()).unwrap_or_else(|| name(1))
}
