//! The options of all commands that print labels, and what follows from them.

use std::path::PathBuf;

use clap::ValueEnum;

use super::{outcome::CliError, session::Session};
use crate::{
    code::LinkBase,
    job::{Look, PrintOptions, Printer, Settings, Start, device, fonts_of, printer_by_name, sheet_by_name},
    label::SymbolChoice,
    register::{Register, RunKind},
    sheet::{Paper, Sheet, Turn},
    symbol::SymbolKind,
    unit::Dpi,
};

#[derive(Debug, clap::Args)]
pub(super) struct PrintArgs {
    /// The label sheet or roll, as `stowmark sheet list` names it, or plain paper to be cut, as cut-a4-90x55
    #[arg(long, value_name = "NAME", conflicts_with = "paper")]
    sheet: Option<String>,
    /// The usual sheet on this paper, a4 or letter
    #[arg(long)]
    paper: Option<String>,
    #[command(flatten)]
    start: StartArgs,
    /// How many of each label
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=500))]
    copies: u16,
    /// A font file for letters that the bundled faces lack; it is remembered
    #[arg(long, value_name = "FILE")]
    font: Vec<PathBuf>,
    #[command(flatten)]
    printer: PrinterArgs,
    #[command(flatten)]
    file: FileArgs,
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

#[derive(Debug, clap::Args)]
struct PrinterArgs {
    /// The printer, as `stowmark printer list` names it; else the default one
    #[arg(long, value_name = "NAME")]
    printer: Option<String>,
    /// The printer's resolution in dots per inch
    #[arg(long, value_name = "N")]
    dpi: Option<String>,
    /// Turn pages clockwise for a printer that feeds its labels another way: 90, 180 or 270
    #[arg(long, value_name = "DEGREES", default_value_t = 0, value_parser = rotation)]
    rotate: u16,
}

/// Where the file goes and what becomes of it.
#[derive(Debug, Clone, clap::Args)]
pub(super) struct FileArgs {
    /// The file; else one named by the run, in the current folder
    #[arg(long, value_name = "FILE.pdf")]
    pub(super) out: Option<PathBuf>,
    /// Replace files that are there
    #[arg(long)]
    pub(super) force: bool,
    /// Write a picture of each page as well, a pixel a dot of the printer, for label printers that take pictures
    #[arg(long, value_name = "FOLDER")]
    pub(super) png: Option<PathBuf>,
    /// Hand the file to this print queue of the system at actual size
    #[arg(long, value_name = "QUEUE")]
    pub(super) send: Option<String>,
    /// Don't read the symbols back from the finished pages
    #[arg(long)]
    pub(super) no_proof: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct SymbolArgs {
    /// The symbol; auto, the usual one, takes Code 128 where it is easily read, else QR
    #[arg(long, value_enum)]
    symbol: Option<SymbolName>,
    /// Make QR symbols links to this address, as `http://192.168.1.20:8080`; they die when the address changes
    #[arg(long, value_name = "ADDRESS")]
    link: Option<LinkBase>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum SymbolName {
    Auto,
    /// For laser readers
    Code128,
    /// For phones, and for photographs of a whole bin
    Qr,
    /// Both on one label
    Both,
}

fn rotation(text: &str) -> Result<u16, String> {
    let degrees = text.parse().ok().filter(|degrees| Turn::by_degrees(*degrees).is_some());
    degrees.ok_or_else(|| "pages are turned by 90, 180 or 270 degrees".into())
}

impl SymbolArgs {
    /// Gives a look what was asked for of it.
    pub(super) fn put_onto(&self, look: &mut Look) {
        let symbol = self.symbol.map(|symbol| match symbol {
            SymbolName::Auto => SymbolChoice::Auto,
            SymbolName::Code128 => SymbolChoice::Only(SymbolKind::Code128),
            SymbolName::Qr => SymbolChoice::Only(SymbolKind::Qr),
            SymbolName::Both => SymbolChoice::Both,
        });
        look.symbol = symbol.unwrap_or(look.symbol);
        look.link = self.link.clone().or_else(|| look.link.take());
    }
}

/// The options of a run, and what becomes of its file.
pub(super) fn options(
    args: &PrintArgs,
    kind: RunKind,
    look: Look,
    session: &mut Session<'_, '_>,
) -> Result<(PrintOptions, FileArgs), CliError> {
    let settings = session.settings()?;
    let register = session.register_for_change()?;
    let sheet = sheet(args, kind, &settings, register)?;
    let printer = printer_by_name(register, args.printer.printer.as_deref())?;
    let asked = args.printer.dpi.as_deref().map(str::parse::<Dpi>).transpose()?;
    let options = PrintOptions {
        start: args.start.on(&sheet)?,
        sheet,
        look,
        device: device(printer.as_ref(), asked, settings.dpi),
        printer: printer.map(|printer: Printer| printer.name),
        turn: Turn::by_degrees(args.printer.rotate).unwrap_or_default(),
        fonts: fonts_of(register, &args.font)?,
        currency: settings.currency,
        copies: args.copies,
        out: args.file.out.clone(),
        force: args.file.force,
        reprint_of: None,
    };
    Ok((options, args.file.clone()))
}

fn sheet(args: &PrintArgs, kind: RunKind, settings: &Settings, register: &Register) -> Result<Sheet, CliError> {
    let paper = args.paper.as_deref().map(paper).transpose()?;
    match &args.sheet {
        Some(name) => Ok(sheet_by_name(register, name)?),
        None => Ok(settings.sheet_for(kind, paper)?),
    }
}

pub(super) fn paper(name: &str) -> Result<Paper, CliError> {
    Paper::by_name(name).ok_or_else(|| crate::job::SettingError::Paper(name.to_owned()).into())
}
