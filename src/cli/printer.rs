//! `stowmark printer`

use std::path::PathBuf;

use clap::{ArgGroup, Subcommand, ValueEnum};
use serde_json::{Value, json};

use super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
};
use crate::{
    job::{
        AlignOptions, PlaceChange, Printer, PrinterChange, add_printer, align, change_printer, printer_by_name,
        printers, remove_printer, sheet_by_name, usual_align_sheet,
    },
    sheet::{Correction, Readings},
    unit::parse_mm,
};

#[derive(Debug, Subcommand)]
pub(super) enum PrinterCommand {
    /// Add a printer
    #[command(after_help = "Example:
  stowmark printer add laser --dpi 600 --default
  stowmark printer add roll --dpi 203 --queue roll_printer")]
    Add {
        /// A name of your own for it, one word
        name: String,
        /// Its resolution in dots per inch
        #[arg(long, value_name = "N")]
        dpi: String,
        #[command(flatten)]
        features: Features,
        /// Take it when no printer is named
        #[arg(long)]
        default: bool,
    },
    /// List the printers
    #[command(after_help = "Example:\n  stowmark printer list")]
    List(Arrange),
    /// Take a printer when none is named
    #[command(after_help = "Example:\n  stowmark printer default laser")]
    Default {
        /// Its name
        name: String,
    },
    /// Remove a printer
    #[command(after_help = "Example:\n  stowmark printer remove laser")]
    Remove {
        /// Its name
        name: String,
    },
    /// Print a page by which a printer is measured
    Align(AlignArgs),
    /// Tell what was measured, and other things about a printer
    Set(Box<SetArgs>),
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Print the page at actual size (100 %), measure what it asks for, and tell it with `stowmark
printer set`. A page for a printer that was measured before is corrected: it shows what is left.

Example:
  stowmark printer align laser
  stowmark printer align laser --sheet a4-5x13 --out align.pdf")]
pub(super) struct AlignArgs {
    /// The printer's name
    name: String,
    /// The label sheet whose outlines are drawn; else the usual one for tags
    #[arg(long, value_name = "SHEET")]
    sheet: Option<String>,
    /// As if nothing had been measured yet
    #[arg(long)]
    uncorrected: bool,
    /// The file; else align-NAME.pdf in the current folder
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
    /// Replace a file that is there
    #[arg(long)]
    force: bool,
}

#[derive(Debug, clap::Args)]
#[command(
    group(ArgGroup::new("change").required(true).multiple(true)
        .args(["left_edge", "clear", "dpi", "bars", "edge", "queue"])),
    after_help = "The first four readings are given together. They are measured on the page of `stowmark printer
align`: there they should be 12, 10, 180 and 250 mm. Later labels are moved by what is found;
their symbols are never scaled or turned.

Example:
  stowmark printer set laser --left-edge 12.4 --top-edge 9.8 --span-x 180.5 --span-y 249
  stowmark printer set laser --clear
  stowmark printer set ink --bars thinner --edge 5"
)]
pub(super) struct SetArgs {
    /// The printer's name
    name: String,
    /// From the paper's left edge to cross A, in mm
    #[arg(long, value_name = "MM", requires_all = ["top_edge", "span_x", "span_y"], allow_hyphen_values = true)]
    left_edge: Option<String>,
    /// From the paper's top edge to cross A
    #[arg(long, value_name = "MM", requires = "left_edge", allow_hyphen_values = true)]
    top_edge: Option<String>,
    /// From cross A to cross B, across
    #[arg(long, value_name = "MM", requires = "left_edge", allow_hyphen_values = true)]
    span_x: Option<String>,
    /// From cross A to cross C, down
    #[arg(long, value_name = "MM", requires = "left_edge", allow_hyphen_values = true)]
    span_y: Option<String>,
    /// From the paper's top edge to cross B, where the page came out askew
    #[arg(long, value_name = "MM", requires = "left_edge", allow_hyphen_values = true)]
    top_edge_right: Option<String>,
    /// The page that was measured says that it is corrected: correct what is left
    #[arg(long, requires = "left_edge")]
    refine: bool,
    /// The printer fits pages to the paper, and that can't be switched off
    #[arg(long, requires = "left_edge")]
    really: bool,
    /// Forget what was measured
    #[arg(long, conflicts_with = "left_edge")]
    clear: bool,
    /// Its resolution in dots per inch
    #[arg(long, value_name = "N")]
    dpi: Option<String>,
    #[command(flatten)]
    features: Features,
}

#[derive(Debug, clap::Args)]
pub(super) struct Features {
    /// Draw the dark parts of symbols thinner by one or two dots, for a printer whose ink spreads
    #[arg(long, value_enum)]
    bars: Option<Bars>,
    /// What it leaves white along the paper's edges, in mm; 4.2 when not said
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    edge: Option<String>,
    /// The print queue of this computer that leads to it; `none` takes it back
    #[arg(long, value_name = "QUEUE")]
    queue: Option<String>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Bars {
    Thinner,
    Exact,
}

pub(super) fn run(command: &PrinterCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        PrinterCommand::Add { name, dpi, features, default } => add(name, dpi, features, *default, session),
        PrinterCommand::List(arrange) => list(arrange, session),
        PrinterCommand::Default { name } => {
            let change = PrinterChange { is_default: true, ..PrinterChange::default() };
            let printer = change_printer(session.register_for_change()?, name, &change)?;
            tell(session, &printer, &format!("{} is the printer when none is named", printer.name))
        }
        PrinterCommand::Remove { name } => remove(name, session),
        PrinterCommand::Align(args) => align_page(args, session),
        PrinterCommand::Set(args) => set(args, session),
    }
}

fn add(
    name: &str,
    dpi: &str,
    features: &Features,
    is_default: bool,
    session: &mut Session<'_, '_>,
) -> Result<Outcome, CliError> {
    let dpi = dpi.parse()?;
    let change = PrinterChange { is_default, ..features.change()? };
    let printer = add_printer(session.new_register()?, name, dpi, &change)?;
    let next = format!("`stowmark printer align {}` prints a page to measure it by", printer.name);
    tell(session, &printer, &format!("printer {}: {}\n{next}", printer.name, printer.features()))
}

const HEADINGS: [&str; 3] = ["printer", "", "what is known"];

fn list(arrange: &Arrange, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let found = arrange.apply(&HEADINGS, printers(session.register()?)?, row)?;
    let json = json!({ "printers": found.iter().map(printer_json).collect::<Vec<_>>() });
    session.answer(&json, || match &found[..] {
        [] => "no printers; `stowmark printer add NAME --dpi 600` adds one".into(),
        found => table(&HEADINGS, found.iter().map(row)),
    })?;
    Ok(Outcome::Done)
}

fn row(printer: &Printer) -> Vec<String> {
    let default = if printer.is_default { "default" } else { "" };
    vec![printer.name.clone(), default.into(), printer.features()]
}

fn remove(name: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let printer = remove_printer(session.register_for_change()?, name)?;
    let default = if printer.is_default { "; no printer is the default now" } else { "" };
    tell(session, &printer, &format!("printer {} is removed{default}", printer.name))
}

fn align_page(args: &AlignArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let sheet = match &args.sheet {
        Some(name) => sheet_by_name(session.register()?, name)?,
        None => usual_align_sheet(&session.settings()?)?,
    };
    let name = sheet.name.clone();
    let options = AlignOptions { sheet, uncorrected: args.uncorrected, out: args.out.clone(), force: args.force };
    let register = session.register()?;
    let Some(printer) = printer_by_name(register, Some(&args.name))? else { return Ok(Outcome::NothingFound) };
    let file = align(register, &printer, &options)?;
    let is_corrected = !args.uncorrected && printer.correction != Correction::NONE;
    let json = json!({
        "printer": printer.name, "file": file.display().to_string(), "sheet": name, "corrected": is_corrected,
    });
    session.answer(&json, || {
        let state = if is_corrected { "corrected by what was measured" } else { "not corrected" };
        let start = format!("alignment page for {} on {name}, {state}: {}", printer.name, file.display());
        format!("{start}\nprint it at actual size (100 %), not fitted to the page, and measure what it asks for")
    })?;
    Ok(Outcome::Done)
}

fn set(args: &SetArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let change = PrinterChange {
        dpi: args.dpi.as_deref().map(str::parse).transpose()?,
        place: args.place()?,
        ..args.features.change()?
    };
    let register = session.register_for_change()?;
    let before = printer_by_name(register, Some(&args.name))?;
    let printer = change_printer(register, &args.name, &change)?;
    let had = before.is_some_and(|before| before.correction != Correction::NONE);
    if had && args.left_edge.is_some() && !args.refine {
        session.note("note: this takes the place of what was measured before; readings of a page that says it is corrected are given with --refine")?;
    }
    tell(session, &printer, &format!("printer {}: {}", printer.name, printer.features()))
}

impl SetArgs {
    fn place(&self) -> Result<Option<PlaceChange>, CliError> {
        let (Some(left), Some(top), Some(x), Some(y)) = (&self.left_edge, &self.top_edge, &self.span_x, &self.span_y)
        else {
            return Ok(self.clear.then_some(PlaceChange::Clear));
        };
        let readings = Readings {
            left_edge: parse_mm(left)?,
            top_edge: parse_mm(top)?,
            span_x: parse_mm(x)?,
            span_y: parse_mm(y)?,
            top_edge_right: self.top_edge_right.as_deref().map(parse_mm).transpose()?,
        };
        Ok(Some(PlaceChange::Measured { readings, refine: self.refine, fits_pages: self.really }))
    }
}

impl Features {
    fn change(&self) -> Result<PrinterChange, CliError> {
        Ok(PrinterChange {
            thinner: self.bars.map(|bars| matches!(bars, Bars::Thinner)),
            edge: self.edge.as_deref().map(parse_mm).transpose()?,
            queue: self.queue.as_ref().map(|queue| if queue == "none" { String::new() } else { queue.clone() }),
            ..PrinterChange::default()
        })
    }
}

fn tell(session: &mut Session<'_, '_>, printer: &Printer, text: &str) -> Result<Outcome, CliError> {
    session.answer(&printer_json(printer), || text.to_owned())?;
    Ok(Outcome::Done)
}

fn printer_json(printer: &Printer) -> Value {
    let Correction { shift, scale_x, scale_y, skew } = printer.correction;
    json!({
        "printer": printer.name,
        "dpi": printer.dpi,
        "default": printer.is_default,
        "corrected": printer.correction != Correction::NONE,
        "shift_x_mm": shift.x,
        "shift_y_mm": shift.y,
        "scale_x": rounded(scale_x),
        "scale_y": rounded(scale_y),
        "skew": rounded(skew),
        "bars": if printer.thinner { "thinner" } else { "exact" },
        "edge_mm": printer.device().edge,
        "queue": printer.queue,
    })
}

/// To the millionth: a float's noise is no reading.
fn rounded(factor: f64) -> f64 {
    (factor * 1e6).round() / 1e6
}
