//! How big and heavy items are, and how much bins hold, in words for people: `litres 2 → 2.5`.

use serde_json::Value;

use super::words::Columns;
use crate::unit::{Measures, Volume, Weight};

/// How a value of a column is said.
type Say = fn(&Value) -> Option<String>;

/// Columns of items and bins, and what they are called.
const FIELDS: [(&str, &str, Say); 7] = [
    ("kind", "kind", text),
    ("volume", "litres", litres),
    ("max_grams", "max kg", kilograms),
    ("inside", "inside", measures),
    ("measures", "measures", measures),
    ("size", "size", text),
    ("grams", "weight", weight),
];

/// What came out different of them.
pub(super) fn room_changes(before: &Columns, after: &Columns) -> Vec<String> {
    let changed = FIELDS.iter().filter(|(name, _, _)| after.contains_key(*name));
    let said = changed.filter_map(|(name, called, say)| {
        match [before, after].map(|columns| columns.get(*name).and_then(say)) {
            [Some(before), Some(after)] => Some(format!("{called} {before} → {after}")),
            [None, Some(after)] => Some(format!("{called} {after}")),
            [Some(before), None] => Some(format!("{called} {before} → none")),
            [None, None] => None,
        }
    });
    said.collect()
}

fn text(value: &Value) -> Option<String> {
    value.as_str().map(str::to_owned)
}

fn litres(value: &Value) -> Option<String> {
    Some(Volume::from_millilitres(value.as_i64()?)?.litres().to_string())
}

fn kilograms(value: &Value) -> Option<String> {
    Some(Weight::from_grams(value.as_i64()?)?.kilograms().to_string())
}

fn weight(value: &Value) -> Option<String> {
    Some(Weight::from_grams(value.as_i64()?)?.to_string())
}

fn measures(value: &Value) -> Option<String> {
    Some(Measures::from_kept(value.as_str()?)?.to_string())
}
