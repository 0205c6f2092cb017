//! What was done lately, and taking it back.
//!
//! Start with [`page`]. A change that others stand on stays, and the page names them.

use std::sync::Arc;

use askama::Template;
use axum::{
    Form, Router,
    extract::{Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
    routing::get,
};
use jiff::civil::Date;
use serde::Deserialize;

use super::{
    answer::{Go, Page, Refusal},
    shell::{Place, Shell, Told, Visitor},
    state::Desk,
    words::sentence,
};
use crate::{
    exchange::parse_date,
    job::{Happened, happened, local_time},
    register::{ChangeId, ChangeSummary, Later, Register, RegisterError, TOLD_OF_PART_USED},
};

/// Rows of a page.
const ROWS: usize = 50;
/// The last page that is looked for.
const LAST_PAGE: usize = 10_000;

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new().route("/changes", get(page)).route("/undo", get(async || Go("/changes".into())).post(undo))
}

/// Which changes are asked for.
#[derive(Debug, Clone, Default, Deserialize)]
pub(super) struct Asked {
    #[serde(default)]
    from: String,
    #[serde(default)]
    to: String,
    /// The newest are on page 0.
    #[serde(default)]
    page: usize,
}

impl Asked {
    fn days(&self) -> Result<(Option<Date>, Option<Date>), Refusal> {
        let day = |text: &str| (!text.trim().is_empty()).then(|| parse_date(text)).transpose();
        Ok((day(&self.from)?, day(&self.to)?))
    }

    fn address(&self, page: usize) -> String {
        let given = |text: &str| text.trim().parse::<Date>().map(|day| day.to_string()).unwrap_or_default();
        format!("/changes?from={}&to={}&page={page}", given(&self.from), given(&self.to))
    }
}

#[derive(Debug, Template)]
#[template(path = "changes.html")]
struct ChangesPage {
    shell: Shell,
    asked: Asked,
    here: String,
    rows: Vec<Row>,
    newer: Option<String>,
    older: Option<String>,
    stays: Option<Stays>,
}

/// Something that happened.
#[derive(Debug)]
struct Row {
    at: String,
    what: String,
    change: Option<ChangeId>,
    is_undone: bool,
    /// Whether it took something back, so that taking it back brings that back.
    undoes: bool,
}

impl From<Happened> for Row {
    fn from(one: Happened) -> Self {
        Self {
            at: local_time(&one.at),
            what: sentence(&page_words(&one.what)),
            change: one.change,
            is_undone: one.undone_by.is_some(),
            undoes: one.undoes.is_some(),
        }
    }
}

/// `Undo 5: …` and `bring back 5: …`, without the number, which nothing here asks for.
fn page_words(what: &str) -> String {
    let rest = |start| what.strip_prefix(start).and_then(|rest: &str| rest.split_once(": ")).map(|(_, rest)| rest);
    let (undone, again) = (rest("undo "), rest("bring back "));
    let told = undone.map(|rest| format!("taken back: {rest}")).or(again.map(|rest| format!("brought back: {rest}")));
    told.unwrap_or_else(|| what.to_owned())
}

/// A change that can't be taken back, and why.
#[derive(Debug)]
struct Stays {
    why: String,
    /// Changes that stand on it.
    later: Vec<(ChangeId, String)>,
    /// Runs that printed a label of what would go.
    runs: Vec<String>,
}

/// The last changes, the newest first.
async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Query(asked): Query<Asked>,
) -> Result<Response, Refusal> {
    show(&desk, &visitor, asked, None).await
}

/// What the program notes for itself is nothing that a user did.
fn is_of_a_user(happened: &Happened) -> bool {
    happened.what != format!("set {TOLD_OF_PART_USED}")
}

async fn show(desk: &Arc<Desk>, visitor: &Visitor, asked: Asked, stays: Option<Stays>) -> Result<Response, Refusal> {
    let (days, number) = (asked.days()?, asked.page.min(LAST_PAGE));
    let wanted = (number + 1) * ROWS;
    let mut all = desk.read(move |register| happened(register, wanted + 1, days.0, days.1)).await?;
    all.reverse();
    let has_older = all.len() > wanted;
    let rows = all.into_iter().take(wanted).skip(number * ROWS).filter(is_of_a_user).map(Row::from).collect();
    let status = if stays.is_some() { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    let page = ChangesPage {
        shell: visitor.shell(desk, "Changes", Place::More),
        here: asked.address(number),
        rows,
        newer: (number > 0).then(|| asked.address(number - 1)),
        older: has_older.then(|| asked.address(number + 1)),
        asked,
        stays,
    };
    Ok((status, Page(page)).into_response())
}

#[derive(Debug, Deserialize)]
pub(super) struct UndoForm {
    change: String,
    /// The page that it comes from.
    #[serde(default)]
    back: String,
}

/// Takes a change back, and leads to the page that this was asked on.
async fn undo(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<UndoForm>,
) -> Result<Response, Refusal> {
    let number: u32 = form.change.trim().parse().map_err(|_| Refusal::input("There is no such change."))?;
    match desk.change(move |register| take_back(register, ChangeId::new(number))).await {
        Ok(Ok(text)) => {
            desk.tell(visitor.device.id, Told::done(text, None));
            Ok(Go(own_page(&form.back).unwrap_or("/changes").to_owned()).into_response())
        }
        Ok(Err(stays)) => show(&desk, &visitor, Asked::default(), Some(stays)).await,
        Err(refusal) if refusal.status == StatusCode::UNPROCESSABLE_ENTITY => {
            let stays = Stays { why: refusal.text, later: Vec::new(), runs: Vec::new() };
            show(&desk, &visitor, Asked::default(), Some(stays)).await
        }
        Err(refusal) => Err(refusal),
    }
}

fn take_back(register: &mut Register, id: ChangeId) -> Result<Result<String, Stays>, RegisterError> {
    match register.undo(&[id]) {
        Ok(undone) => Ok(Ok(undone.iter().map(undone_text).collect::<Vec<_>>().join(" "))),
        Err(RegisterError::StandsOn { change, later }) => Ok(Err(Stays::of(&change, &later))),
        Err(other) => Err(other),
    }
}

fn undone_text(change: &ChangeSummary) -> String {
    let rest = |start| change.what.strip_prefix(start).and_then(|rest: &str| rest.split_once(": "));
    sentence(&match (rest("undo "), rest("bring back ")) {
        (Some((_, what)), _) => format!("brought back: {what}"),
        (_, Some((_, what))) => format!("taken back: {what}"),
        _ => format!("taken back: {}", change.what),
    })
}

impl Stays {
    fn of(change: &ChangeSummary, later: &[Later]) -> Self {
        let changes = later.iter().filter_map(|later| match later {
            Later::Change(change) => {
                Some((change.id, sentence(&format!("{}: {}", local_time(&change.at), page_words(&change.what)))))
            }
            Later::Run(_) => None,
        });
        let runs = later.iter().filter_map(|later| match later {
            Later::Run(run) => Some(run.to_string()),
            Later::Change(_) => None,
        });
        let why =
            format!("“{}” stays, since other things stand on it. Take these back first:", page_words(&change.what));
        Self { why, later: changes.collect(), runs: runs.collect() }
    }
}

/// The address, if it is a page of the desk: a path, and no way to another site.
pub(super) fn own_page(address: &str) -> Option<&str> {
    let is_path = address.starts_with('/') && !address.starts_with("//") && !address.contains('\\');
    (is_path && address.bytes().all(|byte| byte.is_ascii_graphic())).then_some(address)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_back_stays_on_the_desk() {
        for own in ["/", "/i/4A-001F", "/changes?from=2026-11-21&page=1", "/i/%2312"] {
            assert_eq!(own_page(own), Some(own));
        }
        for other in
            ["", "//evil.example/", "/\\evil.example", "https://evil.example/", "i/4A", "/a\r\nSet-Cookie: x", "/ä"]
        {
            assert_eq!(own_page(other), None, "{other}");
        }
    }
}
