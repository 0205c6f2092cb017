//! Fonts of the user, by their files: which, in which order, and what they held.

use rusqlite::{OptionalExtension, Row, Transaction, TransactionBehavior, params};
use serde_json::{Value, json};

use super::{
    Register, RegisterError,
    journal::{self, Entry},
};

/// A font that the register remembers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RememberedFont {
    /// The file, with its folder.
    pub path: String,
    /// SHA-256 of what it held when it was added, in hexadecimal digits.
    pub sha256: String,
    /// The name that it gives itself.
    pub family: String,
}

impl RememberedFont {
    fn read(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self { path: row.get(0)?, sha256: row.get(1)?, family: row.get(2)? })
    }

    fn json(&self) -> Value {
        json!({"font": self.path, "sha256": self.sha256, "family": self.family})
    }
}

impl Register {
    /// The fonts in the order in which they are asked for a character.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn fonts(&self) -> Result<Vec<RememberedFont>, RegisterError> {
        let mut select = self.connection.prepare("SELECT path, sha256, family FROM font ORDER BY place")?;
        let rows = select.query_map([], RememberedFont::read)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Remembers fonts, all of them or none. One that is there keeps its place and is taken as it is
    /// now; one that is there as it is changes nothing.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn add_fonts(&mut self, fonts: &[RememberedFont]) -> Result<(), RegisterError> {
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        for font in fonts {
            add_in(&tx, font)?;
        }
        Ok(tx.commit()?)
    }

    /// Forgets a font; `false` when it was not there.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn remove_font(&mut self, path: &str) -> Result<bool, RegisterError> {
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let Some(before) = find_in(&tx, path)? else { return Ok(false) };
        tx.execute("DELETE FROM font WHERE path = ?1", [path])?;
        journal::write_in(&tx, &Entry { action: "font removed", before: Some(before.json()), ..Entry::default() })?;
        tx.commit()?;
        Ok(true)
    }
}

fn add_in(tx: &Transaction<'_>, font: &RememberedFont) -> Result<(), RegisterError> {
    let before = find_in(tx, &font.path)?;
    if before.as_ref() == Some(font) {
        return Ok(());
    }
    let sql = "INSERT INTO font (path, place, sha256, family)
        VALUES (?1, (SELECT coalesce(max(place), 0) + 1 FROM font), ?2, ?3)
        ON CONFLICT (path) DO UPDATE SET sha256 = ?2, family = ?3";
    tx.execute(sql, params![font.path, font.sha256, font.family])?;
    let action = if before.is_some() { "font changed" } else { "font added" };
    let before = before.map(|before| before.json());
    journal::write_in(tx, &Entry { action, before, after: Some(font.json()), ..Entry::default() })
}

fn find_in(tx: &Transaction<'_>, path: &str) -> Result<Option<RememberedFont>, RegisterError> {
    let sql = "SELECT path, sha256, family FROM font WHERE path = ?1";
    Ok(tx.query_row(sql, [path], RememberedFont::read).optional()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn font(path: &str, sha256: &str) -> RememberedFont {
        RememberedFont { path: path.into(), sha256: sha256.into(), family: "A face".into() }
    }

    fn journal(register: &Register) -> Vec<String> {
        let mut select = register.connection.prepare("SELECT action FROM journal ORDER BY id").unwrap();
        select.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap()
    }

    #[test]
    fn fonts_keep_their_order_and_each_change_is_in_the_journal() {
        let mut register = Register::in_memory().unwrap();
        register.add_fonts(&[font("b", "1"), font("a", "2")]).unwrap();
        register.add_fonts(&[font("b", "3"), font("a", "2"), font("c", "4")]).unwrap();
        assert_eq!(register.fonts().unwrap(), [font("b", "3"), font("a", "2"), font("c", "4")]);
        assert!(register.remove_font("a").unwrap() && !register.remove_font("a").unwrap());
        assert_eq!(register.fonts().unwrap(), [font("b", "3"), font("c", "4")]);
        let expected = ["font added", "font added", "font changed", "font added", "font removed"];
        assert_eq!(journal(&register), expected);
    }
}
