//! Whether the journal adds up to what is there.
//!
//! Each row of the journal takes the columns before it away from a sum that is kept for its row, and adds those after
//! it; what is there now must then be all that is left. Sums don't care for the order, so that one pass over the journal
//! and one over each table are enough, and a number for each row is all that is kept.

use std::{
    collections::HashMap,
    hash::{DefaultHasher, Hash, Hasher},
};

use rusqlite::Connection;
use serde_json::{Map, Value};

use super::{Checked, RESTORE, written};
use crate::register::{
    RegisterError,
    row::{Key, Row, for_subject, image},
    undo::columns,
};

/// Each table that is journaled, and its keys.
const SUBJECTS: [(&str, &str); 15] = [
    ("item", "SELECT id FROM item"),
    ("bin", "SELECT id FROM bin"),
    ("spot", "SELECT id FROM spot"),
    ("area", "SELECT number FROM area"),
    ("name", "SELECT payload FROM name WHERE old IS NOT NULL"),
    ("setting", "SELECT name FROM setting"),
    ("import", "SELECT id FROM import"),
    ("sale", "SELECT id FROM sale"),
    ("refund", "SELECT id FROM refund"),
    ("expense", "SELECT id FROM expense"),
    ("tally", "SELECT id FROM tally"),
    ("bin_kind", "SELECT name FROM bin_kind"),
    ("item_size", "SELECT name FROM item_size"),
    ("regroup", "SELECT id FROM regroup"),
    ("regroup_move", "SELECT id FROM regroup_move"),
];

/// The sums of a table's rows.
#[derive(Default)]
struct Sums {
    numbers: HashMap<i64, u64>,
    texts: HashMap<String, u64>,
}

impl Sums {
    fn of(&mut self, key: Key) -> &mut u64 {
        match key {
            Key::Number(number) => self.numbers.entry(number).or_default(),
            Key::Text(text) => self.texts.entry(text).or_default(),
        }
    }

    fn take(&mut self, key: &Key) -> Option<u64> {
        match key {
            Key::Number(number) => self.numbers.remove(number),
            Key::Text(text) => self.texts.remove(text),
        }
    }

    /// Rows that the journal tells of and that are not there.
    fn left_over(self) -> impl Iterator<Item = String> {
        let numbers = self.numbers.into_iter().map(|(key, sum)| (key.to_string(), sum));
        numbers.chain(self.texts).filter(|(_, sum)| *sum != 0).map(|(key, _)| key)
    }
}

pub(super) fn check(connection: &Connection, found: &mut Checked) -> Result<(), RegisterError> {
    let mut sums: HashMap<&str, Sums> = SUBJECTS.iter().map(|(subject, _)| (*subject, Sums::default())).collect();
    add_journal(connection, &mut sums, found)?;
    for (subject, keys) in SUBJECTS {
        let of_table = sums.remove(subject).unwrap_or_default();
        let outcome = compare(connection, (subject, keys), of_table, found);
        found.attempt(subject, outcome);
    }
    Ok(())
}

fn add_journal(
    connection: &Connection,
    sums: &mut HashMap<&str, Sums>,
    found: &mut Checked,
) -> Result<(), RegisterError> {
    let sql = "SELECT id, subject, key, before, after FROM journal WHERE subject IS NOT NULL";
    let mut query = connection.prepare(sql)?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let (subject, key) = (row.get_ref(1)?.as_str().unwrap_or_default(), row.get(2)?);
        let Some(of_table) = sums.get_mut(subject) else { continue };
        if let (Ok(before), Ok(after)) = (columns(row.get(3)?), columns(row.get(4)?)) {
            let sum = of_table.of(key);
            *sum = sum.wrapping_add(weight(after.as_ref())).wrapping_sub(weight(before.as_ref()));
        } else {
            let id: i64 = row.get(0)?;
            found.add("journal-row", format!("journal {id}"), "it can't be read", RESTORE);
        }
    }
    Ok(())
}

fn compare(
    connection: &Connection,
    (subject, keys): (&'static str, &str),
    mut sums: Sums,
    found: &mut Checked,
) -> Result<(), RegisterError> {
    let mut query = connection.prepare(keys)?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let key: Key = row.get(0)?;
        let present = for_subject!(subject, weight_in(connection, &key))?;
        match sums.take(&key) {
            Some(sum) if sum == present => {}
            Some(_) => found.add(
                "journal-differs",
                place(connection, subject, &key),
                "it is not what the journal of its changes leads to",
                RESTORE,
            ),
            None => found.add(
                "journal-missing",
                place(connection, subject, &key),
                "the journal does not tell how it came to be",
                RESTORE,
            ),
        }
    }
    for key in sums.left_over() {
        found.add("row-missing", format!("{subject} {key}"), "the journal tells of it, but it is not there", RESTORE);
    }
    Ok(())
}

fn weight_in<R: Row>(connection: &Connection, key: &Key) -> Result<u64, RegisterError> {
    Ok(weight(Some(&image(&R::require_in(connection, key)?))))
}

/// The sum of a row's columns; one with nothing in it counts for nothing.
fn weight(columns: Option<&Map<String, Value>>) -> u64 {
    let filled = columns.into_iter().flatten().filter(|(_, value)| !value.is_null());
    filled.fold(0, |sum, (name, value)| sum.wrapping_add(hash(name, value)))
}

/// Only for sums within one check, so that any hash will do that spreads well.
fn hash(name: &str, value: &Value) -> u64 {
    let mut hasher = DefaultHasher::new();
    name.hash(&mut hasher);
    match value {
        Value::String(text) => text.hash(&mut hasher),
        other => (1_u8, other.to_string()).hash(&mut hasher),
    }
    hasher.finish()
}

/// An item or a bin by its code.
fn place(connection: &Connection, subject: &str, key: &Key) -> String {
    let sql = match subject {
        "item" => "SELECT coalesce(payload, '#' || id) FROM item WHERE id = ?1",
        _ => "SELECT payload FROM bin WHERE id = ?1",
    };
    let code: Option<String> = match subject {
        "item" | "bin" => connection.query_row(sql, [key], |row| row.get(0)).ok(),
        _ => None,
    };
    code.map_or_else(|| format!("{subject} {}", key_text(key)), |code| written(&code))
}

fn key_text(key: &Key) -> String {
    match key {
        Key::Number(number) => number.to_string(),
        Key::Text(text) => text.clone(),
    }
}
