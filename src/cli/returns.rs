//! `stowmark return`, `stowmark refund` and `stowmark gone`

use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    room::with_warnings,
    session::Session,
    sold::note_ahead,
    table::{item_line, items_json, place_text},
    values::{amount, date, given_amount},
};
use crate::{
    exchange::sale_json::RefundedJson,
    job::{bin_by_text, fresh, item_by_text, items_by_text, refunded_text, room_warnings, today},
    register::{Item, NewRefund, RegisterError, Sale, Status, Title},
    unit::{Currency, Money},
};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "The item keeps its code and is in that bin again, unlisted. All that the buyer paid is given back,
less what was refunded before, unless --refund says otherwise.

Example:
  stowmark return 4A-001F --in 4C
  stowmark return 4A-001F --in 4C --refund 20 --postage 4.90"
)]
pub(super) struct ReturnArgs {
    /// The item's code
    code: String,
    /// The bin that it goes into
    #[arg(long = "in", value_name = "BIN")]
    bin: String,
    /// What the buyer gets back, 0 for nothing; else all that was paid
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    refund: Option<String>,
    /// What you paid for its way back
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    postage: Option<String>,
    /// When; else today
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    on: Option<String>,
}

#[derive(Debug, clap::Args)]
#[command(
    after_help = "For a scratch that the buyer puts up with, or an item that was lost on its way. What comes back
is told by `stowmark return`.

Example:
  stowmark refund 4A-001F 5
  stowmark refund 4A-001F 24.95 --on 2026-11-24"
)]
pub(super) struct RefundArgs {
    /// The item's code
    code: String,
    /// What the buyer gets back
    #[arg(value_name = "AMOUNT", allow_hyphen_values = true)]
    amount: String,
    /// What you paid for sending something once more
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    postage: Option<String>,
    /// When; else today
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    on: Option<String>,
}

#[derive(Debug, clap::Args)]
#[command(
    after_help = "For what is lost, broken or given away. `stowmark put` says that it is there again. The sale of an
item that was to be picked stays, and `stowmark refund` gives the money back.

Example:
  stowmark gone 4A-001F --why \"broken when it fell\"
  stowmark gone 4A-002C 4A-003M --why \"given to the charity shop\" --on 2026-11-20"
)]
pub(super) struct GoneArgs {
    /// Codes of items, or numbers of those that wait
    #[arg(required = true, value_name = "ITEM")]
    items: Vec<String>,
    /// What became of them
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    why: String,
    /// Since when; else today
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    on: Option<String>,
}

pub(super) fn take_back(args: &ReturnArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let refund = new_refund(
        amount("--refund", args.refund.as_deref(), &currency)?,
        args.postage.as_deref(),
        args.on.as_deref(),
        &currency,
    )?;
    let register = session.register_for_change()?;
    let (item, bin) = (item_by_text(register, &args.code)?, bin_by_text(register, &args.bin)?);
    let (given, _) = register.take_back(&item, bin.code, refund)?;
    note_ahead(refund.day, session)?;
    let (item, sale) = with_sale(&item, session)?;
    // The item is in, whatever comes of reading all others for a warning.
    let warnings = room_warnings(session.register()?, std::slice::from_ref(&item)).unwrap_or_default();
    let json = RefundedJson::new((&item, &sale), (given, refund.postage), refund.day, &currency);
    session.answer(&with_warnings(json!({ "returned": [json] }), &warnings), || {
        let place = place_text(&bin.place);
        let back = format!("{}  {}: back in {}, {place}, not listed", item.name(), item.title, bin.code);
        format!("{back}\n{}", refunded_text(given, &sale, refund.amount.is_none(), &currency))
    })?;
    session.warn(&warnings)?;
    Ok(Outcome::Done)
}

pub(super) fn refund(args: &RefundArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let refund = new_refund(
        Some(given_amount("AMOUNT", &args.amount, &currency)?),
        args.postage.as_deref(),
        args.on.as_deref(),
        &currency,
    )?;
    let register = session.register_for_change()?;
    let item = item_by_text(register, &args.code)?;
    let (given, _) = register.refund(&item, refund)?;
    note_ahead(refund.day, session)?;
    let (item, sale) = with_sale(&item, session)?;
    let json = RefundedJson::new((&item, &sale), (given, refund.postage), refund.day, &currency);
    session.answer(&json!({ "refunded": [json] }), || {
        format!("{}\n{}", item_line(&item), refunded_text(given, &sale, false, &currency))
    })?;
    Ok(Outcome::Done)
}

pub(super) fn gone(args: &GoneArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let why = Title::new(&args.why)?;
    let day = date("--on", args.on.as_deref())?.unwrap_or_else(today);
    let register = session.register_for_change()?;
    let items = items_by_text(register, &args.items)?;
    register.mark_gone(&items, &why, day)?;
    let items = fresh(register, &items)?;
    note_ahead(day, session)?;
    for item in items.iter().filter(|item| item.sold.is_some()) {
        note_sold(item, &currency, session)?;
    }
    session.answer(&json!({ "gone": items_json(&items, &currency) }), || {
        items.iter().map(item_line).collect::<Vec<_>>().join("\n")
    })?;
    Ok(Outcome::Done)
}

/// The buyer waits for it.
fn note_sold(item: &Item, currency: &Currency, session: &mut Session<'_, '_>) -> Result<(), CliError> {
    let name = item.name();
    let sale = session.register()?.sale_of(item)?;
    let paid = sale.and_then(|sale| sale.refundable()).map(|left| currency.format(left));
    let paid = paid.unwrap_or_else(|| "AMOUNT".into());
    session.note(&format!(
        "{name} is off the picking round and still sold: `stowmark refund {name} {paid}` gives the money back; \
         `stowmark put {name} --in BIN` puts it on the round again when it is found"
    ))
}

fn new_refund(
    amount_back: Option<Money>,
    postage: Option<&str>,
    on: Option<&str>,
    currency: &Currency,
) -> Result<NewRefund, CliError> {
    Ok(NewRefund {
        amount: amount_back,
        postage: amount("--postage", postage, currency)?.unwrap_or_default(),
        day: date("--on", on)?.unwrap_or_else(today),
    })
}

fn with_sale(item: &Item, session: &mut Session<'_, '_>) -> Result<(Item, Sale), CliError> {
    let register = session.register()?;
    let gone = || RegisterError::NotSold { item: item.name(), status: Status::Undone };
    let present = register.item(item.id())?.ok_or_else(gone)?;
    let sale = register.sale_of(item)?.ok_or_else(gone)?;
    Ok((present, sale))
}
