//! What the user set once for all commands, as text; what a value means is decided above.

use rusqlite::{Connection, OptionalExtension};

use super::{
    Register, RegisterError,
    row::{Key, SettingRow},
};

/// That the user was told about part-used sheets. No change that a user made, so that `undo` passes over it.
pub(crate) const TOLD_OF_PART_USED: &str = "told about part-used sheets";

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
        let names: Vec<&str> = values.iter().map(|(name, _)| *name).collect();
        let change = self.begin(&format!("set {}", names.join(" and ")))?;
        for (name, value) in values {
            let key = Key::Text((*name).to_owned());
            let known = change.prepare_cached("SELECT 1 FROM setting WHERE name = ?1")?.exists([name])?;
            if known {
                change.rewrite::<SettingRow>("setting changed", &key, |row| {
                    row.value.clone_from(value);
                    Ok(())
                })?;
            } else {
                change.restore("setting changed", &key, &SettingRow { value: value.clone() })?;
            }
        }
        change.commit()?;
        Ok(())
    }

    /// Whether there is an amount, or ever was one that could be brought back: the currency's minor digits can't change
    /// then.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn has_amounts(&self) -> Result<bool, RegisterError> {
        has_amounts_in(&self.connection)
    }
}

pub(super) fn has_amounts_in(connection: &Connection) -> Result<bool, RegisterError> {
    let sql = "SELECT EXISTS (SELECT 1 FROM item WHERE cost IS NOT NULL OR asking IS NOT NULL)
        OR EXISTS (SELECT 1 FROM sale WHERE price IS NOT NULL OR fees > 0 OR postage > 0)
        OR EXISTS (SELECT 1 FROM refund) OR EXISTS (SELECT 1 FROM expense)
        OR EXISTS (SELECT 1 FROM journal WHERE subject IN ('item', 'sale', 'refund', 'expense')
            AND coalesce(before ->> 'cost', before ->> 'asking', before ->> 'price', before ->> 'amount',
                after ->> 'cost', after ->> 'asking', after ->> 'price', after ->> 'amount') IS NOT NULL)";
    Ok(connection.query_row(sql, [], |row| row.get(0))?)
}
