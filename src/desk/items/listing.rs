//! Codes for listings: what is not listed yet, to be copied, and listings that show a code from before.

use std::sync::Arc;

use askama::Template;
use axum::extract::State;

use super::{
    super::{
        answer::{FileAnswer, Page, Refusal},
        shell::{Place, Shell, Visitor},
        state::Desk,
        words::grouped,
    },
    list::key,
};
use crate::{
    job::{ExportOptions, Exported, Settings, Stream, export_to, recoded, unlisted},
    register::{Item, Register, RegisterError},
};

/// Items that are shown at once; the next ones come when these are listed.
const MOST: usize = 100;

#[derive(Debug, Template)]
#[template(path = "items_listing.html")]
struct ListingPage {
    shell: Shell,
    unlisted: Vec<Row>,
    total: usize,
    /// Titles and codes, to be copied.
    lines: String,
    recoded: Vec<Row>,
}

#[derive(Debug)]
struct Row {
    key: String,
    name: String,
    title: String,
    bin: String,
    asking: String,
    /// The code that its listing shows.
    shows: String,
}

/// The page.
pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    let shell = visitor.shell(&desk, "Codes for listings", Place::Items);
    let page = desk.read(move |register| ListingPage::new(register, shell)).await?;
    Ok(Page(page))
}

/// All that is not listed, as a file.
pub(super) async fn file(State(desk): State<Arc<Desk>>) -> Result<FileAnswer, Refusal> {
    let bytes = desk
        .read(|register| {
            let options = ExportOptions { mark: true, ..ExportOptions::default() };
            let mut bytes = Vec::new();
            export_to(register, &Exported::ListingCodes { unlisted: true }, &options, Stream::Csv, &mut bytes)
                .map(|_| bytes)
        })
        .await?;
    Ok(FileAnswer { name: "listing codes.csv".into(), mime: "text/csv; charset=utf-8", keep: true, bytes })
}

impl ListingPage {
    /// How many are not listed.
    fn all(&self) -> String {
        grouped(self.total)
    }

    fn new(register: &Register, shell: Shell) -> Result<Self, RegisterError> {
        let currency = Settings::of(register)?.currency;
        let row = |item: &Item| {
            Ok(Row {
                key: key(item, register.version(item.id())?),
                name: item.name(),
                title: item.title.clone(),
                bin: item.bin().map(|bin| bin.to_string()).unwrap_or_default(),
                asking: item.asking.map(|asking| currency.format(asking)).unwrap_or_default(),
                shows: item.listing_code.map(|code| code.to_string()).unwrap_or_default(),
            })
        };
        let (items, total) = unlisted(register, MOST)?;
        let lines: String = items.iter().map(|item| format!("{}\t{}\n", item.title, item.name())).collect();
        let unlisted = items.iter().map(row).collect::<Result<_, RegisterError>>()?;
        let recoded = recoded(register)?.iter().take(MOST).map(row).collect::<Result<_, RegisterError>>()?;
        Ok(Self { shell, unlisted, total, lines, recoded })
    }
}
