//! `stowmark tag` and `stowmark sign`

use std::path::PathBuf;

use clap::ValueEnum;

use super::{
    outcome::{CliError, Outcome},
    printed::print_and_answer,
    session::Session,
};
use crate::{
    job::{Choice, Look, PrintOptions, Settings, Start, sheet_by_name},
    label::SymbolChoice,
    register::{Register, RunKind},
    sheet::{Paper, Sheet},
    symbol::SymbolKind,
    unit::Dpi,
};

#[derive(Debug, clap::Args)]
#[command(after_help = "Without a choice the tags of all items that have none yet are printed. They go on
the free slots of the sheet in use, which the register remembers for each sheet name.

Example:
  stowmark tag
  stowmark tag 4A-001F 4A-003M --copies 2
  stowmark tag --bin 4A --sheet a4-3x7 --symbol code128 --out tags.pdf
  stowmark tag --sheet a4-3x7 --from 14 --skip 16,18-19")]
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
#[command(after_help = "Without a choice the signs of all bins that have none yet are printed. They go on
the free slots of the sheet in use, which the register remembers for each sheet name.

Stacks and lifting: a full tub is heavy. Keep to the tub maker's rating and your local rules; stack
no higher and lift no more than they allow, and ask a qualified person when in doubt.

Example:
  stowmark sign
  stowmark sign 4A 4B --sheet a4-2x4
  stowmark sign --area 4 --paper letter --out signs.pdf
  stowmark sign --sheet cut-a4-90x55")]
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
    /// The label sheet or roll, as `stowmark sheet list` names it, or plain paper to be cut, as cut-a4-90x55
    #[arg(long, value_name = "NAME", conflicts_with = "paper")]
    sheet: Option<String>,
    /// The usual sheet on this paper, a4 or letter
    #[arg(long)]
    paper: Option<String>,
    #[command(flatten)]
    start: StartArgs,
    /// The symbol; auto takes Code 128 where it is easily read, else QR
    #[arg(long, value_enum, default_value_t = SymbolName::Auto)]
    symbol: SymbolName,
    /// The printer's resolution in dots per inch
    #[arg(long, value_name = "N")]
    dpi: Option<String>,
    /// How many of each label
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=500))]
    copies: u16,
    /// The file; else one named by the run, in the current folder
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
    /// Replace a file that is there
    #[arg(long)]
    force: bool,
}

/// Without any of them, labels go on the free slots of the sheet in use.
#[derive(Debug, clap::Args)]
pub(super) struct StartArgs {
    /// The first free slot of the sheet in the printer, counted row by row; those before it are spent
    #[arg(long, value_name = "SLOT", conflicts_with = "fresh_sheet")]
    pub(super) from: Option<u32>,
    /// Slots of the sheet in the printer that are spent, as 3,7-9
    #[arg(long, value_name = "SLOTS", conflicts_with = "fresh_sheet")]
    pub(super) skip: Option<String>,
    /// Begin on a fresh sheet, whatever is left of the one in use
    #[arg(long)]
    pub(super) fresh_sheet: bool,
}

impl StartArgs {
    fn on(&self, sheet: &Sheet) -> Result<Start, CliError> {
        Ok(Start::new(sheet, self.from, self.skip.as_deref(), self.fresh_sheet)?)
    }
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
    let jobs = choice.tags(session.register_for_change()?)?;
    print_and_answer(RunKind::Tags, jobs, options, &no_tags(&choice), "", session)
}

pub(super) fn sign(args: &SignArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let options = options(&args.print, RunKind::Signs, session)?;
    let choice = Choice::new(&args.codes, args.area.as_deref(), args.all);
    let jobs = choice.signs(session.register_for_change()?)?;
    print_and_answer(RunKind::Signs, jobs, options, &no_signs(&choice), "", session)
}

fn options(args: &PrintArgs, kind: RunKind, session: &mut Session<'_, '_>) -> Result<PrintOptions, CliError> {
    let settings = session.settings()?;
    let sheet = sheet(args, kind, &settings, session.register()?)?;
    Ok(PrintOptions {
        start: args.start.on(&sheet)?,
        sheet,
        look: Look { symbol: symbol(args.symbol) },
        dpi: args.dpi.as_deref().map_or(Ok(settings.dpi), str::parse::<Dpi>)?,
        printer: None,
        copies: args.copies,
        out: args.out.clone(),
        force: args.force,
        reprint_of: None,
    })
}

fn symbol(name: SymbolName) -> SymbolChoice {
    match name {
        SymbolName::Auto => SymbolChoice::Auto,
        SymbolName::Code128 => SymbolChoice::Only(SymbolKind::Code128),
        SymbolName::Qr => SymbolChoice::Only(SymbolKind::Qr),
    }
}

fn sheet(args: &PrintArgs, kind: RunKind, settings: &Settings, register: &Register) -> Result<Sheet, CliError> {
    let paper = args.paper.as_deref().map(paper).transpose()?;
    match &args.sheet {
        Some(name) => Ok(sheet_by_name(register, name)?),
        None => Ok(settings.sheet_for(kind, paper)?),
    }
}

fn paper(name: &str) -> Result<Paper, CliError> {
    Paper::by_name(name).ok_or_else(|| crate::job::SettingError::Paper(name.to_owned()).into())
}

fn no_tags(choice: &Choice) -> String {
    match choice {
        Choice::Within(bin) => format!("there are no items in {bin}"),
        Choice::All => "there are no items yet".into(),
        _ => "no item waits for a tag; --all, --bin or codes print tags again".into(),
    }
}

fn no_signs(choice: &Choice) -> String {
    match choice {
        Choice::Within(area) => format!("there are no bins in area {area}"),
        Choice::All => "there are no bins yet".into(),
        _ => "no bin waits for a sign; --all, --area or codes print signs again".into(),
    }
}
