//! Printed runs: how they are begun, finished, taken back and cancelled. What they printed is read in
//! `printed.rs`.
//!
//! The file of a run and its row can't be changed in one step. So the run is recorded as being written
//! before its file exists; what a crash leaves behind is settled at the next start (`settle.rs`).

use std::path::Path;

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};
use serde_json::json;

use super::{
    Bin, Item, Lock, Register, RegisterError, RunId, RunKind, SpotId, Status,
    journal::{self, Entry},
};
use crate::code::AreaNumber;

/// A run to be recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct NewRun<'a> {
    /// What it prints.
    pub kind: RunKind,
    /// The sheet's name.
    pub sheet: &'a str,
    /// Dots per inch.
    pub dpi: f64,
    /// The printer's name, if one was chosen.
    pub printer: Option<&'a str>,
    /// What it takes to draw the same labels again.
    pub options: &'a serde_json::Value,
    /// Pages of the file.
    pub pages: usize,
    /// SHA-256 of the file's bytes.
    pub sha256: &'a str,
    /// Its labels, in the order of the file.
    pub labels: &'a [NewLabel<'a>],
    /// Slots that the user said to be spent, with the number of their sheet.
    pub spent: &'a [(u32, u32)],
}

/// A label of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct NewLabel<'a> {
    /// The page, counted from 1.
    pub page: usize,
    /// The slot, counted from 1.
    pub slot: u32,
    /// Which one of the sheets of this name; `None` where none is remembered.
    pub sheet_no: Option<u32>,
    /// What its symbol carries.
    pub payload: String,
    /// The names of the symbologies on it, parted by spaces.
    pub symbols: String,
    /// Whose label it is.
    pub of: LabelOf<'a>,
    /// What it says, as JSON.
    pub said: serde_json::Value,
    /// How it looks, as JSON, where that is not as the run's options say.
    pub look: Option<serde_json::Value>,
}

/// Whose label it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LabelOf<'a> {
    /// An item's.
    Item(&'a Item),
    /// A bin's.
    Bin(&'a Bin),
    /// An area's.
    Area(AreaNumber),
    /// A spot's.
    Spot(SpotId),
}

impl Register {
    /// Waits until no other program writes a run, and keeps others from it until the lock is dropped.
    ///
    /// # Errors
    /// [`RegisterError::Lock`] when the lock file beside the register can't be used.
    pub fn lock_runs(&self) -> Result<Lock, RegisterError> {
        Lock::wait(&self.path)
    }

    /// Refuses labels of what is not there: one would keep its entry from being taken back again.
    ///
    /// # Errors
    /// [`RegisterError::HasLeft`] for an item, [`RegisterError::BinTakenBack`] for a bin whose entry was taken back.
    pub fn refuse_undone<'a>(&self, mut labels: impl Iterator<Item = LabelOf<'a>>) -> Result<(), RegisterError> {
        labels.try_for_each(|of| refuse_undone_in(&self.connection, of))
    }

    /// The number that the next run will have.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn next_run(&self) -> Result<RunId, RegisterError> {
        let sql = "SELECT 1 + coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'run'), 0)";
        Ok(RunId(self.connection.query_row(sql, [], |row| row.get(0))?))
    }

    /// Records a run as being written, with where its file is first and where it goes.
    ///
    /// # Errors
    /// [`RegisterError::HasLeft`] or [`RegisterError::BinTakenBack`] for a label of what was taken back meanwhile;
    /// [`RegisterError`] when the file can't be written.
    pub fn begin_run(
        &mut self,
        _lock: &Lock,
        run: &NewRun<'_>,
        target: &Path,
        temporary: &Path,
    ) -> Result<RunId, RegisterError> {
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let id = insert_run_in(&tx, run, target, temporary)?;
        for (label, number) in run.labels.iter().zip(1..) {
            refuse_undone_in(&tx, label.of)?;
            insert_label_in(&tx, id, number, label)?;
        }
        for (sheet_no, slot) in run.spent {
            let sql = "INSERT INTO spent (run, sheet_no, slot) VALUES (?1, ?2, ?3)";
            tx.prepare_cached(sql)?.execute(params![id.0, sheet_no, slot])?;
        }
        tx.commit()?;
        Ok(id)
    }

    /// Marks a run as done: its file is in place.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn finish_run(&mut self, id: RunId) -> Result<(), RegisterError> {
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        tx.execute("UPDATE run SET state = 'done' WHERE id = ?1 AND state = 'writing'", [id.0])?;
        let after = Some(described_in(&tx, id)?);
        journal::write_in(&tx, &Entry { action: "run printed", after, ..Entry::default() })?;
        Ok(tx.commit()?)
    }

    /// Takes a run back whose file did not get to its place. Its slots are free again.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn take_back_run(&mut self, id: RunId) -> Result<(), RegisterError> {
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let before = Some(described_in(&tx, id)?);
        tx.execute("DELETE FROM label WHERE run = ?1", [id.0])?;
        tx.execute("DELETE FROM spent WHERE run = ?1", [id.0])?;
        tx.execute("DELETE FROM run WHERE id = ?1 AND state = 'writing'", [id.0])?;
        journal::write_in(&tx, &Entry { action: "run taken back", before, ..Entry::default() })?;
        Ok(tx.commit()?)
    }

    /// Cancels a run of which nothing came out of the printer: what it printed counts as not printed,
    /// and its slots are free again. Its labels stay on record.
    ///
    /// # Errors
    /// [`RegisterError::UnknownRun`]; [`RegisterError::CancelledBefore`]; [`RegisterError::RunIsOpen`].
    pub fn cancel_run(&mut self, _lock: &Lock, id: RunId) -> Result<(), RegisterError> {
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let sql = "SELECT state, substr(cancelled_at, 1, 10) FROM run WHERE id = ?1";
        let found = tx.query_row(sql, [id.0], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
        match found.as_ref().map(|(state, at): &(String, Option<String>)| (state.as_str(), at)) {
            None => return Err(RegisterError::UnknownRun(id)),
            Some(("done", _)) => {}
            Some((_, Some(at))) => return Err(RegisterError::CancelledBefore { run: id, at: at.clone() }),
            Some(_) => return Err(RegisterError::RunIsOpen(id)),
        }
        let before = Some(described_in(&tx, id)?);
        let sql = "UPDATE run SET state = 'cancelled', cancelled_at = ?2 WHERE id = ?1";
        tx.execute(sql, params![id.0, journal::now()])?;
        tx.execute("DELETE FROM spent WHERE run = ?1", [id.0])?;
        journal::write_in(&tx, &Entry { action: "run cancelled", before, ..Entry::default() })?;
        Ok(tx.commit()?)
    }
}

fn refuse_undone_in(connection: &Connection, of: LabelOf<'_>) -> Result<(), RegisterError> {
    let is_undone = |sql, id| connection.prepare_cached(sql)?.exists([id]);
    match of {
        LabelOf::Item(item) if is_undone("SELECT 1 FROM item WHERE id = ?1 AND state = 'undone'", item.id.0)? => {
            Err(RegisterError::HasLeft { item: item.name(), status: Status::Undone })
        }
        LabelOf::Bin(bin) if is_undone("SELECT 1 FROM bin WHERE id = ?1 AND state = 'undone'", bin.id)? => {
            Err(RegisterError::BinTakenBack(bin.code))
        }
        _ => Ok(()),
    }
}

/// A run for the journal: what, where and how many labels.
fn described_in(tx: &Transaction<'_>, id: RunId) -> Result<serde_json::Value, RegisterError> {
    let sql = "SELECT kind, target, sheet, (SELECT count(*) FROM label WHERE run = run.id) FROM run WHERE id = ?1";
    Ok(tx.query_row(sql, [id.0], |row| {
        let (kind, target, sheet): (String, String, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
        Ok(json!({"run": id.0, "kind": kind, "file": target, "sheet": sheet, "labels": row.get::<_, i64>(3)?}))
    })?)
}

fn insert_run_in(
    tx: &Transaction<'_>,
    run: &NewRun<'_>,
    target: &Path,
    temporary: &Path,
) -> Result<RunId, RegisterError> {
    let path = |path: &Path| path.to_string_lossy().into_owned();
    tx.execute(
        "INSERT INTO run (at, kind, state, target, temporary, sha256, sheet, dpi, pages, printer, options)
         VALUES (?1, ?2, 'writing', ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
        params![
            journal::now(),
            run.kind.word(),
            path(target),
            path(temporary),
            run.sha256,
            run.sheet,
            run.dpi,
            i64::try_from(run.pages).unwrap_or(i64::MAX),
            run.printer,
            run.options.to_string()
        ],
    )?;
    Ok(RunId(tx.last_insert_rowid()))
}

fn insert_label_in(tx: &Transaction<'_>, run: RunId, number: i64, label: &NewLabel<'_>) -> Result<(), RegisterError> {
    let (mut item, mut bin, mut area, mut spot) = (None, None, None, None);
    match label.of {
        LabelOf::Item(of) => item = Some(of.id.0),
        LabelOf::Bin(of) => bin = Some(of.id),
        LabelOf::Area(of) => area = Some(of.get()),
        LabelOf::Spot(of) => spot = Some(of.0),
    }
    let page = i64::try_from(label.page).unwrap_or(i64::MAX);
    tx.prepare_cached(
        "INSERT INTO label (run, number, page, slot, sheet_no, payload, symbols, item, bin, area, spot, said,
            look)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)",
    )?
    .execute(params![
        run.0,
        number,
        page,
        label.slot,
        label.sheet_no,
        label.payload,
        label.symbols,
        item,
        bin,
        area,
        spot,
        label.said.to_string(),
        label.look.as_ref().map(ToString::to_string)
    ])?;
    Ok(())
}
