//! Label sheets and rolls: those that are known, and the user's own by their measures.

use std::sync::Arc;

use askama::Template;
use axum::{
    Form,
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::super::{
    answer::{Go, Page, Refusal},
    shell::{Place, Shell, Told, Visitor},
    state::Desk,
    words::desk_words,
};
use crate::{
    job::{Sheets, add_sheet, remove_sheet, with_causes},
    register::Register,
    sheet::{NewSheet, Sheet, SheetKind},
};

#[derive(Debug, Template)]
#[template(path = "labels_sheets.html")]
struct SheetsPage {
    shell: Shell,
    own: Vec<SheetRow>,
    known: Vec<SheetRow>,
    typed: Measures,
    refused: Option<String>,
}

/// A sheet with its measures.
#[derive(Debug)]
struct SheetRow {
    name: String,
    paper: &'static str,
    labels: String,
    size: String,
    margins: String,
}

/// A sheet as it is typed.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct Measures {
    name: String,
    paper: String,
    grid: String,
    label: String,
    left: String,
    top: String,
    pitch: String,
}

impl Measures {
    fn is_on(&self, paper: &str) -> bool {
        self.paper == paper
    }

    fn sheet(&self) -> Result<Sheet, Refusal> {
        let given = |text: &'_ str| !text.trim().is_empty();
        let typed = NewSheet {
            name: &self.name,
            paper: &self.paper,
            grid: Some(self.grid.as_str()).filter(|text| given(text)),
            label: &self.label,
            left: Some(self.left.as_str()).filter(|text| given(text)),
            top: Some(self.top.as_str()).filter(|text| given(text)),
            pitch: Some(self.pitch.as_str()).filter(|text| given(text)),
        };
        typed.check().map_err(|fault| refusal(&fault))
    }
}

/// The options of a command, as the fields of the page are called.
const FIELDS: [(&str, &str); 8] = [
    ("as --grid 3x9", "as 3x9"),
    ("the columns of --grid", "the labels across"),
    ("the rows of --grid", "the labels down"),
    ("--grid", "Labels across and down"),
    ("--label", "Size of a label"),
    ("--left", "From the left edge"),
    ("--top", "From the top edge"),
    ("--pitch", "From label to label"),
];

fn refusal(fault: &dyn std::error::Error) -> Refusal {
    let words = FIELDS.iter().fold(with_causes(fault), |words, (option, field)| words.replace(option, field));
    Refusal::input(desk_words(&words))
}

/// All sheets, and a form for another one.
pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    Ok(Page(sheets_page(&desk, &visitor, Measures::default(), None).await?))
}

async fn sheets_page(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    typed: Measures,
    refused: Option<String>,
) -> Result<SheetsPage, Refusal> {
    let sheets = desk.read(Sheets::of).await?;
    let (own, known) = sheets.all().partition::<Vec<&Sheet>, _>(|sheet| sheet.kind == SheetKind::Own);
    let rows = |sheets: Vec<&Sheet>| sheets.into_iter().map(row).collect();
    let shell = visitor.shell(desk, "Sheets", Place::Labels);
    Ok(SheetsPage { shell, own: rows(own), known: rows(known), typed, refused })
}

fn row(sheet: &Sheet) -> SheetRow {
    let (left, top) = (sheet.left.rounded().0, sheet.top.rounded().0);
    let is_page = sheet.slots() > 1 || left + top > 0.0;
    SheetRow {
        name: sheet.name.clone(),
        paper: sheet.paper.name(),
        labels: format!("{} ({} x {})", sheet.slots(), sheet.columns, sheet.rows),
        size: sheet.label().to_string(),
        margins: if is_page { format!("{left} and {top} mm") } else { String::new() },
    }
}

/// Adds a sheet by its measures.
pub(super) async fn add(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(typed): Form<Measures>,
) -> Result<Response, Refusal> {
    let asked = typed.clone();
    let added = desk.change(move |register: &mut Register| {
        let sheet = asked.sheet()?;
        add_sheet(register, &sheet).map_err(|fault| refusal(&fault))?;
        Ok::<_, Refusal>(sheet)
    });
    match added.await {
        Ok(sheet) => {
            let told = format!(
                "The sheet {} is added: {} labels of {}. Print a first page on plain paper, and hold it against the sheet and the light.",
                sheet.name,
                sheet.slots(),
                sheet.label()
            );
            desk.tell(visitor.device.id, Told::done(told, None));
            Ok(Go("/labels/sheets".into()).into_response())
        }
        Err(refused) => {
            let page = sheets_page(&desk, &visitor, typed, Some(refused.text)).await?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, Page(page)).into_response())
        }
    }
}

#[derive(Debug, Deserialize)]
pub(super) struct Name {
    name: String,
}

/// Removes a sheet of the user's own.
pub(super) async fn remove(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(Name { name }): Form<Name>,
) -> Result<Go, Refusal> {
    let (sheet, was_set) = desk.change(move |register| remove_sheet(register, &name)).await?;
    let unset = if was_set { " It was the usual one; the sheets of your paper are usual again." } else { "" };
    let told = format!("The sheet {} is removed; what was printed on it stays on record.{unset}", sheet.name);
    desk.tell(visitor.device.id, Told::done(told, None));
    Ok(Go("/labels/sheets".into()))
}
