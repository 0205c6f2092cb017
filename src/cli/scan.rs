//! `stowmark scan`

use std::io::{self, BufRead, Write};

use super::{
    find::{find_json, nothing, repaired, text},
    large::large,
    outcome::{CliError, Outcome},
    session::Session,
    table::{count, found_line, old_codes_text, place_text, whereabouts},
};
use crate::{
    code::{BinCode, Origin},
    job::{FindAnswer, find},
    register::{Found, Place, Stowed},
};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Reads lines from standard input until it ends, and answers each at once. A reader must send the
check letter; a code without it is taken by `find` only. With --json each answer is one line.

Example:
  stowmark scan
  printf '4A001F\\n' | stowmark scan --json"
)]
pub(super) struct ScanArgs {}

/// More matches than these are no answer at a packing table.
const LIMIT: usize = 10;

pub(super) fn run(_: &ScanArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let interactive = session.io().interactive && !session.json();
    if interactive {
        session.note(
            "Scan a tag or a sign, or type words of a title. Ctrl-D (on Windows Ctrl-Z, then Enter) ends it.\n",
        )?;
    }
    let limit = if session.json() { 50 } else { LIMIT };
    let (mut ended_by, mut outcome) = (None, Outcome::NothingFound);
    while let Some(line) = next_line(&mut session.io().input, &mut ended_by)? {
        if line.trim().is_empty() && !session.json() {
            continue;
        }
        let answer = find(session.register()?, &line, Origin::Scanned, limit)?;
        if !answer.matches.is_empty() {
            outcome = Outcome::Done;
        }
        let json = find_json(&answer, &currency);
        session.answer(&json, || if interactive { spacious(&answer) } else { text(&answer) })?;
    }
    if interactive {
        writeln!(session.io().out)?;
    }
    Ok(outcome)
}

/// The next line, ended by LF, CR, CRLF or a Tab as readers send them; bytes that are no UTF-8 are
/// replaced. `ended_by` remembers the last end, so that CRLF counts once.
fn next_line(input: &mut dyn BufRead, ended_by: &mut Option<u8>) -> io::Result<Option<String>> {
    let mut line = Vec::new();
    while let Some(byte) = next_byte(input)? {
        let before = if line.is_empty() { ended_by.take() } else { None };
        match (byte, before) {
            (b'\n' | b'\r', Some(b'\r' | b'\t')) => *ended_by = Some(byte),
            (b'\n' | b'\r' | b'\t', _) => {
                *ended_by = Some(byte);
                return Ok(Some(String::from_utf8_lossy(&line).into_owned()));
            }
            _ => line.push(byte),
        }
    }
    Ok((!line.is_empty()).then(|| String::from_utf8_lossy(&line).into_owned()))
}

fn next_byte(input: &mut dyn BufRead) -> io::Result<Option<u8>> {
    loop {
        match input.fill_buf() {
            Ok([]) => return Ok(None),
            Ok([byte, ..]) => {
                let byte = *byte;
                input.consume(1);
                return Ok(Some(byte));
            }
            Err(fault) if fault.kind() == io::ErrorKind::Interrupted => {}
            Err(fault) => return Err(fault),
        }
    }
}

/// An answer to be read from a step away: the bin's code large, the rest calm below it.
fn spacious(answer: &FindAnswer) -> String {
    match answer.matches.as_slice() {
        [Found::Item(item)] => {
            let old = answer.old_codes.first().map(|old| old_codes_text(old)).unwrap_or_default();
            let rest = format!("{}{old}\n  {}", item.name(), item.title);
            match &item.stowed {
                Some(Stowed { bin, place }) => {
                    let tag = item.tag_shows().map(|shown| format!("\n  its tag shows {shown}")).unwrap_or_default();
                    frame(*bin, place, &(rest + &tag), answer)
                }
                None => format!("\n  {rest}\n  {}\n", whereabouts(item)),
            }
        }
        [Found::Bin(bin)] => frame(bin.code, &bin.place, &count(u64::from(bin.items), "item"), answer),
        [] => format!("\n  {}\n", nothing(answer)),
        _ => {
            let lines: String = answer.found().map(|(found, old)| format!("  {}\n", found_line(found, old))).collect();
            let more = if answer.more { "  … and more; type another word\n" } else { "" };
            format!("\n{lines}{more}")
        }
    }
}

fn frame(bin: BinCode, place: &Place, rest: &str, answer: &FindAnswer) -> String {
    let note = repaired(answer).map(|note| format!("\n  {note}")).unwrap_or_default();
    format!("\n{}\n\n  {}\n  {rest}{note}\n", large(&bin.to_string()), place_text(place))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(mut input: &[u8]) -> Vec<String> {
        let mut ended_by = None;
        std::iter::from_fn(|| next_line(&mut input, &mut ended_by).unwrap()).collect()
    }

    #[test]
    fn lines_end_as_readers_end_them() {
        assert_eq!(lines(b"a\nb\r\nc\rd\te\t\r\nf"), ["a", "b", "c", "d", "e", "f"]);
        assert_eq!(lines(b"a\n\nb\n"), ["a", "", "b"]);
        assert_eq!(lines(b""), Vec::<String>::new());
        assert_eq!(lines(b"\xff\n"), ["\u{fffd}"]);
    }
}
