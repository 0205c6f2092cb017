//! Files for a spreadsheet or another program.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Path, State};

use super::super::{
    answer::{FileAnswer, Page, Refusal},
    shell::{Place, Shell, Visitor},
    state::Desk,
};
use crate::{
    job::{ExportOptions, Exported, Stream, export_to},
    register::ItemFilter,
};

/// A file that is offered.
struct Offer {
    name: &'static str,
    title: &'static str,
    about: &'static str,
    exported: fn() -> Exported,
}

static OFFERS: [Offer; 6] = [
    Offer {
        name: "items.csv",
        title: "Items",
        about: "all that was entered, with headings that an import knows",
        exported: || Exported::Items(ItemFilter::default()),
    },
    Offer {
        name: "bins.csv",
        title: "Bins",
        about: "where they stand, and what they hold",
        exported: || Exported::Bins,
    },
    Offer {
        name: "sales.csv",
        title: "Sales",
        about: "price, fees, postage, refunds, cost and profit of each",
        exported: || Exported::Sales,
    },
    Offer {
        name: "moves.csv",
        title: "Moves",
        about: "what came into a bin or left one, as it happened",
        exported: || Exported::Moves,
    },
    Offer {
        name: "listing-codes.csv",
        title: "Codes for listings",
        about: "titles and codes of what is for sale",
        exported: || Exported::ListingCodes { unlisted: false },
    },
    Offer {
        name: "code-changes.csv",
        title: "Changed codes",
        about: "old and new codes of what is listed under an old one",
        exported: || Exported::CodeChanges,
    },
];

#[derive(Template)]
#[template(path = "takings_files.html")]
struct FilesPage {
    shell: Shell,
    tab: &'static str,
    offers: &'static [Offer],
}

pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Page<impl Template> {
    Page(FilesPage { shell: visitor.shell(&desk, "Files", Place::Takings), tab: "files", offers: &OFFERS })
}

/// One of them, as CSV with a byte order mark, so that spreadsheets show accents.
pub(super) async fn file(State(desk): State<Arc<Desk>>, Path(name): Path<String>) -> Result<FileAnswer, Refusal> {
    let offer = OFFERS.iter().find(|offer| offer.name == name);
    let offer = offer.ok_or_else(|| Refusal::nothing("There is no such file. Files has those that there are."))?;
    let bytes = desk
        .read(|register| {
            let (mut bytes, options) = (Vec::new(), ExportOptions { mark: true, ..ExportOptions::default() });
            export_to(register, &(offer.exported)(), &options, Stream::Csv, &mut bytes).map(|_| bytes)
        })
        .await?;
    Ok(FileAnswer { name, mime: "text/csv; charset=utf-8", keep: true, bytes })
}
