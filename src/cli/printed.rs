//! What printing says: which slots it takes, what to look out for, and where the file is.

use serde_json::{Value, json};

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::count,
};
use crate::{
    exchange::json::{PlacedJson, SheetStateJson, SymbolJson},
    job::{LabelJob, PrintOptions, Printed, PrintedLabel, SheetState, prepare},
    register::RunKind,
};

/// More warnings would push the answer off the screen.
const MOST_WARNINGS: usize = 8;

/// Prints labels and says so; without any, `nothing` is the answer. `more` stands below it.
pub(super) fn print_and_answer(
    kind: RunKind,
    jobs: Vec<LabelJob>,
    options: PrintOptions,
    nothing: &str,
    more: &str,
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
    let printed = prepared.commit(session.register_for_change()?)?;
    tell_warnings(&printed, session)?;
    let mut json = run_json(Some(&printed), &sheet);
    if let Some(run) = reprint_of {
        json["reprint_of"] = json!(run);
    }
    session.answer(&json, || format!("{}{more}", text(&printed)))?;
    Ok(Outcome::Done)
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
    format!(
        "{labels} on {pages} of {}: {}\nprint it at actual size (100 %), not fitted to the page",
        printed.sheet,
        printed.file.display()
    )
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
