//! Runs: what was printed, its file, and printing it again.

use std::sync::Arc;

use askama::Template;
use axum::{
    Form,
    extract::{Path, Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    super::{
        answer::{FileAnswer, Go, Page, Refusal},
        shell::{Place, Shell, Told, Visitor},
        state::{Desk, on_a_thread},
    },
    pdf,
};
use crate::{
    code::StockCode,
    job::{
        Freed, cancel, count, freed, label_said, local_day, printers, run_by_text, send, sheet_by_name, sheet_in_use,
    },
    output::sha256,
    register::{RecordedLabel, RecordedRun, Register, RunState, RunSummary},
    sheet::slots_text,
};

#[derive(Debug, Template)]
#[template(path = "labels_runs.html")]
struct RunsPage {
    shell: Shell,
    runs: Vec<RunSummary>,
}

impl RunsPage {
    fn labels(run: &RunSummary) -> String {
        count(run.labels as u64, run.kind.noun())
    }
}

/// All runs, the newest first.
pub(super) async fn list(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    let mut runs = desk.read(Register::run_summaries).await?;
    runs.reverse();
    Ok(Page(RunsPage { shell: visitor.shell(&desk, "Runs", Place::Labels), runs }))
}

#[derive(Debug, Template)]
#[template(path = "labels_run.html")]
struct RunPage {
    shell: Shell,
    run: RecordedRun,
    about: String,
    labels: Vec<LabelLine>,
    /// What is left of the sheet in use.
    left: Option<String>,
    /// The queue that leads to its printer.
    queue: String,
    refused: Option<String>,
}

impl RunPage {
    fn is_done(&self) -> bool {
        self.run.state == RunState::Done
    }

    fn is_open(&self) -> bool {
        self.run.state == RunState::Writing
    }

    fn day(&self) -> String {
        local_day(&self.run.at)
    }
}

/// A label of a run.
#[derive(Debug)]
struct LabelLine {
    /// As a list of slots says it: `1:14`.
    at: String,
    page: usize,
    slot: u32,
    said: String,
}

/// A run: its file to be printed, and what is on it.
pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(run): Path<String>,
) -> Result<Page<impl Template>, Refusal> {
    let shell = visitor.shell(&desk, "Run", Place::Labels);
    Ok(Page(run_page(&desk, shell, run, None).await?))
}

async fn run_page(
    desk: &Arc<Desk>,
    shell: Shell,
    run: String,
    typed: Option<(String, Refusal)>,
) -> Result<RunPage, Refusal> {
    desk.read(move |register| {
        let run = known(register, &run)?;
        let queue = printers(register)?.into_iter().find(|printer| Some(&printer.name) == run.printer.as_ref());
        let queue = queue.and_then(|printer| printer.queue).unwrap_or_default();
        let (queue, refused) = typed.map_or((queue, None), |(queue, refusal)| (queue, Some(refusal.text)));
        let shell = Shell { title: format!("Run {}", run.id), ..shell };
        Ok::<_, Refusal>(RunPage {
            about: about(&run),
            labels: run.labels.iter().map(label_line).collect(),
            left: left(register, &run)?,
            queue,
            refused,
            run,
            shell,
        })
    })
    .await
}

fn known(register: &Register, text: &str) -> Result<RecordedRun, Refusal> {
    run_by_text(register, text).map_err(|fault| Refusal::nothing(Refusal::from(fault).text))
}

fn about(run: &RecordedRun) -> String {
    let (labels, pages) = (count(run.labels.len() as u64, run.kind.noun()), count(run.pages as u64, "page"));
    let again =
        run.options["reprint_of"].as_u64().map(|of| format!(", labels of run {of:04} again")).unwrap_or_default();
    let on = run.printer.as_ref().map(|printer| format!(", for {printer}")).unwrap_or_default();
    format!("{labels} on {pages} of {}{on}{again}", run.sheet)
}

fn label_line(label: &RecordedLabel) -> LabelLine {
    let said = label_said(label);
    let code = || StockCode::from_payload(&label.payload).map(|_| label.payload.clone()).unwrap_or_default();
    LabelLine {
        at: format!("{}:{}", label.page, label.slot),
        page: label.page,
        slot: label.slot,
        said: if said.is_empty() { code() } else { said },
    }
}

/// The free slots of the sheet in use, after the last run on it.
fn left(register: &Register, run: &RecordedRun) -> Result<Option<String>, Refusal> {
    let is_last = register.run_summaries()?.iter().rev().find(|other| other.sheet == run.sheet).map(|last| last.id);
    let Ok(sheet) = sheet_by_name(register, &run.sheet) else { return Ok(None) };
    if is_last != Some(run.id) || !sheet.remembers_slots() {
        return Ok(None);
    }
    let Some(last) = sheet_in_use(register, &sheet)? else {
        return Ok(Some("Its last sheet is used up; the next labels begin on a fresh one.".into()));
    };
    let free: Vec<u32> = (1..=sheet.slots()).filter(|slot| !last.spent.contains(slot)).collect();
    let (slot, go) = if free.len() == 1 { ("slot", "comes") } else { ("slots", "come") };
    Ok(Some(format!("Keep the last sheet: its {slot} {} {go} next.", slots_text(&free))))
}

/// Whether a file is to be kept at once.
#[derive(Debug, Deserialize)]
pub(super) struct Keep {
    #[serde(default)]
    keep: String,
}

/// The file of a run, if it is still the one that was printed.
pub(super) async fn file(
    State(desk): State<Arc<Desk>>,
    Path(run): Path<String>,
    Query(Keep { keep }): Query<Keep>,
) -> Result<FileAnswer, Refusal> {
    desk.read(move |register| {
        let run = known(register, &run)?;
        let bytes = bytes_of(&run)?;
        let name = run.target.file_stem().map_or_else(|| "labels".into(), |name| name.to_string_lossy().into_owned());
        Ok::<_, Refusal>(FileAnswer { keep: !keep.is_empty(), ..pdf(&name, bytes) })
    })
    .await
}

fn bytes_of(run: &RecordedRun) -> Result<Vec<u8>, Refusal> {
    let gone = |why: &str| {
        Refusal::nothing(format!(
            "The file {} {why}. Print the labels again from the page of the run.",
            run.target.display()
        ))
    };
    let bytes = std::fs::read(&run.target).map_err(|_| gone("can't be read any more"))?;
    if sha256(&bytes) == run.sha256 { Ok(bytes) } else { Err(gone("is not the one that was printed")) }
}

#[derive(Debug, Deserialize)]
pub(super) struct Queue {
    #[serde(default)]
    queue: String,
}

/// Hands the file of a run to a print queue.
pub(super) async fn hand_over(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(run): Path<String>,
    Form(Queue { queue }): Form<Queue>,
) -> Result<Response, Refusal> {
    let queue = queue.trim().to_owned();
    if queue.is_empty() {
        return refused(&desk, &visitor, run, queue, Refusal::input("Which queue? Type its name.")).await;
    }
    let asked = run.clone();
    let found = desk.read(move |register| known(register, &asked)).await?;
    let to = queue.clone();
    let sent = on_a_thread(move || {
        bytes_of(&found)?;
        Ok(send(&found.target, &to)?)
    });
    match sent.await {
        Ok(ticket) => {
            let job = ticket.job.map(|job| format!(", as {job}")).unwrap_or_default();
            desk.tell(visitor.device.id, Told::done(format!("It is on its way to {}{job}.", ticket.queue), None));
            Ok(Go(format!("/labels/runs/{run}")).into_response())
        }
        Err(refusal) => refused(&desk, &visitor, run, queue, refusal).await,
    }
}

async fn refused(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    run: String,
    queue: String,
    refusal: Refusal,
) -> Result<Response, Refusal> {
    let shell = visitor.shell(desk, "Run", Place::Labels);
    let page = run_page(desk, shell, run, Some((queue, refusal))).await?;
    Ok((StatusCode::UNPROCESSABLE_ENTITY, Page(page)).into_response())
}

/// Cancels a run of which nothing came out of the printer.
pub(super) async fn cancel_run(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(run): Path<String>,
) -> Result<Go, Refusal> {
    let asked = run.clone();
    let told = desk
        .change(move |register| {
            let run = known(register, &asked)?.id;
            let run = cancel(register, run)?;
            let slots = match freed(register, &run)? {
                Freed::None => "",
                Freed::Free => " Its slots are free again.",
                Freed::Passed => {
                    " Later runs went on to another sheet: say which slots are used when you come back to this one."
                }
            };
            let labels = count(run.labels.len() as u64, run.kind.noun());
            let counts = if run.labels.len() == 1 { "counts" } else { "count" };
            Ok::<_, Refusal>(format!("The run is cancelled: {labels} {counts} as not printed.{slots}"))
        })
        .await?;
    desk.tell(visitor.device.id, Told::done(told, None));
    Ok(Go(format!("/labels/runs/{run}")))
}
