//! Imported files, so that none comes in twice by mistake.

use rusqlite::{Connection, OptionalExtension};

use super::{Register, RegisterError, change::Change, journal, row::ImportRow};

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
    refuse_known(change, import)?;
    let row = ImportRow {
        at: journal::now(),
        file: import.file.clone(),
        sha256: import.sha256.clone(),
        items: i64::try_from(items).unwrap_or(i64::MAX),
    };
    change.insert("file imported", &row).map(drop)
}

impl Register {
    /// Whether a file may come in.
    ///
    /// # Errors
    /// [`RegisterError::ImportedBefore`] when it did already, unless it is to come in again.
    pub fn check_import(&self, import: &NewImport) -> Result<(), RegisterError> {
        refuse_known(&self.connection, import)
    }
}

fn refuse_known(connection: &Connection, import: &NewImport) -> Result<(), RegisterError> {
    if import.again {
        return Ok(());
    }
    let sql = "SELECT substr(at, 1, 10), items FROM import WHERE sha256 = ?1 ORDER BY id DESC LIMIT 1";
    let known = connection.query_row(sql, [&import.sha256], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
    known.map_or(Ok(()), |(at, items)| Err(RegisterError::ImportedBefore { file: import.file.clone(), at, items }))
}
