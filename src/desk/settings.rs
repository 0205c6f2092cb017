//! Settings: paper and money, sizes, kinds of bins, backups, whether the register is sound, fonts.
//!
//! Start with [`routes`]. Each of them is a page under one row of tabs.

mod backups;
mod check;
mod fonts;
mod kinds;
mod sizes;

pub(super) use check::LastCheck;

use std::sync::Arc;

use askama::Template;
use axum::{
    Form, Router,
    extract::{DefaultBodyLimit, State},
    response::{IntoResponse, Response},
    routing::{get, post},
};
use serde::Deserialize;

use super::{
    answer::{Go, Page, Refusal},
    bins::{fingerprint, require_seen},
    shell::{Place, Shell, Told, Visitor},
    state::Desk,
};
use crate::{
    job::{Settings, Sheets, set_all},
    register::Register,
    sheet::{Paper, Sheet, SheetKind},
};

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/settings", get(page).post(save))
        .route("/settings/sizes", get(sizes::page).post(sizes::save))
        .route("/settings/sizes/remove", post(sizes::remove))
        .route("/settings/kinds", get(kinds::page).post(kinds::add))
        .route("/settings/kinds/edit", post(kinds::edit))
        .route("/settings/kinds/remove", post(kinds::remove))
        .route("/settings/backups", get(backups::page).post(backups::make))
        .route("/settings/check", get(check::page).post(check::start))
        .route("/settings/fonts", get(fonts::page))
        .route("/settings/fonts", post(fonts::add).layer(DefaultBodyLimit::max(fonts::LARGEST + fonts::AROUND)))
        .route("/settings/fonts/remove", post(fonts::remove))
}

#[derive(Debug, Template)]
#[template(path = "settings.html")]
struct SettingsPage {
    shell: Shell,
    tab: &'static str,
    typed: Typed,
    sheets: Vec<(String, String)>,
    refused: Option<String>,
}

/// What is sent, by the names of the settings.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
struct Typed {
    seen: String,
    paper: String,
    sheet: String,
    dpi: String,
    currency: String,
    backups: String,
}

/// What the register has for it: nothing set is an empty text.
fn present(settings: &Settings) -> Typed {
    let [paper, sheet, dpi, currency, backups] = settings.values().map(Option::unwrap_or_default);
    Typed { seen: fingerprint(&settings.values()), paper, sheet, dpi, currency, backups }
}

/// `a4-3x7, 21 labels of 63.5 x 38.1 mm`
fn sheet_text(sheet: &Sheet) -> String {
    let own = if sheet.kind == SheetKind::Own { ", your own" } else { "" };
    match sheet.paper {
        Paper::Roll => format!("{}, roll of {}{own}", sheet.name, sheet.label()),
        _ => format!("{}, {} of {}{own}", sheet.name, crate::job::count(sheet.slots().into(), "label"), sheet.label()),
    }
}

type Known = (Typed, Vec<(String, String)>);

fn known(register: &Register) -> Result<Known, Refusal> {
    let settings = Settings::of(register)?;
    let mut sheets: Vec<(String, String)> =
        Sheets::of(register)?.all().map(|sheet| (sheet.name.clone(), sheet_text(sheet))).collect();
    if let Some(sheet) = settings.sheet.as_ref().filter(|sheet| sheets.iter().all(|(name, _)| *name != sheet.name)) {
        sheets.insert(0, (sheet.name.clone(), sheet_text(sheet)));
    }
    Ok((present(&settings), sheets))
}

async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    let (typed, sheets) = desk.read(known).await?;
    Ok(Page(SettingsPage { shell: shell(&desk, &visitor), tab: "general", typed, sheets, refused: None }))
}

fn shell(desk: &Desk, visitor: &Visitor) -> Shell {
    visitor.shell(desk, "Settings", Place::More)
}

/// Saves what differs from what is set, all of it or none.
async fn save(State(desk): State<Arc<Desk>>, visitor: Visitor, Form(typed): Form<Typed>) -> Result<Response, Refusal> {
    let wanted = typed.clone();
    let saved = desk.change_noting(move |register| save_all(register, &wanted)).await;
    match saved {
        Ok((lost, change)) => {
            let text = match (change, lost) {
                (None, _) => "All of this is set so already.".to_owned(),
                (_, Some(sheet)) => {
                    format!("Saved. The sheet {sheet} is for other paper, so the usual sheets hold again.")
                }
                _ => "Saved.".to_owned(),
            };
            desk.tell(visitor.device.id, Told::done(text, change));
            Ok(Go("/settings".into()).into_response())
        }
        Err(refusal) => {
            let (now, sheets) = desk.read(known).await?;
            let (refused, typed) = (Some(refusal.text), Typed { seen: now.seen, ..typed });
            let page = SettingsPage { shell: shell(&desk, &visitor), tab: "general", typed, sheets, refused };
            Ok((refusal.status, Page(page)).into_response())
        }
    }
}

/// Gives the sheet that went with another paper, if one did.
fn save_all(register: &mut Register, typed: &Typed) -> Result<Option<String>, Refusal> {
    let now = present(&Settings::of(register)?);
    require_seen(&typed.seen, &now.seen)?;
    let [sheet, currency] = [&typed.sheet, &typed.currency].map(|text| match text.trim() {
        "" => "none".to_owned(),
        text => text.to_owned(),
    });
    let wanted = [
        ("paper", typed.paper.trim(), now.paper == typed.paper.trim()),
        ("sheet", sheet.as_str(), now.sheet == typed.sheet.trim()),
        ("dpi", typed.dpi.trim(), now.dpi == typed.dpi.trim()),
        ("currency", currency.as_str(), now.currency == typed.currency.trim()),
        ("backups", typed.backups.trim(), now.backups == typed.backups.trim()),
    ];
    let changed: Vec<(&str, &str)> =
        wanted.iter().filter(|(_, _, is_same)| !is_same).map(|(name, value, _)| (*name, *value)).collect();
    let after = set_all(register, &changed)?;
    Ok(after.sheet.is_none().then_some(now.sheet).filter(|sheet| !sheet.is_empty() && *sheet == typed.sheet))
}
