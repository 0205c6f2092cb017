//! `stowmark backup`, `stowmark restore`

use std::path::PathBuf;

use clap::Subcommand;
use serde_json::json;

use super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
};
use crate::job::{BackupFile, back_up, daily_backups, restore};

#[derive(Debug, clap::Args)]
#[command(
    args_conflicts_with_subcommands = true,
    subcommand_negates_reqs = true,
    after_help = "The copy is of one moment, also while other commands go on; it was read through and is on the
disk when the answer comes. Beside these copies one is made each day, when the first command
that changed something ends; the last 14 are kept in a folder beside the register. A register of
a million items takes some seconds for it. `stowmark set backups off` turns the daily ones off.

Example:
  stowmark backup /media/stick/register.db
  stowmark backup list"
)]
pub(super) struct BackupArgs {
    /// The file to be made, best on another disk
    #[arg(required = true)]
    file: Option<PathBuf>,
    /// Replace the file if it is there
    #[arg(long)]
    force: bool,
    #[command(subcommand)]
    command: Option<BackupCommand>,
}

#[derive(Debug, Subcommand)]
enum BackupCommand {
    /// Show the daily backups
    #[command(after_help = "Example:\n  stowmark backup list")]
    List(Arrange),
}

#[derive(Debug, clap::Args)]
#[command(after_help = "The backup is checked first, and stays as it is. The register that it replaces is kept beside
it, under its name with `replaced`, the day and the time. It may be damaged or missing.

Example:
  stowmark restore register.db-backups/register-2026-11-24.db")]
pub(super) struct RestoreArgs {
    /// The backup
    file: PathBuf,
    /// Put it back although the check found something
    #[arg(long)]
    force: bool,
}

pub(super) fn run(args: &BackupArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match (&args.command, &args.file) {
        (None, Some(file)) => {
            let made = back_up(session.register()?, file, args.force)?;
            session.answer(&file_json(&made), || format!("backup: {} ({})", made.file.display(), made.size_text()))?;
            Ok(Outcome::Done)
        }
        (Some(BackupCommand::List(arrange)), _) => list(arrange, session),
        (None, None) => list(&Arrange::default(), session),
    }
}

const HEADINGS: [&str; 3] = ["day", "size#", "file"];

fn row(backup: &BackupFile) -> Vec<String> {
    let day = backup.day.map(|day| day.to_string()).unwrap_or_default();
    vec![day, backup.size_text(), backup.file.display().to_string()]
}

fn list(arrange: &Arrange, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let backups = arrange.apply(&HEADINGS, daily_backups(&session.path()?)?, row)?;
    let json = json!({ "backups": backups.iter().map(file_json).collect::<Vec<_>>() });
    session.answer(&json, || text(&backups))?;
    Ok(if backups.is_empty() { Outcome::NothingFound } else { Outcome::Done })
}

fn file_json(backup: &BackupFile) -> serde_json::Value {
    let day = backup.day.map(|day| day.to_string());
    json!({ "file": backup.file.display().to_string(), "day": day, "bytes": backup.bytes })
}

fn text(backups: &[BackupFile]) -> String {
    if backups.is_empty() {
        return "no daily backups yet; one is made when a command that changes something ends".into();
    }
    table(&HEADINGS, backups.iter().map(row))
}

pub(super) fn run_restore(args: &RestoreArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let restored = restore(&session.path()?, &args.file, args.force)?;
    let replaced = restored.replaced.as_ref().map(|file| file.display().to_string());
    let json = json!({
        "restored": args.file.display().to_string(),
        "register": restored.register.display().to_string(),
        "replaced": replaced,
    });
    session.answer(&json, || {
        let kept = replaced.as_ref().map(|file| format!("\nthe replaced one is kept: {file}")).unwrap_or_default();
        format!("restored: {} is now as in {}{kept}", restored.register.display(), args.file.display())
    })?;
    Ok(Outcome::Done)
}
