//! Opening the register: its place, the checks before it is trusted, and how it is set up.

use std::{
    collections::BTreeSet,
    fs::File,
    io::Read,
    path::{Path, PathBuf},
    sync::{
        Arc, LazyLock, Mutex, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
    time::Duration,
};

use rusqlite::{Connection, ErrorCode, OpenFlags};
use rusqlite_migration::{M, Migrations};

use super::{Lock, Register, RegisterError, reading};

/// Marks the file as ours: "STOW".
pub(super) const APPLICATION_ID: i32 = 0x5354_4f57;
const SQLITE_HEADER: &[u8; 16] = b"SQLite format 3\0";
/// How long to wait for another program's change to end: the import of a long file takes seconds, on slow disks many.
const BUSY: Duration = Duration::from_secs(30);

/// Statements that are kept ready; a command uses a few dozens at most.
const STATEMENTS: usize = 64;
/// Pages of the log after which it is written into the file: a few thousand, so that a session of hundreds of small
/// changes waits for that once or twice.
const LOG: i64 = 4000;
/// The most memory for pages, in KiB, taken as it is needed: the pages that a large import changes are written once.
const CACHE: i64 = 64 * 1024;

static MIGRATIONS: LazyLock<Migrations<'static>> = LazyLock::new(|| {
    Migrations::new(vec![
        M::up(include_str!("migrations/001_first.sql")),
        M::up(include_str!("migrations/002_runs.sql")).foreign_key_check(),
        M::up(include_str!("migrations/003_printers.sql")),
        M::up(include_str!("migrations/004_fonts.sql")),
        M::up(include_str!("migrations/005_trading.sql")).foreign_key_check(),
        M::up(include_str!("migrations/006_reorganising.sql")),
        M::up(include_str!("migrations/007_desk.sql")),
    ])
});

/// Whether a missing register is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Access {
    /// It has to be there.
    Existing,
    /// It is made, with its folder.
    Create,
}

/// The register's place when nothing else is said: the platform's folder for a program's data.
#[must_use]
pub fn default_path() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "stowmark").map(|folders| folders.data_local_dir().join("register.db"))
}

impl Register {
    /// Opens a register and brings its structure up to date.
    ///
    /// # Errors
    /// [`RegisterError`] when it is missing, no register, from a newer version or can't be reached.
    pub fn open(path: &Path, access: Access) -> Result<Self, RegisterError> {
        let unreachable = |source| RegisterError::Unreachable { path: path.to_owned(), source };
        let path = std::path::absolute(path).map_err(unreachable)?;
        if path.is_dir() {
            return Err(RegisterError::Folder(path));
        }
        match (path.try_exists().map_err(unreachable)?, access) {
            (true, Access::Existing) if is_empty(&path) => return Err(RegisterError::Missing(path)),
            (true, _) => check_header(&path)?,
            (false, Access::Existing) => return Err(RegisterError::Missing(path)),
            (false, Access::Create) => make_folder(&path)?,
        }
        Self::connect(path, access)
    }

    /// Where the disk may not be written to or is full, it is opened for reading.
    fn connect(path: PathBuf, access: Access) -> Result<Self, RegisterError> {
        match connect_writing(&path, access) {
            Ok(connection) => {
                let is_read_only = connection.is_readonly("main")?;
                Self::new(connection, path, is_read_only)
            }
            Err(fault) if reading::may_help(&fault) && !is_empty(&path) => Self::connect_reading(path),
            Err(fault) => Err(fault),
        }
    }

    fn connect_reading(path: PathBuf) -> Result<Self, RegisterError> {
        let (mut connection, state) = reading::open(&path)?;
        check_owner(&connection, &path)?;
        MIGRATIONS.to_latest(&mut connection).map_err(|fault| migration_error(fault, &path))?;
        let mut register = Self::new(connection, path, true)?;
        register.read_as = Some(state);
        Ok(register)
    }

    fn new(connection: Connection, path: PathBuf, is_read_only: bool) -> Result<Self, RegisterError> {
        tune(&connection)?;
        let changed = Arc::new(AtomicBool::new(false));
        let flag = Arc::clone(&changed);
        let note = move || {
            flag.store(true, Ordering::Relaxed);
            false
        };
        connection.commit_hook(Some(note))?;
        Ok(Self { connection, path, is_read_only, read_as: None, changed, terms: None, made: None.into() })
    }

    /// A register in memory, for tests.
    ///
    /// # Errors
    /// [`RegisterError`] when the structure can't be made.
    pub fn in_memory() -> Result<Self, RegisterError> {
        let mut connection = Connection::open_in_memory()?;
        MIGRATIONS.to_latest(&mut connection).map_err(RegisterError::Migration)?;
        connection.pragma_update(None, "foreign_keys", true)?;
        Self::new(connection, PathBuf::from(":memory:"), false)
    }
}

fn connect_writing(path: &Path, access: Access) -> Result<Connection, RegisterError> {
    let create = if access == Access::Create { OpenFlags::SQLITE_OPEN_CREATE } else { OpenFlags::empty() };
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX | create;
    let mut connection = Connection::open_with_flags(path, flags)?;
    connection.busy_timeout(BUSY)?;
    check_owner(&connection, path)?;
    // Two programs that make or update the register at once would stand in each other's way.
    let _lock = if is_behind(&connection) { Some(Lock::wait(path)?) } else { None };
    set_up(&connection)?;
    MIGRATIONS.to_latest(&mut connection).map_err(|fault| migration_error(fault, path))?;
    connection.pragma_update(None, "foreign_keys", true)?;
    Ok(connection)
}

pub(super) fn make_folder(path: &Path) -> Result<(), RegisterError> {
    let folder = path.parent().unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder).map_err(|source| RegisterError::Unreachable { path: path.to_owned(), source })
}

fn is_empty(path: &Path) -> bool {
    path.metadata().is_ok_and(|found| found.is_file() && found.len() == 0)
}

/// Files that this process has looked at before `SQLite` did. To close one again would end the locks that `SQLite` has on
/// it for another register of this process (POSIX, fcntl), and others would take it for closed.
static LOOKED_AT: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// A file that is there must be a database, or empty as after a cut-off start.
fn check_header(path: &Path) -> Result<(), RegisterError> {
    let mut looked_at = LOOKED_AT.lock().unwrap_or_else(PoisonError::into_inner);
    if looked_at.contains(path) {
        return Ok(());
    }
    let mut header = Vec::new();
    let read = File::open(path).and_then(|file| file.take(16).read_to_end(&mut header));
    read.map_err(|source| RegisterError::Unreachable { path: path.to_owned(), source })?;
    if !header.is_empty() && header != SQLITE_HEADER {
        return Err(RegisterError::Foreign(path.to_owned()));
    }
    looked_at.insert(path.to_owned());
    Ok(())
}

/// A database that is there must be ours, or have nothing in it yet.
fn check_owner(connection: &Connection, path: &Path) -> Result<(), RegisterError> {
    let foreign = || RegisterError::Foreign(path.to_owned());
    let read = |fault: rusqlite::Error| match fault.sqlite_error_code() {
        Some(ErrorCode::NotADatabase) => foreign(),
        _ => fault.into(),
    };
    let id: i32 = connection.pragma_query_value(None, "application_id", |row| row.get(0)).map_err(read)?;
    let tables: i64 = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0)).map_err(read)?;
    if id == APPLICATION_ID || (id == 0 && tables == 0) { Ok(()) } else { Err(foreign()) }
}

fn is_behind(connection: &Connection) -> bool {
    MIGRATIONS.pending_migrations(connection).is_ok_and(|pending| pending > 0)
}

fn set_up(connection: &Connection) -> Result<(), RegisterError> {
    connection.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(()))?;
    connection.pragma_update(None, "synchronous", "FULL")?;
    if cfg!(target_os = "macos") {
        // Without it macOS calls data written that is still in the drive's cache.
        connection.pragma_update(None, "fullfsync", true)?;
        connection.pragma_update(None, "checkpoint_fullfsync", true)?;
    }
    let id: i32 = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
    if id != APPLICATION_ID {
        connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    }
    Ok(())
}

/// What makes large registers fast and takes nothing from their safety.
fn tune(connection: &Connection) -> Result<(), RegisterError> {
    connection.set_prepared_statement_cache_capacity(STATEMENTS);
    connection.pragma_update(None, "cache_size", -CACHE)?;
    connection.pragma_update(None, "wal_autocheckpoint", LOG)?;
    // What a statement needs to step back is a few pages; in a file it took most of the time of an import.
    connection.pragma_update(None, "temp_store", "MEMORY")?;
    Ok(())
}

fn migration_error(fault: rusqlite_migration::Error, path: &Path) -> RegisterError {
    use rusqlite_migration::{Error, MigrationDefinitionError};
    match fault {
        Error::MigrationDefinition(MigrationDefinitionError::DatabaseTooFarAhead) => {
            RegisterError::Newer(path.to_owned())
        }
        // Its own text would show all of the SQL.
        Error::RusqliteError { err, .. } => err.into(),
        other => RegisterError::Migration(other),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_migrations_apply_one_after_the_other() {
        MIGRATIONS.validate().unwrap();
    }
}
