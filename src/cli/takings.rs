//! `stowmark takings`

use std::path::PathBuf;

use clap::ValueEnum;
use serde_json::json;

use super::{
    chart::chart,
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
    values::{amount, date},
    width::{width, wrapped},
};
use crate::{
    exchange::{PeriodRecord, takings_json},
    job::{
        NO_TAX_ADVICE, TakingsColumn, TakingsFile, TakingsOptions, age_columns, age_text, earned_columns, goal_text,
        stock_columns, takings, takings_heading, takings_notes, write_takings,
    },
    plan::{Age, Goal, Per, Takings},
    unit::Currency,
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
    Year,
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
            PerName::Year => Per::Year,
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
        takings_heading(takings, currency),
        blocks(&records, &earned_columns(currency), width),
        bars,
        blocks(&records, &stock_columns(currency), width),
        ages(takings, currency),
    ];
    parts.extend(goal.map(|goal| wrapped(&goal_text(goal, takings, currency), width)));
    let mut notes = takings_notes(&takings.total, currency);
    notes.extend(files.iter().map(|file| format!("written: {file}")));
    notes.push(NO_TAX_ADVICE.into());
    parts.push(wrapped(&notes.join("\n"), width));
    parts.retain(|part| !part.is_empty());
    parts.join("\n\n")
}

/// A heading and the cells below it.
type Cells = (&'static str, Vec<String>);

/// The columns in as few tables as the width allows, each with the periods before it.
fn blocks(records: &[PeriodRecord], columns: &[TakingsColumn<'_>], width: usize) -> String {
    let names: Vec<String> = records.iter().map(|record| record.name.clone()).collect();
    let first = names.iter().map(String::len).max().unwrap_or(0).max("period".len());
    let cells = |column: &TakingsColumn<'_>| {
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
    let columns = age_columns().map(|(_, cell)| aligned(takings.ages.iter().map(|age| cell(age, currency)).collect()));
    let row = |(at, age): (usize, &Age)| {
        std::iter::once(age_text(age)).chain(columns.iter().map(|cells| cells[at].clone())).collect()
    };
    let headings = ["left, by age", "items#", "cost#", "asking#"];
    table(&headings, takings.ages.iter().enumerate().map(row)).replace('\u{a0}', " ")
}
