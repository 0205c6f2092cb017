//! `stowmark item`

use clap::Subcommand;
use jiff::civil::Date;
use serde_json::json;

use super::{
    import,
    outcome::{CliError, Outcome},
    session::Session,
    table::{item_line, item_table, items_json},
};
use crate::{
    exchange::parse_date,
    job::bin_by_text,
    register::{NewItem, Title},
    unit::{Currency, Money},
};

#[derive(Debug, Subcommand)]
pub(super) enum ItemCommand {
    /// Enter an item; it gets its code at once
    #[command(
        after_help = "Example:\n  stowmark item add \"Copper jam pan\" --bin 4A --cost 3.50 --asking 24.95 --bought 2026-11-21"
    )]
    Add(AddArgs),
    /// List items
    #[command(after_help = "Example:\n  stowmark item list --bin 4A --untagged")]
    List {
        /// Only those in this bin
        #[arg(long, value_name = "CODE")]
        bin: Option<String>,
        /// Only those whose tag was not printed yet
        #[arg(long)]
        untagged: bool,
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
    /// The bin that it goes into
    #[arg(long, value_name = "CODE")]
    bin: String,
    /// What it cost, such as 3.50
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    cost: Option<String>,
    /// What is asked for it
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    asking: Option<String>,
    /// When it was bought, such as 2026-11-21
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    bought: Option<String>,
}

pub(super) fn run(command: &ItemCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        ItemCommand::Add(args) => add(args, session),
        ItemCommand::List { bin, untagged } => list(bin.as_deref(), *untagged, session),
        ItemCommand::Import(args) => import::run(args, session),
    }
}

fn add(args: &AddArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let item = NewItem {
        title: Title::new(&args.title.join(" "))?,
        cost: amount("--cost", args.cost.as_deref(), &currency)?,
        asking: amount("--asking", args.asking.as_deref(), &currency)?,
        bought: date("--bought", args.bought.as_deref())?,
    };
    let register = session.register_for_change()?;
    let bin = bin_by_text(register, &args.bin)?;
    let items = register.add_items(bin.code, &[item], None)?;
    session.answer(&json!({ "items": items_json(&items, &currency) }), || items.iter().map(item_line).collect())?;
    Ok(Outcome::Done)
}

fn amount(option: &'static str, text: Option<&str>, currency: &Currency) -> Result<Option<Money>, CliError> {
    text.map(|text| currency.parse(text).map_err(|source| CliError::Amount { option, source })).transpose()
}

fn date(option: &'static str, text: Option<&str>) -> Result<Option<Date>, CliError> {
    text.map(|text| parse_date(text).map_err(|source| CliError::Date { option, source })).transpose()
}

fn list(bin: Option<&str>, untagged: bool, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let register = session.register()?;
    let bin = bin.map(|code| bin_by_text(register, code)).transpose()?;
    let items = register.items(bin.map(|bin| bin.code), untagged)?;
    session.answer(&json!({ "items": items_json(&items, &currency) }), || item_table(&items, &currency))?;
    Ok(Outcome::Done)
}
