//! Imported files, so that none comes in twice by mistake.

use rusqlite::OptionalExtension;

use super::{RegisterError, change::Change, journal, row::ImportRow};

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

pub(super) fn record_in(change: &Change<'_>, import: &NewImport, items: usize) -> Result<(), RegisterError> {
    if !import.again {
        refuse_known(change, import)?;
    }
    let row = ImportRow {
        at: journal::now(),
        file: import.file.clone(),
        sha256: import.sha256.clone(),
        items: i64::try_from(items).unwrap_or(i64::MAX),
    };
    change.insert("file imported", &row).map(drop)
}

fn refuse_known(change: &Change<'_>, import: &NewImport) -> Result<(), RegisterError> {
    let sql = "SELECT substr(at, 1, 10), items FROM import WHERE sha256 = ?1 ORDER BY id DESC LIMIT 1";
    let known = change.query_row(sql, [&import.sha256], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
    known.map_or(Ok(()), |(at, items)| Err(RegisterError::ImportedBefore { file: import.file.clone(), at, items }))
}
