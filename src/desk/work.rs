//! What takes long: it goes on while the page shows how far it is, and can be cancelled.
//!
//! Start with [`Works::start`]; the page of a work leads to its outcome when it has ended.

use std::{
    collections::BTreeMap,
    sync::{
        Arc, Mutex,
        atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering},
    },
};

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::{
    answer::{Go, Page, Refusal},
    shell::{Place, Shell, Visitor},
    state::{Desk, locked},
};
use crate::job::Progress;

/// Works that have ended and are kept to be looked at.
const KEPT: usize = 20;

/// All works of an open desk.
#[derive(Debug, Default)]
pub(super) struct Works {
    next: AtomicU64,
    all: Mutex<BTreeMap<u64, Arc<Work>>>,
}

/// A work that goes on or has ended.
#[derive(Debug)]
pub(super) struct Work {
    /// What is done, such as `Reading the symbols back`.
    pub title: String,
    /// The page that it belongs to.
    pub place: Place,
    /// Where the user goes when it was cancelled.
    pub back: String,
    total: AtomicUsize,
    done: AtomicUsize,
    cancelled: AtomicBool,
    end: Mutex<Option<Result<String, Refusal>>>,
}

impl Work {
    /// Whether the user, or the end of the desk, has cancelled it.
    pub(super) fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }
}

impl Progress for Work {
    fn begin(&self, total: usize) {
        self.total.store(total, Ordering::Relaxed);
    }

    fn more(&self, done: usize) {
        self.done.fetch_add(done, Ordering::Relaxed);
    }

    fn is_cancelled(&self) -> bool {
        self.is_cancelled()
    }
}

impl Works {
    /// Starts a work on a thread of its own; what it gives is the address of the page that shows the outcome. The
    /// answer leads to the page of the work.
    pub(super) fn start(
        &self,
        title: &str,
        place: Place,
        back: &str,
        work: impl FnOnce(&Work) -> Result<String, Refusal> + Send + 'static,
    ) -> Go {
        let number = self.next.fetch_add(1, Ordering::Relaxed) + 1;
        let one = Arc::new(Work {
            title: title.into(),
            place,
            back: back.into(),
            total: AtomicUsize::new(0),
            done: AtomicUsize::new(0),
            cancelled: AtomicBool::new(false),
            end: Mutex::new(None),
        });
        let mut all = locked(&self.all);
        all.insert(number, Arc::clone(&one));
        while all.len() > KEPT && all.first_entry().is_some_and(|first| locked(&first.get().end).is_some()) {
            all.pop_first();
        }
        drop(all);
        tokio::task::spawn_blocking(move || {
            let end = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| work(&one)));
            *locked(&one.end) = Some(end.unwrap_or_else(|_| Err(Refusal::broken())));
        });
        Go(format!("/progress/{number}"))
    }

    /// Cancels all that goes on.
    pub(super) fn cancel_all(&self) {
        locked(&self.all).values().for_each(|work| work.cancelled.store(true, Ordering::Relaxed));
    }

    fn get(&self, number: u64) -> Result<Arc<Work>, Refusal> {
        let work = locked(&self.all).get(&number).cloned();
        work.ok_or_else(|| Refusal::nothing("This work has ended long ago, or the desk was started anew since."))
    }
}

#[derive(Debug, Template)]
#[template(path = "work.html")]
struct WorkPage {
    shell: Shell,
    number: u64,
    progress: ProgressPart,
}

#[derive(Debug, Template)]
#[template(path = "work_part.html")]
struct ProgressPart {
    title: String,
    total: usize,
    done: usize,
}

/// The page of a work, or the part of it that changes; leads on when it has ended.
pub(super) async fn show(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(number): Path<u64>,
) -> Result<Response, Refusal> {
    let work = desk.works.get(number)?;
    let end = locked(&work.end).clone();
    match end {
        Some(Ok(page)) if visitor.wants_part => return Ok((StatusCode::OK, [("x-go", page)]).into_response()),
        Some(_) if visitor.wants_part => {
            return Ok((StatusCode::OK, [("x-go", format!("/progress/{number}"))]).into_response());
        }
        Some(Ok(page)) => return Ok(Go(page).into_response()),
        Some(Err(_)) if work.is_cancelled() => return Ok(Go(work.back.clone()).into_response()),
        Some(Err(refusal)) => return Err(refusal),
        None => {}
    }
    let progress = ProgressPart {
        title: work.title.clone(),
        total: work.total.load(Ordering::Relaxed),
        done: work.done.load(Ordering::Relaxed),
    };
    if visitor.wants_part {
        return Ok(Page(progress).into_response());
    }
    let shell = visitor.shell(&desk, &work.title, work.place);
    Ok(Page(WorkPage { shell, number, progress }).into_response())
}

/// Cancels a work.
pub(super) async fn cancel(State(desk): State<Arc<Desk>>, Path(number): Path<u64>) -> Result<Go, Refusal> {
    let work = desk.works.get(number)?;
    work.cancelled.store(true, Ordering::Relaxed);
    Ok(Go(work.back.clone()))
}
