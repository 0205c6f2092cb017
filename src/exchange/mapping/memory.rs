//! What is remembered of the columns of files with the same headings.
//!
//! Start with [`Mapping::to_remember`], which gives it as text under its [`mapping_key`]. Where it is kept is not known
//! here.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Column, KnownBy, Mapping};
use crate::exchange::{DateOrder, FileKind, headings::tidy};

/// What is remembered for a set of headings.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Remembered {
    /// The heading of a field, or nothing for one that stays unread.
    columns: BTreeMap<String, Option<String>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    dates: Option<DateOrder>,
}

/// Under what the mapping of a file with these headings is remembered; their order does not matter.
#[must_use]
pub fn mapping_key(kind: &FileKind, headings: &[String]) -> String {
    let mut headings: Vec<String> = headings.iter().map(|heading| tidy(heading).to_lowercase()).collect();
    headings.sort_unstable();
    format!("{}\n{}", kind.name, headings.join("\n"))
}

impl Mapping {
    /// The order of day and month that is remembered.
    #[must_use]
    pub fn dates(&self) -> Option<DateOrder> {
        self.remembered.dates
    }

    /// Has an order of day and month remembered.
    pub fn remember_dates(&mut self, order: DateOrder) {
        self.is_new |= self.remembered.dates != Some(order);
        self.remembered.dates = Some(order);
    }

    /// The key and the text to remember it by; `None` when nothing new was asked for.
    #[must_use]
    pub fn to_remember(&self) -> Option<(String, String)> {
        let text = serde_json::to_string(&self.remembered).ok().filter(|_| self.is_new)?;
        Some((mapping_key(self.kind, &self.headings), text))
    }

    /// Has the heading of a field remembered, or that it stays unread; no other field keeps that heading.
    pub(super) fn remember_column(&mut self, name: &str, heading: Option<String>) {
        self.remembered.columns.retain(|field, other| field == name || heading.is_none() || *other != heading);
        let before = self.remembered.columns.insert(name.to_owned(), heading.clone());
        self.is_new |= before != Some(heading);
    }

    pub(super) fn take_remembered(&mut self, settled: &mut [bool]) {
        for (name, heading) in self.remembered.columns.clone() {
            let Some(at) = self.kind.position(&name).filter(|at| !settled[*at]) else { continue };
            let column = heading.map(|heading| self.named(&heading)).transpose().ok().flatten();
            // The user may have given its column to another field meanwhile.
            let column = column.filter(|column| !self.is_read(*column));
            self.columns[at] = column.map(|at| Column { at, by: KnownBy::Memory });
            settled[at] = true;
        }
    }
}
