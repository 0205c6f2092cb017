//! `stowmark item`

use clap::{Subcommand, ValueEnum};
use serde_json::json;

use super::{
    arrange::has,
    edit, import,
    outcome::{CliError, Outcome},
    room::with_warnings,
    room_args::BulkArgs,
    session::Session,
    table::{bulk_text, item_line, item_row, item_table, items_json},
    values::{amount, date},
};
use crate::{
    job::{bin_by_text, item_by_text, room_warnings},
    register::{Item, ItemFilter, NewItem, Status, Title},
};

#[derive(Debug, Subcommand)]
pub(super) enum ItemCommand {
    /// Enter an item; with a bin it gets its code at once
    #[command(
        after_help = "Without --bin the item waits under a number, such as #12, until `put` gives it a bin and a code.

Example:
  stowmark item add \"Copper jam pan\" --bin 4A --cost 3.50 --asking 24.95 --bought 2026-11-21
  stowmark item add Fish kettle --cost 8 --note \"lid dented\"
  stowmark item add Teapot --bin 4A --measures 30x20x15 --grams 850
  stowmark item add Yarn --bin 4B --size small"
    )]
    Add(AddArgs),
    /// Correct what is known of items
    #[command(after_help = edit::HELP)]
    Edit(edit::EditArgs),
    /// List items
    #[command(after_help = "Example:
  stowmark item list --bin 4A --untagged
  stowmark item list --unlisted --sort asking
  stowmark item list --state sold,picked --area 4")]
    List(ListArgs),
    /// Take on a label from before as another name of an item
    #[command(
        after_help = "The item is found by it for ever, by hand and by a reader. It may not stand for another item.

Example:
  stowmark item alias 4A-001F \"K 117\""
    )]
    Alias {
        /// The item's code
        code: String,
        /// What the old label says
        #[arg(allow_hyphen_values = true)]
        old: String,
    },
    /// Enter all rows of a buy list that a spreadsheet exported as CSV
    #[command(after_help = import::HELP)]
    Import(import::ImportArgs),
}

#[derive(Debug, clap::Args)]
pub(super) struct AddArgs {
    /// What it is
    #[arg(required = true, value_name = "TITLE")]
    title: Vec<String>,
    /// The bin that it goes into; without one it waits
    #[arg(long, value_name = "CODE")]
    bin: Option<String>,
    /// What it cost, such as 3.50
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    cost: Option<String>,
    /// What is asked for it
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    asking: Option<String>,
    /// When it was bought, such as 2026-11-21
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    bought: Option<String>,
    /// A note for yourself
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    note: Option<String>,
    #[command(flatten)]
    bulk: BulkArgs,
    /// What a label from before says
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    old: Vec<String>,
}

#[derive(Debug, clap::Args)]
pub(super) struct ListArgs {
    /// Only those in this bin
    #[arg(long, value_name = "CODE")]
    bin: Option<String>,
    /// Only those in bins of this area
    #[arg(long, value_name = "NUMBER")]
    area: Option<String>,
    /// Only those whose tag was not printed yet
    #[arg(long)]
    untagged: bool,
    /// Only those in a bin that are not listed yet
    #[arg(long, conflicts_with = "state")]
    unlisted: bool,
    /// Only those in these states
    #[arg(long, value_enum, value_delimiter = ',', value_name = "STATES")]
    state: Vec<StateName>,
    /// Only those that have this text in their line
    #[arg(long, value_name = "TEXT")]
    has: Option<String>,
    /// By what they are sorted; else by bin
    #[arg(long, value_enum, value_name = "FIELD")]
    sort: Option<SortName>,
    /// The other way round
    #[arg(long)]
    reverse: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum StateName {
    Waiting,
    Held,
    Listed,
    Sold,
    Picked,
    Gone,
}

impl StateName {
    pub(super) fn status(self) -> Status {
        match self {
            Self::Waiting => Status::Waiting,
            Self::Held => Status::Held,
            Self::Listed => Status::Listed,
            Self::Sold => Status::Sold,
            Self::Picked => Status::Picked,
            Self::Gone => Status::Gone,
        }
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum SortName {
    Code,
    Title,
    Cost,
    Asking,
    Bought,
    Listed,
    State,
    Entered,
}

pub(super) fn run(command: &ItemCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        ItemCommand::Add(args) => add(args, session),
        ItemCommand::Edit(args) => edit::run(args, session),
        ItemCommand::List(args) => list(args, session),
        ItemCommand::Alias { code, old } => alias(code, old, session),
        ItemCommand::Import(args) => import::run(args, session),
    }
}

fn add(args: &AddArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let mut item = NewItem {
        cost: amount("--cost", args.cost.as_deref(), &currency)?,
        asking: amount("--asking", args.asking.as_deref(), &currency)?,
        bought: date("--bought", args.bought.as_deref())?,
        note: args.note.as_deref().map(Title::new).transpose()?,
        old: args.old.clone(),
        ..NewItem::new(Title::new(&args.title.join(" "))?)
    };
    let register = session.register_for_change()?;
    item.bulk = args.bulk.bulk(register)?;
    item.bin = args.bin.as_deref().map(|bin| bin_by_text(register, bin)).transpose()?.map(|bin| bin.code);
    let items = register.add_items(&[item], None)?;
    // The item is in, whatever comes of reading all others for a warning.
    let warnings = room_warnings(register, &items).unwrap_or_default();
    let json = with_warnings(json!({ "items": items_json(&items, &currency) }), &warnings);
    session.answer(&json, || items.iter().map(added_line).collect())?;
    session.warn(&warnings)?;
    Ok(Outcome::Done)
}

/// `4A-001F  Teapot: in 4A, Loft (2.5 l, 850 g)`
fn added_line(item: &Item) -> String {
    let bulk = bulk_text(&item.bulk);
    if bulk.is_empty() { item_line(item) } else { format!("{} ({bulk})", item_line(item)) }
}

fn list(args: &ListArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let area = args.area.as_deref().map(str::parse).transpose()?;
    let register = session.register()?;
    let bin = args.bin.as_deref().map(|code| bin_by_text(register, code)).transpose()?.map(|bin| bin.code);
    let states =
        if args.unlisted { vec![Status::Held] } else { args.state.iter().map(|state| state.status()).collect() };
    let mut items = register.items(&ItemFilter { bin, area, untagged: args.untagged, states })?;
    if let Some(text) = &args.has {
        items.retain(|item| has(&item_row(item, &currency), text));
    }
    sort(&mut items, args.sort, args.reverse);
    session.answer(&json!({ "items": items_json(&items, &currency) }), || item_table(&items, &currency))?;
    Ok(Outcome::Done)
}

/// Those of which the field is not known come last either way.
fn sort(items: &mut [Item], by: Option<SortName>, reverse: bool) {
    match by {
        None => {}
        Some(SortName::Code) => items.sort_by_key(|item| (item.code.is_none(), item.code)),
        Some(SortName::Title) => items.sort_by_cached_key(|item| item.title.to_lowercase()),
        Some(SortName::Cost) => items.sort_by_key(|item| item.cost),
        Some(SortName::Asking) => items.sort_by_key(|item| item.asking),
        Some(SortName::Bought) => items.sort_by_key(|item| item.bought),
        Some(SortName::Listed) => items.sort_by_key(|item| item.listed),
        Some(SortName::State) => items.sort_by_key(|item| item.status),
        Some(SortName::Entered) => items.sort_by_key(Item::id),
    }
    if reverse {
        items.reverse();
    }
    let is_unknown = |item: &Item| match by {
        Some(SortName::Cost) => item.cost.is_none(),
        Some(SortName::Asking) => item.asking.is_none(),
        Some(SortName::Bought) => item.bought.is_none(),
        Some(SortName::Listed) => item.listed.is_none(),
        _ => false,
    };
    items.sort_by_key(is_unknown);
}

fn alias(code: &str, old: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register_for_change()?;
    let item = item_by_text(register, code)?;
    register.add_old_code(&item, old)?;
    let old_codes = register.old_codes(&item)?;
    session.answer(&json!({ "code": item.name(), "old_codes": old_codes }), || {
        format!("{}  {}: found by {} as well", item.name(), item.title, old_codes.join(", "))
    })?;
    Ok(Outcome::Done)
}
