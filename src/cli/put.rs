//! `stowmark put`

use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    room::with_warnings,
    session::Session,
    stale::choice_text,
};
use crate::{
    exchange::{json::MoveJson, stale_json::MovedJson},
    job::{RetagCost, bin_by_text, fresh, items_by_text, move_line, moved_cost, room_warnings},
    register::{Bin, Item, ItemFilter, Move, Status},
};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "An item whose tag was printed, or that is listed or sold, keeps its code: a scan of the tag finds
the new place. One that nothing shows yet gets a code of its new bin, and so does one that waited.
A code that it had stays a name of it.

Example:
  stowmark put 4A-001F 4A-003M --in 4C
  stowmark put '#12' --in 4B
  stowmark put --waiting --in 4B"
)]
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
    let elsewhere: Vec<Item> =
        put.iter().filter(|item| moves.iter().any(|moved| Some(moved.code) == item.code)).cloned().collect();
    let cost = moved_cost(register, &elsewhere)?;
    let mut json = json!({ "moved": moves.iter().map(MoveJson::from).collect::<Vec<_>>() });
    if cost.tags > 0 {
        json["renew"] = json!(MovedJson { items: cost.items, tags: cost.tags, listings: cost.listings, command: None });
    }
    let nothing_waits = args.waiting && put.is_empty();
    session.answer(&with_warnings(json, &warnings), || {
        if nothing_waits { "no item waits for a bin".into() } else { text(&moves, &bin) + &choice(&moves, &cost, &bin) }
    })?;
    session.warn(&warnings)?;
    Ok(if nothing_waits { Outcome::NothingFound } else { Outcome::Done })
}

fn text(moves: &[Move], bin: &Bin) -> String {
    let lines: Vec<String> = moves.iter().map(|moved| move_line(moved, &bin.place)).collect();
    if lines.is_empty() { format!("all of them are in {} already", bin.code) } else { lines.join("\n") }
}

/// What new codes for those with tags would cost, where there are any.
fn choice(moves: &[Move], cost: &RetagCost, bin: &Bin) -> String {
    if cost.tags == 0 {
        return String::new();
    }
    let codes: Vec<String> =
        moves.iter().filter(|moved| moved.code.bin != bin.code).map(|moved| moved.code.to_string()).collect();
    let of = if codes.len() <= MOST_NAMED { codes.join(" ") } else { format!("--bin {}", bin.code) };
    format!("\n{}", choice_text(cost, &format!("stowmark retag {of}")))
}

/// More are meant by their bin.
const MOST_NAMED: usize = 5;
