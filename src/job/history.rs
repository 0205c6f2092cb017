//! What happened when, in words for people.
//!
//! Start with [`happened`] for all changes, and [`history`] for one item or bin.

mod room_words;
mod words;

use std::collections::HashMap;

use jiff::{Timestamp, civil::Date, tz::TimeZone};

use crate::{
    register::{ChangeId, Found, Item, JournalEntry, JournalRow, PrintedOf, Register, RegisterError, RunKind, Version},
    unit::Currency,
};
use words::{Names, phrases, unchanged_text};

/// Something that happened: a change, a print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Happened {
    /// The number of the change; none for what is not taken back by its number.
    pub change: Option<ChangeId>,
    /// When, ISO 8601 in UTC.
    pub at: String,
    /// What was done.
    pub what: String,
    /// The change that it took back.
    pub undoes: Option<ChangeId>,
    /// The change that took it back.
    pub undone_by: Option<ChangeId>,
}

/// Something that happened to an item or a bin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HistoryLine {
    /// When, ISO 8601 in UTC.
    pub at: String,
    /// The change that it is a part of.
    pub change: Option<ChangeId>,
    /// What was done, in the register's words.
    pub action: String,
    /// What was done, in words for people.
    pub text: String,
}

/// The history of an item or a bin, the oldest first.
#[derive(Debug, Clone, PartialEq)]
pub struct HistoryOf {
    /// What it is the history of.
    pub of: Found,
    /// What happened.
    pub lines: Vec<HistoryLine>,
}

/// The last so many changes, prints and the like, of the days from one to another, the oldest first.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn happened(
    register: &Register,
    last: usize,
    from: Option<Date>,
    to: Option<Date>,
) -> Result<Vec<Happened>, RegisterError> {
    let (from, to) = instants(from, to);
    let mut doings = register.last_doings(last, &from, &to)?;
    doings.reverse();
    Ok(doings.into_iter().map(Happened::from).collect())
}

impl From<JournalEntry> for Happened {
    fn from(entry: JournalEntry) -> Self {
        let what = entry.row.as_ref().map_or(entry.what, unchanged_text);
        Self { change: entry.change, at: entry.at, what, undoes: entry.undoes, undone_by: entry.undone_by }
    }
}

/// Where days begin and end here, as the register writes instants.
fn instants(from: Option<Date>, to: Option<Date>) -> (String, String) {
    let begin = |day: Date| day.to_zoned_datetime(TimeZone::system()).map(|zoned| text_of(zoned.timestamp())).ok();
    let end = to.and_then(|day| day.tomorrow().ok()).and_then(begin);
    (from.and_then(begin).unwrap_or_default(), end.unwrap_or_else(|| "9999".into()))
}

fn text_of(instant: Timestamp) -> String {
    instant.strftime("%Y-%m-%dT%H:%M:%S%.3fZ").to_string()
}

/// What happened to an item or a bin: what the journal tells, and what was printed of it.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn history(
    register: &Register,
    of: &Found,
    currency: &Currency,
    last: Option<usize>,
    days: (Option<Date>, Option<Date>),
) -> Result<HistoryOf, RegisterError> {
    let (rows, prints) = match of {
        Found::Item(item) => (register.rows_of_item(item)?, register.prints_of_item(item)?),
        Found::Bin(bin) => (register.rows_of_bin(bin)?, register.prints_of_bin(bin)?),
    };
    let mut names = Names { register, currency, bins: HashMap::new(), of, asking: None };
    let mut lines = joined(rows, &mut names)?;
    lines.extend(prints.into_iter().map(print_line));
    lines.sort_by(|one, other| one.at.cmp(&other.at));
    let (from, to) = instants(days.0, days.1);
    lines.retain(|line| line.at >= from && line.at < to);
    let skipped = last.map_or(0, |last| lines.len().saturating_sub(last));
    Ok(HistoryOf { of: of.clone(), lines: lines.split_off(skipped) })
}

/// What happened to an item since a user saw it, the oldest first.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn history_since(
    register: &Register,
    item: &Item,
    seen: Version,
    currency: &Currency,
) -> Result<Vec<HistoryLine>, RegisterError> {
    let of = Found::Item(item.clone());
    let mut names = Names { register, currency, bins: HashMap::new(), of: &of, asking: None };
    joined(register.rows_of_item_since(item, seen)?, &mut names)
}

/// One line for all that a change did to it, and to each item of a bin.
fn joined(rows: Vec<JournalRow>, names: &mut Names<'_>) -> Result<Vec<HistoryLine>, RegisterError> {
    let mut lines: Vec<(Option<String>, HistoryLine)> = Vec::new();
    for row in rows {
        let text = phrases(&row, names)?.join(", ");
        if text.is_empty() {
            continue;
        }
        match lines.last_mut() {
            Some((item, line)) if row.change.is_some() && line.change == row.change && *item == row.item => {
                line.text.extend([", ", text.as_str()]);
            }
            _ => {
                let line = HistoryLine { at: row.at, change: row.change, action: row.action, text };
                lines.push((row.item, line));
            }
        }
    }
    let is_bin = matches!(names.of, Found::Bin(_));
    let with_item = |(item, line): (Option<String>, HistoryLine)| match item.filter(|_| is_bin) {
        Some(item) => HistoryLine { text: format!("{item} {}", line.text), ..line },
        None => line,
    };
    Ok(lines.into_iter().map(with_item).collect())
}

fn print_line(printed: PrintedOf) -> HistoryLine {
    let noun = RunKind::by_name(&printed.kind).map_or("label", RunKind::noun);
    let cancelled = if printed.is_cancelled { ", which was cancelled" } else { "" };
    let text = format!("{noun} printed in run {}{cancelled}", printed.run);
    HistoryLine { at: printed.at, change: None, action: "run printed".into(), text }
}
