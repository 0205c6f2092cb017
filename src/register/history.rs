//! What the journal tells: changes, and the rows of an item or a bin. What they mean in words is said above.

use rusqlite::{Row, params};
use serde_json::{Map, Value};

use super::{
    Bin, ChangeId, Item, Register, RegisterError, RunId, Version, bin::bin_code, item::item_code, undo::columns,
};
use crate::code::BinCode;

/// A row of the journal, as plain columns: those that changed, or all of an added or removed row.
#[derive(Debug, Clone, PartialEq)]
pub struct JournalRow {
    /// When, ISO 8601 in UTC.
    pub at: String,
    /// The change that it is a part of.
    pub change: Option<ChangeId>,
    /// What was done.
    pub action: String,
    /// The table of the row that changed; none for prints, printers and the like, and for rows of the first versions.
    pub subject: Option<String>,
    /// Whose row it is, if an item's: what it is called by.
    pub item: Option<String>,
    /// The columns before.
    pub before: Option<Map<String, Value>>,
    /// The columns after.
    pub after: Option<Map<String, Value>>,
}

/// A change, or something that is not taken back, such as a print.
#[derive(Debug, Clone, PartialEq)]
pub struct JournalEntry {
    /// Its number; none for what is not taken back.
    pub change: Option<ChangeId>,
    /// When, ISO 8601 in UTC.
    pub at: String,
    /// What was done: in words for people, for a change; else the action, which `row` tells more of.
    pub what: String,
    /// The change that it took back.
    pub undoes: Option<ChangeId>,
    /// The change that took it back.
    pub undone_by: Option<ChangeId>,
    /// The row of what is not taken back.
    pub row: Option<JournalRow>,
}

/// A label that was printed of an item or a bin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PrintedOf {
    /// When, ISO 8601 in UTC.
    pub at: String,
    /// The run.
    pub run: RunId,
    /// What it printed: `tags`, `signs`.
    pub kind: String,
    /// Whether nothing came out of the printer.
    pub is_cancelled: bool,
}

macro_rules! rows_query {
    ($tail:literal) => {
        concat!(
            "SELECT journal.at, journal.change, journal.action, journal.subject, journal.before, journal.after,
                (SELECT coalesce(item.payload, '#' || item.id) FROM item WHERE item.id = journal.item) AS item
             FROM journal ",
            $tail
        )
    };
}

impl JournalRow {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let item: Option<String> = row.get("item")?;
        let name = |text: String| match item_code(&text) {
            Ok(code) => code.to_string(),
            Err(_) => text,
        };
        Ok(Self {
            at: row.get("at")?,
            change: row.get::<_, Option<i64>>("change")?.map(ChangeId),
            action: row.get("action")?,
            subject: row.get("subject")?,
            item: item.map(name),
            before: columns(row.get("before")?)?,
            after: columns(row.get("after")?)?,
        })
    }
}

impl JournalEntry {
    fn of_change(row: &Row<'_>) -> rusqlite::Result<Self> {
        let change = |column| Ok::<_, rusqlite::Error>(row.get::<_, Option<i64>>(column)?.map(ChangeId));
        Ok(Self {
            change: change("id")?,
            at: row.get("at")?,
            what: row.get("what")?,
            undoes: change("undoes")?,
            undone_by: change("undone_by")?,
            row: None,
        })
    }

    fn of_row(row: JournalRow) -> Self {
        let (at, what) = (row.at.clone(), row.action.clone());
        Self { change: None, at, what, undoes: None, undone_by: None, row: Some(row) }
    }
}

impl Register {
    /// The last so many changes and other doings between two instants, the newest first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn last_doings(&self, count: usize, from: &str, to: &str) -> Result<Vec<JournalEntry>, RegisterError> {
        let most = i64::try_from(count).unwrap_or(i64::MAX);
        let sql =
            "SELECT id, at, what, undoes, undone_by FROM change WHERE at >= ?1 AND at < ?2 ORDER BY id DESC LIMIT ?3";
        let mut query = self.connection.prepare(sql)?;
        let changes = query.query_map(params![from, to, most], JournalEntry::of_change)?;
        let mut doings = changes.collect::<Result<Vec<_>, _>>()?;
        let sql = rows_query!(
            "WHERE journal.change IS NULL AND subject IS NULL AND at >= ?1 AND at < ?2 ORDER BY journal.id DESC LIMIT ?3"
        );
        let mut query = self.connection.prepare(sql)?;
        for row in query.query_map(params![from, to, most], JournalRow::from_row)? {
            doings.push(JournalEntry::of_row(row?));
        }
        doings.sort_by(|one, other| other.at.cmp(&one.at));
        doings.truncate(count);
        Ok(doings)
    }

    /// What the journal tells of an item, the oldest first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn rows_of_item(&self, item: &Item) -> Result<Vec<JournalRow>, RegisterError> {
        let sql = rows_query!("WHERE journal.item = ?1 AND action <> 'carried over' ORDER BY journal.id");
        let mut query = self.connection.prepare(sql)?;
        let rows = query.query_map([item.id().0], JournalRow::from_row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// What the journal tells of an item since it was so, the oldest first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn rows_of_item_since(&self, item: &Item, seen: Version) -> Result<Vec<JournalRow>, RegisterError> {
        let sql = rows_query!("WHERE journal.item = ?1 AND journal.id > ?2 ORDER BY journal.id");
        let mut query = self.connection.prepare(sql)?;
        let rows = query.query_map([item.id().0, seen.0], JournalRow::from_row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// What the journal tells of a bin itself, of its counts, and of what came into it and left it; the oldest first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn rows_of_bin(&self, bin: &Bin) -> Result<Vec<JournalRow>, RegisterError> {
        let sql = rows_query!(
            "WHERE action <> 'carried over' AND (journal.bin = ?1 AND (
                    coalesce(subject, '') <> 'item' OR before ->> 'bin' IS NOT after ->> 'bin')
                OR journal.item IN (SELECT item FROM journal WHERE bin = ?1 AND item IS NOT NULL)
                    AND subject = 'item' AND before ->> 'bin' = ?1 AND after IS NOT NULL)
             ORDER BY journal.id"
        );
        let mut query = self.connection.prepare(sql)?;
        let rows = query.query_map([bin.id], JournalRow::from_row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The runs that printed a label of an item, the oldest first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn prints_of_item(&self, item: &Item) -> Result<Vec<PrintedOf>, RegisterError> {
        let sql = "SELECT DISTINCT run.id, run.at, run.kind, run.state = 'cancelled' FROM label
            JOIN run ON run.id = label.run WHERE label.item = ?1 AND run.state <> 'writing' ORDER BY run.id";
        self.prints(sql, item.id().0)
    }

    /// The runs that printed a label of a bin, the oldest first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn prints_of_bin(&self, bin: &Bin) -> Result<Vec<PrintedOf>, RegisterError> {
        let sql = "SELECT DISTINCT run.id, run.at, run.kind, run.state = 'cancelled' FROM label
            JOIN run ON run.id = label.run WHERE label.bin = ?1 AND run.state <> 'writing' ORDER BY run.id";
        self.prints(sql, bin.id)
    }

    fn prints(&self, sql: &str, id: i64) -> Result<Vec<PrintedOf>, RegisterError> {
        let mut query = self.connection.prepare(sql)?;
        let read = |row: &Row<'_>| {
            let (run, at, kind, is_cancelled) = (row.get(0).map(RunId)?, row.get(1)?, row.get(2)?, row.get(3)?);
            Ok(PrintedOf { at, run, kind, is_cancelled })
        };
        let prints = query.query_map([id], read)?;
        Ok(prints.collect::<Result<_, _>>()?)
    }

    /// The code of a bin that the journal has by its key.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn bin_code_by_key(&self, key: i64) -> Result<Option<BinCode>, RegisterError> {
        use rusqlite::OptionalExtension;
        let payload: Option<String> = self
            .connection
            .prepare_cached("SELECT payload FROM bin WHERE id = ?1")?
            .query_row([key], |row| row.get(0))
            .optional()?;
        Ok(payload.map(|payload| bin_code(&payload)).transpose()?)
    }

    /// The name of a spot that the journal has by its key.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn spot_name_by_key(&self, key: i64) -> Result<Option<String>, RegisterError> {
        use rusqlite::OptionalExtension;
        let mut query = self.connection.prepare_cached("SELECT name FROM spot WHERE id = ?1")?;
        Ok(query.query_row([key], |row| row.get(0)).optional()?)
    }
}
