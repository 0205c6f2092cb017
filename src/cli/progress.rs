//! A bar for what takes long, on a terminal only.

use std::{
    io::IsTerminal,
    time::{Duration, Instant},
};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::session::Session;
use crate::job::Progress;

/// What is done sooner shows no bar.
const SOON: Duration = Duration::from_millis(400);

/// Shows how far a job is, on standard error; gone when it is dropped.
pub(super) struct Bar {
    shown: ProgressBar,
    since: Instant,
    is_wanted: bool,
}

impl Bar {
    /// A bar that stays hidden with `--json`, where standard error is no terminal, and for short jobs.
    pub(super) fn new(session: &mut Session<'_, '_>, what: &'static str) -> Self {
        let is_wanted = !session.json() && session.io().is_process && std::io::stderr().is_terminal();
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{msg} {bar:30} {pos} of {len}, {eta} left") {
            bar.set_style(style.progress_chars("━╸─"));
        }
        bar.set_message(what);
        Self { shown: bar, since: Instant::now(), is_wanted }
    }
}

impl Progress for Bar {
    fn begin(&self, total: usize) {
        self.shown.set_length(total as u64);
    }

    fn more(&self, done: usize) {
        self.shown.inc(done as u64);
        if self.is_wanted && self.shown.is_hidden() && self.since.elapsed() > SOON {
            self.shown.set_draw_target(ProgressDrawTarget::stderr());
        }
    }
}

impl Drop for Bar {
    fn drop(&mut self) {
        self.shown.finish_and_clear();
    }
}
