//! `stowmark check`

use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::count,
};
use crate::register::{Checked, Problem};

#[derive(Debug, clap::Args)]
#[command(after_help = "Looks at the file, at what belongs together, at every code, and whether the journal of all
changes adds up to what is there. Nothing is changed. A register of a million items takes about
a minute. What is really in a bin only a count can tell.

Exit code 0 when all is well, 1 when something was found.

Example:
  stowmark check")]
pub(super) struct CheckArgs {}

pub(super) fn run(_: &CheckArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let checked = session.register()?.check()?;
    for skipped in &checked.skipped {
        session.note(&format!("not looked at: {skipped}"))?;
    }
    let mut json = json!({ "ok": checked.problems.is_empty(), "problems": checked.problems });
    if !checked.skipped.is_empty() {
        json["skipped"] = json!(checked.skipped);
    }
    session.answer(&json, || text(&checked))?;
    Ok(if checked.problems.is_empty() { Outcome::Done } else { Outcome::Unsound })
}

fn text(checked: &Checked) -> String {
    if checked.problems.is_empty() {
        return "the register is sound".into();
    }
    let line = |problem: &Problem| {
        let at = if problem.at.is_empty() { String::new() } else { format!("{}: ", problem.at) };
        format!("{at}{} [{}]\n  try: {}", problem.what, problem.kind, problem.advice)
    };
    let lines: Vec<String> = checked.problems.iter().map(line).collect();
    let found = count(checked.problems.len() as u64, "problem");
    format!("{}\n{found} found", lines.join("\n"))
}
