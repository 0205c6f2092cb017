//! Printing what was looked at: read back, put beside the register, recorded as a run.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use axum::{Form, extract::State};
use serde::Deserialize;

use super::{
    super::{
        answer::{Go, Refusal},
        shell::{Place, Told, Visitor},
        state::Desk,
        work::Work,
    },
    choices::{CHANGED, Choices},
    plan::Plan,
};
use crate::{
    job::{PrintError, Printed, SheetState, count, prepare},
    output::sha256,
    proof::Report,
    register::{Access, DeviceId, Register, RunKind},
    sheet::slots_text,
};

/// The folder beside the register that the desk prints to.
const FOLDER: &str = "printed";

#[derive(Debug, Deserialize)]
pub(super) struct PrintForm {
    /// What was chosen for the pages that were seen.
    choices: String,
    /// The SHA-256 of their PDF.
    seen: String,
}

/// Prints what was looked at, and nothing else.
pub(super) async fn print(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<PrintForm>,
) -> Result<Go, Refusal> {
    let choices = Choices::of(&form.choices)?;
    let back = format!("/labels?{}", choices.query);
    let (own, device) = (Arc::clone(&desk), visitor.device.id);
    let title = "Reading the symbols back before printing";
    Ok(desk.works.start(title, Place::Labels, &back.clone(), move |work| {
        run(&own, device, &choices, &form.seen, work).map(|run| run.unwrap_or_else(|| format!("{back}&{CHANGED}")))
    }))
}

/// The address of the run; `None` where the file would not be the one that was seen.
fn run(desk: &Desk, device: DeviceId, choices: &Choices, seen: &str, work: &Work) -> Result<Option<String>, Refusal> {
    let mut register = Register::open(desk.path(), Access::Existing)?;
    let Plan { kind, labels, options, .. } = Plan::of(&register, choices)?;
    let Some(mut prepared) = prepare(&register, kind, labels, options)? else { return Ok(None) };
    if sha256(&prepared.bytes) != seen {
        return Ok(None);
    }
    let report = prepared.prove(work)?;
    if work.is_cancelled() {
        return Err(PrintError::Cancelled.into());
    }
    prepared.options.out = Some(new_file(&register, kind)?);
    let printed = prepared.commit(&mut register)?;
    desk.tell(device, Told::done(told(&printed, &report), None));
    Ok(Some(format!("/labels/runs/{}", printed.run)))
}

/// A name that no file has: `printed/tags-0003.pdf` beside the register.
fn new_file(register: &Register, kind: RunKind) -> Result<PathBuf, Refusal> {
    let folder = folder(register.path());
    std::fs::create_dir_all(&folder).map_err(|fault| {
        Refusal::input(format!("The folder {} can't be made, so nothing was printed: {fault}.", folder.display()))
    })?;
    let name = format!("{}-{}", kind.word(), register.next_run()?);
    let names = (1..).map(|number| if number == 1 { name.clone() } else { format!("{name}-{number}") });
    let mut files = names.map(|name| folder.join(name + ".pdf"));
    files.find(|file| file.symlink_metadata().is_err()).ok_or_else(Refusal::broken)
}

/// Where the desk prints to.
pub(super) fn folder(register: &Path) -> PathBuf {
    register.parent().unwrap_or(Path::new(".")).join(FOLDER)
}

fn told(printed: &Printed, report: &Report) -> String {
    let labels = count(printed.labels.len() as u64, printed.kind.noun());
    let read = match report.symbols {
        0 => String::new(),
        1 => ", and its symbol was read back".into(),
        symbols => format!(", and all {symbols} symbols were read back"),
    };
    let free = printed.sheet_state.as_ref().map(left).unwrap_or_default();
    format!("The file with {labels} is ready{read}.{free}")
}

/// What is left of the last sheet.
fn left(state: &SheetState) -> String {
    match state.free_after.len() {
        0 => " The sheet is used up then.".into(),
        1 => format!(" Slot {} of the sheet is left then.", slots_text(&state.free_after)),
        _ => format!(" Slots {} of the sheet are left then.", slots_text(&state.free_after)),
    }
}
