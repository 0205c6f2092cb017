//! Copies of the register: one at the user's word, one a day by itself, and one put back in its place.
//!
//! Start with [`back_up`], [`back_up_daily`] and [`restore`]. The daily ones lie in a folder beside the register, named
//! by their day, and only files of that name are ever removed from it.

use std::{
    io::ErrorKind,
    path::{Path, PathBuf},
};

use jiff::{ZonedDateTime, civil::Date};

use crate::{
    job::Settings,
    output::{FileError, PendingFile},
    register::{Problem, Register, RegisterError, Staged},
};

/// So many daily backups are kept.
pub const DAYS_KEPT: usize = 14;

/// Why there is no backup, or it was not put back.
#[derive(Debug, thiserror::Error)]
pub enum BackupError {
    /// Something of that name is there already.
    #[error("`{0}` is there already; give another name, or --force to replace it")]
    Exists(PathBuf),
    /// The register itself, or what belongs to it.
    #[error("`{0}` is the register; give another name, best on another disk")]
    IsRegister(PathBuf),
    /// The backup is not sound.
    #[error(
        "`{file}` is not sound, so the register stays as it is:{}\nwith --force it is put back nevertheless",
        lines(problems)
    )]
    NotSound {
        /// The backup.
        file: PathBuf,
        /// What is wrong with it.
        problems: Vec<Problem>,
    },
    /// It could not be put in place.
    #[error(transparent)]
    File(#[from] FileError),
    /// The folder of daily backups can't be used.
    #[error("the folder `{folder}` can't be used; check that it may be written to")]
    Folder {
        /// Which.
        folder: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

fn lines(problems: &[Problem]) -> String {
    let line = |problem: &Problem| format!("\n  {}: {}", problem.at, problem.what);
    let more = problems.len().checked_sub(5).filter(|more| *more > 0);
    let more = more.map(|more| format!("\n  and {more} more")).unwrap_or_default();
    problems.iter().take(5).map(line).collect::<String>() + &more
}

/// A backup that was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BackupFile {
    /// Where it is.
    pub file: PathBuf,
    /// The day of one that was made by itself.
    pub day: Option<Date>,
    /// How large it is.
    pub bytes: u64,
}

impl BackupFile {
    /// `228 KB`, `610 MB`
    #[must_use]
    pub fn size_text(&self) -> String {
        match self.bytes {
            0..10_000_000 => format!("{} KB", self.bytes.div_ceil(1000)),
            bytes => format!("{} MB", bytes / 1_000_000),
        }
    }
}

/// Copies the register into a file, which is on the disk and was read through when this returns.
///
/// # Errors
/// [`BackupError::Exists`] without `replace`; [`BackupError::IsRegister`]; [`BackupError`] when it can't be written.
pub fn back_up(register: &Register, file: &Path, replace: bool) -> Result<BackupFile, BackupError> {
    if register.owns(file) {
        return Err(BackupError::IsRegister(file.to_owned()));
    }
    let pending = PendingFile::new(file, replace).map_err(|fault| match fault {
        FileError::Exists(path) => BackupError::Exists(path),
        other => other.into(),
    })?;
    register.copy_to(&pending.temporary)?;
    pending.put_in_place()?;
    Ok(BackupFile { bytes: size(&pending.target), file: pending.target, day: None })
}

fn size(file: &Path) -> u64 {
    file.metadata().map_or(0, |found| found.len())
}

/// Makes today's backup if there is none yet, and removes those that are too old. `None` when there is one.
///
/// # Errors
/// [`BackupError`]; the register is as it was.
pub fn back_up_daily(register: &Register) -> Result<Option<BackupFile>, BackupError> {
    let file = daily_file(register.path(), ZonedDateTime::now().date());
    if file.exists() { Ok(None) } else { back_up_today(register).map(Some) }
}

/// Makes today's backup, in the place of one that there is, and removes those that are too old.
///
/// # Errors
/// [`BackupError`]; the register is as it was.
pub fn back_up_today(register: &Register) -> Result<BackupFile, BackupError> {
    let today = ZonedDateTime::now().date();
    let file = daily_file(register.path(), today);
    let folder = daily_folder(register.path());
    std::fs::create_dir_all(&folder).map_err(|source| BackupError::Folder { folder: folder.clone(), source })?;
    remove_left_over(register.path(), today);
    // Another program may have made it meanwhile: one is as good as the other.
    let made = back_up(register, &file, true)?;
    remove_old(register.path())?;
    Ok(BackupFile { day: Some(today), ..made })
}

/// Makes today's backup if something was changed since the register was opened and the user has not turned backups off.
///
/// # Errors
/// [`BackupError`]; the register is as it was.
pub fn back_up_if_due(register: &Register) -> Result<(), BackupError> {
    if register.has_changed() && Settings::of(register)?.backups {
        back_up_daily(register)?;
    }
    Ok(())
}

/// Where the daily backups of a register lie: in a folder of its name.
#[must_use]
pub fn daily_folder(register: &Path) -> PathBuf {
    let mut name = register.as_os_str().to_owned();
    name.push("-backups");
    name.into()
}

/// `register` of `register.db`, and `.db`.
fn name_parts(register: &Path) -> (String, String) {
    let text = |part: Option<&std::ffi::OsStr>| part.map(|part| part.to_string_lossy().into_owned());
    let end = text(register.extension()).map(|end| format!(".{end}")).unwrap_or_default();
    (text(register.file_stem()).unwrap_or_default(), end)
}

fn daily_file(register: &Path, day: Date) -> PathBuf {
    let (stem, end) = name_parts(register);
    daily_folder(register).join(format!("{stem}-{day}{end}"))
}

/// The day of a daily backup by its name; `None` for other files.
fn day_of(register: &Path, name: &str) -> Option<Date> {
    let (stem, end) = name_parts(register);
    let day = name.strip_prefix(&stem)?.strip_prefix('-')?.strip_suffix(&end)?;
    if day.len() == 10 { day.parse().ok() } else { None }
}

/// The daily backups of a register, the newest first.
///
/// # Errors
/// [`BackupError::Folder`] when their folder can't be read.
pub fn daily_backups(register: &Path) -> Result<Vec<BackupFile>, BackupError> {
    let folder = daily_folder(register);
    let entries = match std::fs::read_dir(&folder) {
        Err(fault) if fault.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        entries => entries.map_err(|source| BackupError::Folder { folder, source })?,
    };
    let backup = |entry: std::fs::DirEntry| {
        let day = day_of(register, &entry.file_name().to_string_lossy())?;
        entry.metadata().ok().filter(std::fs::Metadata::is_file).map(|found| BackupFile {
            file: entry.path(),
            day: Some(day),
            bytes: found.len(),
        })
    };
    let mut backups: Vec<BackupFile> = entries.filter_map(Result::ok).filter_map(backup).collect();
    backups.sort_by_key(|backup| std::cmp::Reverse(backup.day));
    Ok(backups)
}

fn remove_old(register: &Path) -> Result<(), BackupError> {
    for backup in daily_backups(register)?.into_iter().skip(DAYS_KEPT) {
        // One that can't be removed now is removed another day.
        let _ = std::fs::remove_file(backup.file);
    }
    Ok(())
}

/// What a program left that was cut off while it made the backup of an earlier day.
fn remove_left_over(register: &Path, today: Date) {
    let entries = std::fs::read_dir(daily_folder(register)).into_iter().flatten().filter_map(Result::ok);
    for entry in entries {
        let name = entry.file_name().to_string_lossy().into_owned();
        let (_, end) = name_parts(register);
        let day = name.strip_prefix('.').filter(|name| name.contains(".part")).and_then(|name| {
            let at = name.find(&format!("{end}."))? + end.len();
            day_of(register, name.get(..at)?)
        });
        if day.is_some_and(|day| day < today) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// A backup that was put back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// The register.
    pub register: PathBuf,
    /// Where the register that it replaced is kept; none if there was none.
    pub replaced: Option<PathBuf>,
}

/// Puts a backup in the place of the register, after it was checked. The replaced one is kept beside it.
///
/// # Errors
/// [`BackupError::NotSound`] without `force`; [`BackupError`]; the register is as it was.
pub fn restore(register: &Path, backup: &Path, force: bool) -> Result<Restored, BackupError> {
    let register = std::path::absolute(register)
        .map_err(|source| RegisterError::Unreachable { path: register.to_owned(), source })?;
    let real = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_owned());
    if real(&register) == real(backup) {
        return Err(BackupError::IsRegister(backup.to_owned()));
    }
    let staged = Staged::of(backup, &register)?;
    let problems = match staged.check() {
        Ok(checked) => checked.problems,
        Err(fault) => {
            staged.discard();
            return Err(fault.into());
        }
    };
    if !problems.is_empty() && !force {
        staged.discard();
        return Err(BackupError::NotSound { file: backup.to_owned(), problems });
    }
    let kept = kept_name(&register, &ZonedDateTime::now());
    let replaced = staged.put_in_place(&kept)?.then_some(kept);
    Ok(Restored { register, replaced })
}

/// `register-replaced-2026-11-25T1004.db`, with a number behind it if that is taken.
fn kept_name(register: &Path, now: &ZonedDateTime) -> PathBuf {
    let (stem, end) = name_parts(register);
    let moment = now.strftime("%Y-%m-%dT%H%M").to_string();
    let name = |number: u32| {
        let number = if number == 1 { String::new() } else { format!("-{number}") };
        register.with_file_name(format!("{stem}-replaced-{moment}{number}{end}"))
    };
    (1..=u32::MAX).map(name).find(|path| !path.exists()).unwrap_or_else(|| name(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_with_a_day_are_daily_backups() {
        let register = Path::new("/stock/register.db");
        assert_eq!(day_of(register, "register-2026-11-25.db"), Some(jiff::civil::date(2026, 11, 25)));
        for other in [
            "register-2026-11-31.db",
            "register-2026-11-25.db.old",
            "register-2026-11-25",
            "stock-2026-11-25.db",
            "register-20261125.db",
            "register-2026-11-25 copy.db",
            "register.db",
            "notes.txt",
        ] {
            assert_eq!(day_of(register, other), None, "{other}");
        }
        assert_eq!(day_of(Path::new("stock"), "stock-2026-11-25"), Some(jiff::civil::date(2026, 11, 25)));
    }
}
