//! Tags and signs: from the register to a PDF in its place and a run that knows what it says.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use serde_json::json;

use crate::{
    code::StockCode,
    font::Fonts,
    label::{Drawing, Drawn, LabelError, LabelWarning, Sign, Stock, SymbolChoice, Tag},
    output::{DocumentInfo, FileError, OutputError, PendingFile, pdf, sha256},
    parallel,
    plan::walking_order,
    register::{Bin, Found, Item, LabelOf, NewLabel, NewRun, Place, Register, RegisterError, RunId, RunKind},
    sheet::{Page, Paper, Sheet, lay_out, sheets},
    symbol::SymbolKind,
    unit::{Dpi, Mm, Point, Size},
};

/// How to print.
#[derive(Debug, Clone)]
pub struct PrintOptions {
    /// The sheet.
    pub sheet: &'static Sheet,
    /// The symbol.
    pub symbol: SymbolChoice,
    /// The printer's resolution.
    pub dpi: Dpi,
    /// The faces of the text.
    pub fonts: Fonts,
    /// How many of each label.
    pub copies: u16,
    /// The file; else one named by the run in the current folder.
    pub out: Option<PathBuf>,
    /// Replace a file that is there.
    pub force: bool,
}

/// A finished run.
#[derive(Debug)]
pub struct Printed {
    /// Its number.
    pub run: RunId,
    /// Its file.
    pub file: PathBuf,
    /// Its pages.
    pub pages: usize,
    /// Its labels in the order of the file.
    pub labels: Vec<PrintedLabel>,
    /// What the user should know, each once.
    pub warnings: Vec<LabelWarning>,
}

/// A label of a finished run.
#[derive(Debug, Clone, PartialEq)]
pub struct PrintedLabel {
    /// What its symbols carry.
    pub payload: String,
    /// Symbology and module of each symbol.
    pub symbols: Vec<(SymbolKind, Mm)>,
    /// The page, counted from 1.
    pub page: usize,
    /// The slot, counted from 1.
    pub slot: u32,
    /// Its corner by the sheet's measures; on paper it lies on the nearest dot.
    pub corner: Point,
    /// Its size.
    pub size: Size,
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
        hint: String,
    },
    /// The PDF can't be made.
    #[error(transparent)]
    Output(#[from] OutputError),
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

/// Prints the labels of these items and bins, in walking order; `None` when there are none of them.
///
/// # Errors
/// [`PrintError`].
pub fn print(
    register: &mut Register,
    kind: RunKind,
    mut what: Vec<Found>,
    options: &PrintOptions,
) -> Result<Option<Printed>, PrintError> {
    if what.is_empty() {
        return Ok(None);
    }
    what.sort_by_key(order);
    let stock = Stock { fonts: options.fonts.clone(), ..options.sheet.stock(options.dpi) };
    let (drawings, warnings) = draw_all(&what, &stock, options)?;
    let repeated = repeat(&drawings, options.copies);
    let pages = lay_out(options.sheet, &repeated, options.dpi);
    let bytes = pdf(&pages, &info(kind, options.sheet))?;
    let labels = labels(&pages, options.sheet, &what, options.copies);
    let records = records(&what, &labels, options.copies);
    let sha256 = sha256(&bytes);
    let run = NewRun {
        kind,
        sheet: &options.sheet.name,
        dpi: options.dpi.get(),
        pages: pages.len(),
        sha256: &sha256,
        labels: &records,
    };
    let (run, file) = put_in_place(register, &run, &bytes, options)?;
    Ok(Some(Printed { run, file, pages: pages.len(), labels, warnings }))
}

fn order(found: &Found) -> impl Ord + use<> {
    let key = |place: &Place, bin, code| {
        walking_order(place.area, place.spot.as_ref().map(|spot| spot.walk_order), bin, code)
    };
    match found {
        Found::Item(item) => key(&item.place, item.bin, StockCode::Item(item.code)),
        Found::Bin(bin) => key(&bin.place, bin.code, StockCode::Bin(bin.code)),
    }
}

type Drawings = (Vec<Arc<Drawing>>, Vec<LabelWarning>);

fn draw_all(what: &[Found], stock: &Stock, options: &PrintOptions) -> Result<Drawings, PrintError> {
    let (mut drawings, mut warnings) = (Vec::with_capacity(what.len()), Vec::new());
    let drawn = parallel::map(what, |found| draw(found, stock, options.symbol));
    for (found, drawn) in what.iter().zip(drawn) {
        let drawn = drawn.map_err(|error| PrintError::Label { hint: hint(found, options, &error), error })?;
        drawings.push(Arc::new(drawn.drawing));
        for warning in drawn.warnings {
            if !warnings.contains(&warning) {
                warnings.push(warning);
            }
        }
    }
    Ok((drawings, warnings))
}

fn draw(found: &Found, stock: &Stock, symbol: SymbolChoice) -> Result<Drawn, LabelError> {
    match found {
        Found::Item(item) => tag(item).draw(stock, symbol),
        Found::Bin(bin) => sign(bin).draw(stock, symbol),
    }
}

fn tag(item: &Item) -> Tag {
    Tag::new(item.code, item.title.clone())
}

fn sign(bin: &Bin) -> Sign {
    let spot = bin.place.spot.as_ref().map(|spot| spot.name.clone());
    Sign::new(bin.code, bin.place.area_name.clone(), spot)
}

/// The smallest label on the same paper that would do.
fn hint(found: &Found, options: &PrintOptions, error: &LabelError) -> String {
    if !matches!(error, LabelError::TooSmall { .. } | LabelError::NoRoomForBoth { .. }) {
        return "choose another --symbol".into();
    }
    let fits = |sheet: &&Sheet| draw(found, &sheet.stock(options.dpi), options.symbol).is_ok();
    let area = |sheet: &&Sheet| sheet.label_width.0 * sheet.label_height.0;
    let same_paper = sheets().iter().filter(|sheet| sheet.paper == options.sheet.paper);
    let smallest = same_paper.filter(fits).min_by(|a, b| area(a).total_cmp(&area(b)));
    let other =
        if matches!(error, LabelError::TooSmall { kind: SymbolKind::Code128, .. }) { ", or --symbol qr" } else { "" };
    match smallest {
        Some(sheet) => format!("the smallest that would do is --sheet {} ({}){other}", sheet.name, sheet.label()),
        None => format!("choose a larger label{other}"),
    }
}

fn repeat(drawings: &[Arc<Drawing>], copies: u16) -> Vec<Arc<Drawing>> {
    let copies = usize::from(copies);
    drawings.iter().flat_map(|drawing| std::iter::repeat_n(Arc::clone(drawing), copies)).collect()
}

fn info(kind: RunKind, sheet: &Sheet) -> DocumentInfo {
    let what = match kind {
        RunKind::Tags => "Item tags",
        RunKind::Signs => "Bin signs",
    };
    let on = if sheet.paper == Paper::Roll { "on" } else { "on sheet" };
    DocumentInfo { title: format!("{what} {on} {}", sheet.name), language: "en".into() }
}

fn labels(pages: &[Page], sheet: &Sheet, what: &[Found], copies: u16) -> Vec<PrintedLabel> {
    let payloads = what.iter().map(payload).flat_map(|payload| std::iter::repeat_n(payload, usize::from(copies)));
    let placed = pages.iter().zip(1..).flat_map(|(page, number)| page.placed.iter().map(move |it| (page, number, it)));
    placed
        .zip(payloads)
        .map(|((page, number, placed), payload)| PrintedLabel {
            payload,
            symbols: symbols(&placed.drawing, page.dpi),
            page: number,
            slot: placed.slot,
            corner: sheet.corner(placed.slot),
            size: placed.drawing.size,
        })
        .collect()
}

fn symbols(drawing: &Drawing, dpi: Dpi) -> Vec<(SymbolKind, Mm)> {
    drawing.symbols().map(|placed| (placed.symbol.kind(), dpi.length(placed.x))).collect()
}

/// What the run has to know of each label.
fn records<'a>(what: &'a [Found], labels: &[PrintedLabel], copies: u16) -> Vec<NewLabel<'a>> {
    let repeated = what.iter().flat_map(|found| std::iter::repeat_n(found, usize::from(copies)));
    repeated.zip(labels).map(|(found, label)| record(found, label)).collect()
}

fn record<'a>(found: &'a Found, label: &PrintedLabel) -> NewLabel<'a> {
    let (of, said) = match found {
        Found::Item(item) => (
            LabelOf::Item(item),
            json!({"code": item.code.to_string(), "bin": item.bin.to_string(), "title": item.title}),
        ),
        Found::Bin(bin) => {
            let sign = sign(bin);
            (LabelOf::Bin(bin), json!({"code": bin.code.to_string(), "area_name": sign.area_name, "spot": sign.spot}))
        }
    };
    let symbols: Vec<&str> = label.symbols.iter().map(|(kind, _)| kind.name()).collect();
    NewLabel {
        page: label.page,
        slot: label.slot,
        payload: label.payload.clone(),
        symbols: symbols.join(" "),
        of,
        said,
    }
}

fn payload(found: &Found) -> String {
    match found {
        Found::Item(item) => item.code.payload(),
        Found::Bin(bin) => bin.code.payload(),
    }
}

/// Records the run, puts its file in place and marks it done; on any failure neither is left.
fn put_in_place(
    register: &mut Register,
    run: &NewRun<'_>,
    bytes: &[u8],
    options: &PrintOptions,
) -> Result<(RunId, PathBuf), PrintError> {
    let lock = register.lock_runs()?;
    let named = || Ok::<_, RegisterError>(PathBuf::from(format!("{}-{}.pdf", run.kind.word(), register.next_run()?)));
    let target = options.out.clone().map_or_else(named, Ok)?;
    let pending = PendingFile::new(&target, options.force)?;
    if register.owns(&pending.target) {
        return Err(FileError::Register(pending.target).into());
    }
    let id = register.begin_run(&lock, run, &pending.target, &pending.temporary)?;
    if let Err(fault) = pending.write(bytes).and_then(|()| pending.put_in_place()) {
        // Should this fail as well, the next start settles the run.
        let _ = register.take_back_run(id);
        return Err(fault.into());
    }
    let file = shown(&target);
    match register.finish_run(id) {
        Ok(()) => Ok((id, file)),
        Err(source) => Err(PrintError::Unfinished { file, source }),
    }
}

/// The path as the user gave it, without `./`.
pub(super) fn shown(target: &Path) -> PathBuf {
    target.components().collect()
}
