//! `stowmark item edit` and `stowmark listed`

use std::collections::HashSet;

use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    room::with_warnings,
    room_args::BulkArgs,
    session::Session,
    table::{count, item_table, items_json, sized_item_table},
    values::{amount, change, date, given_amount, given_date},
};
use crate::{
    job::{RoomWarning, fresh, items_by_text, recoded, room_warnings},
    register::{BulkEdit, Item, ItemEdit, ItemFilter, Status, Title},
    unit::Currency,
};

pub(super) const HELP: &str = "Each option changes that of all the items named; `none` takes it away.

Example:
  stowmark item edit 4A-001F --title \"Copper jam pan, 28 cm\" --asking 27.95
  stowmark item edit 4A-002C 4A-003M --bought 2026-11-21 --note none
  stowmark item edit 4A-001F --litres 2.5 --grams 850
  stowmark item edit 4A-002C --measures 30x20x10 --size none";

#[derive(Debug, clap::Args)]
pub(super) struct EditArgs {
    /// Codes of items
    #[arg(required = true, value_name = "CODE")]
    codes: Vec<String>,
    /// What it is
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    title: Option<String>,
    /// What it cost, or none
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    cost: Option<String>,
    /// What is asked for it, or none
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    asking: Option<String>,
    /// When it was bought, or none
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    bought: Option<String>,
    /// A note for yourself, or none
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    note: Option<String>,
    #[command(flatten)]
    bulk: BulkArgs,
}

#[derive(Debug, clap::Args)]
#[command(
    after_help = "So that the value on the shelves and the days to sell are known. An item that is listed already
keeps its day, unless --on gives another.

An item that got a new code while it was listed is listed under its old one, until it is named here
or --recoded says that all such listings are corrected; `stowmark export code-changes` lists them.

Example:
  stowmark listed 4A-001F 4A-002C
  stowmark listed 4A-003M --asking 18.50 --on 2026-11-24
  stowmark listed --all-tagged
  stowmark listed --recoded"
)]
pub(super) struct ListedArgs {
    /// Codes of items
    #[arg(value_name = "CODE", required_unless_present_any = ["all_tagged", "recoded"])]
    codes: Vec<String>,
    /// All whose tag was printed and that are not listed yet
    #[arg(long, conflicts_with_all = ["codes", "asking"])]
    all_tagged: bool,
    /// All whose listing shows an old code: it is corrected
    #[arg(long, conflicts_with_all = ["codes", "asking", "on", "all_tagged"])]
    recoded: bool,
    /// What is asked for each of them
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    asking: Option<String>,
    /// Since when; else today
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    on: Option<String>,
}

pub(super) fn run(args: &EditArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let edit = ItemEdit {
        title: args.title.as_deref().map(Title::new).transpose()?,
        cost: change(args.cost.as_deref(), |text| given_amount("--cost", text, &currency))?,
        asking: change(args.asking.as_deref(), |text| given_amount("--asking", text, &currency))?,
        bought: change(args.bought.as_deref(), |text| given_date("--bought", text))?,
        note: change(args.note.as_deref(), Title::new)?,
        bulk: args.bulk.edit(session.register()?)?,
    };
    if edit.is_empty() {
        return Err(CliError::NothingToEdit);
    }
    let register = session.register_for_change()?;
    let items = items_by_text(register, &args.codes)?;
    register.edit_items(&items, &edit)?;
    let items = fresh(register, &items)?;
    // Only what was said of their size or weight can make a bin too full.
    let is_bulk = edit.bulk != BulkEdit::default();
    let warnings = if is_bulk { room_warnings(register, &items).unwrap_or_default() } else { Vec::new() };
    answer((&items, &warnings), &currency, sized_item_table, session)?;
    session.warn(&warnings)?;
    Ok(Outcome::Done)
}

pub(super) fn listed(args: &ListedArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let asking = amount("--asking", args.asking.as_deref(), &currency)?;
    let day = date("--on", args.on.as_deref())?;
    let register = session.register_for_change()?;
    let items = if args.recoded {
        recoded(register)?
    } else if args.all_tagged {
        let untagged: HashSet<_> = register.items(&ItemFilter::untagged())?.iter().map(Item::id).collect();
        let held = register.items(&ItemFilter { states: vec![Status::Held], ..ItemFilter::default() })?;
        held.into_iter().filter(|item| !untagged.contains(&item.id())).collect()
    } else {
        items_by_text(register, &args.codes)?
    };
    register.list_items(&items, asking, day)?;
    let items = fresh(register, &items)?;
    if items.is_empty() {
        let nothing =
            if args.recoded { "no listing shows an old code" } else { "all that have a tag are listed already" };
        session.answer(&json!({ "items": [] }), || nothing.into())?;
        return Ok(Outcome::NothingFound);
    }
    if let Some(unpriced) = items.iter().find(|item| item.asking.is_none()) {
        let note = format!("{} has no asking price, so its value is not known; --asking gives one", unpriced.name());
        session.note(&note)?;
    }
    answer((&items, &[]), &currency, item_table, session)?;
    Ok(Outcome::Done)
}

fn answer(
    (items, warnings): (&[Item], &[RoomWarning]),
    currency: &Currency,
    table: fn(&[Item], &Currency) -> String,
    session: &mut Session<'_, '_>,
) -> Result<(), CliError> {
    session.answer(&with_warnings(json!({ "items": items_json(items, currency) }), warnings), || {
        let table = table(items, currency);
        if items.len() > 1 { format!("{table}\n{}", count(items.len() as u64, "item")) } else { table }
    })
}
