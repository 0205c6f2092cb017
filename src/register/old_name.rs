//! Labels from before: an own numbering, a maker's barcode. They stand for an item for ever.

use rusqlite::{Connection, OptionalExtension};

use super::{
    ChangeId, Item, ItemId, Register, RegisterError,
    change::Change,
    item::item_query,
    row::{Key, OldNameRow},
};
use crate::code::{Origin, Read, StockCode, read};

/// The longest label from before, in characters.
const LONGEST: usize = 60;

/// A label from before that may stand for an item.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OldCode {
    /// As it is looked up; the same for all ways of writing it.
    pub key: String,
    /// Whether it stands for the item already.
    pub is_known: bool,
}

/// A label from before as it is looked up: without spaces and hyphens, in capitals.
#[must_use]
pub(super) fn folded(text: &str) -> String {
    let filler = |c: &char| c.is_whitespace() || c.is_control() || *c == '-';
    text.chars().filter(|c| !filler(c)).flat_map(char::to_uppercase).collect()
}

/// Why a label from before can't be taken on for an item that may be there; `Ok` with `true` when it stands for that
/// item already.
fn check_in(connection: &Connection, item: Option<ItemId>, text: &str) -> Result<Result<bool, String>, RegisterError> {
    let (written, key) = (text.trim(), folded(text));
    if key.is_empty() {
        return Ok(Err("it has no letters or digits".into()));
    }
    if written.chars().count() > LONGEST {
        return Ok(Err(format!("it has more than {LONGEST} characters")));
    }
    // A whole code of this program would hide the item that gets it one day.
    if StockCode::from_payload(&key).is_some() || matches!(read(written, Origin::Scanned), Read::Code(_)) {
        return Ok(Err("it reads like a code that this program gives".into()));
    }
    let sql = "SELECT item, (SELECT title FROM item WHERE item.id = name.item) FROM name WHERE payload = ?1";
    let known: Option<(Option<i64>, Option<String>)> =
        connection.prepare_cached(sql)?.query_row([&key], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
    Ok(match known {
        Some((Some(id), _)) if item == Some(ItemId(id)) => Ok(true),
        Some((_, title)) => Err(format!("it stands for {} already", title.unwrap_or_else(|| "a bin".into()))),
        None => Ok(false),
    })
}

/// Takes a label from before on for an item; one that stands for it already is no change.
pub(super) fn add_in(change: &Change<'_>, item: &Item, text: &str) -> Result<(), RegisterError> {
    let written = text.trim().to_owned();
    match check_in(change, Some(item.id), text)? {
        Err(why) => Err(RegisterError::OldCode { text: written, why }),
        Ok(true) => Ok(()),
        Ok(false) => {
            let row = OldNameRow { item: Some(item.id.0), bin: None, old: written };
            change.restore("old code taken on", &Key::Text(folded(text)), &row)
        }
    }
}

impl Register {
    /// Takes a label from before on for an item.
    ///
    /// # Errors
    /// [`RegisterError::OldCode`] when it stands for another item, or reads like a code of this program.
    pub fn add_old_code(&mut self, item: &Item, text: &str) -> Result<Option<ChangeId>, RegisterError> {
        let change = self.begin(&format!("take on old code {} for {}", text.trim(), item.name()))?;
        add_in(&change, item, text)?;
        change.commit()
    }

    /// The item that a label from before stands for.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn item_by_old_code(&self, text: &str) -> Result<Option<Item>, RegisterError> {
        let sql = item_query!("JOIN name ON name.item = item.id WHERE name.payload = ?1 AND name.old IS NOT NULL");
        Ok(self.connection.prepare_cached(sql)?.query_row([folded(text)], Item::from_row).optional()?)
    }

    /// A label from before that can be taken on for an item, one that is there or a new one; `Err` with why not
    /// otherwise.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn check_old_code(&self, item: Option<ItemId>, text: &str) -> Result<Result<OldCode, String>, RegisterError> {
        let checked = check_in(&self.connection, item, text)?;
        Ok(checked.map(|is_known| OldCode { key: folded(text), is_known }))
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
