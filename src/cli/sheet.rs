//! `stowmark sheet`

use clap::Subcommand;
use serde_json::json;

use super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
};
use crate::{
    job::{add_sheet, remove_sheet, sheet_by_name, sheet_in_use},
    register::LastSheet,
    sheet::{NewSheet, Paper, Sheet, slots_text},
    unit::Size,
};

#[derive(Debug, Subcommand)]
pub(super) enum SheetCommand {
    /// List the known sheets and rolls, built in and your own
    #[command(
        after_help = "Sheets are named by paper and grid: a4-3x7 has three labels across and seven down. Compare the
measures with those on your packet. Plain paper needs no entry: cut-a4-90x55 stands for as many
labels of 90 x 55 mm as fit, with marks to cut by; cut-letter-3.5x2in for inches.

Example:
  stowmark sheet list
  stowmark sheet list --label 63.5x38.1
  stowmark sheet list --label 2.625x1in"
    )]
    List {
        /// Only those with labels of this size, as the packet says it
        #[arg(long, value_name = "WxH")]
        label: Option<String>,
        #[command(flatten)]
        arrange: Arrange,
    },
    /// Show a sheet and which slots of the one in use are spent
    #[command(after_help = "Example:\n  stowmark sheet show a4-3x7")]
    Show {
        /// Its name
        name: String,
    },
    /// Add a sheet or a roll of your own
    #[command(
        after_help = "Measure with a ruler, or copy from the packet: millimetres, or inches with `in` at the end. Print a
first page on plain paper and hold it against the sheet and the light.

Example:
  stowmark sheet add jam-jars --paper a4 --grid 3x9 --label 62x30 --left 9 --top 13.5 --pitch 64x30
  stowmark sheet add spools --paper letter --grid 4x10 --label 2x1in --left 0.25in --top 0.5in
  stowmark sheet add narrow --paper roll --label 62x17"
    )]
    Add(AddArgs),
    /// Remove a sheet of your own
    #[command(after_help = "What was printed on it stays on record.\n\nExample:\n  stowmark sheet remove jam-jars")]
    Remove {
        /// Its name
        name: String,
    },
}

#[derive(Debug, clap::Args)]
pub(super) struct AddArgs {
    /// Its name: letters, digits and hyphens
    name: String,
    /// a4, letter or roll
    #[arg(long)]
    paper: String,
    /// Labels across and down
    #[arg(long, value_name = "CxR")]
    grid: Option<String>,
    /// Size of a label
    #[arg(long, value_name = "WxH")]
    label: String,
    /// From the paper's left edge to the first label; else the labels are in the middle
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    left: Option<String>,
    /// From the paper's top edge to the first label; else the labels are in the middle
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    top: Option<String>,
    /// From the edge of a label to that of the next, across and down; else they stand edge to edge
    #[arg(long, value_name = "XxY")]
    pitch: Option<String>,
}

pub(super) fn run(command: &SheetCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        SheetCommand::List { label, arrange } => list(label.as_deref(), arrange, session),
        SheetCommand::Show { name } => show(name, session),
        SheetCommand::Add(args) => add(args, session),
        SheetCommand::Remove { name } => remove(name, session),
    }
}

fn remove(name: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let (sheet, was_set) = remove_sheet(session.register_for_change()?, name)?;
    let unset = if was_set { "\nit was the one that is set; the usual sheets hold again" } else { "" };
    session
        .answer(&sheet, || format!("sheet {} is removed; what was printed on it stays on record{unset}", sheet.name))?;
    Ok(Outcome::Done)
}

fn list(label: Option<&str>, arrange: &Arrange, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let size = label.map(Size::parse).transpose()?;
    let sheets = session.sheets()?;
    let found: Vec<&Sheet> = sheets.all().filter(|sheet| size.is_none_or(|size| sheet.has_label(size))).collect();
    let found = arrange.apply(&HEADINGS, found, |sheet| row(sheet))?;
    session.answer(&json!({ "sheets": found }), || list_text(&found, arrange))?;
    Ok(if found.is_empty() { Outcome::NothingFound } else { Outcome::Done })
}

const HEADINGS: [&str; 5] = ["sheet", "labels#", "label", "left / top, mm", "kind"];

fn row(sheet: &Sheet) -> Vec<String> {
    let margins = format!("{} / {}", sheet.left.rounded().0, sheet.top.rounded().0);
    let (slots, label) = (sheet.slots().to_string(), sheet.label().to_string());
    vec![sheet.name.clone(), slots, label, margins, sheet.kind.word().to_owned()]
}

fn list_text(found: &[&Sheet], arrange: &Arrange) -> String {
    match found {
        [] if arrange.narrows() => "no sheet has that in its line".into(),
        [] => "no sheet has labels of that size; inches are written as 2.625x1in".into(),
        found => table(&HEADINGS, found.iter().map(|sheet| row(sheet))),
    }
}

fn add(args: &AddArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let typed = NewSheet {
        name: &args.name,
        paper: &args.paper,
        grid: args.grid.as_deref(),
        label: &args.label,
        left: args.left.as_deref(),
        top: args.top.as_deref(),
        pitch: args.pitch.as_deref(),
    };
    let sheet = typed.check()?;
    add_sheet(session.new_register()?, &sheet)?;
    session.answer(&sheet, || format!("{}\nprint on it with --sheet {}", measures(&sheet), sheet.name))?;
    Ok(Outcome::Done)
}

/// `sheet jam-jars: 3 x 9 labels of 62 x 30 mm on a4, 12 mm from the left and 13.5 mm from the top, 64 x 30 mm from label to label`
fn measures(sheet: &Sheet) -> String {
    let grid = format!("{} x {} labels of {} on {}", sheet.columns, sheet.rows, sheet.label(), sheet.paper.name());
    let (left, top) = (sheet.left.rounded().0, sheet.top.rounded().0);
    let pitch = Size { width: sheet.pitch_x, height: sheet.pitch_y };
    match sheet.slots() {
        1 if sheet.paper == Paper::Roll => format!("sheet {}: a roll of {} labels", sheet.name, sheet.label()),
        _ => format!(
            "sheet {}: {grid}, {left} mm from the left and {top} mm from the top, {pitch} from label to label",
            sheet.name
        ),
    }
}

fn show(name: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let (sheet, last) = match session.register_if_any()? {
        Some(register) => {
            let sheet = sheet_by_name(register, name)?;
            let last = sheet_in_use(register, &sheet)?;
            (sheet, last)
        }
        None => (session.sheets()?.find(name)?, None),
    };
    let (spent, free) = slots(&sheet, last.as_ref());
    let mut json = serde_json::to_value(&sheet).unwrap_or_default();
    json["in_use"] = json!(last.is_some());
    json["spent"] = json!(spent);
    json["free"] = json!(free);
    session.answer(&json, || show_text(&sheet, &spent, &free))?;
    Ok(Outcome::Done)
}

/// The spent slots and the free ones.
fn slots(sheet: &Sheet, last: Option<&LastSheet>) -> (Vec<u32>, Vec<u32>) {
    let is_spent = |slot: &u32| last.is_some_and(|last| last.spent.contains(slot));
    (1..=sheet.slots()).partition(is_spent)
}

fn show_text(sheet: &Sheet, spent: &[u32], free: &[u32]) -> String {
    if !sheet.remembers_slots() {
        return format!("{}\nno slots are remembered of it", measures(sheet));
    }
    if spent.is_empty() {
        return format!("{}\nno sheet is part-used; the next run begins on a fresh one", measures(sheet));
    }
    let grid = picture(sheet, spent);
    format!("{}\n\n{grid}\n\nspent: {}\nfree: {}", measures(sheet), slots_text(spent), slots_text(free))
}

/// The sheet in use: `##` where a slot is spent, the slot's number where it is free.
fn picture(sheet: &Sheet, spent: &[u32]) -> String {
    let width = sheet.slots().to_string().len();
    let cell = |slot: u32| if spent.contains(&slot) { "#".repeat(width) } else { format!("{slot:>width$}") };
    let row = |row: u32| (1..=sheet.columns).map(|column| cell(row * sheet.columns + column)).collect::<Vec<_>>();
    (0..sheet.rows).map(|number| format!("  {}", row(number).join(" "))).collect::<Vec<_>>().join("\n")
}
