//! The row of an item, written with no more columns than a change needs, and the words that are searched with it.

use rusqlite::{Connection, OptionalExtension, params};
use serde::{Deserialize, Serialize};

use super::{
    RegisterError,
    row::{About, Key, Row},
    title::spelt_out,
};

/// A row of `item`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct ItemRow {
    pub payload: Option<String>,
    pub bin: Option<i64>,
    pub title: String,
    pub cost: Option<i64>,
    pub asking: Option<i64>,
    pub bought: Option<String>,
    pub note: Option<String>,
    pub entered: String,
    pub state: String,
    pub listed: Option<String>,
    pub gone: Option<String>,
    pub why_gone: Option<String>,
    pub volume: Option<i64>,
    pub measures: Option<String>,
    pub size: Option<String>,
    pub grams: Option<i64>,
    pub listing_code: Option<String>,
}

impl ItemRow {
    fn write_all_in(&self, tx: &Connection, key: &Key) -> Result<(), RegisterError> {
        let sql = "UPDATE item SET payload = ?2, bin = ?3, title = ?4, cost = ?5, asking = ?6, bought = ?7, note = ?8,
            entered = ?9, state = ?10, listed = ?11, gone = ?12, why_gone = ?13, volume = ?14, measures = ?15,
            size = ?16, grams = ?17, listing_code = ?18 WHERE id = ?1";
        tx.prepare_cached(sql)?.execute(params![
            key,
            self.payload,
            self.bin,
            self.title,
            self.cost,
            self.asking,
            self.bought,
            self.note,
            self.entered,
            self.state,
            self.listed,
            self.gone,
            self.why_gone,
            self.volume,
            self.measures,
            self.size,
            self.grams,
            self.listing_code
        ])?;
        Ok(())
    }

    fn write_unindexed_in(&self, tx: &Connection, key: &Key) -> Result<(), RegisterError> {
        let sql = "UPDATE item SET title = ?2, cost = ?3, asking = ?4, bought = ?5, note = ?6, entered = ?7,
            listed = ?8, gone = ?9, why_gone = ?10, volume = ?11, measures = ?12, size = ?13, grams = ?14
            WHERE id = ?1";
        tx.prepare_cached(sql)?.execute(params![
            key,
            self.title,
            self.cost,
            self.asking,
            self.bought,
            self.note,
            self.entered,
            self.listed,
            self.gone,
            self.why_gone,
            self.volume,
            self.measures,
            self.size,
            self.grams
        ])?;
        Ok(())
    }

    /// What is searched; nothing of an item whose entry was taken back.
    fn words(&self) -> String {
        if self.state == "undone" { String::new() } else { spelt_out(&self.title) }
    }
}

impl Row for ItemRow {
    const SUBJECT: &'static str = "item";

    fn read_in(tx: &Connection, key: &Key) -> Result<Option<Self>, RegisterError> {
        let sql = "SELECT payload, bin, title, cost, asking, bought, note, entered, state, listed, gone, why_gone,
                volume, measures, size, grams, listing_code
            FROM item WHERE id = ?1";
        let read = |row: &rusqlite::Row<'_>| {
            Ok(Self {
                payload: row.get(0)?,
                bin: row.get(1)?,
                title: row.get(2)?,
                cost: row.get(3)?,
                asking: row.get(4)?,
                bought: row.get(5)?,
                note: row.get(6)?,
                entered: row.get(7)?,
                state: row.get(8)?,
                listed: row.get(9)?,
                gone: row.get(10)?,
                why_gone: row.get(11)?,
                volume: row.get(12)?,
                measures: row.get(13)?,
                size: row.get(14)?,
                grams: row.get(15)?,
                listing_code: row.get(16)?,
            })
        };
        Ok(tx.prepare_cached(sql)?.query_row([key], read).optional()?)
    }

    /// `SQLite` writes each index anew that has a column in the statement, changed or not: so the usual changes, a move
    /// and an edit, name no more columns than they have to.
    fn write_in(&self, tx: &Connection, key: &Key, before: &Self) -> Result<(), RegisterError> {
        if *self == (Self { bin: self.bin, ..before.clone() }) {
            tx.prepare_cached("UPDATE item SET bin = ?2 WHERE id = ?1")?.execute(params![key, self.bin])?;
            return Ok(());
        }
        let indexed = |row: &Self| (row.payload.clone(), row.bin, row.state.clone(), row.listing_code.clone());
        if indexed(self) == indexed(before) {
            self.write_unindexed_in(tx, key)?;
        } else {
            self.write_all_in(tx, key)?;
        }
        if self.words() != before.words() {
            let sql = "UPDATE item SET words = ?2 WHERE id = ?1";
            tx.prepare_cached(sql)?.execute(params![key, self.words()])?;
        }
        Ok(())
    }

    fn insert_in(&self, tx: &Connection, key: Option<&Key>) -> Result<Key, RegisterError> {
        let words = self.words();
        let sql = "INSERT INTO item (id, payload, bin, title, words, cost, asking, bought, note, entered, state,
                listed, gone, why_gone, volume, measures, size, grams, listing_code)
            VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19)";
        let id = tx.prepare_cached(sql)?.insert(params![
            key,
            self.payload,
            self.bin,
            self.title,
            words,
            self.cost,
            self.asking,
            self.bought,
            self.note,
            self.entered,
            self.state,
            self.listed,
            self.gone,
            self.why_gone,
            self.volume,
            self.measures,
            self.size,
            self.grams,
            self.listing_code
        ])?;
        // Of its own, not by a trigger, so that an import of many is quick (migration 005).
        tx.prepare_cached("INSERT INTO item_words (rowid, words) VALUES (?1, ?2)")?.execute(params![id, words])?;
        Ok(Key::Number(id))
    }

    fn delete_in(tx: &Connection, key: &Key) -> Result<(), RegisterError> {
        tx.prepare_cached("DELETE FROM item WHERE id = ?1")?.execute([key])?;
        Ok(())
    }

    fn about_in(&self, _tx: &Connection, key: &Key) -> Result<About, RegisterError> {
        Ok(About { item: Some(key.number()), bin: self.bin })
    }

    fn taken_back(&self) -> Option<Self> {
        Some(Self { state: "undone".into(), bin: None, gone: None, ..self.clone() })
    }
}
