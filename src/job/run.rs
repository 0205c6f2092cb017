//! Runs from before: printed again, in part or whole, or cancelled.

use std::{collections::BTreeSet, path::PathBuf};

use jiff::civil::Date;

use super::{
    FontsError, LabelJob, Look, OwnLook, PrintOptions, ReferenceError, Settings, SheetNameError, Start, StartError,
    area_signs, choice::contents, device, fonts_known, printers, sheet_by_name, strips,
};
use crate::{
    code::StockCode,
    register::{Found, RecordedLabel, RecordedRun, Register, RegisterError, Run, RunId, RunKind, RunState, SpotId},
    sheet::{Device, Sheet, SlotError, SlotList, SlotOnPage, Turn},
    unit::{Dpi, UnitError},
};

/// Why a run was not printed again.
#[derive(Debug, thiserror::Error)]
pub enum ReprintError {
    /// What was typed is no number of a run.
    #[error("`{0}` is no number of a run; `stowmark run list` shows all")]
    NotANumber(String),
    /// A list of slots that makes no sense.
    #[error(transparent)]
    Slots(#[from] SlotError),
    /// Slots to begin on that make no sense.
    #[error(transparent)]
    Start(#[from] StartError),
    /// No label of the run lies there.
    #[error("run {run} printed no label on slot {slot} of page {page}; `stowmark run show {run}` shows where they are", slot = at.slot, page = at.page)]
    NoLabel {
        /// The run.
        run: RunId,
        /// Where.
        at: SlotOnPage,
    },
    /// A label of something that this version does not print.
    #[error("this version can't print `{0}` again")]
    Unknown(String),
    /// The sheet is not known.
    #[error(transparent)]
    Sheet(#[from] SheetNameError),
    /// The resolution on record makes no sense.
    #[error(transparent)]
    Resolution(#[from] UnitError),
    /// A code that stands for nothing.
    #[error(transparent)]
    Reference(#[from] ReferenceError),
    /// A font that can't be used.
    #[error(transparent)]
    Fonts(#[from] FontsError),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

/// Which labels of a run are to be printed again, and on what.
#[derive(Debug, Clone)]
pub struct Again {
    /// Only those on these slots of the run's own file.
    pub slots: Option<SlotList>,
    /// On another sheet.
    pub sheet: Option<Sheet>,
    /// The first slot that is free on the sheet in the printer.
    pub from: Option<u32>,
    /// Slots of it that are spent.
    pub skip: Option<String>,
    /// Begin on a fresh sheet.
    pub fresh_sheet: bool,
    /// The file.
    pub out: Option<PathBuf>,
    /// Replace a file that is there.
    pub force: bool,
    /// The day of lists that are printed again.
    pub date: Date,
}

/// A reprint that is ready to be printed as any other run.
#[derive(Debug)]
pub struct Reprint {
    /// The run that it is of.
    pub of: RecordedRun,
    /// The labels, as the register knows them now.
    pub jobs: Vec<OwnLook>,
    /// The options of the run that it is of.
    pub options: PrintOptions,
}

/// The run whose number was typed: `3`, `0003`.
///
/// # Errors
/// [`ReprintError::NotANumber`]; [`RegisterError::UnknownRun`].
pub fn run_by_text(register: &Register, text: &str) -> Result<RecordedRun, ReprintError> {
    let digits = text.trim();
    let is_number = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
    let number = digits.parse().ok().filter(|_| is_number);
    let number = number.ok_or_else(|| ReprintError::NotANumber(text.to_owned()))?;
    Ok(register.run(RunId::new(number))?)
}

/// The labels of a run to be printed again, with what the register says of them now.
///
/// # Errors
/// [`ReprintError`].
pub fn reprint(register: &Register, run: RecordedRun, again: Again) -> Result<Reprint, ReprintError> {
    if run.state == RunState::Writing {
        return Err(RegisterError::RunIsOpen(run.id).into());
    }
    let labels = chosen(register, &run, again.slots.as_ref())?;
    let jobs = jobs(register, &run, &labels, again.date)?;
    let settings = Settings::of(register)?;
    let fonts = fonts_known(register)?;
    let sheet = again.sheet.map_or_else(|| sheet_by_name(register, &run.sheet), Ok)?;
    let options = PrintOptions {
        start: Start::new(&sheet, again.from, again.skip.as_deref(), again.fresh_sheet)?,
        sheet,
        look: Look::from_json(&run.options),
        device: device_of(register, &run)?,
        turn: turn_of(&run),
        fonts,
        currency: settings.currency,
        printer: run.printer.clone(),
        copies: 1,
        out: again.out,
        force: again.force,
        reprint_of: Some(run.id),
    };
    Ok(Reprint { of: run, jobs, options })
}

fn chosen(
    register: &Register,
    run: &RecordedRun,
    slots: Option<&SlotList>,
) -> Result<Vec<RecordedLabel>, ReprintError> {
    let Some(slots) = slots else { return Ok(run.labels.clone()) };
    // Of a sheet that was removed only the slots with labels are known.
    let last = run.labels.iter().map(|label| label.slot).max().unwrap_or_default();
    let count = sheet_by_name(register, &run.sheet).map_or(last, |sheet| sheet.slots());
    let wanted = slots.on_pages(&run.sheet, count, run.pages)?;
    let at = |label: &RecordedLabel| SlotOnPage { page: label.page, slot: label.slot };
    let there: BTreeSet<SlotOnPage> = run.labels.iter().map(at).collect();
    if let Some(at) = wanted.iter().find(|at| !there.contains(at)) {
        return Err(ReprintError::NoLabel { run: run.id, at: *at });
    }
    Ok(run.labels.iter().filter(|label| wanted.contains(&at(label))).cloned().collect())
}

/// What the run was printed on: its printer as it is now, at the resolution of the run.
pub(super) fn device_of<L>(register: &Register, run: &Run<L>) -> Result<Device, ReprintError> {
    let dpi = Dpi::new(run.dpi)?;
    let known = printers(register)?.into_iter().find(|printer| Some(&printer.name) == run.printer.as_ref());
    Ok(device(known.as_ref(), Some(dpi), dpi))
}

pub(super) fn turn_of<L>(run: &Run<L>) -> Turn {
    let degrees = run.options["rotate"].as_u64().and_then(|degrees| u16::try_from(degrees).ok());
    degrees.and_then(Turn::by_degrees).unwrap_or_default()
}

/// The labels, and of a list that went over several of them just the list.
fn jobs(
    register: &Register,
    run: &RecordedRun,
    labels: &[RecordedLabel],
    date: Date,
) -> Result<Vec<OwnLook>, ReprintError> {
    if run.kind != RunKind::Contents {
        let dressed = |label: &RecordedLabel| {
            let look = label.look.as_ref().map(Look::from_json);
            Ok(OwnLook { job: job(register, run, label)?, look })
        };
        return labels.iter().map(dressed).collect();
    }
    let payloads: BTreeSet<&str> = labels.iter().map(|label| label.payload.as_str()).collect();
    let bin = |payload: &str| match found(register, payload)? {
        Some(Found::Bin(bin)) => Ok(contents(register, bin, date)?.into()),
        _ => Err(ReprintError::Unknown(payload.to_owned())),
    };
    payloads.into_iter().map(bin).collect()
}

fn found(register: &Register, payload: &str) -> Result<Option<Found>, RegisterError> {
    Ok(StockCode::from_payload(payload).map(|code| register.look_up(code)).transpose()?.flatten())
}

fn strip(register: &Register, spot: SpotId) -> Result<Option<LabelJob>, ReprintError> {
    let is_it = |job: &LabelJob| matches!(job, LabelJob::Strip(known, _) if known.id == spot);
    Ok(strips(register, None, None)?.into_iter().find(is_it))
}

/// The label for whatever the old one was about, as it is now.
fn job(register: &Register, run: &RecordedRun, label: &RecordedLabel) -> Result<LabelJob, ReprintError> {
    let job = match (label.area, label.spot) {
        (Some(area), _) => area_signs(register, &[area])?.into_iter().next(),
        (_, Some(spot)) => strip(register, spot)?,
        _ => found(register, &label.payload)?.and_then(|found| LabelJob::new(run.kind, found)),
    };
    job.ok_or_else(|| ReprintError::Unknown(label.payload.clone()))
}

/// Cancels a run of which nothing came out of the printer. Its file is left where it is.
///
/// # Errors
/// [`RegisterError`] when it is not there, was cancelled already or is not settled.
pub fn cancel(register: &mut Register, run: RunId) -> Result<RecordedRun, RegisterError> {
    let lock = register.lock_runs()?;
    register.cancel_run(&lock, run)?;
    register.run(run)
}

/// What became of the slots of a cancelled run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Freed {
    /// None are remembered.
    None,
    /// They are free again.
    Free,
    /// Later runs went on to another sheet: this one is no longer gone on with unless the user says so.
    Passed,
}

/// What became of the slots of a run that was cancelled.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn freed(register: &Register, run: &RecordedRun) -> Result<Freed, RegisterError> {
    let Some(last) = run.labels.iter().filter_map(|label| label.sheet_no).max() else { return Ok(Freed::None) };
    let in_use = register.last_sheet(&run.sheet)?.map_or(0, |sheet| sheet.number);
    Ok(if last >= in_use { Freed::Free } else { Freed::Passed })
}

/// All that a label said, its code first.
#[must_use]
pub fn label_said(label: &RecordedLabel) -> String {
    let members = label.said.as_object().into_iter().flatten();
    let (mut code, mut others) = (Vec::new(), Vec::new());
    for (name, text) in members.filter_map(|(name, value)| Some((name, value.as_str()?))) {
        if name == "code" { code.push(text) } else { others.push(text) }
    }
    code.into_iter().chain(others).collect::<Vec<_>>().join(", ")
}
