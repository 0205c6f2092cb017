//! `stowmark takings`

use std::path::PathBuf;

use clap::ValueEnum;
use serde_json::json;

use super::{
    chart::chart,
    outcome::{CliError, Outcome},
    session::Session,
    table::{count, table},
    values::{amount, date},
    width::{width, wrapped},
};
use crate::{
    exchange::{PeriodRecord, takings_json, tenths_text},
    job::{TakingsFile, TakingsOptions, takings, write_takings},
    plan::{Age, Figures, Goal, Per, Takings, Worth},
    unit::{Balance, Currency},
};

const HELP: &str = "Bought counts by the day of purchase, else of entry. The value on the shelves is that of listed
items at the end of the last day, by what is asked for them today. Profit is what buyers paid
less fees, postage, the cost of the items sold, refunds and expenses; the cost of an item that
came back counts as stock again. A sale whose cost or price is not known is left out of the
profit and counted apart, and so are other amounts that are not known: * marks where. The cost
of what is gone is told, and no part of the profit.

margin        profit in percent of what buyers paid and did not get back
sell-through  sales of listed items in percent of those listed at the start or newly in the period
              (common practice)
days          from listing to sale, the median

Weeks are those of ISO 8601, from Monday. Without --per spans up to ten weeks are shown by
weeks. Without --from it begins with the year, or with the first day in it on which anything
happened; a goal counts from there as well. These are sums of what was entered, no tax advice.

Example:
  stowmark takings
  stowmark takings --from 2026-09-01 --per week --csv takings.csv --svg takings.svg
  stowmark takings --goal 3200 --by 2026-12-31";

const NO_ADVICE: &str = "Sums of what was entered; no tax advice.";

#[derive(Debug, clap::Args)]
#[command(after_help = HELP)]
pub(super) struct TakingsArgs {
    /// From this day on, such as 2026-11-01
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    from: Option<String>,
    /// Up to this day; else up to today
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    to: Option<String>,
    /// By what the days are gathered
    #[arg(long, value_enum, value_name = "PERIOD")]
    per: Option<PerName>,
    /// A profit that you want to reach
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true, requires = "by")]
    goal: Option<String>,
    /// The day by which you want it
    #[arg(long, value_name = "DATE", allow_hyphen_values = true, requires = "goal")]
    by: Option<String>,
    /// Put the figures into this file as well
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Draw revenue and profit into this file as well
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Begin the CSV file with a byte order mark
    #[arg(long, requires = "csv")]
    bom: bool,
    /// Replace files that are there
    #[arg(long)]
    force: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum PerName {
    Week,
    Month,
}

pub(super) fn run(args: &TakingsArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let options = options(args, &currency)?;
    let register = session.register()?;
    let (takings, goal) = takings(register, &options)?;
    let files = [(&args.csv, TakingsFile::Csv { mark: args.bom }), (&args.svg, TakingsFile::Svg)];
    let files: Vec<(PathBuf, TakingsFile)> =
        files.into_iter().filter_map(|(path, form)| Some((path.clone()?, form))).collect();
    write_takings(register, &takings, &files, args.force)?;
    let names: Vec<String> = files.iter().map(|(path, _)| path.display().to_string()).collect();
    let mut json = takings_json(&takings, goal.as_ref(), &currency);
    json["files"] = json!(names);
    session.answer(&json, || text(&takings, goal.as_ref(), &names, &currency, width()))?;
    Ok(Outcome::Done)
}

fn options(args: &TakingsArgs, currency: &Currency) -> Result<TakingsOptions, CliError> {
    let goal = amount("--goal", args.goal.as_deref(), currency)?;
    Ok(TakingsOptions {
        from: date("--from", args.from.as_deref())?,
        to: date("--to", args.to.as_deref())?,
        per: args.per.map(|per| match per {
            PerName::Week => Per::Week,
            PerName::Month => Per::Month,
        }),
        goal: goal.zip(date("--by", args.by.as_deref())?),
    })
}

fn text(takings: &Takings, goal: Option<&Goal>, files: &[String], currency: &Currency, width: usize) -> String {
    let mut records = PeriodRecord::each(takings);
    let bars = chart(&records, currency, width);
    if records.len() > 1 {
        records.push(PeriodRecord::total(takings));
    }
    let mut parts = vec![
        heading(takings, currency),
        blocks(&records, &earned(currency), width),
        bars,
        blocks(&records, &stock(currency), width),
        ages(takings, currency),
    ];
    parts.extend(goal.map(|goal| wrapped(&goal_text(goal, takings, currency), width)));
    let mut notes = notes(&takings.total, currency);
    notes.extend(files.iter().map(|file| format!("written: {file}")));
    notes.push(NO_ADVICE.into());
    parts.push(wrapped(&notes.join("\n"), width));
    parts.retain(|part| !part.is_empty());
    parts.join("\n\n")
}

fn heading(takings: &Takings, currency: &Currency) -> String {
    let days = takings.periods.from().zip(takings.periods.to());
    let days = days.map(|(from, to)| format!("{from} to {to}")).unwrap_or_default();
    let unit = if currency.is_none() { String::new() } else { format!(", in {}", currency.code()) };
    format!("Takings from {days}{unit}")
}

/// A column of a table of periods.
struct Shown<'a> {
    heading: &'static str,
    cell: Box<dyn Fn(&Figures) -> String + 'a>,
}

fn shown<'a>(heading: &'static str, cell: impl Fn(&Figures) -> String + 'a) -> Shown<'a> {
    Shown { heading, cell: Box::new(cell) }
}

fn earned(currency: &Currency) -> Vec<Shown<'_>> {
    let money = |balance: Balance| currency.format_balance(balance);
    vec![
        shown("sold#", |figures| figures.sold.count.to_string()),
        shown("revenue#", |figures| tally(figures.sold, currency)),
        shown("fees#", move |figures| money(figures.fees)),
        shown("postage#", move |figures| money(figures.postage + figures.return_postage)),
        shown("cost#", |figures| tally(figures.sold_cost, currency)),
        shown("returned#", |figures| tally(figures.returned, currency)),
        shown("refunds#", move |figures| money(figures.refunds)),
        shown("expenses#", move |figures| money(figures.expenses)),
        shown("profit#", move |figures| marked(money(figures.profit), figures.profit_unknown)),
        shown("margin#", |figures| percent(figures.margin)),
    ]
}

fn stock(currency: &Currency) -> Vec<Shown<'_>> {
    vec![
        shown("bought#", |figures| figures.bought.count.to_string()),
        shown("for#", |figures| tally(figures.bought, currency)),
        shown("listed#", |figures| figures.listed.count.to_string()),
        shown("worth#", |figures| tally(figures.listed, currency)),
        shown("shelves#", |figures| figures.shelves.count.to_string()),
        shown("worth#", |figures| tally(figures.shelves, currency)),
        shown("sell-through#", |figures| percent(figures.sell_through)),
        shown("days#", |figures| figures.days_to_sell.map(tenths_text).unwrap_or_default()),
    ]
}

fn tally(tally: Worth, currency: &Currency) -> String {
    marked(currency.format_balance(tally.amount), tally.unknown)
}

/// `*` where something is not known.
fn marked(amount: String, unknown: i64) -> String {
    if unknown > 0 { amount + "*" } else { amount }
}

fn percent(tenths: Option<i64>) -> String {
    tenths.map(|tenths| tenths_text(tenths) + " %").unwrap_or_default()
}

/// A heading and the cells below it.
type Cells = (&'static str, Vec<String>);

/// The columns in as few tables as the width allows, each with the periods before it.
fn blocks(records: &[PeriodRecord], columns: &[Shown<'_>], width: usize) -> String {
    let names: Vec<String> = records.iter().map(|record| record.name.clone()).collect();
    let first = names.iter().map(String::len).max().unwrap_or(0).max("period".len());
    let cells = |column: &Shown<'_>| {
        (column.heading, aligned(records.iter().map(|record| (column.cell)(&record.figures)).collect()))
    };
    let columns: Vec<Cells> = columns.iter().map(cells).collect();
    let room = width.saturating_sub(first);
    let fewest = split(&columns, room).len();
    // The narrowest that needs no more tables: about the same in each.
    let even = (0..room).find(|room| split(&columns, *room).len() == fewest).unwrap_or(room);
    split(&columns, even).into_iter().map(|columns| block(&names, columns)).collect::<Vec<_>>().join("\n\n")
}

/// As many columns in a row as have room, at least one.
fn split(columns: &[Cells], room: usize) -> Vec<&[Cells]> {
    let mut rows = Vec::new();
    let (mut start, mut used) = (0, 0);
    for (at, column) in columns.iter().enumerate() {
        let wide = wide(column);
        if at > start && used + wide > room {
            rows.push(&columns[start..at]);
            (start, used) = (at, 0);
        }
        used += wide;
    }
    rows.push(&columns[start..]);
    rows
}

/// With the gap before it.
fn wide((heading, cells): &Cells) -> usize {
    cells.iter().map(|cell| cell.chars().count()).max().unwrap_or(0).max(heading.len() - 1) + 2
}

/// Digits stand below each other also where some have a mark behind them.
fn aligned(cells: Vec<String>) -> Vec<String> {
    if !cells.iter().any(|cell| cell.ends_with('*')) {
        return cells;
    }
    // A space that no table takes for an end.
    cells.into_iter().map(|cell| if cell.ends_with('*') { cell } else { cell + "\u{a0}" }).collect()
}

fn block(names: &[String], columns: &[Cells]) -> String {
    let headings: Vec<&str> = std::iter::once("period").chain(columns.iter().map(|(heading, _)| *heading)).collect();
    let row = |(at, name): (usize, &String)| {
        std::iter::once(name.clone()).chain(columns.iter().map(|(_, cells)| cells[at].clone())).collect()
    };
    table(&headings, names.iter().enumerate().map(row)).replace('\u{a0}', " ")
}

fn ages(takings: &Takings, currency: &Currency) -> String {
    let days = |age: &Age| match age.to {
        Some(to) => format!("{} to {to} days", age.from),
        None => format!("{} days or more", age.from),
    };
    let columns = [
        aligned(takings.ages.iter().map(|age| age.cost.count.to_string()).collect()),
        aligned(takings.ages.iter().map(|age| tally(age.cost, currency)).collect()),
        aligned(takings.ages.iter().map(|age| tally(age.asking, currency)).collect()),
    ];
    let row = |(at, age): (usize, &Age)| {
        std::iter::once(days(age)).chain(columns.iter().map(|cells| cells[at].clone())).collect()
    };
    let headings = ["left, by age", "items#", "cost#", "asking#"];
    table(&headings, takings.ages.iter().enumerate().map(row)).replace('\u{a0}', " ")
}

fn goal_text(goal: &Goal, takings: &Takings, currency: &Currency) -> String {
    let money = |balance: Balance| currency.format_balance(balance);
    let from = takings.periods.from().map(|from| from.to_string()).unwrap_or_default();
    let (wanted, profit) = (currency.format(goal.goal), money(goal.profit));
    let pace = format!(
        "Pace so far {} a week; going on like this it is {} by {}.",
        money(goal.pace_a_week),
        money(goal.expected),
        goal.by
    );
    if goal.needed == Balance::ZERO {
        return format!("Goal of {wanted} by {}: reached, {profit} since {from}.\n{pace}", goal.by);
    }
    let left = count(u64::from(goal.days_left.unsigned_abs()), "day");
    let (needed, weekly) = (money(goal.needed), money(goal.needed_a_week));
    let by = goal.by;
    format!(
        "Goal of {wanted} by {by}: {profit} since {from}, {needed} to go.\n\
         Needed {weekly} a week in the {left} left.\n{pace}"
    )
}

/// What is not in the figures.
fn notes(total: &Figures, currency: &Currency) -> Vec<String> {
    let items = |number: i64, noun: &str| count(number.unsigned_abs(), noun);
    let mut notes = Vec::new();
    if total.profit_unknown > 0 {
        let sales = items(total.profit_unknown, "sale");
        notes.push(format!(
            "* profit without {sales} whose cost or price is not known; `stowmark item edit CODE --cost AMOUNT` tells a cost"
        ));
    }
    let unknown = [
        (total.bought.unknown, "cost", "bought"),
        (total.listed.unknown.max(total.shelves.unknown), "asking price", "listed"),
    ];
    for (number, what, how) in unknown.into_iter().filter(|(number, ..)| *number > 0) {
        notes.push(format!("* {} {how} whose {what} is not known", items(number, "item")));
    }
    if total.gone.count > 0 {
        let (gone, cost) = (items(total.gone.count, "item"), tally(total.gone, currency));
        notes.push(format!("{gone} gone that had cost {cost}: no part of the profit"));
    }
    notes
}
