//! A command's change of the register: one transaction, with a row in the journal for each row that it touches.
//!
//! Start with `Register::begin`; change rows through [`Change`] and nothing is left out of the journal, so that the
//! whole of it can be taken back (`undo.rs`). Prints, printers, sheets and fonts write to the journal by themselves:
//! they are not taken back here.

use std::{cell::Cell, ops::Deref};

use rusqlite::{Transaction, TransactionBehavior, params};
use serde_json::{Map, Value};

use super::{
    Register, RegisterError,
    journal::{self, Entry},
    row::{Key, Row, image},
};

/// The number of a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(transparent)]
pub struct ChangeId(pub(super) i64);

impl ChangeId {
    /// The change of this number, if it is there.
    #[must_use]
    pub fn new(number: u32) -> Self {
        Self(number.into())
    }
}

impl std::fmt::Display for ChangeId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// A change that is being made. Dropped without [`Change::commit`], nothing of it stays.
pub(super) struct Change<'c> {
    tx: Transaction<'c>,
    pub id: ChangeId,
    rows: Cell<usize>,
    made: &'c Cell<Option<ChangeId>>,
}

impl Register {
    /// Begins a change; `what` says in words for people what is done.
    pub(super) fn begin(&mut self, what: &str) -> Result<Change<'_>, RegisterError> {
        let terms = self.terms.take().unwrap_or_default();
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        terms.check_in(&tx)?;
        let id = insert_in(&tx, what, None)?;
        note_scan_in(&tx, id, terms.scan)?;
        Ok(Change { tx, id, rows: Cell::new(0), made: &self.made })
    }
}

fn note_scan_in(tx: &Transaction<'_>, id: ChangeId, scan: Option<String>) -> Result<(), RegisterError> {
    if let Some(scan) = scan {
        tx.execute("UPDATE change SET scan = ?2 WHERE id = ?1", params![id.0, scan])?;
    }
    Ok(())
}

impl<'c> Deref for Change<'c> {
    type Target = Transaction<'c>;

    fn deref(&self) -> &Transaction<'c> {
        &self.tx
    }
}

impl Change<'_> {
    /// Adds a row.
    pub(super) fn insert<R: Row>(&self, action: &'static str, row: &R) -> Result<Key, RegisterError> {
        let key = row.insert_in(&self.tx, None)?;
        self.record(action, row, &key, None, Some(kept(row)))?;
        Ok(key)
    }

    /// Changes a row; one that comes out as it was is no change. `false` then.
    pub(super) fn rewrite<R: Row>(
        &self,
        action: &'static str,
        key: &Key,
        edit: impl FnOnce(&mut R) -> Result<(), RegisterError>,
    ) -> Result<bool, RegisterError> {
        let old = R::require_in(&self.tx, key)?;
        let mut row = old.clone();
        edit(&mut row)?;
        let (before, after) = differing(image(&old), image(&row));
        if after.is_empty() {
            return Ok(false);
        }
        row.write_in(&self.tx, key, &old)?;
        self.record(action, &row, key, Some(before), Some(after))?;
        Ok(true)
    }

    /// Removes a row.
    pub(super) fn delete<R: Row>(&self, action: &'static str, key: &Key) -> Result<(), RegisterError> {
        let row = R::require_in(&self.tx, key)?;
        R::delete_in(&self.tx, key)?;
        self.record(action, &row, key, Some(kept(&row)), None)
    }

    /// Adds a row again that was removed under its old key.
    pub(super) fn restore<R: Row>(&self, action: &'static str, key: &Key, row: &R) -> Result<(), RegisterError> {
        row.insert_in(&self.tx, Some(key))?;
        self.record(action, row, key, None, Some(kept(row)))
    }

    /// Marks it as a change although no row came out different.
    pub(super) fn touch(&self) {
        self.rows.set(self.rows.get() + 1);
    }

    /// Ends the change and gives its number; `None` when nothing came of it, and then there was none.
    pub(super) fn commit(self) -> Result<Option<ChangeId>, RegisterError> {
        if self.rows.get() == 0 {
            return Ok(None);
        }
        self.tx.commit()?;
        self.made.set(Some(self.id));
        Ok(Some(self.id))
    }

    /// Goes on with another change in the same transaction: this one, if it is still empty, gives way to it.
    pub(super) fn next(&mut self, what: &str, undoes: Option<ChangeId>) -> Result<(), RegisterError> {
        let scan = if self.rows.get() == 0 { self.remove_empty()? } else { None };
        self.id = insert_in(&self.tx, what, undoes)?;
        note_scan_in(&self.tx, self.id, scan)
    }

    /// Gives the scan that it was made for.
    fn remove_empty(&self) -> Result<Option<String>, RegisterError> {
        let mut delete = self.tx.prepare_cached("DELETE FROM change WHERE id = ?1 RETURNING scan")?;
        Ok(delete.query_row([self.id.0], |row| row.get(0))?)
    }

    fn record<R: Row>(
        &self,
        action: &'static str,
        row: &R,
        key: &Key,
        before: Option<Map<String, Value>>,
        after: Option<Map<String, Value>>,
    ) -> Result<(), RegisterError> {
        self.touch();
        let about = row.about_in(&self.tx, key)?;
        let entry = Entry {
            action,
            change: Some(self.id),
            row: Some((R::SUBJECT, key)),
            item: about.item,
            bin: about.bin,
            before: before.map(Value::Object),
            after: after.map(Value::Object),
        };
        journal::write_in(&self.tx, &entry)
    }
}

fn insert_in(tx: &Transaction<'_>, what: &str, undoes: Option<ChangeId>) -> Result<ChangeId, RegisterError> {
    let mut insert = tx.prepare_cached(
        "INSERT INTO change (at, what, undoes, first_row)
            SELECT ?1, ?2, ?3, 1 + coalesce(max(id), 0) FROM journal",
    )?;
    let id = insert.insert(params![journal::now(), what, undoes.map(|change| change.0)])?;
    Ok(ChangeId(id))
}

/// The whole of a row; columns with nothing in them are left out.
fn kept<R: Row>(row: &R) -> Map<String, Value> {
    image(row).into_iter().filter(|(_, value)| !value.is_null()).collect()
}

/// The columns of two states that are not the same.
fn differing(
    mut before: Map<String, Value>,
    mut after: Map<String, Value>,
) -> (Map<String, Value>, Map<String, Value>) {
    after.retain(|name, value| before.get(name) != Some(value));
    before.retain(|name, _| after.contains_key(name));
    (before, after)
}
