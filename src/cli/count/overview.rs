//! `stowmark count due` and `count accuracy`

use serde_json::json;

use super::super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    session::Session,
    table::{place_text, table},
};
use crate::{
    exchange::{
        count_json::{AccuracyJson, AccuracyOfJson, DueJson},
        json::BinJson,
    },
    job::{Accuracies, DueBin, accuracies, counts_due},
    plan::Accuracy,
};

const HEADINGS: [&str; 6] = ["bin", "items#", "where", "last count", "days ago#", "accuracy#"];

fn row(due: &DueBin) -> Vec<String> {
    vec![
        due.bin.code.to_string(),
        due.bin.items.to_string(),
        place_text(&due.bin.place),
        due.last.map_or("never".into(), |day| day.to_string()),
        due.days.map(|days| days.to_string()).unwrap_or_default(),
        due.accuracy.percent().unwrap_or_default(),
    ]
}

pub(super) fn due(limit: Option<u32>, arrange: &Arrange, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let mut bins = arrange.apply(&HEADINGS, counts_due(session.register()?)?, row)?;
    bins.truncate(limit.map_or(usize::MAX, |limit| limit as usize));
    let json = |due: &DueBin| DueJson {
        bin: BinJson::from(&due.bin),
        last_count: due.last.map(|day| day.to_string()),
        days: due.days,
        accuracy: accuracy_json(due.accuracy),
    };
    session.answer(&json!({ "due": bins.iter().map(json).collect::<Vec<_>>() }), || {
        if bins.is_empty() { "no bins".into() } else { table(&HEADINGS, bins.iter().map(row)) }
    })?;
    Ok(if bins.is_empty() { Outcome::NothingFound } else { Outcome::Done })
}

pub(super) fn accuracy(session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let found = accuracies(session.register()?)?;
    session.answer(&accuracies_json(&found), || accuracies_text(&found))?;
    Ok(if found.total.counts == 0 { Outcome::NothingFound } else { Outcome::Done })
}

fn accuracies_json(found: &Accuracies) -> serde_json::Value {
    let of = |bin: Option<String>, month: Option<String>, accuracy: &Accuracy| AccuracyOfJson {
        bin,
        month,
        counts: accuracy.counts,
        accuracy: accuracy_json(*accuracy),
    };
    let bins: Vec<_> = found.bins.iter().map(|(bin, accuracy)| of(Some(bin.to_string()), None, accuracy)).collect();
    let month = |day: &jiff::civil::Date| day.strftime("%Y-%m").to_string();
    let months: Vec<_> = found.months.iter().map(|(day, accuracy)| of(None, Some(month(day)), accuracy)).collect();
    json!({ "bins": bins, "months": months, "total": of(None, None, &found.total) })
}

fn accuracies_text(found: &Accuracies) -> String {
    if found.total.counts == 0 {
        return "no bin was counted yet; `stowmark count due` lists them".into();
    }
    let row = |name: String, accuracy: &Accuracy| {
        let percent = accuracy.percent().unwrap_or_default();
        vec![name, accuracy.counts.to_string(), accuracy.counted.to_string(), accuracy.correct.to_string(), percent]
    };
    let headings = |first| [first, "counts#", "records#", "right#", "accuracy#"];
    let months = found.months.iter().map(|(day, accuracy)| row(day.strftime("%Y-%m").to_string(), accuracy));
    let months = months.chain([row("all".into(), &found.total)]);
    let bins = found.bins.iter().map(|(bin, accuracy)| row(bin.to_string(), accuracy));
    format!("{}\n\n{}", table(&headings("bin"), bins), table(&headings("month"), months))
}

pub(super) fn accuracy_json(accuracy: Accuracy) -> AccuracyJson {
    AccuracyJson { correct: accuracy.correct, counted: accuracy.counted, ratio: accuracy.ratio() }
}
