//! `stowmark item import`

use std::path::PathBuf;

use clap::ValueEnum;
use serde_json::{Map, Value, json};

use super::{
    ask::must_ask,
    outcome::{CliError, Outcome},
    preview::preview,
    room::{placing_json, placing_text, with_warnings},
    session::Session,
    table::{count, item_line, items_json},
    values::amount,
};
use crate::{
    exchange::{Asked, DateOrder, DateOrderError, Mapping, RefusedRow, json::RefusedJson},
    job::{
        Draft, ImportError, ImportOptions, Imported, Lot, LotBy, Placement, RoomWarning, bin_by_text, draft,
        room_warnings, row_text,
    },
    register::{Item, Register},
    unit::Currency,
};

pub(super) const HELP: &str = "\
The first line holds the headings, in any order and common wordings:
  title   title, item, description, name        bought  bought, date bought, purchase date
  cost    cost, paid, purchase price            bin     bin, tub, box
  asking  asking, list price, price             old     old code, old number, SKU, barcode
  note    note, remark, comment                 code    code: an item of this register
  litres  litres                                grams   grams
  length, width, height (all three, in cm), or measures: 30x20x10
  size    size: a name that `size list` has
What the headings don\'t tell you say with --map; it is remembered for files with the same headings.
Other columns are left alone. Commas, semicolons or tabs, UTF-8, UTF-16 or Windows-1252.

A row that names a bin goes there, another into --bin. Without --bin it goes where it fits best, if
any bin has a volume: the preview says where, how full bins get, and how much of that is assumed.
--together takes as few bins as it can. What fits nowhere waits until `put` gives it a bin, as all
do with --wait, or where no bin has a volume.
Several old codes in one cell are parted by `;`. A row with a code changes that item: an empty cell
takes the value away, but a bin or an old code stays. So an exported file can be edited and
imported again.

--lot-cost is shared by the new items that have no cost of their own, to the last cent. It needs
all rows to be in order, so that none is left out of the sharing.

Either all rows come in or none; every bad row is listed with its line. On a terminal you see the
first rows and are asked before anything is done.

Example:
  stowmark item import buys.csv --bin 4A
  stowmark item import buys.csv --together
  stowmark item import lot.csv --bin 4A --lot-cost 35 --lot-by asking
  stowmark item import stock.csv --map title=\"Item name\" --map old=Number --dates day-first";

#[expect(clippy::struct_excessive_bools, reason = "each is a flag of its own")]
#[derive(Debug, clap::Args)]
pub(super) struct ImportArgs {
    /// The file
    file: PathBuf,
    /// The bin for new items whose row names none
    #[arg(long, value_name = "CODE")]
    bin: Option<String>,
    /// Keep those that are put where they fit in as few bins as it can
    #[arg(long, conflicts_with = "bin")]
    together: bool,
    /// Leave new items whose row names no bin waiting
    #[arg(long, conflicts_with_all = ["bin", "together"])]
    wait: bool,
    /// The heading of a field, such as title="Item name"; `note=` leaves notes unread
    #[arg(long, value_name = "FIELD=HEADING")]
    map: Vec<String>,
    /// How dates such as 3/4/2026 are read
    #[arg(long, value_enum, value_name = "ORDER")]
    dates: Option<DatesName>,
    /// Read dates so for all files with these headings
    #[arg(long, requires = "dates")]
    remember: bool,
    /// What all of it cost together
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true, conflicts_with = "skip_bad")]
    lot_cost: Option<String>,
    /// How that is shared: evenly, or by asking price
    #[arg(long, value_enum, value_name = "HOW", default_value = "even", requires = "lot_cost")]
    lot_by: LotByName,
    /// Take the good rows and put the others into a file beside this one
    #[arg(long)]
    skip_bad: bool,
    /// Take the file although it was imported before
    #[arg(long)]
    again: bool,
    /// Go ahead without asking
    #[arg(long)]
    yes: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum DatesName {
    /// 3 April
    DayFirst,
    /// 4 March
    MonthFirst,
}

impl DatesName {
    pub(super) fn order(self) -> DateOrder {
        match self {
            Self::DayFirst => DateOrder::DayFirst,
            Self::MonthFirst => DateOrder::MonthFirst,
        }
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum LotByName {
    Even,
    Asking,
}

/// New items that are named one by one; of more only the first few are.
const NAMED: usize = 10;

pub(super) fn run(args: &ImportArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let options = options(args, &currency, session)?;
    let draft = draft_or_ask(options, session)?;
    let asks = must_ask(session.io().interactive, session.json(), args.yes);
    if asks {
        let text = preview(&draft, &currency);
        session.say(&text)?;
        if !session.ask_yes("Go ahead?")? {
            return Err(CliError::NotConfirmed("no `y` was given"));
        }
    } else {
        tell(&draft, session)?;
    }
    let mut json = draft_json(&draft);
    // A preview has shown it already.
    let placing = draft.placing.as_ref().filter(|_| !asks).map(placing_text);
    let imported = draft.enter(session.register_for_change()?)?;
    for row in &imported.refused {
        session.note(&row_text(&args.file, row))?;
    }
    // All is in, whatever comes of reading the bins for a warning.
    let warnings = warnings(session.register()?, &imported);
    session.warn(&warnings)?;
    if session.json() {
        // A hundred thousand items are not written out when nobody asked.
        json.extend(imported_json(&imported, &currency));
    }
    session.answer(&with_warnings(Value::Object(json), &warnings), || text(&imported, placing))?;
    Ok(Outcome::Done)
}

fn warnings(register: &Register, imported: &Imported) -> Vec<RoomWarning> {
    let all: Vec<Item> = imported.items.iter().chain(&imported.changed).cloned().collect();
    room_warnings(register, &all).unwrap_or_default()
}

fn options(args: &ImportArgs, currency: &Currency, session: &mut Session<'_, '_>) -> Result<ImportOptions, CliError> {
    let cost = amount("--lot-cost", args.lot_cost.as_deref(), currency)?;
    let by = match args.lot_by {
        LotByName::Even => LotBy::Even,
        LotByName::Asking => LotBy::Asking,
    };
    let register = session.register_for_change()?;
    Ok(ImportOptions {
        file: args.file.clone(),
        bin: args.bin.as_deref().map(|bin| bin_by_text(register, bin)).transpose()?.map(|bin| bin.code),
        placement: match (args.together, args.wait) {
            (true, _) => Placement::Together,
            (_, true) => Placement::Wait,
            _ => Placement::BestFit,
        },
        skip_bad: args.skip_bad,
        again: args.again,
        columns: asked(&args.map)?,
        dates: args.dates.map(DatesName::order),
        remember_dates: args.remember,
        lot: cost.map(|cost| Lot { cost, by }),
    })
}

/// What `--map` says.
pub(super) fn asked(maps: &[String]) -> Result<Vec<Asked>, CliError> {
    Ok(maps.iter().map(|map| map.parse()).collect::<Result<_, _>>()?)
}

/// Asks for the order of dates where nothing tells and somebody is there.
fn draft_or_ask(mut options: ImportOptions, session: &mut Session<'_, '_>) -> Result<Draft, CliError> {
    let first = draft(session.register()?, &options);
    if let Err(ImportError::Dates { source: open @ DateOrderError::Open { .. }, .. }) = &first
        && session.can_ask()
    {
        options.dates = Some(ask_order(open, session)?);
        return Ok(draft(session.register()?, &options)?);
    }
    Ok(first?)
}

/// Asks in which order dates are written.
pub(super) fn ask_order(open: &DateOrderError, session: &mut Session<'_, '_>) -> Result<DateOrder, CliError> {
    let DateOrderError::Open { line, text, day_first, month_first } = open else {
        return Err(CliError::NotConfirmed("the order of dates can't be told"));
    };
    let [day, month] = [day_first, month_first].map(|date| date.strftime("%-d %B").to_string());
    session.say(&format!("`{text}` (line {line}): is that {day} or {month}? No other date of the file tells."))?;
    match session.ask(&format!("1 for {day}, 2 for {month}:"))?.as_str() {
        "1" => Ok(DateOrder::DayFirst),
        "2" => Ok(DateOrder::MonthFirst),
        _ => Err(CliError::NotConfirmed("neither 1 nor 2 was given")),
    }
}

/// What a preview would show, as far as it could surprise.
fn tell(draft: &Draft, session: &mut Session<'_, '_>) -> Result<(), CliError> {
    let unknown = draft.mapping.unknown();
    if !unknown.is_empty() {
        session.note(&format!("not read, their headings are not known: {}", unknown.join(", ")))?;
    }
    draft.mapping.partial().iter().try_for_each(|partial| session.note(&format!("not read, {partial}")))?;
    draft.notes.iter().try_for_each(|note| session.note(&note.to_string()))
}

/// The headings of the fields that were read.
pub(super) fn mapping_json(mapping: &Mapping) -> Map<String, Value> {
    mapping.fields().map(|(field, heading)| (field.name.to_owned(), json!(heading))).collect()
}

fn draft_json(draft: &Draft) -> Map<String, Value> {
    let notes: Vec<String> = draft.notes.iter().map(ToString::to_string).collect();
    let placing = draft.placing.as_ref().map(|placing| ("placing", placing_json(placing)));
    [
        ("columns", json!(mapping_json(&draft.mapping))),
        ("unread", json!(draft.mapping.unread())),
        ("dates", json!(draft.dates)),
        ("notes", json!(notes)),
    ]
    .into_iter()
    .chain(placing)
    .map(|(name, value)| (name.to_owned(), value))
    .collect()
}

fn imported_json(imported: &Imported, currency: &Currency) -> Map<String, Value> {
    let file = imported.refused_file.as_ref().map(|file| file.display().to_string());
    [
        ("items", json!(items_json(&imported.items, currency))),
        ("changed", json!(items_json(&imported.changed, currency))),
        ("unchanged", json!(imported.unchanged)),
        ("refused", json!(refused_json(&imported.refused))),
        ("refused_file", json!(file)),
    ]
    .into_iter()
    .map(|(name, value)| (name.to_owned(), value))
    .collect()
}

fn text(imported: &Imported, placing: Option<String>) -> String {
    let mut lines = named(&imported.changed);
    lines.extend(named(&imported.items));
    lines.extend(placing);
    lines.push(sum(imported));
    if let Some(file) = &imported.refused_file {
        let rows = count(imported.refused.len() as u64, "row");
        lines.push(format!("{rows} left out; mend and import {}", file.display()));
    }
    lines.join("\n")
}

fn named(items: &[Item]) -> Vec<String> {
    let mut lines: Vec<String> = items.iter().take(NAMED).map(item_line).collect();
    if items.len() > NAMED {
        lines.push(format!("… and {} more", items.len() - NAMED));
    }
    lines
}

/// `2 items changed, 5 are as they were; 3 items came in, 1 of them waits: …`
fn sum(imported: &Imported) -> String {
    let (new, changed, same) = (imported.items.len(), imported.changed.len(), imported.unchanged);
    let waiting = imported.items.iter().filter(|item| item.code.is_none()).count();
    let came = format!("{} came in", count(new as u64, "item"));
    let next = match (new, waiting) {
        (0, _) => None,
        (_, 0) => Some(format!("{came}; `stowmark tag` prints their tags")),
        (1, _) => Some(format!("{came} and waits for a bin: `stowmark put --waiting --in BIN`")),
        (_, waiting) if waiting == new => Some(format!("{came} and wait for a bin: `stowmark put --waiting --in BIN`")),
        (_, waiting) => {
            let wait = if waiting == 1 { "waits" } else { "wait" };
            Some(format!("{came}, {waiting} of them {wait} for a bin: `stowmark put --waiting --in BIN`"))
        }
    };
    let known = (changed + same > 0).then(|| format!("{} changed, {same} as they were", count(changed as u64, "item")));
    [known, next].into_iter().flatten().collect::<Vec<_>>().join("\n")
}

pub(super) fn refused_json(refused: &[RefusedRow]) -> Vec<RefusedJson> {
    let row = |row: &RefusedRow| RefusedJson { line: row.line, column: row.column, reason: row.reason.clone() };
    refused.iter().map(row).collect()
}
