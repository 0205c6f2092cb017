//! Printed runs: what each label said, and the settling of runs whose file was left half-way.
//!
//! The file of a run and its row can't be changed in one step. So the run is recorded as being written
//! before its file exists; what a crash leaves behind is settled at the next start.

use std::{
    io::ErrorKind,
    path::{Path, PathBuf},
};

use rusqlite::{Row, Transaction, TransactionBehavior, params};
use serde::Serialize;
use serde_json::json;

use super::{
    Bin, Item, Lock, Register, RegisterError,
    journal::{self, Entry},
};

/// The number of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(transparent)]
pub struct RunId(i64);

impl std::fmt::Display for RunId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}", self.0)
    }
}

/// What a run prints.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunKind {
    /// Items' labels.
    Tags,
    /// Bins' labels.
    Signs,
}

impl RunKind {
    /// The word in file names: `tags`, `signs`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Tags => "tags",
            Self::Signs => "signs",
        }
    }
}

/// A run to be recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct NewRun<'a> {
    /// What it prints.
    pub kind: RunKind,
    /// The sheet's name.
    pub sheet: &'a str,
    /// Dots per inch.
    pub dpi: f64,
    /// Pages of the file.
    pub pages: usize,
    /// SHA-256 of the file's bytes.
    pub sha256: &'a str,
    /// Its labels, in the order of the file.
    pub labels: &'a [NewLabel<'a>],
}

/// A label of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct NewLabel<'a> {
    /// The page, counted from 1.
    pub page: usize,
    /// The slot, counted from 1.
    pub slot: u32,
    /// What its symbol carries.
    pub payload: String,
    /// The names of the symbologies on it, parted by spaces.
    pub symbols: String,
    /// Whose label it is.
    pub of: LabelOf<'a>,
    /// What it says, as JSON.
    pub said: serde_json::Value,
}

/// Whose label it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LabelOf<'a> {
    /// An item's tag.
    Item(&'a Item),
    /// A bin's sign.
    Bin(&'a Bin),
}

/// A run that is done, as the register remembers it.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordedRun {
    /// Its number.
    pub id: RunId,
    /// Its file.
    pub target: PathBuf,
    /// The sheet's name.
    pub sheet: String,
    /// Its labels, in the order of the file.
    pub labels: Vec<RecordedLabel>,
}

/// A label of a run that is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordedLabel {
    /// The page, counted from 1.
    pub page: usize,
    /// The slot, counted from 1.
    pub slot: u32,
    /// What its symbol carries.
    pub payload: String,
    /// The names of the symbologies on it, parted by spaces.
    pub symbols: String,
}

/// What became of a run that was left half-way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Settled {
    /// Its file is in place, whole: the run counts.
    Finished(RunId, PathBuf),
    /// Its file is not there: the run never was.
    TakenBack(RunId, PathBuf),
    /// Its file can't be looked at now: the run stays open.
    Unknown(RunId, PathBuf),
}

/// A run that is left half-way, and what its file should be.
struct Open {
    id: RunId,
    target: PathBuf,
    temporary: PathBuf,
    sha256: String,
}

impl Register {
    /// Waits until no other program writes a run, and keeps others from it until the lock is dropped.
    ///
    /// # Errors
    /// [`RegisterError::Lock`] when the lock file beside the register can't be used.
    pub fn lock_runs(&self) -> Result<Lock, RegisterError> {
        Lock::wait(&self.path)
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
    /// [`RegisterError`] when the file can't be written.
    pub fn begin_run(
        &mut self,
        _lock: &Lock,
        run: &NewRun<'_>,
        target: &Path,
        temporary: &Path,
    ) -> Result<RunId, RegisterError> {
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let path = |path: &Path| path.to_string_lossy().into_owned();
        tx.execute(
            "INSERT INTO run (at, kind, state, target, temporary, sha256, sheet, dpi, pages)
             VALUES (?1, ?2, 'writing', ?3, ?4, ?5, ?6, ?7, ?8)",
            params![
                journal::now(),
                run.kind.word(),
                path(target),
                path(temporary),
                run.sha256,
                run.sheet,
                run.dpi,
                i64::try_from(run.pages).unwrap_or(i64::MAX)
            ],
        )?;
        let id = RunId(tx.last_insert_rowid());
        for (label, number) in run.labels.iter().zip(1..) {
            insert_label_in(&tx, id, number, label)?;
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
        tx.execute("UPDATE run SET state = 'done' WHERE id = ?1", [id.0])?;
        let after = Some(described_in(&tx, id)?);
        journal::write_in(&tx, &Entry { action: "run printed", after, ..Entry::default() })?;
        Ok(tx.commit()?)
    }

    /// Takes a run back whose file did not get to its place.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn take_back_run(&mut self, id: RunId) -> Result<(), RegisterError> {
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let before = Some(described_in(&tx, id)?);
        tx.execute("DELETE FROM label WHERE run = ?1", [id.0])?;
        tx.execute("DELETE FROM run WHERE id = ?1 AND state = 'writing'", [id.0])?;
        journal::write_in(&tx, &Entry { action: "run taken back", before, ..Entry::default() })?;
        Ok(tx.commit()?)
    }

    /// All runs that are done, the oldest first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn runs(&self) -> Result<Vec<RecordedRun>, RegisterError> {
        let mut query =
            self.connection.prepare("SELECT id, target, sheet FROM run WHERE state = 'done' ORDER BY id")?;
        let rows = query.query_map([], |row| Ok((RunId(row.get(0)?), row.get::<_, String>(1)?, row.get(2)?)))?;
        let runs = rows.collect::<Result<Vec<_>, _>>()?.into_iter();
        runs.map(|(id, target, sheet)| {
            Ok(RecordedRun { id, target: target.into(), sheet, labels: self.labels_of(id)? })
        })
        .collect()
    }

    fn labels_of(&self, run: RunId) -> Result<Vec<RecordedLabel>, RegisterError> {
        let sql = "SELECT page, slot, payload, symbols FROM label WHERE run = ?1 ORDER BY number";
        let mut query = self.connection.prepare_cached(sql)?;
        let labels = query.query_map([run.0], RecordedLabel::from_row)?;
        Ok(labels.collect::<Result<_, _>>()?)
    }

    /// Settles what a crash left half-way: a run counts if its whole file is in place, else it never
    /// was and what was written of it is removed. Nothing is done while another program prints.
    ///
    /// `hash` gives the SHA-256 of a file's bytes.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read or written.
    pub fn settle_runs(&mut self, hash: impl Fn(&[u8]) -> String) -> Result<Vec<Settled>, RegisterError> {
        if self.open_runs()?.is_empty() {
            return Ok(Vec::new());
        }
        let Some(_lock) = Lock::now(&self.path)? else { return Ok(Vec::new()) };
        // Read again: another program may have settled them before the lock was free.
        self.open_runs()?.into_iter().map(|open| self.settle(open, &hash)).collect()
    }

    fn open_runs(&self) -> Result<Vec<Open>, RegisterError> {
        let sql = "SELECT id, target, temporary, sha256 FROM run WHERE state = 'writing' ORDER BY id";
        let mut query = self.connection.prepare(sql)?;
        let runs = query.query_map([], Open::from_row)?;
        Ok(runs.collect::<Result<_, _>>()?)
    }

    fn settle(&mut self, open: Open, hash: &impl Fn(&[u8]) -> String) -> Result<Settled, RegisterError> {
        let is_whole = match std::fs::read(&open.target) {
            Ok(bytes) => hash(&bytes) == open.sha256,
            Err(fault) if fault.kind() == ErrorKind::NotFound && has_folder(&open.target) => false,
            // A drive that is not there, a file that is locked: nobody knows yet.
            Err(_) => return Ok(Settled::Unknown(open.id, open.target)),
        };
        // The temporary file has no worth of its own, whatever state it is in.
        let _ = std::fs::remove_file(&open.temporary);
        if is_whole {
            self.finish_run(open.id)?;
            Ok(Settled::Finished(open.id, open.target))
        } else {
            self.take_back_run(open.id)?;
            Ok(Settled::TakenBack(open.id, open.target))
        }
    }
}

fn has_folder(file: &Path) -> bool {
    file.parent().is_some_and(Path::is_dir)
}

impl RecordedLabel {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let page: u32 = row.get(0)?;
        Ok(Self { page: page as usize, slot: row.get(1)?, payload: row.get(2)?, symbols: row.get(3)? })
    }
}

impl Open {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let path = |at| row.get::<_, String>(at).map(PathBuf::from);
        Ok(Self { id: RunId(row.get(0)?), target: path(1)?, temporary: path(2)?, sha256: row.get(3)? })
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

fn insert_label_in(tx: &Transaction<'_>, run: RunId, number: i64, label: &NewLabel<'_>) -> Result<(), RegisterError> {
    let (item, bin) = match label.of {
        LabelOf::Item(item) => (Some(item.id.0), None),
        LabelOf::Bin(bin) => (None, Some(bin.id)),
    };
    let page = i64::try_from(label.page).unwrap_or(i64::MAX);
    tx.prepare_cached(
        "INSERT INTO label (run, number, page, slot, payload, symbols, item, bin, said)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )?
    .execute(params![
        run.0,
        number,
        page,
        label.slot,
        label.payload,
        label.symbols,
        item,
        bin,
        label.said.to_string()
    ])?;
    Ok(())
}
