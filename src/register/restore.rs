//! A copy put in the place of the register.
//!
//! Start with [`Staged::of`], look at it with [`Staged::check`], and put it in place with [`Staged::put_in_place`]. A
//! program that is killed meanwhile leaves the old register or the new one: a register that can be opened is overwritten
//! in one transaction, one that can't is replaced by one renaming.

use std::{
    fs::File,
    io::ErrorKind,
    path::{Path, PathBuf},
};

use rusqlite::ErrorCode;

use super::{
    Access, Checked, Lock, Register, RegisterError,
    backup::{copy_all, remove, require_sound},
    reading::{beside, is_ours, open_as_it_is},
};

/// A copy of a backup beside the register, brought up to date.
#[derive(Debug)]
pub struct Staged {
    copy: Register,
    target: PathBuf,
    _lock: Lock,
}

impl Staged {
    /// Copies a backup to beside the register, so that the backup itself is never changed.
    ///
    /// # Errors
    /// [`RegisterError::Missing`], [`RegisterError::Foreign`], [`RegisterError::Newer`] when it can't be used;
    /// [`RegisterError::InUse`] while another program prints or restores.
    pub fn of(backup: &Path, register: &Path) -> Result<Self, RegisterError> {
        let absolute = |path: &Path| {
            std::path::absolute(path).map_err(|source| RegisterError::Unreachable { path: path.to_owned(), source })
        };
        let (backup, target) = (absolute(backup)?, absolute(register)?);
        require_register(&backup)?;
        super::open::make_folder(&target)?;
        let lock = Lock::now(&target)?.ok_or_else(|| RegisterError::InUse(target.clone()))?;
        let stage = beside(&target, ".restoring");
        remove(&stage);
        let staged = copy_with_log(&backup, &stage).and_then(|()| Register::open(&stage, Access::Existing));
        match staged {
            Ok(copy) => Ok(Self { copy, target, _lock: lock }),
            Err(fault) => {
                remove(&stage);
                let _ = std::fs::remove_file(super::lock::lock_path(&stage));
                Err(named(fault, backup))
            }
        }
    }

    /// Looks for anything in the copy that is not as it should be.
    ///
    /// # Errors
    /// [`RegisterError`] when nothing of it can be read.
    pub fn check(&self) -> Result<Checked, RegisterError> {
        self.copy.check()
    }

    /// Removes the copy again.
    pub fn discard(self) {
        let stage = self.copy.path().to_owned();
        drop(self.copy);
        clear(&stage);
    }

    /// Puts the copy in the place of the register. What was there is kept under `kept`; `true` if anything was.
    ///
    /// # Errors
    /// [`RegisterError::InUse`] while another program has the register open; [`RegisterError`] when it can't be kept
    /// or written. The register is as it was then.
    pub fn put_in_place(self, kept: &Path) -> Result<bool, RegisterError> {
        let stage = self.copy.path().to_owned();
        let placed = self.place(kept);
        clear(&stage);
        placed
    }

    fn place(self, kept: &Path) -> Result<bool, RegisterError> {
        if self.target.try_exists().is_ok_and(|there| there)
            && let Some(present) = sound(&self.target)?
        {
            return overwrite(&self.copy, present, kept).map(|()| true);
        }
        let stage = self.copy.path().to_owned();
        self.copy.close()?;
        replace(&stage, &self.target, kept)
    }
}

fn clear(stage: &Path) {
    remove(stage);
    let _ = std::fs::remove_file(super::lock::lock_path(stage));
}

/// Messages are about the file that the user named.
fn named(fault: RegisterError, backup: PathBuf) -> RegisterError {
    match fault {
        RegisterError::Foreign(_) => RegisterError::Foreign(backup),
        RegisterError::Newer(_) => RegisterError::Newer(backup),
        other => other,
    }
}

fn require_register(backup: &Path) -> Result<(), RegisterError> {
    match backup.metadata() {
        Ok(found) if found.is_dir() => Err(RegisterError::Folder(backup.to_owned())),
        Ok(found) if found.len() == 0 => Err(RegisterError::Foreign(backup.to_owned())),
        Ok(_) => Ok(()),
        Err(fault) if fault.kind() == ErrorKind::NotFound => Err(RegisterError::NoBackup(backup.to_owned())),
        Err(source) => Err(RegisterError::Unreachable { path: backup.to_owned(), source }),
    }
}

/// A register that was copied by hand while it was open has a log beside it.
fn copy_with_log(from: &Path, to: &Path) -> Result<(), RegisterError> {
    copy(from, to)?;
    let log = beside(from, "-wal");
    if log.exists() { copy(&log, &beside(to, "-wal")) } else { Ok(()) }
}

fn copy(from: &Path, to: &Path) -> Result<(), RegisterError> {
    let copied = std::fs::copy(from, to).and_then(|_| {
        // A copy has the rights of what it was copied from, which may be for reading only.
        let mut rights = to.metadata()?.permissions();
        #[expect(
            clippy::permissions_set_readonly_false,
            reason = "the file is our own, with the rights that it was made with"
        )]
        rights.set_readonly(false);
        std::fs::set_permissions(to, rights)?;
        File::options().write(true).open(to)?.sync_all()
    });
    copied.map_err(|source| RegisterError::Unreachable { path: to.to_owned(), source })
}

/// The present register, kept to ourselves; `None` when it is damaged.
fn sound(path: &Path) -> Result<Option<Register>, RegisterError> {
    match Register::open(path, Access::Existing) {
        Ok(register) => {
            register.keep_others_out()?;
            Ok(require_sound(&register.connection).is_ok().then_some(register))
        }
        Err(RegisterError::Foreign(_)) if is_other_database(path) => Err(RegisterError::Foreign(path.to_owned())),
        Err(fault @ (RegisterError::Busy(_) | RegisterError::Folder(_) | RegisterError::Newer(_))) => Err(fault),
        Err(_) => Ok(None),
    }
}

/// Whether it is a database that works and is none of ours, which is never replaced.
fn is_other_database(path: &Path) -> bool {
    open_as_it_is(path).is_ok_and(|other| require_sound(&other).is_ok() && !is_ours(&other))
}

impl Register {
    /// SQLite documentation, "WAL": in exclusive mode the first write fails while any other program is connected.
    fn keep_others_out(&self) -> Result<(), RegisterError> {
        self.connection.busy_timeout(std::time::Duration::from_secs(2))?;
        self.connection.pragma_update_and_check(None, "locking_mode", "EXCLUSIVE", |_| Ok(()))?;
        let taken = self.connection.execute_batch("BEGIN EXCLUSIVE; COMMIT");
        taken.map_err(|fault| match fault.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => RegisterError::InUse(self.path.clone()),
            _ => fault.into(),
        })
    }
}

/// In one transaction: killed before its end, the next start finds the old register.
fn overwrite(copy: &Register, mut present: Register, kept: &Path) -> Result<(), RegisterError> {
    let pending = beside(kept, ".part");
    present.copy_to(&pending)?;
    std::fs::rename(&pending, kept).map_err(|source| RegisterError::Unreachable { path: kept.to_owned(), source })?;
    sync_folder(kept);
    copy_all(&copy.connection, &mut present.connection)?;
    present.connection.pragma_update_and_check(None, "wal_checkpoint", "TRUNCATE", |_| Ok(()))?;
    present.close()
}

/// Bytes that can't be read as a register are kept as they are. Until the renaming they are in their place too.
fn replace(stage: &Path, target: &Path, kept: &Path) -> Result<bool, RegisterError> {
    let mut any = false;
    for end in ["", "-wal", "-journal"] {
        let (from, to) = (beside(target, end), beside(kept, end));
        if from.exists() {
            copy(&from, &to)?;
            any = true;
        }
    }
    // The log of the old register must not be taken for one of the new.
    for end in ["-wal", "-journal", "-shm"] {
        let _ = std::fs::remove_file(beside(target, end));
    }
    std::fs::rename(stage, target).map_err(|source| RegisterError::Unreachable { path: target.to_owned(), source })?;
    sync_folder(target);
    Ok(any)
}

/// Makes a rename last; only Unix systems can open a folder for that.
fn sync_folder(file: &Path) {
    if let Some(folder) = file.parent().filter(|_| cfg!(unix)) {
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}
