//! Backups: the daily ones, one now, and how one is put back.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use askama::Template;
use axum::extract::State;

use super::shell;
use crate::{
    desk::{
        answer::{Go, Page, Refusal},
        shell::{Place, Shell, Told, Visitor},
        state::Desk,
    },
    job::{BackupFile, DAYS_KEPT, Settings, back_up_today, daily_backups, daily_folder},
    register::{Access, Register, default_path},
};

#[derive(Debug, Template)]
#[template(path = "settings_backups.html")]
struct BackupsPage {
    shell: Shell,
    tab: &'static str,
    backups: Vec<BackupView>,
    folder: String,
    /// What is typed to put the newest one back.
    restore: String,
    /// Whether one is made each day.
    is_daily: bool,
    kept: usize,
}

#[derive(Debug)]
struct BackupView {
    day: String,
    size: String,
    file: String,
}

impl From<&BackupFile> for BackupView {
    fn from(backup: &BackupFile) -> Self {
        let file = backup.file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        Self { day: backup.day.map(|day| day.to_string()).unwrap_or_default(), size: backup.size_text(), file }
    }
}

pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    let (is_daily, backups) = desk
        .read(|register| {
            let backups = daily_backups(register.path())?;
            Ok::<_, Refusal>((Settings::of(register)?.backups, backups))
        })
        .await?;
    let folder = std::path::absolute(daily_folder(desk.path())).unwrap_or_else(|_| daily_folder(desk.path()));
    Ok(Page(BackupsPage {
        shell: shell(&desk, &visitor),
        tab: "backups",
        backups: backups.iter().map(BackupView::from).collect(),
        restore: restore_line(desk.path(), &backups, &folder),
        folder: folder.display().to_string(),
        is_daily,
        kept: DAYS_KEPT,
    }))
}

/// The command that puts the newest backup back; the register is named where it is not the usual one.
fn restore_line(register: &Path, backups: &[BackupFile], folder: &Path) -> String {
    let whole = |path: &Path| std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    let quoted = |path: PathBuf| format!("\"{}\"", path.display());
    let is_usual = default_path().is_some_and(|usual| whole(&usual) == whole(register));
    let named = if is_usual { String::new() } else { format!(" --register {}", quoted(whole(register))) };
    let file = backups.first().map_or_else(|| folder.to_owned(), |backup| whole(&backup.file));
    format!("stowmark{named} restore {}", quoted(file))
}

/// Makes today's anew. A large register takes some seconds.
pub(super) async fn make(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Go {
    let (path, own, device) = (desk.path().to_owned(), Arc::clone(&desk), visitor.device.id);
    desk.works.start("Making a backup", Place::More, "/settings/backups", move |_| {
        let made = back_up_today(&Register::open(&path, Access::Existing)?)?;
        own.tell(
            device,
            Told::done(format!("Today’s backup is made and was read through: {}.", made.size_text()), None),
        );
        Ok("/settings/backups".into())
    })
}
