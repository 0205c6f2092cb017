//! The settling of runs whose file was left half-way by a crash.

use std::{
    io::ErrorKind,
    path::{Path, PathBuf},
};

use rusqlite::Row;

use super::{Lock, Register, RegisterError, RunId};

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
    /// Settles what a crash left half-way: a run counts if its whole file is in place, else it never
    /// was and what was written of it is removed. Nothing is done while another program prints.
    ///
    /// `hash` gives the SHA-256 of a file's bytes.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read or written.
    pub fn settle_runs(&mut self, hash: impl Fn(&[u8]) -> String) -> Result<Vec<Settled>, RegisterError> {
        if self.is_read_only || self.open_runs()?.is_empty() {
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

impl Open {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let path = |at| row.get::<_, String>(at).map(PathBuf::from);
        Ok(Self { id: RunId(row.get(0)?), target: path(1)?, temporary: path(2)?, sha256: row.get(3)? })
    }
}
