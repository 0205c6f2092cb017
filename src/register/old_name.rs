//! Labels from before: an own numbering, a maker's barcode. They stand for an item for ever.

use rusqlite::OptionalExtension;

use super::{
    Item, Register, RegisterError,
    change::Change,
    row::{Key, OldNameRow},
};
use crate::code::{Origin, Read, StockCode, read};

/// The longest label from before, in characters.
const LONGEST: usize = 60;

/// A label from before as it is looked up: without spaces and hyphens, in capitals.
#[must_use]
pub(super) fn folded(text: &str) -> String {
    let filler = |c: &char| c.is_whitespace() || c.is_control() || *c == '-';
    text.chars().filter(|c| !filler(c)).flat_map(char::to_uppercase).collect()
}

/// Takes a label from before on for an item; one that stands for it already is no change.
pub(super) fn add_in(change: &Change<'_>, item: &Item, text: &str) -> Result<(), RegisterError> {
    let (written, key) = (text.trim(), folded(text));
    let refuse = |why: String| Err(RegisterError::OldCode { text: written.to_owned(), why });
    if key.is_empty() {
        return refuse("it has no letters or digits".into());
    }
    if written.chars().count() > LONGEST {
        return refuse(format!("it has more than {LONGEST} characters"));
    }
    // A whole code of this program would hide the item that gets it one day.
    if StockCode::from_payload(&key).is_some() || matches!(read(written, Origin::Scanned), Read::Code(_)) {
        return refuse("it reads like a code that this program gives".into());
    }
    let sql = "SELECT item, (SELECT title FROM item WHERE item.id = name.item) FROM name WHERE payload = ?1";
    let known: Option<(Option<i64>, Option<String>)> =
        change.prepare_cached(sql)?.query_row([&key], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
    match known {
        Some((id, _)) if id == Some(item.id.0) => Ok(()),
        Some((_, title)) => refuse(format!("it stands for {} already", title.unwrap_or_else(|| "a bin".into()))),
        None => {
            let row = OldNameRow { item: Some(item.id.0), bin: None, old: written.to_owned() };
            change.restore("old code taken on", &Key::Text(key), &row)
        }
    }
}

impl Register {
    /// Takes a label from before on for an item.
    ///
    /// # Errors
    /// [`RegisterError::OldCode`] when it stands for another item, or reads like a code of this program.
    pub fn add_old_code(&mut self, item: &Item, text: &str) -> Result<(), RegisterError> {
        let change = self.begin(&format!("take on old code {} for {}", text.trim(), item.name()))?;
        add_in(&change, item, text)?;
        change.commit()?;
        Ok(())
    }

    /// The item that a label from before stands for.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn item_by_old_code(&self, text: &str) -> Result<Option<Item>, RegisterError> {
        self.item_by_payload(&folded(text))
    }

    /// The labels from before of an item, as they are written.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn old_codes(&self, item: &Item) -> Result<Vec<String>, RegisterError> {
        let sql = "SELECT old FROM name WHERE item = ?1 AND old IS NOT NULL ORDER BY payload";
        let mut query = self.connection.prepare_cached(sql)?;
        let codes = query.query_map([item.id.0], |row| row.get(0))?;
        Ok(codes.collect::<Result<_, _>>()?)
    }
}
