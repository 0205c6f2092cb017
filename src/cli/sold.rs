//! `stowmark sold`

use jiff::civil::Date;
use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    sold_import,
    table::{short, table},
    values::{amount, change, date, given_amount},
};
use crate::{
    exchange::sale_json::SoldJson,
    job::{SaleOptions, Sharing, ahead_text, amend, fresh, items_by_text, sell, sharing_text},
    register::{Edit, Item, Register, RegisterError, Sale, SaleEdit, Title},
    unit::{Currency, Money},
};

pub(super) use crate::job::today;

#[derive(Debug, clap::Args)]
#[command(
    args_conflicts_with_subcommands = true,
    subcommand_negates_reqs = true,
    after_help = "Sold items stay in their bins until they are picked. Several items at once are one order: its price,
fees and postage are shared out by asking price, or evenly if one of them has none, to the last
cent. A price that is not given is not known; it is never taken for 0.

Example:
  stowmark sold 4A-001F --price 24.95 --fees 3.20 --postage 4.90 --order 77
  stowmark sold 4A-002C 4A-003M --price 40 --order 78 --on 2026-11-20
  stowmark sold 4A-001F --amend --fees 3.35
  stowmark sold import orders.csv"
)]
pub(super) struct SoldArgs {
    #[command(subcommand)]
    command: Option<SoldCommand>,
    /// Codes of items
    #[arg(required = true, value_name = "CODE")]
    codes: Vec<String>,
    /// All that the buyer paid, postage included, for all of them together
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    price: Option<String>,
    /// What others took of it, such as a marketplace or a bank
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    fees: Option<String>,
    /// What you paid for sending it
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    postage: Option<String>,
    /// When; else today
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    on: Option<String>,
    /// The order that they are a part of
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    order: Option<String>,
    /// Correct what is given of a sale that is on record; `none` takes a price or an order away
    #[arg(long)]
    amend: bool,
}

#[derive(Debug, clap::Subcommand)]
enum SoldCommand {
    /// Sell what is on a list of orders
    #[command(after_help = sold_import::HELP)]
    Import(sold_import::SoldImportArgs),
}

pub(super) fn run(args: &SoldArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    if let Some(SoldCommand::Import(args)) = &args.command {
        return sold_import::run(args, session);
    }
    let currency = session.settings()?.currency;
    let register = session.register_for_change()?;
    let items = items_by_text(register, &args.codes)?;
    let day = date("--on", args.on.as_deref())?;
    let (sharing, _) = if args.amend {
        let edit = edit(args, day, &currency)?;
        if edit.is_empty() {
            return Err(CliError::NothingToAmend);
        }
        amend(register, &items, &edit)?
    } else {
        sell(register, &items, &options(args, day, &currency)?)?
    };
    let items = fresh(register, &items)?;
    let sold = sales(register, &items)?;
    day.map_or(Ok(()), |day| note_ahead(day, session))?;
    note_unpriced(&sold, session)?;
    let json: Vec<SoldJson> = sold.iter().map(|(item, sale)| SoldJson::new(item, sale, &currency)).collect();
    session.answer(&json!({ "sold": json }), || text(&sold, sharing, args.amend, &currency))?;
    Ok(Outcome::Done)
}

fn options(args: &SoldArgs, day: Option<Date>, currency: &Currency) -> Result<SaleOptions, CliError> {
    let figures = edit(args, day, currency)?;
    Ok(SaleOptions {
        price: if let Edit::Set(price) = figures.price { Some(price) } else { None },
        fees: figures.fees.unwrap_or_default(),
        postage: figures.postage.unwrap_or_default(),
        day: day.unwrap_or_else(today),
        order: if let Edit::Set(order) = figures.order { Some(order) } else { None },
    })
}

fn edit(args: &SoldArgs, day: Option<Date>, currency: &Currency) -> Result<SaleEdit, CliError> {
    Ok(SaleEdit {
        day,
        price: change(args.price.as_deref(), |text| given_amount("--price", text, currency))?,
        fees: amount("--fees", args.fees.as_deref(), currency)?,
        postage: amount("--postage", args.postage.as_deref(), currency)?,
        order: change(args.order.as_deref(), Title::new)?,
    })
}

/// Items with the sales that they are in now.
pub(super) fn sales(register: &Register, items: &[Item]) -> Result<Vec<(Item, Sale)>, RegisterError> {
    let with_sale = |item: &Item| Ok(register.sale_of(item)?.map(|sale| (item.clone(), sale)));
    items.iter().filter_map(|item| with_sale(item).transpose()).collect()
}

/// A day to come is most likely a slip, but not for a person in another time zone.
pub(super) fn note_ahead(day: Date, session: &mut Session<'_, '_>) -> Result<(), CliError> {
    let ahead = ahead_text(day).map(|text| format!("{text}; `stowmark undo` takes it back if that was a slip"));
    ahead.map_or(Ok(()), |text| session.note(&text))
}

pub(super) fn note_unpriced(sold: &[(Item, Sale)], session: &mut Session<'_, '_>) -> Result<(), CliError> {
    let unpriced: Vec<String> =
        sold.iter().filter(|(_, sale)| sale.price.is_none()).map(|(item, _)| item.name()).collect();
    match unpriced.len() {
        0 => Ok(()),
        1..=3 => {
            let names = unpriced.join(" ");
            session.note(&format!("the price is not known; `stowmark sold {names} --amend --price AMOUNT` adds it"))
        }
        many => session.note(&format!(
            "the price of {many} items is not known; `stowmark sold CODE --amend --price AMOUNT` adds it"
        )),
    }
}

fn text(sold: &[(Item, Sale)], sharing: Sharing, is_amended: bool, currency: &Currency) -> String {
    let mut lines = vec![sold_table(sold, currency)];
    let items: Vec<Item> = sold.iter().map(|(item, _)| item.clone()).collect();
    lines.extend(sharing_text(sharing, &items));
    if !is_amended {
        lines.push("`stowmark pick` shows where to take it from".into());
    }
    lines.join("\n")
}

pub(super) fn sold_table(sold: &[(Item, Sale)], currency: &Currency) -> String {
    let row = |(item, sale): &(Item, Sale)| {
        vec![
            item.name(),
            short(&item.title),
            item.bin().map(|bin| bin.to_string()).unwrap_or_default(),
            sale.day.to_string(),
            sale.order.clone().unwrap_or_default(),
            sale.price.map_or_else(|| "?".into(), |price| currency.format(price)),
            currency.format(sale.fees),
            currency.format(sale.postage),
        ]
    };
    let headings = ["code", "title", "bin", "sold", "order", "price#", "fees#", "postage#"];
    table(&headings, sold.iter().map(row).chain(total(sold, currency)))
}

/// What the whole order came to.
fn total(sold: &[(Item, Sale)], currency: &Currency) -> Option<Vec<String>> {
    let sum = |amounts: &mut dyn Iterator<Item = Option<Money>>| {
        let minor: Option<i64> = amounts.map(|amount| amount.map(Money::minor)).sum();
        minor.and_then(Money::from_minor).map_or_else(|| "?".into(), |sum| currency.format(sum))
    };
    let empty = || vec![String::new(); 4];
    (sold.len() > 1).then(|| {
        let sums = vec![
            sum(&mut sold.iter().map(|(_, sale)| sale.price)),
            sum(&mut sold.iter().map(|(_, sale)| Some(sale.fees))),
            sum(&mut sold.iter().map(|(_, sale)| Some(sale.postage))),
        ];
        [vec!["total".into()], empty(), sums].concat()
    })
}
