//! What the columns of a file mean, remembered for its headings. What the texts say is decided above.

use rusqlite::OptionalExtension;

use super::{
    Register, RegisterError,
    change::Change,
    row::{Key, MappingRow},
};

/// What is to be remembered: the key of a set of headings, and the text.
pub type NewMapping = (String, String);

/// Remembers it as a part of a change, so that it is forgotten when the change is taken back.
pub(super) fn remember_in(change: &Change<'_>, (headings, columns): &NewMapping) -> Result<(), RegisterError> {
    let key = Key::Text(headings.clone());
    let known = change.prepare_cached("SELECT 1 FROM mapping WHERE headings = ?1")?.exists([headings])?;
    if !known {
        return change.restore("columns remembered", &key, &MappingRow { columns: columns.clone() });
    }
    let set = |row: &mut MappingRow| {
        row.columns.clone_from(columns);
        Ok(())
    };
    change.rewrite("columns remembered", &key, set).map(drop)
}

impl Register {
    /// What is remembered for a set of headings, by its key.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn mapping(&self, headings: &str) -> Result<Option<String>, RegisterError> {
        let sql = "SELECT columns FROM mapping WHERE headings = ?1";
        Ok(self.connection.query_row(sql, [headings], |row| row.get(0)).optional()?)
    }
}
