//! `stowmark put`

use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    room::with_warnings,
    session::Session,
    table::place_text,
};
use crate::{
    exchange::json::MoveJson,
    job::{bin_by_text, fresh, items_by_text, room_warnings},
    register::{Bin, ItemFilter, Move, Status},
};

#[derive(Debug, clap::Args)]
#[command(after_help = "Items keep their codes and tags: a scan finds the new place. An item that waits for a bin gets
its code from the first one.

Example:
  stowmark put 4A-001F 4A-003M --in 4C
  stowmark put '#12' --in 4B
  stowmark put --waiting --in 4B")]
pub(super) struct PutArgs {
    /// Codes of items, or numbers of those that wait
    #[arg(required_unless_present = "waiting", value_name = "ITEM")]
    items: Vec<String>,
    /// All items that wait for a bin
    #[arg(long, conflicts_with = "items")]
    waiting: bool,
    /// The bin that they are put into
    #[arg(long = "in", value_name = "BIN")]
    bin: String,
}

pub(super) fn run(args: &PutArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register_for_change()?;
    let bin = bin_by_text(register, &args.bin)?;
    let items = if args.waiting {
        register.items(&ItemFilter { states: vec![Status::Waiting], ..ItemFilter::default() })?
    } else {
        items_by_text(register, &args.items)?
    };
    let (moves, _) = register.move_items(&items, bin.code)?;
    // The items are in, whatever comes of reading all others for a warning.
    let put = fresh(register, &items).unwrap_or(items);
    let warnings = room_warnings(register, &put).unwrap_or_default();
    let json = json!({ "moved": moves.iter().map(MoveJson::from).collect::<Vec<_>>() });
    let nothing_waits = args.waiting && put.is_empty();
    session.answer(&with_warnings(json, &warnings), || {
        if nothing_waits { "no item waits for a bin".into() } else { text(&moves, &bin) }
    })?;
    session.warn(&warnings)?;
    Ok(if nothing_waits { Outcome::NothingFound } else { Outcome::Done })
}

fn text(moves: &[Move], bin: &Bin) -> String {
    let line = |moved: &Move| match moved.from {
        Some(from) => format!("{}: from {from} to {}, {}", moved.code, moved.to, place_text(&bin.place)),
        None => format!("{}: into {}, {}", moved.code, moved.to, place_text(&bin.place)),
    };
    let lines: Vec<String> = moves.iter().map(line).collect();
    if lines.is_empty() { format!("all of them are in {} already", bin.code) } else { lines.join("\n") }
}
