//! Whether the register is sound, in plain words.

use std::sync::Arc;

use askama::Template;
use axum::extract::State;
use jiff::ZonedDateTime;

use super::shell;
use crate::{
    desk::{
        answer::{Go, Page, Refusal},
        shell::{Place, Shell, Visitor},
        state::Desk,
    },
    job::count,
    register::{Access, Checked, Problem, Register},
};

/// What the last check of an open desk has found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::desk) struct LastCheck {
    /// `2026-11-25 18:04`
    at: String,
    problems: Vec<ProblemView>,
    skipped: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct ProblemView {
    at: String,
    what: String,
    advice: String,
}

impl From<&Problem> for ProblemView {
    fn from(problem: &Problem) -> Self {
        // What the command line names as commands is done on pages here.
        let advice = match problem.advice {
            advice if advice.contains("item edit") => "Correct it on the item’s page.".to_owned(),
            advice if advice.contains("restore") => {
                "Put a backup back before you enter anything else; the backups page says how.".to_owned()
            }
            advice => Refusal::words(advice),
        };
        Self { at: problem.at.clone(), what: problem.what.clone(), advice }
    }
}

impl From<Checked> for LastCheck {
    fn from(checked: Checked) -> Self {
        Self {
            at: ZonedDateTime::now().strftime("%Y-%m-%d %H:%M").to_string(),
            problems: checked.problems.iter().map(ProblemView::from).collect(),
            skipped: checked.skipped,
        }
    }
}

impl LastCheck {
    fn found(&self) -> String {
        count(self.problems.len() as u64, "problem")
    }
}

#[derive(Debug, Template)]
#[template(path = "settings_check.html")]
struct CheckPage {
    shell: Shell,
    tab: &'static str,
    last: Option<LastCheck>,
}

pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Page<impl Template> {
    Page(CheckPage { shell: shell(&desk, &visitor), tab: "check", last: desk.last_check().clone() })
}

/// Looks for anything that is not as it should be. A large register takes a minute.
pub(super) async fn start(State(desk): State<Arc<Desk>>) -> Go {
    let (path, own) = (desk.path().to_owned(), Arc::clone(&desk));
    desk.works.start("Checking the register", Place::More, "/settings/check", move |work| {
        let checked = Register::open(&path, Access::Existing)?.check()?;
        if !work.is_cancelled() {
            *own.last_check() = Some(checked.into());
        }
        Ok("/settings/check".into())
    })
}
