//! A prepared run put in place: recorded as being written, its file written whole, marked done.

use std::path::{Path, PathBuf};

use serde_json::Value;

use super::{Look, Prepared, PrintError, PrintOptions, PrintedLabel, SheetState, place::told};
use crate::{
    output::{FileError, PendingFile, sha256},
    register::{Lock, NewLabel, NewRun, Register, RegisterError, RunId},
    sheet::Turn,
};

/// Records the run, puts its file in place and marks it done; on any failure neither is left.
pub(super) fn put_in_place(register: &mut Register, prepared: &Prepared) -> Result<(RunId, PathBuf), PrintError> {
    let labels: Vec<NewLabel<'_>> = prepared.labels.iter().map(|label| new_label(prepared, label)).collect();
    let (sha256, options) = (sha256(&prepared.bytes), kept(&prepared.options));
    let run = NewRun {
        kind: prepared.kind,
        sheet: &prepared.options.sheet.name,
        dpi: prepared.options.device.dpi.get(),
        printer: prepared.options.printer.as_deref(),
        options: &options,
        pages: prepared.pages.len(),
        sha256: &sha256,
        labels: &labels,
        spent: &prepared.declared(),
    };
    let placed = write(register, &prepared.lock, &run, &prepared.bytes, &prepared.options)?;
    if prepared.sheet_state.as_ref().is_some_and(SheetState::has_caution) {
        // It is said again if this fails, which does no harm.
        let _ = told(register);
    }
    Ok(placed)
}

/// What it takes to print the same labels again.
fn kept(options: &PrintOptions) -> Value {
    let mut kept = options.look.to_json();
    kept["copies"] = options.copies.into();
    if options.turn != Turn::None {
        kept["rotate"] = options.turn.degrees().into();
    }
    if let Some(run) = options.reprint_of {
        kept["reprint_of"] = serde_json::json!(run);
    }
    kept
}

fn new_label<'a>(prepared: &'a Prepared, label: &PrintedLabel) -> NewLabel<'a> {
    let job = &prepared.jobs[label.job];
    let kinds: Vec<&str> = label.symbols.iter().map(|symbol| symbol.kind.name()).collect();
    NewLabel {
        page: label.page,
        slot: label.slot,
        sheet_no: prepared.first.number_of(label.page),
        payload: label.payload.clone(),
        symbols: kinds.join(" "),
        of: job.job.of(),
        said: job.job.said(prepared.options.brush(job)),
        look: job.look.as_ref().filter(|look| **look != prepared.options.look).map(Look::to_json),
    }
}

fn write(
    register: &mut Register,
    lock: &Lock,
    run: &NewRun<'_>,
    bytes: &[u8],
    options: &PrintOptions,
) -> Result<(RunId, PathBuf), PrintError> {
    let named = || Ok::<_, RegisterError>(PathBuf::from(format!("{}-{}.pdf", run.kind.word(), register.next_run()?)));
    let target = options.out.clone().map_or_else(named, Ok)?;
    let pending = PendingFile::new(&target, options.force)?;
    if register.owns(&pending.target) {
        return Err(FileError::Register(pending.target).into());
    }
    let id = register.begin_run(lock, run, &pending.target, &pending.temporary)?;
    if let Err(fault) = pending.write(bytes).and_then(|()| pending.put_in_place()) {
        // Should this fail as well, the next start settles the run.
        let _ = register.take_back_run(id);
        return Err(fault.into());
    }
    let file = shown(&target);
    match register.finish_run(id) {
        Ok(()) => Ok((id, file)),
        Err(source) => Err(PrintError::Unfinished { file, source }),
    }
}

/// The path as the user gave it, without `./`.
pub(in crate::job) fn shown(target: &Path) -> PathBuf {
    target.components().collect()
}
