//! What the database itself can tell: its pages, its references, its index of words.

use rusqlite::{Connection, ErrorCode, Transaction, TransactionBehavior};

use super::{Checked, RESTORE};
use crate::register::{Register, RegisterError};

/// The index of words against the titles. The question is put as an insertion, which is not kept.
pub(super) fn check_words(register: &Register, found: &mut Checked) -> Result<(), RegisterError> {
    if register.is_read_only() {
        found.skipped.push("the index of words, since the register may not be written to".into());
        return Ok(());
    }
    let ask = || {
        let tx = Transaction::new_unchecked(&register.connection, TransactionBehavior::Immediate)?;
        // SQLite documentation, FTS5: with rank 1 the index is held against the table that it is for.
        tx.execute("INSERT INTO item_words (item_words, rank) VALUES ('integrity-check', 1)", [])?;
        tx.rollback()
    };
    match ask() {
        Ok(()) => {}
        Err(fault) if fault.sqlite_error_code() == Some(ErrorCode::DatabaseBusy) => return Err(fault.into()),
        Err(fault) => found.add(
            "words-index",
            "item_words",
            format!("the index that finds titles by their words is out of step with them ({fault})"),
            RESTORE,
        ),
    }
    Ok(())
}

/// Pages and references.
pub(super) fn check_file(connection: &Connection, found: &mut Checked) {
    let outcome = integrity(connection, found);
    found.attempt("file", outcome);
    let outcome = references(connection, found);
    found.attempt("references", outcome);
}

fn integrity(connection: &Connection, found: &mut Checked) -> Result<(), RegisterError> {
    let mut query = connection.prepare("PRAGMA integrity_check")?;
    let lines = query.query_map([], |row| row.get::<_, String>(0))?;
    for line in lines {
        let line = line?;
        if line != "ok" {
            found.add("file", "the file", line, RESTORE);
        }
    }
    Ok(())
}

fn references(connection: &Connection, found: &mut Checked) -> Result<(), RegisterError> {
    let mut query = connection.prepare("PRAGMA foreign_key_check")?;
    let read = |row: &rusqlite::Row<'_>| Ok((row.get(0)?, row.get(1)?, row.get(2)?));
    for row in query.query_map([], read)? {
        let (table, id, parent): (String, Option<i64>, String) = row?;
        let at = id.map_or(table.clone(), |id| format!("{table} {id}"));
        found.add("reference", at, format!("it refers to a row of `{parent}` that is not there"), RESTORE);
    }
    Ok(())
}
