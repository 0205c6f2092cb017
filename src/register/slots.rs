//! Which slots of the label sheets are spent: derived from the labels of all runs that are not
//! cancelled, and from what users said of sheets that they put into the printer.

use std::collections::BTreeSet;

use rusqlite::params;

use super::{Register, RegisterError};

/// The last sheet of a name that anything was printed on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastSheet {
    /// Which one of the sheets of that name, counted from 1.
    pub number: u32,
    /// Its slots that are spent.
    pub spent: BTreeSet<u32>,
}

impl Register {
    /// The last sheet of a name that has spent slots; `None` when nothing was printed on any.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn last_sheet(&self, name: &str) -> Result<Option<LastSheet>, RegisterError> {
        let sql = "SELECT max(max(
                coalesce((SELECT max(sheet_no) FROM label WHERE label.run = run.id AND sheet_no IS NOT NULL), 0),
                coalesce((SELECT max(sheet_no) FROM spent WHERE spent.run = run.id), 0)))
            FROM run WHERE sheet = ?1 AND state <> 'cancelled'";
        let number: Option<u32> = self.connection.query_row(sql, [name], |row| row.get(0))?;
        let Some(number) = number.filter(|number| *number > 0) else { return Ok(None) };
        Ok(Some(LastSheet { number, spent: self.spent_slots(name, number)? }))
    }

    fn spent_slots(&self, name: &str, number: u32) -> Result<BTreeSet<u32>, RegisterError> {
        let sql = "SELECT slot FROM run JOIN label ON label.run = run.id
                WHERE run.sheet = ?1 AND run.state <> 'cancelled' AND label.sheet_no = ?2
            UNION SELECT slot FROM run JOIN spent ON spent.run = run.id
                WHERE run.sheet = ?1 AND run.state <> 'cancelled' AND spent.sheet_no = ?2";
        let mut query = self.connection.prepare(sql)?;
        let slots = query.query_map(params![name, number], |row| row.get(0))?;
        Ok(slots.collect::<Result<_, _>>()?)
    }
}
