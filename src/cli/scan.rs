//! `stowmark scan`

use super::{
    find::{find_json, nothing, text},
    large::large,
    outcome::{CliError, Outcome},
    reader::{Reader, Sound},
    session::Session,
    table::{bin_state, fate, found_line, old_codes_text, place_text, whereabouts},
};
use crate::{
    code::{BinCode, Origin},
    job::{FindAnswer, find},
    register::{Found, Place, Stowed},
};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Reads lines from standard input until it ends, and answers each at once. A reader must send the
check letter; a code without it is taken by `find` only. It may end a reading with Enter or with a
Tab. What is not found rings the terminal's bell twice. With --json each answer is one line.

Example:
  stowmark scan
  printf '4A001F\\n' | stowmark scan --json"
)]
pub(super) struct ScanArgs {}

/// More matches than these are no answer at a packing table.
const LIMIT: usize = 10;

pub(super) fn run(_: &ScanArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let mut reader = Reader::begin(session, "Scan a tag or a sign, or type words of a title.")?;
    let limit = if session.json() { 50 } else { LIMIT };
    let mut outcome = Outcome::NothingFound;
    while let Some(reading) = reader.next(session)? {
        let answer = find(session.register()?, &reading.text, Origin::Scanned, limit)?;
        let sound = if answer.matches.is_empty() { Sound::Refused } else { Sound::Silent };
        if sound == Sound::Silent {
            outcome = Outcome::Done;
        }
        let (json, is_terminal) = (find_json(&answer, &currency), reader.is_terminal());
        reader.answer(session, sound, &json, || if is_terminal { spacious(&answer) } else { text(&answer) })?;
    }
    reader.end(session)?;
    Ok(outcome)
}

/// An answer to be read from a step away: the bin's code large, the rest calm below it.
fn spacious(answer: &FindAnswer) -> String {
    match answer.matches.as_slice() {
        [Found::Item(item)] => {
            let old = answer.old_codes.first().map(|old| old_codes_text(old)).unwrap_or_default();
            let rest = format!("{}{old}\n  {}{}", item.name(), item.title, answer.in_hand_text(0));
            match &item.stowed {
                Some(Stowed { bin, place, .. }) => {
                    let sold = fate(item).map(|fate| format!("\n  {fate}")).unwrap_or_default();
                    let tag = item.tag_shows().map(|shown| format!("\n  its code names {shown}")).unwrap_or_default();
                    frame(*bin, place, &(rest + &tag + &sold), answer)
                }
                None => format!("\n  {rest}\n  {}\n", whereabouts(item)),
            }
        }
        [Found::Bin(bin)] => {
            let old = answer.old_codes.first().map(|old| old_codes_text(old)).unwrap_or_default();
            frame(bin.code, &bin.place, &format!("bin {}{old}", bin_state(bin)), answer)
        }
        [] => format!("\n  {}\n", nothing(answer)),
        _ => {
            let lines: String = answer.found().map(|(found, old)| format!("  {}\n", found_line(found, old))).collect();
            let more = if answer.more { "  … and more; type another word\n" } else { "" };
            format!("\n{lines}{more}")
        }
    }
}

fn frame(bin: BinCode, place: &Place, rest: &str, answer: &FindAnswer) -> String {
    let note = answer.repaired_text().map(|note| format!("\n  {note}")).unwrap_or_default();
    format!("\n{}\n\n  {}\n  {rest}{note}\n", large(&bin.to_string()), place_text(place))
}
