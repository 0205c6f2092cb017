//! Printers: added, changed, measured with a ruler, removed.

use std::{collections::BTreeMap, sync::Arc};

use askama::Template;
use axum::{
    Form,
    extract::{Path, Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::{
    super::{
        answer::{FileAnswer, Go, Page, Refusal},
        bins::{fingerprint, require_seen},
        shell::{Place, Shell, Told, Visitor},
        state::Desk,
        words::desk_words,
    },
    offered::sheet_words,
    pdf,
};
use crate::{
    job::{
        PlaceChange, Printer, PrinterChange, Settings, Sheets, add_printer, align_pdf, change_printer, correction_text,
        printer_by_name, printers, remove_printer, sheet_by_name, usual_align_sheet, with_causes,
    },
    register::Register,
    sheet::{Correction, Paper, Readings},
    unit::{Dpi, Mm, parse_mm},
};

/// What was typed into a form, by the names of its fields.
type Typed = BTreeMap<String, String>;

/// A field of a form; nothing was typed where it is empty.
fn text<'t>(typed: &'t Typed, name: &str) -> &'t str {
    typed.get(name).map(|text| text.trim()).unwrap_or_default()
}

/// The options of a command, as the fields of the page are called.
const FIELDS: [(&str, &str); 7] = [
    ("--top-edge-right", "Top edge to B"),
    ("--left-edge", "Left edge to A"),
    ("--top-edge", "Top edge to A"),
    ("--span-x", "A to B"),
    ("--span-y", "A to C"),
    ("give the readings again with --really", "tick the box that says so"),
    ("without --refine", "without the tick at what is left"),
];

/// Why something was refused, with the fields' own names.
fn refusal(fault: &dyn std::error::Error) -> Refusal {
    let words = FIELDS.iter().fold(with_causes(fault), |words, (option, field)| words.replace(option, field));
    Refusal::input(desk_words(&words))
}

fn length(typed: &Typed, name: &str, label: &str) -> Result<Option<Mm>, Refusal> {
    let given = text(typed, name);
    if given.is_empty() {
        return Ok(None);
    }
    let refused = |fault| Refusal::input(desk_words(&format!("{label}: {}", with_causes(&fault))));
    parse_mm(given).map(Some).map_err(refused)
}

#[derive(Debug, Template)]
#[template(path = "labels_printers.html")]
struct PrintersPage {
    shell: Shell,
    printers: Vec<Printer>,
    typed: Typed,
    refused: Option<String>,
}

impl PrintersPage {
    fn typed(&self, name: &str) -> &str {
        text(&self.typed, name)
    }
}

/// All printers, and a form for another one.
pub(super) async fn list(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    let printers = desk.read(printers).await?;
    let shell = visitor.shell(&desk, "Printers", Place::Labels);
    Ok(Page(PrintersPage { shell, printers, typed: Typed::new(), refused: None }))
}

/// Adds a printer.
pub(super) async fn add(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(typed): Form<Typed>,
) -> Result<Response, Refusal> {
    let asked = typed.clone();
    let added = desk.change(move |register| {
        let dpi: Dpi = text(&asked, "dpi").parse().map_err(|fault| refusal(&fault))?;
        let is_first = printers(register)?.is_empty();
        let change = PrinterChange { is_default: is_first || asked.contains_key("default"), ..features(&asked)? };
        add_printer(register, text(&asked, "name"), dpi, &change).map_err(|fault| refusal(&fault))
    });
    match added.await {
        Ok(printer) => {
            let told = format!(
                "{} is added. Print its alignment page next, so that labels sit where they belong.",
                printer.name
            );
            desk.tell(visitor.device.id, Told::done(told, None));
            Ok(Go(format!("/labels/printers/{}", in_path(&printer.name))).into_response())
        }
        Err(refused) => {
            let shell = visitor.shell(&desk, "Printers", Place::Labels);
            let printers = desk.read(printers).await?;
            let page = PrintersPage { shell, printers, typed, refused: Some(refused.text) };
            Ok((StatusCode::UNPROCESSABLE_ENTITY, Page(page)).into_response())
        }
    }
}

/// A printer's name in an address: it has letters of any language, and digits, hyphens and dots.
fn in_path(name: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    name.bytes().map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") }).collect()
}

fn features(typed: &Typed) -> Result<PrinterChange, Refusal> {
    Ok(PrinterChange {
        thinner: Some(typed.contains_key("thinner")),
        edge: length(typed, "edge", "White edge")?,
        queue: Some(text(typed, "queue").to_owned()),
        ..PrinterChange::default()
    })
}

#[derive(Debug, Template)]
#[template(path = "labels_printer.html")]
struct PrinterPage {
    shell: Shell,
    printer: Printer,
    seen: String,
    /// What was measured, in words.
    measured: String,
    is_measured: bool,
    /// The sheets whose labels the alignment page can outline: names and words.
    sheets: Vec<(String, String)>,
    usual: String,
    typed: Typed,
    refused: Option<String>,
}

impl PrinterPage {
    fn typed(&self, name: &str) -> &str {
        text(&self.typed, name)
    }

    fn path(&self) -> String {
        format!("/labels/printers/{}", in_path(&self.printer.name))
    }

    fn edge(&self) -> String {
        self.printer.edge.map(|edge| edge.rounded().0.to_string()).unwrap_or_default()
    }
}

/// A printer: what is known of it, its alignment, its measures.
pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(name): Path<String>,
) -> Result<Page<impl Template>, Refusal> {
    let shell = visitor.shell(&desk, "Printer", Place::Labels);
    Ok(Page(printer_page(&desk, shell, name, Typed::new(), None).await?))
}

async fn printer_page(
    desk: &Arc<Desk>,
    shell: Shell,
    name: String,
    typed: Typed,
    refused: Option<Refusal>,
) -> Result<PrinterPage, Refusal> {
    desk.read(move |register| {
        let printer = known(register, &name)?;
        let usual = usual_align_sheet(&Settings::of(register)?)?;
        let sheets = Sheets::of(register)?;
        let on_paper = sheets.all().filter(|sheet| sheet.paper != Paper::Roll);
        Ok::<_, Refusal>(PrinterPage {
            measured: correction_text(&printer.correction),
            is_measured: printer.correction != Correction::NONE,
            sheets: on_paper.map(|sheet| (sheet.name.clone(), sheet_words(sheet))).collect(),
            usual: usual.name,
            shell: Shell { title: format!("Printer {}", printer.name), ..shell },
            seen: seen(&printer),
            printer,
            typed,
            refused: refused.map(|refusal| refusal.text),
        })
    })
    .await
}

fn known(register: &Register, name: &str) -> Result<Printer, Refusal> {
    let unknown = || Refusal::nothing("There is no such printer.");
    printer_by_name(register, Some(name)).ok().flatten().ok_or_else(unknown)
}

/// How a printer is, in a few letters. A correction is added to what was corrected, so that one that is sent twice, or to
/// another state than the one that was measured, would be wrong.
fn seen(printer: &Printer) -> String {
    fingerprint(&(printer.dpi, &printer.correction, printer.thinner, printer.edge, &printer.queue))
}

/// A form says how the printer was when it was made.
fn with_seen(mut typed: Typed) -> Typed {
    typed.entry("seen".into()).or_default();
    typed
}

/// Does something to a printer; where it is refused the page comes again with what was typed.
async fn alter(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    name: String,
    typed: Typed,
    change: Result<PrinterChange, Refusal>,
) -> Result<Response, Refusal> {
    let (asked, was) = (name.clone(), typed.get("seen").cloned());
    let changed = desk.change(move |register| {
        if let Some(was) = was {
            require_seen(&was, &seen(&known(register, &asked)?))?;
        }
        change_printer(register, &asked, &change?).map_err(|fault| refusal(&fault))
    });
    match changed.await {
        Ok(printer) => {
            let told = format!("{}: {}.", printer.name, printer.features());
            desk.tell(visitor.device.id, Told::done(told, None));
            Ok(Go(format!("/labels/printers/{}", in_path(&printer.name))).into_response())
        }
        Err(refused) => {
            let shell = visitor.shell(desk, "Printer", Place::Labels);
            let status = refused.status;
            let page = printer_page(desk, shell, name, typed, Some(refused)).await?;
            Ok((status, Page(page)).into_response())
        }
    }
}

/// Changes what is known of a printer.
pub(super) async fn change(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(name): Path<String>,
    Form(typed): Form<Typed>,
) -> Result<Response, Refusal> {
    let dpi = text(&typed, "dpi").parse::<Dpi>().map_err(|fault| refusal(&fault));
    let change = dpi.and_then(|dpi| Ok(PrinterChange { dpi: Some(dpi), ..features(&typed)? }));
    alter(&desk, &visitor, name, with_seen(typed), change).await
}

/// Takes the readings of an alignment page.
pub(super) async fn measured(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(name): Path<String>,
    Form(typed): Form<Typed>,
) -> Result<Response, Refusal> {
    let change = readings(&typed).map(|readings| {
        let place = PlaceChange::Measured {
            readings,
            refine: typed.contains_key("refine"),
            fits_pages: typed.contains_key("really"),
        };
        PrinterChange { place: Some(place), ..PrinterChange::default() }
    });
    alter(&desk, &visitor, name, with_seen(typed), change).await
}

fn readings(typed: &Typed) -> Result<Readings, Refusal> {
    let wanted = |name, label: &str| {
        length(typed, name, label)?
            .ok_or_else(|| Refusal::input(format!("{label} is missing. Measure all four, then save.")))
    };
    Ok(Readings {
        left_edge: wanted("left_edge", "Left edge to A")?,
        top_edge: wanted("top_edge", "Top edge to A")?,
        span_x: wanted("span_x", "A to B")?,
        span_y: wanted("span_y", "A to C")?,
        top_edge_right: length(typed, "top_edge_right", "Top edge to B")?,
    })
}

/// Forgets what was measured.
pub(super) async fn forget(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(name): Path<String>,
) -> Result<Response, Refusal> {
    let change = PrinterChange { place: Some(PlaceChange::Clear), ..PrinterChange::default() };
    alter(&desk, &visitor, name, Typed::new(), Ok(change)).await
}

/// Takes the printer when none is named.
pub(super) async fn default(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(name): Path<String>,
) -> Result<Response, Refusal> {
    let change = PrinterChange { is_default: true, ..PrinterChange::default() };
    alter(&desk, &visitor, name, Typed::new(), Ok(change)).await
}

/// Removes a printer.
pub(super) async fn remove(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(name): Path<String>,
) -> Result<Go, Refusal> {
    let printer = desk.change(move |register| remove_printer(register, &name)).await?;
    desk.tell(visitor.device.id, Told::done(format!("The printer {} is removed.", printer.name), None));
    Ok(Go("/labels/printers".into()))
}

/// The alignment page of a printer.
pub(super) async fn align_page(
    State(desk): State<Arc<Desk>>,
    Path(name): Path<String>,
    Query(asked): Query<Typed>,
) -> Result<FileAnswer, Refusal> {
    desk.read(move |register| {
        let printer = known(register, &name)?;
        let sheet = match text(&asked, "sheet") {
            "" => usual_align_sheet(&Settings::of(register)?)?,
            name => sheet_by_name(register, name)?,
        };
        let bytes = align_pdf(&printer, &sheet, asked.contains_key("uncorrected"))?;
        Ok::<_, Refusal>(pdf(&format!("align-{}", printer.name), bytes))
    })
    .await
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refusals_name_the_fields_of_the_page() {
        let readings = |x: f64, y: f64| Readings {
            left_edge: Mm(12.0),
            top_edge: Mm(10.0),
            span_x: Mm(x),
            span_y: Mm(y),
            top_edge_right: None,
        };
        let fault = readings(170.0, 250.0).correction(false).unwrap_err();
        assert!(refusal(&fault).text.starts_with("A to B 170 should be near 180 mm"), "{}", refusal(&fault).text);
        let fitted = refusal(&readings(174.6, 242.5).correction(false).unwrap_err()).text;
        assert!(fitted.contains("97 %") && fitted.ends_with("tick the box that says so."), "{fitted}");
    }
}
