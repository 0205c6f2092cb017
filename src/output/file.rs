//! A finished file put in place as a whole: written beside its place, synced, renamed.

use std::{
    fs::File,
    io::{self, Write},
    path::{Path, PathBuf},
};

use sha2::{Digest, Sha256};

/// Why a file was not put in place.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// Something of that name is there already.
    #[error("`{0}` is there already; give another name with --out, or --force to replace it")]
    Exists(PathBuf),
    /// A folder has that name.
    #[error("`{0}` is a folder; give the name of a file")]
    Folder(PathBuf),
    /// Something is there that is no plain file: a device, a pipe, a link.
    #[error("`{0}` is no plain file and is not replaced; give another name")]
    Special(PathBuf),
    /// The name has parts that are no text, which the register could not remember.
    #[error("`{}` can't be remembered, since its name is no Unicode text; give another name", .0.display())]
    NotUnicode(PathBuf),
    /// The file is the register, which no PDF may replace.
    #[error("`{0}` is the register; give another name with --out")]
    Register(PathBuf),
    /// Another program has the file open, which Windows does not let anyone replace.
    #[error("another program holds `{path}` open; close it there and try again")]
    HeldOpen {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The disk is full.
    #[error("the disk is full, `{path}` was not written; make room and try again")]
    Full {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Anything else that the system refused.
    #[error("`{path}` could not be written; check that the folder is there and may be written to")]
    Refused {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

/// Windows: the file is in use by another process, or a part of it is locked.
const SHARING_VIOLATIONS: [i32; 2] = [32, 33];

impl FileError {
    /// Windows answers "access denied" when the target of a rename is open or read-only.
    fn of_rename(path: &Path, source: io::Error) -> Self {
        let denied = cfg!(windows) && source.kind() == io::ErrorKind::PermissionDenied && path.exists();
        if denied { Self::HeldOpen { path: path.to_owned(), source } } else { Self::of(path, source) }
    }

    fn of(path: &Path, source: io::Error) -> Self {
        let path = path.to_owned();
        let held = cfg!(windows) && source.raw_os_error().is_some_and(|code| SHARING_VIOLATIONS.contains(&code));
        match source.kind() {
            io::ErrorKind::AlreadyExists => Self::Exists(path),
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded | io::ErrorKind::FileTooLarge => {
                Self::Full { path, source }
            }
            _ if held => Self::HeldOpen { path, source },
            _ => Self::Refused { path, source },
        }
    }
}

/// A file on its way: where its bytes are first, and where they go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PendingFile {
    /// Beside its place, under a name that nobody else uses.
    pub temporary: PathBuf,
    /// Its place.
    pub target: PathBuf,
}

impl PendingFile {
    /// A file that is to be put in place. Nothing is written yet.
    ///
    /// # Errors
    /// [`FileError::Exists`] when something is there and may not be replaced;
    /// [`FileError::Refused`] when its folder can't be found.
    pub fn new(target: &Path, replace: bool) -> Result<Self, FileError> {
        let target = std::path::absolute(target).map_err(|source| FileError::of(target, source))?;
        if target.to_str().is_none() {
            return Err(FileError::NotUnicode(target));
        }
        refuse_what_is_there(&target, replace)?;
        let folder = target.parent().unwrap_or(Path::new("."));
        if let Err(source) = std::fs::read_dir(folder) {
            return Err(FileError::of(&target, source));
        }
        let name = target.file_name().unwrap_or_default().to_string_lossy();
        let temporary = folder.join(format!(".{name}.{}.part", std::process::id()));
        Ok(Self { temporary, target })
    }

    /// Writes the bytes beside their place and waits until they are on the disk.
    ///
    /// # Errors
    /// [`FileError`]; what was written is removed again.
    pub fn write(&self, bytes: &[u8]) -> Result<(), FileError> {
        let written = File::create(&self.temporary).and_then(|mut file| {
            file.write_all(bytes)?;
            file.sync_all()
        });
        written.map_err(|source| {
            self.discard();
            FileError::of(&self.target, source)
        })
    }

    /// As [`Self::write`], for what is too large to be held at once.
    ///
    /// # Errors
    /// What `fill` refuses with, or [`FileError`]; what was written is removed again.
    pub fn write_with<E: From<FileError>>(&self, fill: impl FnOnce(&mut dyn Write) -> Result<(), E>) -> Result<(), E> {
        let refused = |source| E::from(self.fault(source));
        let written = File::create(&self.temporary).map_err(refused).and_then(|file| {
            let mut buffer = io::BufWriter::new(file);
            fill(&mut buffer)?;
            buffer
                .into_inner()
                .map_err(io::IntoInnerError::into_error)
                .and_then(|file| file.sync_all())
                .map_err(refused)
        });
        written.inspect_err(|_| self.discard())
    }

    /// Why writing it failed, by what the system said.
    #[must_use]
    pub fn fault(&self, source: io::Error) -> FileError {
        FileError::of(&self.target, source)
    }

    /// Puts the written file in its place, over what is there.
    ///
    /// # Errors
    /// [`FileError`]; what was written is removed again.
    pub fn put_in_place(&self) -> Result<(), FileError> {
        std::fs::rename(&self.temporary, &self.target).map_err(|source| {
            self.discard();
            FileError::of_rename(&self.target, source)
        })?;
        sync_folder(&self.target);
        Ok(())
    }

    /// Removes what was written beside the place, if anything.
    pub fn discard(&self) {
        // It may never have been made; a left-over is harmless.
        let _ = std::fs::remove_file(&self.temporary);
    }
}

fn refuse_what_is_there(target: &Path, replace: bool) -> Result<(), FileError> {
    match target.symlink_metadata() {
        Ok(found) if found.is_dir() => Err(FileError::Folder(target.to_owned())),
        Ok(_) if !replace => Err(FileError::Exists(target.to_owned())),
        Ok(found) if !found.is_file() => Err(FileError::Special(target.to_owned())),
        _ => Ok(()),
    }
}

/// Makes the rename last; only Unix systems can open a folder for that, and the data is safe already.
fn sync_folder(target: &Path) {
    if let Some(folder) = target.parent().filter(|_| cfg!(unix)) {
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}

/// SHA-256 in hexadecimal.
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sha256_of_abc_is_that_of_fips_180_4() {
        // The one-block example of FIPS 180-4, from memory.
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn a_file_is_replaced_only_when_asked() {
        let folder = tempfile::tempdir().unwrap();
        let target = folder.path().join("tags.pdf");
        for (bytes, replace) in [(b"one", false), (b"two", true)] {
            let pending = PendingFile::new(&target, replace).unwrap();
            pending.write(bytes).unwrap();
            pending.put_in_place().unwrap();
            assert_eq!(std::fs::read(&target).unwrap(), bytes);
        }
        assert!(matches!(PendingFile::new(&target, false), Err(FileError::Exists(_))));
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_missing_folder_is_refused_before_anything_is_written() {
        let folder = tempfile::tempdir().unwrap();
        assert!(matches!(PendingFile::new(&folder.path().join("no/tags.pdf"), false), Err(FileError::Refused { .. })));
    }
}
