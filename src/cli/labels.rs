//! `stowmark tag` and `stowmark sign`

use std::path::PathBuf;

use clap::ValueEnum;
use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::count,
};
use crate::{
    exchange::json::{PlacedJson, SymbolJson},
    job::{Choice, PrintOptions, Printed, PrintedLabel, Settings, fonts_of, print},
    label::SymbolChoice,
    register::{Found, RunKind},
    sheet::{Paper, Sheet, find_sheet},
    symbol::SymbolKind,
    unit::{Dpi, Mm},
};

#[derive(Debug, clap::Args)]
#[command(after_help = "Without a choice the tags of all items that have none yet are printed.

Example:
  stowmark tag
  stowmark tag 4A-001F 4A-003M --copies 2
  stowmark tag --bin 4A --sheet a4-3x7 --symbol code128 --out tags.pdf")]
pub(super) struct TagArgs {
    /// Codes of items
    #[arg(value_name = "CODE", conflicts_with_all = ["bin", "all"])]
    codes: Vec<String>,
    /// All items in this bin
    #[arg(long, value_name = "CODE", conflicts_with = "all")]
    bin: Option<String>,
    /// All items
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    print: PrintArgs,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Without a choice the signs of all bins that have none yet are printed.

Stacks and lifting: a full tub is heavy. Keep to the tub maker's rating and your local rules; stack
no higher and lift no more than they allow, and ask a qualified person when in doubt.

Example:
  stowmark sign
  stowmark sign 4A 4B --sheet a4-2x4
  stowmark sign --area 4 --paper letter --out signs.pdf")]
pub(super) struct SignArgs {
    /// Codes of bins
    #[arg(value_name = "CODE", conflicts_with_all = ["area", "all"])]
    codes: Vec<String>,
    /// All bins of this area
    #[arg(long, value_name = "NUMBER", conflicts_with = "all")]
    area: Option<String>,
    /// All bins
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    print: PrintArgs,
}

#[derive(Debug, clap::Args)]
struct PrintArgs {
    /// The label sheet or roll, as `stowmark sheet list` names it
    #[arg(long, value_name = "NAME", conflicts_with = "paper")]
    sheet: Option<String>,
    /// The usual sheet on this paper, a4 or letter
    #[arg(long)]
    paper: Option<String>,
    /// The symbol; auto takes Code 128 where it is easily read, else QR
    #[arg(long, value_enum, default_value_t = SymbolName::Auto)]
    symbol: SymbolName,
    /// The printer's resolution in dots per inch
    #[arg(long, value_name = "N")]
    dpi: Option<String>,
    /// How many of each label
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=500))]
    copies: u16,
    /// A font for what the bundled faces lack; it is remembered (repeatable)
    #[arg(long, value_name = "FILE")]
    font: Vec<PathBuf>,
    /// The file; else one named by the run, in the current folder
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
    /// Replace a file that is there
    #[arg(long)]
    force: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum SymbolName {
    Auto,
    Code128,
    Qr,
}

pub(super) fn tag(args: &TagArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let options = options(&args.print, RunKind::Tags, session)?;
    let choice = Choice::new(&args.codes, args.bin.as_deref(), args.all);
    let what = choice.items(session.register_for_change()?)?;
    finish(RunKind::Tags, what, &choice, &options, session)
}

pub(super) fn sign(args: &SignArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let options = options(&args.print, RunKind::Signs, session)?;
    let choice = Choice::new(&args.codes, args.area.as_deref(), args.all);
    let what = choice.bins(session.register_for_change()?)?;
    finish(RunKind::Signs, what, &choice, &options, session)
}

fn options(args: &PrintArgs, kind: RunKind, session: &mut Session<'_, '_>) -> Result<PrintOptions, CliError> {
    let settings = session.settings()?;
    Ok(PrintOptions {
        sheet: sheet(args, kind, &settings)?,
        symbol: match args.symbol {
            SymbolName::Auto => SymbolChoice::Auto,
            SymbolName::Code128 => SymbolChoice::Only(SymbolKind::Code128),
            SymbolName::Qr => SymbolChoice::Only(SymbolKind::Qr),
        },
        dpi: args.dpi.as_deref().map_or(Ok(settings.dpi), str::parse::<Dpi>)?,
        fonts: fonts_of(session.register_for_change()?, &args.font)?,
        copies: args.copies,
        out: args.out.clone(),
        force: args.force,
    })
}

fn sheet(args: &PrintArgs, kind: RunKind, settings: &Settings) -> Result<&'static Sheet, CliError> {
    let paper = args.paper.as_deref().map(paper).transpose()?;
    Ok(args.sheet.as_deref().map_or_else(|| settings.sheet_for(kind, paper), find_sheet)?)
}

fn paper(name: &str) -> Result<Paper, CliError> {
    Paper::by_name(name).ok_or_else(|| crate::job::SettingError::Paper(name.to_owned()).into())
}

fn finish(
    kind: RunKind,
    what: Vec<Found>,
    choice: &Choice,
    options: &PrintOptions,
    session: &mut Session<'_, '_>,
) -> Result<Outcome, CliError> {
    let Some(printed) = print(session.register_for_change()?, kind, what, options)? else {
        session.answer(&run_json(None, options.sheet), || nothing(kind, choice))?;
        return Ok(Outcome::NothingFound);
    };
    for warning in printed.warnings.iter().take(MOST_WARNINGS) {
        session.note(&format!("warning: {warning}"))?;
    }
    let unsaid = printed.warnings.len().saturating_sub(MOST_WARNINGS);
    if unsaid > 0 {
        session.note(&format!("… and {}; --json has all", count(unsaid as u64, "more warning")))?;
    }
    session.answer(&run_json(Some(&printed), options.sheet), || text(kind, &printed, options.sheet))?;
    Ok(Outcome::Done)
}

fn nothing(kind: RunKind, choice: &Choice) -> String {
    match (kind, choice) {
        (RunKind::Tags, Choice::Within(bin)) => format!("there are no items in {bin}"),
        (RunKind::Signs, Choice::Within(area)) => format!("there are no bins in area {area}"),
        (RunKind::Tags, Choice::All) => "there are no items yet".into(),
        (RunKind::Signs, Choice::All) => "there are no bins yet".into(),
        (RunKind::Tags, _) => "no item waits for a tag; --all, --bin or codes print tags again".into(),
        (RunKind::Signs, _) => "no bin waits for a sign; --all, --area or codes print signs again".into(),
    }
}

/// More of them would push the answer off the screen.
const MOST_WARNINGS: usize = 8;

fn text(kind: RunKind, printed: &Printed, sheet: &Sheet) -> String {
    let noun = kind.word().trim_end_matches('s');
    let (labels, pages) = (count(printed.labels.len() as u64, noun), count(printed.pages as u64, "page"));
    format!(
        "{labels} on {pages} of {}: {}\nprint it at actual size (100 %), not fitted to the page",
        sheet.name,
        printed.file.display()
    )
}

fn run_json(printed: Option<&Printed>, sheet: &Sheet) -> serde_json::Value {
    let (labels, warnings) = printed.map_or((&[][..], &[][..]), |run| (&run.labels[..], &run.warnings[..]));
    json!({
        "run": printed.map(|run| run.run),
        "file": printed.map(|run| run.file.display().to_string()),
        "sheet": sheet.name,
        "labels": labels.len(),
        "pages": printed.map_or(0, |run| run.pages),
        "warnings": warnings.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "placed": labels.iter().map(placed_json).collect::<Vec<_>>(),
    })
}

fn placed_json(label: &PrintedLabel) -> PlacedJson {
    let symbol = |(kind, x): &(SymbolKind, Mm)| SymbolJson { kind: *kind, x_dimension_mm: *x };
    PlacedJson {
        payload: label.payload.clone(),
        symbols: label.symbols.iter().map(symbol).collect(),
        page: label.page,
        slot: label.slot,
        left_mm: label.corner.x,
        top_mm: label.corner.y,
        width_mm: label.size.width,
        height_mm: label.size.height,
    }
}
