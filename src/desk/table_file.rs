//! A table that is given as a file, of items or of sold ones: taken, and its columns and bad lines shown.
//!
//! Start with [`given`] and [`Columns::new`]. What comes of its rows is the matter of the page that asks for it.

use axum::{
    extract::{Multipart, multipart::MultipartError},
    http::StatusCode,
};

use super::{
    answer::{FileAnswer, Refusal},
    sent::Sent,
    words::{desk_words, grouped},
};
use crate::{
    exchange::{Asked, DateOrder, FileKind, RefusedRow},
    job::{FileColumn, FileColumns, ImportError, with_causes},
};

/// The largest file with what is sent around it.
pub(super) const LARGEST: usize = 32 * 1024 * 1024 + 64 * 1024;
/// Letters of a cell that are shown.
const SHORT: usize = 40;

/// What was given.
#[derive(Debug, Default)]
pub(super) struct Given {
    pub name: String,
    pub bytes: Vec<u8>,
    is_pasted: bool,
}

impl Given {
    /// Its rows, if there are any.
    pub(super) fn rows(&self) -> Result<&[u8], Refusal> {
        if self.bytes.is_empty() {
            return Err(Refusal::input("Choose a file, or paste its rows."));
        }
        Ok(&self.bytes)
    }

    /// What was pasted, so that it is not lost.
    pub(super) fn pasted(&self) -> String {
        if self.is_pasted { String::from_utf8_lossy(&self.bytes).into_owned() } else { String::new() }
    }
}

/// Takes the file, or else what was pasted.
pub(super) async fn given(mut sent: Multipart) -> Result<Given, Refusal> {
    let mut given = Given::default();
    while let Some(field) = sent.next_field().await.map_err(|fault| broken(&fault))? {
        let is_pasted = field.name() == Some("pasted");
        let name = field.file_name().filter(|name| !name.is_empty()).unwrap_or("pasted rows").to_owned();
        let bytes = field.bytes().await.map_err(|fault| broken(&fault))?;
        if given.bytes.is_empty() && !bytes.iter().all(u8::is_ascii_whitespace) {
            given = Given { name, bytes: bytes.to_vec(), is_pasted };
        }
    }
    Ok(given)
}

fn broken(fault: &MultipartError) -> Refusal {
    match fault.status() {
        StatusCode::PAYLOAD_TOO_LARGE => {
            Refusal::new(StatusCode::PAYLOAD_TOO_LARGE, "The file is larger than 32 MB. Part it, and import the parts.")
        }
        _ => Refusal::input("The file did not arrive whole. Send it again."),
    }
}

/// The columns of a file, and the name of the field that each is read as.
#[derive(Debug)]
pub(super) struct Columns {
    known: FileColumns,
    chosen: Vec<String>,
}

/// A column as the page shows it.
#[derive(Debug)]
pub(super) struct ColumnRow {
    pub at: usize,
    pub heading: String,
    /// What stands in it first.
    pub sample: String,
    chosen: String,
}

impl ColumnRow {
    /// Whether it is read as this field.
    pub(super) fn is(&self, field: &str) -> bool {
        self.chosen == field
    }
}

impl Columns {
    /// As they are chosen on the page in `c0`, `c1` …, or else as the file tells.
    pub(super) fn new(known: FileColumns, sent: &Sent) -> Self {
        let chosen = |(at, column): (usize, &FileColumn)| {
            let told = column.field.map_or("", |field| field.name);
            sent.given(&format!("c{at}")).unwrap_or(told).to_owned()
        };
        let chosen = known.columns.iter().enumerate().map(chosen).collect();
        Self { known, chosen }
    }

    /// What the user says of them.
    pub(super) fn asked(&self) -> Vec<Asked> {
        self.known.asked(&self.chosen.iter().map(String::as_str).collect::<Vec<_>>())
    }

    /// `1,200 rows, parted by semicolons`
    pub(super) fn size(&self) -> String {
        let rows = if self.known.rows == 1 { "1 row".into() } else { format!("{} rows", grouped(self.known.rows)) };
        let parted_by = match self.known.delimiter {
            ';' => "semicolons",
            '\t' => "tabs",
            _ => "commas",
        };
        format!("{rows}, parted by {parted_by}")
    }

    /// Those that have a heading.
    pub(super) fn rows(self) -> Vec<ColumnRow> {
        let row = |(at, (column, chosen)): (usize, (FileColumn, String))| ColumnRow {
            at,
            heading: column.heading,
            sample: short(&column.sample),
            chosen,
        };
        let all = self.known.columns.into_iter().zip(self.chosen).enumerate();
        all.filter(|(_, (column, _))| !column.heading.is_empty()).map(row).collect()
    }
}

fn short(text: &str) -> String {
    let is_short = text.chars().count() <= SHORT;
    if is_short { text.to_owned() } else { text.chars().take(SHORT - 1).chain(['…']).collect() }
}

/// The names of the fields of a kind of file, and what the page calls them: `the asking price` without its article.
pub(super) fn fields(kind: &FileKind) -> Vec<(&'static str, String)> {
    kind.fields.iter().map(|field| (field.name, field.meaning.trim_start_matches("the ").to_owned())).collect()
}

/// How dates are read; `None` is as the file tells.
pub(super) fn dates(sent: &Sent) -> Option<DateOrder> {
    match sent.one("dates") {
        "day-first" => Some(DateOrder::DayFirst),
        "month-first" => Some(DateOrder::MonthFirst),
        _ => None,
    }
}

/// Bad lines: those that are shown, and how many more there are.
#[derive(Debug, Default)]
pub(super) struct BadLines {
    pub rows: Vec<RefusedRow>,
    pub more: usize,
}

impl BadLines {
    /// At most `most` of them are shown.
    pub(super) fn of(refused: &[RefusedRow], most: usize) -> Self {
        let row = |row: &RefusedRow| RefusedRow { reason: desk_words(&row.reason), ..row.clone() };
        Self { rows: refused.iter().take(most).map(row).collect(), more: refused.len().saturating_sub(most) }
    }
}

/// Why a file as a whole can't be read, for a page that shows its name and its bad lines by itself.
pub(super) fn fault_text(fault: &ImportError) -> String {
    let said = |text: String| desk_words(&text.replace("--map: ", ""));
    match fault {
        ImportError::File { source, .. } => said(with_causes(source)),
        ImportError::Columns { source, .. } => said(source.to_string()),
        ImportError::Dates { source, .. } => format!("{} Say above how dates are read.", said(source.to_string())),
        other => said(with_causes(other)),
    }
}

/// The rows of a file that are left out, to be mended.
pub(super) fn rows_left_out(name: &str, bytes: Vec<u8>) -> FileAnswer {
    let name = format!("{}.refused.csv", name.trim_end_matches(".csv"));
    FileAnswer { name, mime: "text/csv; charset=utf-8", keep: true, bytes }
}
