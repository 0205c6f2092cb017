//! The options of all commands that print labels, and what follows from them.

use std::path::PathBuf;

use clap::ValueEnum;

use super::{outcome::CliError, session::Session};
use crate::{
    code::LinkBase,
    job::{Look, PrintOptions, PrintedOn, Settings, Start, device, fonts_of, listed, printer_by_name, sheet_by_name},
    label::SymbolChoice,
    register::{Register, RunKind},
    sheet::{Device, Paper, Sheet, Turn},
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
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=500))]
    copies: Option<u16>,
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
    #[arg(long, value_name = "DEGREES", value_parser = rotation)]
    rotate: Option<u16>,
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

/// The options of a run, and what becomes of its file. What labels were printed on before goes before what is usual,
/// and options before both.
pub(super) fn options(
    args: &PrintArgs,
    kind: RunKind,
    look: Look,
    before: Option<PrintedOn>,
    session: &mut Session<'_, '_>,
) -> Result<(PrintOptions, FileArgs), CliError> {
    let settings = session.settings()?;
    let register = session.register_for_change()?;
    let copies = args.copies.or_else(|| before.as_ref()?.copies);
    let (sheet, before) = sheet(args, kind, before, &settings, register)?;
    let own = before.filter(|_| args.printer.printer.is_none());
    let (printer, device, turn) = if let Some(own) = own {
        (own.printer, own.device, own.turn)
    } else {
        let printer = printer_by_name(register, args.printer.printer.as_deref())?;
        let device = device(printer.as_ref(), None, settings.dpi);
        (printer.map(|printer| printer.name), device, Turn::default())
    };
    let asked = args.printer.dpi.as_deref().map(str::parse::<Dpi>).transpose()?;
    let options = PrintOptions {
        start: args.start.on(&sheet)?,
        sheet,
        look,
        device: Device { dpi: asked.unwrap_or(device.dpi), ..device },
        printer,
        turn: args.printer.rotate.map_or(turn, |degrees| Turn::by_degrees(degrees).unwrap_or_default()),
        fonts: fonts_of(register, &args.font)?,
        currency: settings.currency,
        copies: copies.unwrap_or(1),
        out: args.file.out.clone(),
        force: args.file.force,
        reprint_of: None,
    };
    Ok((options, args.file.clone()))
}

/// The sheet, with what the labels were printed on if it is the one on which they were.
fn sheet(
    args: &PrintArgs,
    kind: RunKind,
    before: Option<PrintedOn>,
    settings: &Settings,
    register: &Register,
) -> Result<(Sheet, Option<PrintedOn>), CliError> {
    let paper = args.paper.as_deref().map(paper).transpose()?;
    let own = before.as_ref().and_then(|before| before.sheet.clone());
    let sheet = match (&args.sheet, own) {
        (Some(name), _) => sheet_by_name(register, name)?,
        (None, Some(own)) if paper.is_none() => own,
        _ => settings.sheet_for(kind, paper)?,
    };
    let is_own = |before: &PrintedOn| before.sheet.as_ref().is_some_and(|own| own.name == sheet.name);
    let before = before.filter(is_own);
    Ok((sheet, before))
}

/// What to say where labels that are printed again come out otherwise than they were.
pub(super) fn other_than_before(before: &PrintedOn, args: &PrintArgs, options: &PrintOptions) -> Vec<String> {
    let sheets: Vec<String> = before.sheets.iter().cloned().collect();
    let is_chosen = args.sheet.is_some() || args.paper.is_some();
    let is_other = sheets != [options.sheet.name.clone()];
    let on = format!(
        "these were printed on {}, and all go on {} now: --sheet prints them on another",
        listed(&sheets),
        options.sheet.name
    );
    let copies = "some of these were printed in several copies, and one of each is printed now: --copies prints more";
    let is_fewer = before.copies.is_none() && args.copies.is_none();
    (is_other && !is_chosen).then_some(on).into_iter().chain(is_fewer.then(|| copies.to_owned())).collect()
}

pub(super) fn paper(name: &str) -> Result<Paper, CliError> {
    Paper::by_name(name).ok_or_else(|| crate::job::SettingError::Paper(name.to_owned()).into())
}
