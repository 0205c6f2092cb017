//! A copy of the whole register in another file, as of one moment.
//!
//! Start with [`Register::copy_to`]. Where copies lie and how many are kept is decided above.

use std::{fs::File, path::Path, time::Duration};

use rusqlite::{Connection, backup::Backup};

use super::{
    Register, RegisterError,
    reading::{beside, open_as_it_is},
};

impl Register {
    /// Copies all of it into a new file, which is on the disk and was read through when this returns. Other programs
    /// may go on meanwhile: the copy is of the moment at which it began. What was written is removed when it fails.
    ///
    /// # Errors
    /// [`RegisterError::NoRoom`]; [`RegisterError::BadCopy`]; [`RegisterError`] when it can't be read or written.
    pub fn copy_to(&self, file: &Path) -> Result<(), RegisterError> {
        self.copied_to(file).map_err(|fault| {
            remove(file);
            match fault {
                RegisterError::Full(_) => RegisterError::NoRoom(file.to_owned()),
                other => other,
            }
        })
    }

    fn copied_to(&self, file: &Path) -> Result<(), RegisterError> {
        remove(file);
        let mut copy = Connection::open(file)?;
        copy_all(&self.connection, &mut copy)?;
        copy.close().map_err(|(_, source)| source)?;
        // As a reader of it would: with rights that it needs, and the data on the disk.
        require_sound(&open_as_it_is(file)?)?;
        let synced = File::options().write(true).open(file).and_then(|file| file.sync_all());
        synced.map_err(|source| RegisterError::Unreachable { path: file.to_owned(), source })
    }
}

/// All pages at once: in pieces it would begin anew whenever another program writes.
pub(super) fn copy_all(from: &Connection, to: &mut Connection) -> Result<(), RegisterError> {
    let backup = Backup::new(from, to)?;
    Ok(backup.run_to_completion(i32::MAX, Duration::from_millis(50), None)?)
}

/// SQLite documentation: `quick_check` reads all pages, without the comparison of indexes with their tables.
pub(super) fn require_sound(connection: &Connection) -> Result<(), RegisterError> {
    let said: String = connection.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
    if said == "ok" { Ok(()) } else { Err(RegisterError::BadCopy(said)) }
}

/// Removes a file and what lies beside it; none of them need be there.
pub(super) fn remove(file: &Path) {
    let _ = std::fs::remove_file(file);
    for end in ["-journal", "-wal", "-shm"] {
        let _ = std::fs::remove_file(beside(file, end));
    }
}
