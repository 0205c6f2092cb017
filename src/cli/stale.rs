//! `stowmark stale`

use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    sold::today,
    table::{count, short, table},
    width::{text_width, wrapped},
};
use crate::{
    exchange::stale_json::{MovedJson, PlaceJson, StaleJson, WrongJson},
    job::{LabelAbout, RetagCost, StaleAnswer, StaleLabel, StaleScope, bin_by_text, cost_text, listed, stale},
    register::{RunKind, SpotInArea},
};

#[derive(Debug, clap::Args)]
#[command(after_help = "What each label said when it was printed is held against what it would say now. Only the last
label of each kind counts, and only of what is still there. They come in the order in which you walk
past the bins, with the commands that print them again, each as it looked and on the sheet that it
was on.

Where no bin stands any more, the strip is to be taken off. Nobody tells the register of that, so it
is a remark and nothing wrong.

A tag that shows another bin than its item is in is not wrong: it goes on resolving. What it would
cost to give such items codes of their present bins with `stowmark retag` is told as well.

Example:
  stowmark stale
  stowmark stale --area 4
  stowmark stale --bin 4A --json")]
pub(super) struct StaleArgs {
    /// Only labels of this bin and of what is in it
    #[arg(long, value_name = "CODE")]
    bin: Option<String>,
    /// Only labels of this area and of what is in it
    #[arg(long, value_name = "NUMBER", conflicts_with = "bin")]
    area: Option<String>,
}

pub(super) fn run(args: &StaleArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register()?;
    let scope = match (&args.bin, &args.area) {
        (Some(bin), _) => StaleScope::Bin(bin_by_text(register, bin)?.code),
        (_, Some(area)) => StaleScope::Area(area.parse()?),
        _ => StaleScope::All,
    };
    let answer = stale(register, scope, today())?;
    let wrong = wrong(&answer, scope);
    let retag = (answer.moved.items > 0).then(|| format!("stowmark retag {}", scope_words(scope, "--all")));
    let json = json!({
        "stale": answer.labels.iter().map(stale_json).collect::<Vec<_>>(),
        "print": wrong,
        "moved": MovedJson {
            items: answer.moved.items,
            tags: answer.moved.tags,
            listings: answer.moved.listings,
            command: retag.clone(),
        },
        "bare": answer.bare.iter().map(PlaceJson::from).collect::<Vec<_>>(),
    });
    session.answer(&json, || text(&answer, &wrong, retag.as_deref()))?;
    // Whether a strip of a bare spot hangs there still nobody can say to the register: that it does not is nothing wrong.
    let is_nothing = answer.labels.is_empty() && answer.moved.items == 0;
    Ok(if is_nothing { Outcome::NothingFound } else { Outcome::Done })
}

/// The kinds that have wrong labels, and the commands for just these.
fn wrong(answer: &StaleAnswer, scope: StaleScope) -> Vec<WrongJson> {
    let of = |kind: RunKind| WrongJson {
        kind,
        labels: answer.labels.iter().filter(|label| label.kind == kind).count(),
        command: command(kind, scope),
    };
    RunKind::ALL.into_iter().map(of).filter(|wrong| wrong.labels > 0).collect()
}

fn command(kind: RunKind, scope: StaleScope) -> String {
    let (words, plain) = match kind {
        RunKind::Tags => ("tag --stale", false),
        RunKind::Signs => ("sign --stale", false),
        RunKind::Lids => ("sign --lid --stale", false),
        RunKind::Contents => ("contents --stale", false),
        RunKind::Strips => ("strip --stale", true),
        RunKind::Areas => ("area sign --stale", true),
    };
    let within = match scope {
        StaleScope::Area(area) if plain => area.to_string(),
        StaleScope::Bin(bin) if kind != RunKind::Tags => bin.to_string(),
        scope => scope_words(scope, ""),
    };
    format!("stowmark {words} {within}").trim_end().to_owned()
}

fn scope_words(scope: StaleScope, all: &str) -> String {
    match scope {
        StaleScope::All => all.to_owned(),
        StaleScope::Bin(bin) => format!("--bin {bin}"),
        StaleScope::Area(area) => format!("--area {area}"),
    }
}

fn stale_json(label: &StaleLabel) -> StaleJson {
    let LabelAbout { code, title, bin, place, .. } = label.job.about();
    let place = place.as_ref().map(PlaceJson::from).unwrap_or_default();
    let reasons = label.reasons.iter().map(ToString::to_string).collect();
    StaleJson { kind: label.kind, code, title, bin, place, shows: label.shows.clone(), run: label.run, reasons }
}

fn text(answer: &StaleAnswer, wrong: &[WrongJson], retag: Option<&str>) -> String {
    let mut parts = Vec::new();
    if answer.labels.is_empty() {
        parts.push("no printed label is wrong".to_owned());
    } else {
        parts.push(table(&["label", "code", "title", "where", "why"], answer.labels.iter().map(row)));
        parts.push(commands(wrong));
    }
    if !answer.bare.is_empty() {
        parts.push(bare_text(&answer.bare));
    }
    if let Some(retag) = retag {
        parts.push(moved_text(&answer.moved, retag));
    }
    parts.join("\n\n")
}

fn row(label: &StaleLabel) -> Vec<String> {
    let LabelAbout { code, title, whereabouts, .. } = label.job.about();
    let reasons = label.why();
    let title = short(&title.unwrap_or_default());
    vec![label.kind.noun().to_owned(), code.unwrap_or_default(), title, whereabouts, reasons]
}

/// `3 tags and 1 sign are wrong; print them again with` and the commands.
fn commands(wrong: &[WrongJson]) -> String {
    let counts: Vec<String> = wrong.iter().map(|wrong| count(wrong.labels as u64, wrong.kind.noun())).collect();
    let labels: usize = wrong.iter().map(|wrong| wrong.labels).sum();
    let (is, them) = if labels == 1 { ("is", "it") } else { ("are", "them") };
    let lines: String = wrong.iter().map(|wrong| format!("\n  {}", wrong.command)).collect();
    format!("{} {is} wrong; this prints {them} again:{lines}", listed(&counts))
}

/// A remark: nobody tells the register that a strip was taken off.
pub(super) fn bare_text(bare: &[SpotInArea]) -> String {
    let spots: Vec<String> = bare.iter().map(|known| format!("{}, {}", known.area_name, known.spot.name)).collect();
    let (strip, spot, hangs, it) = match bare.len() {
        1 => ("its strip", "this spot", "hangs", "it"),
        _ => ("their strips", "these spots", "hang", "them"),
    };
    let text = format!(
        "no bin stands at {spot} any more; if {strip} still {hangs} there, take {it} off: {}",
        spots.join("; ")
    );
    wrapped(&text, text_width())
}

/// The choice between old codes that go on resolving and new ones that have to be shown.
fn moved_text(cost: &RetagCost, retag: &str) -> String {
    let (items, are, their) = match cost.items {
        1 => ("1 item".to_owned(), "is in another bin than its code says. Its tag goes", "A code of its present bin"),
        items => (
            format!("{items} items"),
            "are in other bins than their codes say. Their tags go",
            "Codes of their present bins",
        ),
    };
    let cost = cost_text(cost);
    let text =
        format!("{items} {are} on resolving, so that nothing needs printing. {their} would mean {cost} to renew:");
    format!("{}\n  {retag}", wrapped(&text, text_width()))
}

/// What `put` says where a new code would cost something.
pub(super) fn choice_text(cost: &RetagCost, retag: &str) -> String {
    let tags = if cost.tags == 1 { "its tag goes" } else { "their tags go" };
    format!("{tags} on resolving, and nothing needs printing; `{retag}` would renew {}", cost_text(cost))
}
