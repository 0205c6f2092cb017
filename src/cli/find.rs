//! `stowmark find`

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::{found_line, shown},
};
use crate::{
    code::Origin,
    exchange::json::{FindJson, FoundJson},
    job::{FindAnswer, find},
    register::Found,
    unit::Currency,
};

#[derive(Debug, clap::Args)]
#[command(after_help = "A code may be typed without hyphen, check letter or capitals. Words find the titles that have
all of them, each from its beginning on; accents don't matter. What a label from before says is
found as well.

Example:
  stowmark find 4a001f
  stowmark find jam pan")]
pub(super) struct FindArgs {
    /// A code, what an old label says, or words of a title
    #[arg(required = true, value_name = "WHAT", allow_negative_numbers = true)]
    what: Vec<String>,
    /// At most this many matches
    #[arg(long, default_value_t = 50, value_parser = clap::value_parser!(u32).range(1..))]
    limit: u32,
}

pub(super) fn run(args: &FindArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let answer = find(session.register()?, &args.what.join(" "), Origin::Typed, args.limit as usize)?;
    session.answer(&find_json(&answer, &currency), || text(&answer))?;
    Ok(if answer.matches.is_empty() { Outcome::NothingFound } else { Outcome::Done })
}

pub(super) fn find_json(answer: &FindAnswer, currency: &Currency) -> FindJson {
    FindJson {
        query: answer.query.clone(),
        matches: matches_json(answer, currency),
        near: answer.near.clone(),
        more: answer.more,
        repaired: answer.repaired,
    }
}

pub(super) fn matches_json(answer: &FindAnswer, currency: &Currency) -> Vec<FoundJson> {
    let found = answer.found().zip(answer.in_hand.iter().zip(&answer.missed_in));
    let json = |((found, old), (in_hand, missed)): ((&Found, &[String]), (&Option<_>, &Option<_>))| {
        FoundJson::new(found, old, currency).in_hand(*in_hand).missed_in(*missed)
    };
    found.map(json).collect()
}

/// The answer in lines.
pub(super) fn text(answer: &FindAnswer) -> String {
    let line = |(at, (found, old))| found_line(found, old) + &answer.in_hand_text(at);
    let mut lines: Vec<String> = answer.found().enumerate().map(line).collect();
    if answer.more {
        lines.push("… and more; add a word, or raise --limit".into());
    }
    lines.extend(answer.repaired_text());
    if lines.is_empty() { nothing(answer) } else { lines.join("\n") }
}

pub(super) fn nothing(answer: &FindAnswer) -> String {
    let asked = shown(&answer.query);
    match answer.near.as_slice() {
        [] => format!("nothing found for `{asked}`"),
        near => format!("nothing found for `{asked}`; did you mean {}?", near.join(" or ")),
    }
}
