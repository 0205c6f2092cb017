//! What printing says: which slots it takes, what to look out for, and where the file is.

use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::{
    outcome::{CliError, Outcome},
    print_args::FileArgs,
    progress::Bar,
    proof::{proof_json, proved_text},
    session::Session,
    table::count,
};
use crate::{
    exchange::json::{PlacedJson, SheetStateJson, SymbolJson},
    job::{OwnLook, PictureError, PrintOptions, Printed, PrintedLabel, SheetState, prepare, send, write_pngs},
    register::RunKind,
    unit::Dpi,
};

/// More warnings would push the answer off the screen.
const MOST_WARNINGS: usize = 8;

/// Prints labels and says so, writes pictures and sends the file if that is asked for; without labels `nothing` is
/// the answer. `more` stands below it.
pub(super) fn print_and_answer(
    kind: RunKind,
    jobs: Vec<OwnLook>,
    options: PrintOptions,
    file: &FileArgs,
    [nothing, more]: [&str; 2],
    session: &mut Session<'_, '_>,
) -> Result<Outcome, CliError> {
    let (sheet, reprint_of) = (options.sheet.name.clone(), options.reprint_of);
    let Some(prepared) = prepare(session.register_for_change()?, kind, jobs, options)? else {
        session.answer(&run_json(None, &sheet), || nothing.to_owned())?;
        return Ok(Outcome::NothingFound);
    };
    if let Some(state) = prepared.sheet_state.as_ref().filter(|_| !session.json()) {
        for note in state.note().into_iter().chain(state.caution.map(str::to_owned)) {
            session.note(&note)?;
        }
    }
    let report = if file.no_proof {
        None
    } else {
        let bar = Bar::new(session, "reading back");
        Some(prepared.prove(&bar)?)
    };
    let bytes = if file.png.is_some() { prepared.bytes.clone() } else { Vec::new() };
    let dpi = prepared.options.device.dpi;
    let printed = prepared.commit(session.register_for_change()?)?;
    tell_warnings(&printed, session)?;
    let mut json = run_json(Some(&printed), &sheet);
    if let Some(run) = reprint_of {
        json["reprint_of"] = json!(run);
    }
    let pictures = file.png.as_deref().map(|dir| pictures(&printed, &bytes, dir, dpi, file.force)).transpose();
    let sent = file.send.as_deref().map(|queue| send(&printed.file, queue)).transpose();
    if let Ok(Some(pictures)) = &pictures {
        json["pictures"] = json!(pictures);
    }
    if let Ok(Some(ticket)) = &sent {
        json["sent"] = json!({ "queue": ticket.queue, "job": ticket.job });
    }
    json["proof"] = report.as_ref().map_or(Value::Null, proof_json);
    let proved = report.as_ref().filter(|report| report.symbols > 0).map(proved_text);
    let told =
        [Some(text(&printed)), proved, more_pictures(&pictures), Some(next(sent.as_ref().is_ok_and(Option::is_some)))];
    session.answer(&json, || format!("{}{more}", told.into_iter().flatten().collect::<Vec<_>>().join("\n")))?;
    // The run is recorded and its file stays, whatever became of pictures and queue.
    pictures?;
    sent?;
    Ok(Outcome::Done)
}

fn pictures(printed: &Printed, bytes: &[u8], dir: &Path, dpi: Dpi, force: bool) -> Result<Vec<PathBuf>, PictureError> {
    let name = printed.file.file_stem().unwrap_or_default().to_string_lossy();
    write_pngs(bytes, dir, &name, dpi, force)
}

fn more_pictures(pictures: &Result<Option<Vec<PathBuf>>, PictureError>) -> Option<String> {
    let pictures = pictures.as_ref().ok()?.as_ref()?;
    let first = pictures.first()?.display();
    Some(format!("{}: {first}{}", count(pictures.len() as u64, "picture"), if pictures.len() > 1 { " …" } else { "" }))
}

fn tell_warnings(printed: &Printed, session: &mut Session<'_, '_>) -> Result<(), CliError> {
    for warning in printed.warnings.iter().take(MOST_WARNINGS) {
        session.note(&format!("warning: {warning}"))?;
    }
    let unsaid = printed.warnings.len().saturating_sub(MOST_WARNINGS);
    if unsaid > 0 {
        session.note(&format!("… and {}; --json has all", count(unsaid as u64, "more warning")))?;
    }
    Ok(())
}

fn text(printed: &Printed) -> String {
    let labels = count(printed.labels.len() as u64, printed.kind.noun());
    let pages = count(printed.pages as u64, "page");
    format!("{labels} on {pages} of {}: {}", printed.sheet, printed.file.display())
}

fn next(is_sent: bool) -> String {
    let next = if is_sent {
        "it is on its way to the printer"
    } else {
        "print it at actual size (100 %), not fitted to the page"
    };
    next.into()
}

fn run_json(printed: Option<&Printed>, sheet: &str) -> Value {
    let (labels, warnings) = printed.map_or((&[][..], &[][..]), |run| (&run.labels[..], &run.warnings[..]));
    json!({
        "run": printed.map(|run| run.run),
        "file": printed.map(|run| run.file.display().to_string()),
        "sheet": sheet,
        "labels": labels.len(),
        "pages": printed.map_or(0, |run| run.pages),
        "warnings": warnings.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "sheet_state": printed.and_then(|run| run.sheet_state.as_ref()).map(state_json),
        "placed": labels.iter().map(placed_json).collect::<Vec<_>>(),
    })
}

fn state_json(state: &SheetState) -> SheetStateJson {
    SheetStateJson {
        part_used: !state.slots.is_empty(),
        slots: state.slots.clone(),
        fresh_sheets: state.fresh_sheets,
        free_after: state.free_after.clone(),
        caution: state.caution,
    }
}

fn placed_json(label: &PrintedLabel) -> PlacedJson {
    let symbols = label.symbols.iter();
    PlacedJson {
        payload: label.payload.clone(),
        symbols: symbols
            .map(|symbol| SymbolJson { kind: symbol.kind, x_dimension_mm: symbol.x, payload: symbol.payload.clone() })
            .collect(),
        page: label.page,
        slot: label.slot,
        left_mm: label.corner.x,
        top_mm: label.corner.y,
        width_mm: label.size.width,
        height_mm: label.size.height,
    }
}
