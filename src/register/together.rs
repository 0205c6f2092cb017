//! Changes of several devices that wait for one sync of the disk together.
//!
//! Start with [`Register::unsynced`] under the lock of the register, and without it with [`GroupSync::wait`]: one of
//! those that wait syncs for all that was written by then. A change is acknowledged after its wait only. The log is
//! the file that `SQLite` itself syncs after each change; what is read before a sync may be lost by a power cut.

use std::{
    fs::{File, OpenOptions},
    io,
    path::PathBuf,
    sync::{
        Mutex, PoisonError,
        atomic::{AtomicU64, Ordering},
    },
};

use super::{Register, RegisterError};

/// The syncs of a register's log, for all that wait for them.
#[derive(Debug)]
pub struct GroupSync {
    log: PathBuf,
    /// How many changes were written.
    written: AtomicU64,
    /// How many of them are on the disk, and the log.
    synced: Mutex<(u64, Option<File>)>,
}

/// A change that was written and is not on the disk yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[must_use = "it is not on the disk before `GroupSync::wait`"]
pub struct Written(u64);

/// Changes are synced one by one again when this is dropped, also by a panic.
struct Unsynced<'r>(&'r mut Register);

impl Drop for Unsynced<'_> {
    fn drop(&mut self) {
        // Where this fails the connection is of no use any more, and says so with the next change.
        let _ = self.0.connection.pragma_update(None, "synchronous", "FULL");
    }
}

impl Register {
    /// The syncs of its log.
    #[must_use]
    pub fn group_sync(&self) -> GroupSync {
        let log = PathBuf::from(format!("{}-wal", self.path.display()));
        GroupSync { log, written: AtomicU64::new(0), synced: Mutex::default() }
    }

    /// Makes changes that are on the disk once [`GroupSync::wait`] has returned.
    ///
    /// # Errors
    /// [`RegisterError`] when the database refuses.
    pub fn unsynced<T>(
        &mut self,
        syncs: &GroupSync,
        make: impl FnOnce(&mut Self) -> T,
    ) -> Result<(T, Written), RegisterError> {
        let mode: String = self.connection.pragma_query_value(None, "journal_mode", |row| row.get(0))?;
        // Without a log each change is synced by itself.
        let outcome = if mode == "wal" {
            self.connection.pragma_update(None, "synchronous", "NORMAL")?;
            make(Unsynced(self).0)
        } else {
            make(self)
        };
        Ok((outcome, Written(syncs.written.fetch_add(1, Ordering::SeqCst) + 1)))
    }
}

impl GroupSync {
    /// Waits until a change is on the disk.
    ///
    /// # Errors
    /// [`io::Error`] of the sync; the change may not outlive a power cut then.
    pub fn wait(&self, change: Written) -> io::Result<()> {
        let mut synced = self.synced.lock().unwrap_or_else(PoisonError::into_inner);
        if synced.0 >= change.0 {
            return Ok(());
        }
        let written = self.written.load(Ordering::SeqCst);
        if synced.1.is_none() {
            synced.1 = self.open()?;
        }
        if let Some(log) = &synced.1 {
            log.sync_data()?;
        }
        synced.0 = written;
        Ok(())
    }

    /// The log, if there is one; it stays the same file as long as the register is open.
    fn open(&self) -> io::Result<Option<File>> {
        match OpenOptions::new().write(true).open(&self.log) {
            Ok(log) => Ok(Some(log)),
            Err(fault) if fault.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(fault) => Err(fault),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        code::AreaNumber,
        register::{Access, NewBins},
    };

    fn synchronous(register: &Register) -> i64 {
        register.connection.pragma_query_value(None, "synchronous", |row| row.get(0)).unwrap()
    }

    #[test]
    fn changes_are_synced_together_and_then_one_by_one_again() {
        let folder = tempfile::tempdir().unwrap();
        let mut register = Register::open(&folder.path().join("register.db"), Access::Create).unwrap();
        let area = AreaNumber::new(4).unwrap();
        register.add_area(area, "Loft").unwrap();
        let syncs = register.group_sync();
        let (during, first) = register
            .unsynced(&syncs, |register| {
                register.add_bins(area, &NewBins::new(1)).unwrap();
                synchronous(register)
            })
            .unwrap();
        let (_, second) = register.unsynced(&syncs, |register| register.add_bins(area, &NewBins::new(1))).unwrap();
        // 1 is NORMAL and 2 is FULL (sqlite.org/pragma.html#pragma_synchronous).
        assert_eq!((during, synchronous(&register)), (1, 2));
        syncs.wait(first).unwrap();
        assert_eq!(syncs.synced.lock().unwrap().0, 2);
        assert!(syncs.synced.lock().unwrap().1.is_some());
        syncs.wait(second).unwrap();
        assert_eq!(register.bins(None).unwrap().len(), 2);
    }

    #[test]
    fn a_panic_leaves_no_change_unsynced() {
        let folder = tempfile::tempdir().unwrap();
        let mut register = Register::open(&folder.path().join("register.db"), Access::Create).unwrap();
        let syncs = register.group_sync();
        let broken = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            register.unsynced(&syncs, |_| panic!("on purpose")).map(|((), written)| written)
        }));
        assert!(broken.is_err());
        assert_eq!(synchronous(&register), 2);
    }
}
