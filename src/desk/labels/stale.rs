//! Labels that hang in the world and are wrong now, and codes that name another bin.

use std::sync::Arc;

use askama::Template;
use axum::extract::State;
use jiff::ZonedDateTime;

use super::{
    super::{
        answer::{Go, Page, Refusal},
        shell::{Place, Shell, Told, Visitor},
        state::Desk,
    },
    offered::nouns,
};
use crate::{
    job::{RetagChoice, RetagOutcome, StaleAnswer, StaleLabel, StaleScope, cost_text, count, retag, stale},
    register::{Register, RunKind},
};

#[derive(Debug, Template)]
#[template(path = "labels_stale.html")]
struct StalePage {
    shell: Shell,
    labels: Vec<WrongLine>,
    /// What to press: how many of a kind, and the kind's word.
    prints: Vec<(String, &'static str)>,
    bare: Vec<String>,
    moved: Option<String>,
}

/// A wrong label.
#[derive(Debug)]
struct WrongLine {
    noun: &'static str,
    code: String,
    /// The page of what it is about.
    to: String,
    title: String,
    whereabouts: String,
    why: String,
}

/// What is wrong in the world.
pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    let answer = desk.read(|register| stale(register, StaleScope::All, ZonedDateTime::now().date())).await?;
    let shell = visitor.shell(&desk, "Wrong labels", Place::Labels);
    Ok(Page(StalePage {
        labels: answer.labels.iter().map(wrong_line).collect(),
        prints: prints(&answer),
        bare: answer.bare.iter().map(|known| format!("{}, {}", known.area_name, known.spot.name)).collect(),
        moved: (answer.moved.items > 0).then(|| moved_text(&answer)),
        shell,
    }))
}

fn wrong_line(label: &StaleLabel) -> WrongLine {
    let about = label.job.about();
    let code = about.code.unwrap_or_default();
    let page = if label.kind == RunKind::Tags { "/i/" } else { "/b/" };
    WrongLine {
        noun: label.kind.noun(),
        to: if code.is_empty() { String::new() } else { format!("{page}{code}") },
        code,
        title: about.title.unwrap_or_default(),
        whereabouts: about.whereabouts,
        why: label.why(),
    }
}

fn prints(answer: &StaleAnswer) -> Vec<(String, &'static str)> {
    let of = |kind: RunKind| answer.labels.iter().filter(|label| label.kind == kind).count();
    let found = RunKind::ALL.into_iter().map(|kind| (kind, of(kind))).filter(|(_, labels)| *labels > 0);
    let text = |kind: RunKind, labels| {
        if labels == 1 { format!("1 {}", kind.noun()) } else { format!("{labels} {}", nouns(kind)) }
    };
    found.map(|(kind, labels)| (text(kind, labels), kind.word())).collect()
}

fn moved_text(answer: &StaleAnswer) -> String {
    let cost = answer.moved;
    let (items, are, them) = match cost.items {
        1 => ("1 item".to_owned(), "is in another bin than its code says. Its tag goes", "A code of its present bin"),
        items => (
            format!("{items} items"),
            "are in other bins than their codes say. Their tags go",
            "Codes of their present bins",
        ),
    };
    format!(
        "{items} {are} on leading to the right bin, so nothing needs printing. {them} would mean {} to renew.",
        cost_text(&cost)
    )
}

#[derive(Debug, Template)]
#[template(path = "labels_retag.html")]
struct RetagPage {
    shell: Shell,
    lines: Vec<RetagLine>,
    cost: String,
    button: String,
    sold: Option<String>,
}

#[derive(Debug)]
struct RetagLine {
    was: String,
    code: String,
    title: String,
    bin: String,
}

/// What new codes would be given, and what that costs.
pub(super) async fn retag_page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
) -> Result<Page<impl Template>, Refusal> {
    // It is tried and left, which takes the writer.
    let outcome = desk.change(|register: &mut Register| retag(register, &RetagChoice::All, true)).await?;
    let shell = visitor.shell(&desk, "New codes", Place::Labels);
    let items = count(outcome.retagged.len() as u64, "item");
    Ok(Page(RetagPage {
        lines: lines(&outcome),
        cost: cost_text(&outcome.cost),
        button: format!("Give {items} new codes"),
        sold: (outcome.sold > 0).then(|| sold_text(outcome.sold)),
        shell,
    }))
}

fn sold_text(sold: usize) -> String {
    let (are, keep) = if sold == 1 { ("is", "keeps its code") } else { ("are", "keep their codes") };
    format!("{} that moved {are} sold and {keep}.", count(sold as u64, "item"))
}

fn lines(outcome: &RetagOutcome) -> Vec<RetagLine> {
    let line = |one: &crate::register::Retagged| RetagLine {
        was: one.was.to_string(),
        code: one.item.name(),
        title: one.item.title.clone(),
        bin: one.item.bin().map(|bin| bin.to_string()).unwrap_or_default(),
    };
    outcome.retagged.iter().map(line).collect()
}

/// Gives all items that moved codes of their present bins.
pub(super) async fn retag_all(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Go, Refusal> {
    let outcome = desk.change(|register: &mut Register| retag(register, &RetagChoice::All, false)).await?;
    let items = count(outcome.retagged.len() as u64, "item");
    let told = match outcome.retagged.len() {
        0 => "All codes name the right bins already.".to_owned(),
        _ => {
            format!("{items} with a new code. To renew: {}. Old codes go on leading to them.", cost_text(&outcome.cost))
        }
    };
    desk.tell(visitor.device.id, Told::done(told, outcome.change));
    Ok(Go("/labels/stale".into()))
}
