//! `stowmark stow`

use serde_json::json;

use super::{
    large::large,
    outcome::{CliError, Outcome},
    reader::{Reader, Reading, Sound},
    room::with_warnings,
    session::Session,
    table::{count, shown},
};
use crate::{
    exchange::json::MoveJson,
    job::{
        Stow, StowError, Stowing, bin_by_text, bin_line, put_back_text as undone_text, put_text,
        repaired_text as repaired,
    },
    register::Bin,
};

#[derive(Debug, clap::Args)]
#[command(after_help = "Scan a bin, then the items that go into it, then the next bin. A reading may end with Enter or
with a Tab. Each item is on disk before its answer comes; `undo` takes the last one back, and again
the one before. An item is known by its code, by a code that it had before, and while it waits for a
bin by its number, as #12. A code must come with its check letter.

A bin that is over its volume or weight limit, or an item that is too long for it, is warned of:
the item is put all the same. With --json that stands under \"warnings\".

What is refused rings the terminal's bell twice, and the session goes on; it ends with its
input, and with code 0 also when readings were refused. With --json each reading has one line of
answer: \"bin\", \"moved\" (empty for an item that is there already), \"undone\" (the move that
is no more) or \"refused\".

Example:
  stowmark stow
  stowmark stow --in 4C
  printf '4C\\n4A001F\\n' | stowmark stow --json")]
pub(super) struct StowArgs {
    /// The bin to begin with
    #[arg(long = "in", value_name = "BIN")]
    bin: Option<String>,
}

pub(super) fn run(args: &StowArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register_for_change()?;
    let first = args.bin.as_deref().map(|bin| bin_by_text(register, bin)).transpose()?;
    let mut stow = Stow::new(first.clone())?;
    let mut reader = Reader::begin(session, &hint(first.as_ref()))?;
    while let Some(reading) = reader.next(session)? {
        let taken = stow.take(session.register_for_change()?, &reading.text, reading.is_cut);
        let sound = if taken.is_err() { Sound::Refused } else { Sound::Silent };
        let is_terminal = reader.is_terminal();
        let json = with_warnings(json_of(&taken, &reading), stow.warnings());
        reader.answer(session, sound, &json, || {
            if is_terminal {
                spacious(&taken, &warnings_in_lines(&stow))
            } else {
                line(&taken, &reading) + &behind(&stow)
            }
        })?;
    }
    let is_terminal = reader.is_terminal();
    reader.end(session)?;
    if is_terminal {
        session.say(&summary(&stow))?;
    }
    Ok(Outcome::Done)
}

/// Each on a line of its own.
fn warnings_in_lines(stow: &Stow) -> String {
    stow.warnings().iter().map(|warning| format!("  WARNING: {warning}\n")).collect()
}

/// All behind the answer, so that it stays one line.
fn behind(stow: &Stow) -> String {
    stow.warnings().iter().map(|warning| format!("; warning: {warning}")).collect()
}

fn hint(first: Option<&Bin>) -> String {
    match first {
        Some(bin) => format!("Scan what goes into {}, or another bin. `undo` takes the last item back.", bin.code),
        None => "Scan a bin, then what goes into it. `undo` takes the last item back.".into(),
    }
}

fn summary(stow: &Stow) -> String {
    let refused = match stow.refused() {
        0 => String::new(),
        readings => format!(", {} refused", count(readings as u64, "reading")),
    };
    format!("{} stowed{refused}", count(stow.stowed() as u64, "item"))
}

fn json_of(taken: &Result<Stowing, StowError>, reading: &Reading) -> serde_json::Value {
    let (mut json, repair) = match taken {
        Ok(Stowing::Bin(bin, repair)) => (json!({ "bin": bin.code.to_string() }), *repair),
        Ok(Stowing::Put(_, moved, repair)) => {
            (json!({ "moved": moved.iter().map(MoveJson::from).collect::<Vec<_>>() }), *repair)
        }
        Ok(Stowing::Undone(_, moved)) => (json!({ "undone": [MoveJson::from(moved)] }), None),
        Err(why) => (json!({ "refused": { "read": reading.text, "reason": why.to_string() } }), None),
    };
    if let Some(layout) = repair {
        json["repaired"] = json!(layout);
    }
    json
}

/// One line for a file or another program.
fn line(taken: &Result<Stowing, StowError>, reading: &Reading) -> String {
    match taken {
        Ok(Stowing::Bin(bin, repair)) => format!("bin {}{}", bin_line(bin), repaired(*repair)),
        Ok(Stowing::Put(item, moved, repair)) => {
            format!("{}  {}: {}{}", item.name(), item.title, put_text(item, moved.as_ref()), repaired(*repair))
        }
        Ok(Stowing::Undone(item, moved)) => undone_text(item, moved),
        Err(why) => format!("refused `{}`: {}", shown(&reading.text), shown(&why.to_string())),
    }
}

/// An answer to be read from a step away.
fn spacious(taken: &Result<Stowing, StowError>, warnings: &str) -> String {
    match taken {
        Ok(Stowing::Bin(bin, repair)) => {
            format!("{}\n\n  into {}{}\n", large(&bin.code.to_string()), bin_line(bin), repaired(*repair))
        }
        Ok(Stowing::Put(item, moved, repair)) => {
            let bin = item.bin().map(|bin| large(&bin.to_string())).unwrap_or_default();
            let put = put_text(item, moved.as_ref());
            format!("{bin}\n\n  {}\n  {}: {put}{}\n{warnings}", item.title, item.name(), repaired(*repair))
        }
        Ok(Stowing::Undone(item, moved)) => format!("  {}\n", undone_text(item, moved)),
        Err(why) => format!("  refused: {}\n", why.to_string().replace('\n', "\n  ")),
    }
}
