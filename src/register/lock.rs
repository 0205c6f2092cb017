//! The lock file beside the register: held while a run is written or settled, and while the structure is
//! brought up to date, by one program at a time.

use std::{
    fs::{File, TryLockError},
    path::{Path, PathBuf},
};

use super::RegisterError;

/// Keeps other programs out until it is dropped.
#[derive(Debug)]
pub struct Lock {
    _file: File,
}

impl Lock {
    /// Waits until no other program holds it.
    pub(super) fn wait(register: &Path) -> Result<Self, RegisterError> {
        let file = open(register)?;
        file.lock().map_err(|source| fault(register, source))?;
        Ok(Self { _file: file })
    }

    /// `None` while another program holds it.
    pub(super) fn now(register: &Path) -> Result<Option<Self>, RegisterError> {
        let file = open(register)?;
        match file.try_lock() {
            Ok(()) => Ok(Some(Self { _file: file })),
            Err(TryLockError::WouldBlock) => Ok(None),
            Err(TryLockError::Error(source)) => Err(fault(register, source)),
        }
    }
}

fn open(register: &Path) -> Result<File, RegisterError> {
    let options = File::options().create(true).truncate(false).write(true).clone();
    options.open(lock_path(register)).map_err(|source| fault(register, source))
}

/// The register's whole name and `.lock`.
pub(super) fn lock_path(register: &Path) -> PathBuf {
    let mut name = register.as_os_str().to_owned();
    name.push(".lock");
    name.into()
}

fn fault(register: &Path, source: std::io::Error) -> RegisterError {
    RegisterError::Lock { path: lock_path(register), source }
}
