//! Reading a register where nothing may be written: a disk for reading only, a folder without rights, a full disk.
//!
//! The database wants files beside its own for its log and its locks. Where there can be none and none are there, the
//! file itself is whole, and is read as it is; that no other program changed it meanwhile is looked at in the end.

use std::{
    path::{Path, PathBuf},
    time::SystemTime,
};

use rusqlite::{Connection, ErrorCode, OpenFlags};

use super::{RegisterError, open::APPLICATION_ID};

/// What would differ if another program had written.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct FileState {
    bytes: u64,
    modified: Option<SystemTime>,
    has_log: bool,
}

impl FileState {
    fn of(path: &Path) -> Result<Self, RegisterError> {
        let found = path.metadata().map_err(|source| RegisterError::Unreachable { path: path.to_owned(), source })?;
        Ok(Self { bytes: found.len(), modified: found.modified().ok(), has_log: has_log(path) })
    }

    pub(super) fn require_unchanged(&self, path: &Path) -> Result<(), RegisterError> {
        if *self == Self::of(path)? { Ok(()) } else { Err(RegisterError::ChangedMeanwhile(path.to_owned())) }
    }
}

/// Whether a register that could not be opened might still be read.
pub(super) fn may_help(fault: &RegisterError) -> bool {
    match fault {
        RegisterError::ReadOnly(_) | RegisterError::Full(_) | RegisterError::Lock { .. } => true,
        RegisterError::Sql(fault) => matches!(
            fault.sqlite_error_code(),
            Some(ErrorCode::CannotOpen | ErrorCode::SystemIoFailure | ErrorCode::PermissionDenied)
        ),
        _ => false,
    }
}

/// Opens the file as it is.
pub(super) fn open(path: &Path) -> Result<(Connection, FileState), RegisterError> {
    let state = FileState::of(path)?;
    if state.has_log {
        return Err(RegisterError::Unfolded(path.to_owned()));
    }
    let connection = open_as_it_is(path)?;
    Ok((connection, state))
}

/// Opens a file that nobody changes, without locks and files beside it.
pub(super) fn open_as_it_is(path: &Path) -> Result<Connection, RegisterError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX | OpenFlags::SQLITE_OPEN_URI;
    Ok(Connection::open_with_flags(immutable_uri(path), flags)?)
}

/// Whether a file says that it is a register of this program.
pub(super) fn is_ours(connection: &Connection) -> bool {
    let id = connection.pragma_query_value(None, "application_id", |row| row.get::<_, i32>(0));
    id.is_ok_and(|id| id == APPLICATION_ID)
}

/// Whether changes lie in the log that are not in the file yet.
pub(super) fn has_log(path: &Path) -> bool {
    let holds = |end: &str| beside(path, end).metadata().is_ok_and(|found| found.len() > 0);
    holds("-wal") || holds("-journal")
}

/// The file beside a register that has its whole name and this end.
pub(super) fn beside(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    name.into()
}

/// RFC 3986: whatever is not plain is written as its bytes.
fn immutable_uri(path: &Path) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"/._-~".contains(&byte);
    let mut uri = String::from("file:");
    if cfg!(windows) {
        uri.push('/');
    }
    for byte in path.as_os_str().as_encoded_bytes() {
        match *byte {
            b'\\' if cfg!(windows) => uri.push('/'),
            b':' if cfg!(windows) => uri.push(':'),
            byte if plain(byte) => uri.push(byte.into()),
            byte => uri += &format!("%{byte:02X}"),
        }
    }
    uri + "?immutable=1"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn names_with_any_characters_are_opened() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["a b.db", "100 % of #1?.db", "Größe.db", "x&y=z;.db"] {
            let path = folder.path().join(name);
            Connection::open(&path).unwrap().execute_batch("CREATE TABLE pan (id)").unwrap();
            let read = open_as_it_is(&path).unwrap();
            let tables: i64 = read.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0)).unwrap();
            assert_eq!(tables, 1, "{name}");
            assert!(read.execute_batch("CREATE TABLE pot (id)").is_err());
        }
    }
}
