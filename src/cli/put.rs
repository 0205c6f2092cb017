//! `stowmark put`

use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::place_text,
};
use crate::{
    exchange::json::MoveJson,
    job::{bin_by_text, item_by_text},
    register::{Bin, Item, Move},
};

#[derive(Debug, clap::Args)]
#[command(after_help = "The items keep their codes and tags: a scan finds the new place.

Example:
  stowmark put 4A-001F 4A-003M --in 4C")]
pub(super) struct PutArgs {
    /// Codes of items
    #[arg(required = true, value_name = "ITEM")]
    items: Vec<String>,
    /// The bin that they are put into
    #[arg(long = "in", value_name = "BIN")]
    bin: String,
}

pub(super) fn run(args: &PutArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register_for_change()?;
    let bin = bin_by_text(register, &args.bin)?;
    let items: Result<Vec<Item>, _> = args.items.iter().map(|code| item_by_text(register, code)).collect();
    let moves = register.move_items(&items?, bin.code)?;
    let json = json!({ "moved": moves.iter().map(MoveJson::from).collect::<Vec<_>>() });
    session.answer(&json, || text(&moves, &bin))?;
    Ok(Outcome::Done)
}

fn text(moves: &[Move], bin: &Bin) -> String {
    let line =
        |moved: &Move| format!("{}: from {} to {}, {}", moved.code, moved.from, moved.to, place_text(&bin.place));
    let lines: Vec<String> = moves.iter().map(line).collect();
    if lines.is_empty() { format!("all of them are in {} already", bin.code) } else { lines.join("\n") }
}
