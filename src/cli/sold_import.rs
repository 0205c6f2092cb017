//! `stowmark sold import`

use std::path::PathBuf;

use serde_json::{Map, Value, json};

use super::{
    ask::must_ask,
    import::{DatesName, ask_order, asked, mapping_json, refused_json},
    outcome::{CliError, Outcome},
    preview::columns,
    session::Session,
    sold::{note_unpriced, sales, sold_table, today},
    table::{count, short, table},
};
use crate::{
    exchange::{DateOrderError, sale_json::SoldJson},
    job::{ByTitle, DraftSale, ImportError, OrderDraft, OrderOptions, draft_orders, row_text},
    register::{Item, Sale},
    unit::{Currency, Money},
};

pub(super) const HELP: &str = "\
The first line holds the headings, in any order and common wordings:
  code   code, SKU, stock code          fees     fees, selling fees, commission
  title  title, item, description       postage  postage, postage cost, shipping cost
  price  price, total, sold for         date     date, sold on, order date
  order  order, order number, order id
What the headings don't tell you say with --map; it is remembered for files with the same headings.
The price is all that the buyer paid for the item of that row, the postage what you paid; a row
without a price is sold at a price that is not known.

Items are found by their code or by a label from before. Rows without a code are found by their
title: on a terminal each is shown before you are asked, and --yes takes those of which just one
item has that very title; else they are refused. Rows whose order (or day, where there is no
order) is on record for that item are left out, so that files may overlap.

Either all rows come in or none; every bad row is listed with its line.

Example:
  stowmark sold import orders.csv
  stowmark sold import orders.csv --map order=Reference --dates day-first
  stowmark sold import orders.csv --yes --skip-bad";

#[derive(Debug, clap::Args)]
pub(super) struct SoldImportArgs {
    /// The file
    file: PathBuf,
    /// The heading of a field, such as price=\"Order total\"; `fees=` leaves fees unread
    #[arg(long, value_name = "FIELD=HEADING")]
    map: Vec<String>,
    /// How dates such as 3/4/2026 are read
    #[arg(long, value_enum, value_name = "ORDER")]
    dates: Option<DatesName>,
    /// Read dates so for all files with these headings
    #[arg(long, requires = "dates")]
    remember: bool,
    /// Take the good rows and put the others into a file beside this one
    #[arg(long)]
    skip_bad: bool,
    /// Don't ask, and take titles that just one item has
    #[arg(long)]
    yes: bool,
}

/// Rows that are named one by one; of more only the first few are.
const NAMED: usize = 10;

pub(super) fn run(args: &SoldImportArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let asks = must_ask(session.io().interactive, session.json(), args.yes);
    let draft = draft_or_ask(options(args, asks)?, session)?;
    if asks && !draft.sales.is_empty() {
        session.say(&preview(&draft, &currency))?;
        if !session.ask_yes("Go ahead?")? {
            return Err(CliError::NotConfirmed("no `y` was given"));
        }
    } else {
        tell(&draft, session)?;
    }
    let (mut json, known) = (draft_json(&draft), draft.known.len());
    let refused = draft.refused.clone();
    let register = session.register_for_change()?;
    let entered = draft.enter(register).map_err(CliError::Orders)?;
    let sold = sales(register, &entered.items)?;
    for row in &refused {
        session.note(&row_text(&args.file, row))?;
    }
    note_unpriced(&sold, session)?;
    let file = entered.refused_file.map(|file| file.display().to_string());
    json.insert("sold".into(), json!(sold_json(&sold, &currency)));
    json.insert("refused_file".into(), json!(file));
    session.answer(&json, || text(&sold, (known, refused.len()), file.as_deref(), &currency))?;
    Ok(Outcome::Done)
}

fn options(args: &SoldImportArgs, asks: bool) -> Result<OrderOptions, CliError> {
    let by_title = match (args.yes, asks) {
        (true, _) => ByTitle::Exact,
        (false, true) => ByTitle::Shown,
        (false, false) => ByTitle::Refused,
    };
    Ok(OrderOptions {
        file: args.file.clone(),
        skip_bad: args.skip_bad,
        columns: asked(&args.map)?,
        dates: args.dates.map(DatesName::order),
        remember_dates: args.remember,
        by_title,
        today: today(),
    })
}

/// Asks for the order of dates where nothing tells and somebody is there.
fn draft_or_ask(mut options: OrderOptions, session: &mut Session<'_, '_>) -> Result<OrderDraft, CliError> {
    let first = draft_orders(session.register()?, &options);
    if let Err(ImportError::Dates { source: open @ DateOrderError::Open { .. }, .. }) = &first
        && session.can_ask()
    {
        options.dates = Some(ask_order(open, session)?);
        return draft_orders(session.register()?, &options).map_err(CliError::Orders);
    }
    first.map_err(CliError::Orders)
}

/// What a preview would show, as far as it could surprise.
fn tell(draft: &OrderDraft, session: &mut Session<'_, '_>) -> Result<(), CliError> {
    let unread = draft.mapping.unread();
    if !unread.is_empty() {
        session.note(&format!("not read, their headings are not known: {}", unread.join(", ")))?;
    }
    draft.notes.iter().try_for_each(|note| session.note(&note.to_string()))?;
    for sale in draft.sales.iter().filter(|sale| sale.by_title.is_some()) {
        session.note(&by_title_text(sale))?;
    }
    known_lines(draft).iter().try_for_each(|line| session.note(line))
}

fn by_title_text(sale: &DraftSale) -> String {
    let title = sale.by_title.as_ref().map(|title| short(title.as_str())).unwrap_or_default();
    format!("line {}: `{title}` taken for {}  {}", sale.line, sale.item.name(), short(&sale.item.title))
}

fn known_lines(draft: &OrderDraft) -> Vec<String> {
    let mut lines: Vec<String> = draft.known.iter().take(NAMED).map(ToString::to_string).collect();
    if draft.known.len() > NAMED {
        lines.push(format!("… and {} more that are on record", draft.known.len() - NAMED));
    }
    lines
}

/// The columns, the first rows as they would come in, and all that were found by their titles.
fn preview(draft: &OrderDraft, currency: &Currency) -> String {
    let rows = count(draft.rows as u64, "row");
    let mut parts = vec![format!("{}: {rows}", draft.path().display()), columns(&draft.mapping, draft.dates, "date")];
    parts.extend(draft.notes.iter().map(ToString::to_string));
    parts.push(draft_table(&draft.sales, currency));
    let by_title: Vec<String> = draft.sales.iter().filter(|sale| sale.by_title.is_some()).map(by_title_text).collect();
    if !by_title.is_empty() {
        parts.push(format!("Found by title, look at each:\n{}", by_title.join("\n")));
    }
    if !draft.known.is_empty() {
        parts.push(format!("Left out:\n{}", known_lines(draft).join("\n")));
    }
    parts.push(format!("{} to be sold{}.", count(draft.sales.len() as u64, "item"), rest(draft)));
    parts.join("\n\n")
}

fn rest(draft: &OrderDraft) -> String {
    let known = draft.known.len();
    let known = if known > 0 { format!(", {known} on record already") } else { String::new() };
    let refused = draft.refused.len();
    let refused = if refused > 0 { format!(", {} left out", count(refused as u64, "bad row")) } else { String::new() };
    known + &refused
}

fn draft_table(sales: &[DraftSale], currency: &Currency) -> String {
    let amount = |money: Option<Money>| money.map_or_else(|| "?".into(), |money| currency.format(money));
    let row = |sale: &DraftSale| {
        vec![
            sale.item.name(),
            short(&sale.item.title),
            sale.sale.day.to_string(),
            sale.sale.order.as_ref().map(|order| order.as_str().to_owned()).unwrap_or_default(),
            amount(sale.sale.price),
            amount(Some(sale.sale.fees)),
            amount(Some(sale.sale.postage)),
        ]
    };
    let headings = ["code", "title", "sold", "order", "price#", "fees#", "postage#"];
    let shown = table(&headings, sales.iter().take(NAMED).map(row));
    if sales.len() > NAMED { format!("{shown}\n… and {} more", sales.len() - NAMED) } else { shown }
}

fn draft_json(draft: &OrderDraft) -> Map<String, Value> {
    let notes: Vec<String> = draft.notes.iter().map(ToString::to_string).collect();
    let known: Vec<Value> = draft.known.iter().map(|row| json!({ "line": row.line, "code": row.item })).collect();
    let titles = draft.sales.iter().filter(|sale| sale.by_title.is_some());
    let titles: Vec<Value> = titles.map(|sale| json!({ "line": sale.line, "code": sale.item.name() })).collect();
    [
        ("skipped", json!(known)),
        ("by_title", json!(titles)),
        ("refused", json!(refused_json(&draft.refused))),
        ("columns", json!(mapping_json(&draft.mapping))),
        ("unread", json!(draft.mapping.unread())),
        ("dates", json!(draft.dates)),
        ("notes", json!(notes)),
    ]
    .into_iter()
    .map(|(name, value)| (name.to_owned(), value))
    .collect()
}

fn sold_json(sold: &[(Item, Sale)], currency: &Currency) -> Vec<SoldJson> {
    sold.iter().map(|(item, sale)| SoldJson::new(item, sale, currency)).collect()
}

fn text(sold: &[(Item, Sale)], (known, left_out): (usize, usize), file: Option<&str>, currency: &Currency) -> String {
    let mut lines = Vec::new();
    if !sold.is_empty() {
        lines.push(sold_table(sold, currency));
    }
    let on_record = if known > 0 { format!(", {known} on record already") } else { String::new() };
    lines.push(format!("{} sold{on_record}", count(sold.len() as u64, "item")));
    if let Some(file) = file {
        lines.push(format!("{} left out; mend and import {file}", count(left_out as u64, "row")));
    }
    if !sold.is_empty() {
        lines.push("`stowmark pick` shows where to take it from".into());
    }
    lines.join("\n")
}
