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

    /// Sets a value.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn set_setting(&mut self, name: &str, value: &str) -> Result<(), RegisterError> {
        let before = self.setting(name)?.map(|before| json!({ name: before }));
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let sql = "INSERT INTO setting (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = ?2";
        tx.execute(sql, params![name, value])?;
        let after = Some(json!({ name: value }));
        journal::write_in(&tx, &Entry { action: "setting changed", before, after, ..Entry::default() })?;
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
