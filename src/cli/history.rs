//! `stowmark history`

use serde_json::{Value, json};

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
    values::date,
};
use crate::{
    job::{Happened, HistoryLine, HistoryOf, found_by_text, happened, history, local_time},
    register::Found,
};

#[derive(Debug, clap::Args)]
#[command(after_help = "Without a code: the last changes with their numbers, which `undo --change` takes, and what was
printed. With the code of an item or a bin: all that happened to it. Times are those of this
computer's zone; with --json they are in UTC.

Example:
  stowmark history
  stowmark history 4A-001F
  stowmark history 4A --last 10
  stowmark history --from 2026-11-21 --to 2026-11-24")]
pub(super) struct HistoryArgs {
    /// The code of an item or a bin, or the number of an item that waits
    code: Option<String>,
    /// At most so many, the last ones; else 20, and all of an item or a bin
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    last: Option<u32>,
    /// Not before this day
    #[arg(long, value_name = "DATE")]
    from: Option<String>,
    /// Not after this day
    #[arg(long, value_name = "DATE")]
    to: Option<String>,
}

/// So many changes without a word of how many.
const USUAL: u32 = 20;

pub(super) fn run(args: &HistoryArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let days = (date("--from", args.from.as_deref())?, date("--to", args.to.as_deref())?);
    let last = args.last.map(|last| last as usize);
    let is_empty = if let Some(code) = &args.code {
        let currency = session.settings()?.currency;
        let register = session.register()?;
        let found = found_by_text(register, code)?;
        let answer = history(register, &found, &currency, last, days)?;
        session.answer(&history_json(&answer), || history_text(&answer))?;
        answer.lines.is_empty()
    } else {
        let usual = if days == (None, None) { USUAL as usize } else { usize::MAX };
        let changes = happened(session.register()?, last.unwrap_or(usual), days.0, days.1)?;
        let json = json!({ "changes": changes.iter().map(happened_json).collect::<Vec<_>>() });
        session.answer(&json, || changes_text(&changes))?;
        changes.is_empty()
    };
    Ok(if is_empty { Outcome::NothingFound } else { Outcome::Done })
}

fn happened_json(happened: &Happened) -> Value {
    json!({
        "change": happened.change, "at": happened.at, "what": happened.what, "undone_by": happened.undone_by,
    })
}

fn line_json(line: &HistoryLine) -> Value {
    json!({ "at": line.at, "change": line.change, "action": line.action, "text": line.text })
}

fn history_json(answer: &HistoryOf) -> Value {
    let lines: Vec<Value> = answer.lines.iter().map(line_json).collect();
    json!({ "code": name(&answer.of), "history": lines })
}

fn name(found: &Found) -> String {
    match found {
        Found::Item(item) => item.name(),
        Found::Bin(bin) => bin.code.to_string(),
    }
}

fn changes_text(changes: &[Happened]) -> String {
    if changes.is_empty() {
        return "nothing happened yet".into();
    }
    let number =
        |change: Option<_>| change.map_or(String::new(), |change: crate::register::ChangeId| change.to_string());
    let row = |happened: &Happened| {
        let undone = happened.undone_by.map(|by| format!(" (taken back by {by})")).unwrap_or_default();
        vec![number(happened.change), local_time(&happened.at), format!("{}{undone}", happened.what)]
    };
    table(&["change#", "when", "what"], changes.iter().map(row))
}

fn history_text(answer: &HistoryOf) -> String {
    let title = match &answer.of {
        Found::Item(item) => format!("{}  {}", item.name(), item.title),
        Found::Bin(bin) => format!("bin {}", bin.code),
    };
    if answer.lines.is_empty() {
        return format!("{title}\nnothing is known of that time");
    }
    let row = |line: &HistoryLine| {
        let change = line.change.map(|change| change.to_string()).unwrap_or_default();
        vec![local_time(&line.at), change, line.text.clone()]
    };
    format!("{title}\n{}", table(&["when", "change#", "what"], answer.lines.iter().map(row)))
}
