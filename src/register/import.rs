//! Imported files, so that none comes in twice by mistake.

use rusqlite::{OptionalExtension, Transaction, params};

use serde_json::json;

use super::{
    RegisterError,
    journal::{self, Entry},
};

/// A file whose rows are entered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewImport {
    /// Its name.
    pub file: String,
    /// SHA-256 of its bytes.
    pub sha256: String,
    /// Take it also if the same bytes came in before.
    pub again: bool,
}

pub(super) fn record_in(tx: &Transaction<'_>, import: &NewImport, items: usize) -> Result<(), RegisterError> {
    if !import.again {
        refuse_known(tx, import)?;
    }
    tx.execute(
        "INSERT INTO import (at, file, sha256, items) VALUES (?1, ?2, ?3, ?4)",
        params![journal::now(), import.file, import.sha256, i64::try_from(items).unwrap_or(i64::MAX)],
    )?;
    let after = Some(json!({"file": import.file, "sha256": import.sha256, "items": items}));
    journal::write_in(tx, &Entry { action: "file imported", after, ..Entry::default() })
}

fn refuse_known(tx: &Transaction<'_>, import: &NewImport) -> Result<(), RegisterError> {
    let sql = "SELECT substr(at, 1, 10), items FROM import WHERE sha256 = ?1 ORDER BY id DESC LIMIT 1";
    let known = tx.query_row(sql, [&import.sha256], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
    known.map_or(Ok(()), |(at, items)| Err(RegisterError::ImportedBefore { file: import.file.clone(), at, items }))
}
