//! What the user set once for all commands, as text; what a value means is decided above.

use rusqlite::{OptionalExtension, TransactionBehavior, params};
use serde_json::json;

use super::{
    Register, RegisterError,
    journal::{self, Entry},
};

impl Register {
    /// The value of a setting, if it was ever set.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn setting(&self, name: &str) -> Result<Option<String>, RegisterError> {
        let sql = "SELECT value FROM setting WHERE name = ?1";
        Ok(self.connection.query_row(sql, [name], |row| row.get(0)).optional()?)
    }

    /// Sets values, all of them or none.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn set_settings(&mut self, values: &[(&str, String)]) -> Result<(), RegisterError> {
        let before: Vec<Option<String>> =
            values.iter().map(|(name, _)| self.setting(name)).collect::<Result<_, _>>()?;
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        for ((name, value), before) in values.iter().zip(before) {
            let sql = "INSERT INTO setting (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = ?2";
            tx.execute(sql, params![name, value])?;
            let (before, after) = (before.map(|before| json!({ *name: before })), Some(json!({ *name: value })));
            journal::write_in(&tx, &Entry { action: "setting changed", before, after, ..Entry::default() })?;
        }
        Ok(tx.commit()?)
    }

    /// Whether any item has an amount: the currency's minor digits can't change then.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn has_amounts(&self) -> Result<bool, RegisterError> {
        let sql = "SELECT EXISTS (SELECT 1 FROM item WHERE cost IS NOT NULL OR asking IS NOT NULL)";
        Ok(self.connection.query_row(sql, [], |row| row.get(0))?)
    }
}
