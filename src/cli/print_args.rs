//! The options of all commands that print labels, and what follows from them.

use std::path::PathBuf;

use clap::ValueEnum;

use super::{outcome::CliError, session::Session};
use crate::{
    code::LinkBase,
    job::{Look, LookWish, Otherwise, PrintOptions, PrintWish, PrintedOn, fonts_of, listed, print_options},
    label::SymbolChoice,
    register::RunKind,
    sheet::{Paper, Turn},
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
    /// What was asked for of the looks.
    pub(super) fn wish(&self) -> LookWish {
        let symbol = self.symbol.map(|symbol| match symbol {
            SymbolName::Auto => SymbolChoice::Auto,
            SymbolName::Code128 => SymbolChoice::Only(SymbolKind::Code128),
            SymbolName::Qr => SymbolChoice::Only(SymbolKind::Qr),
            SymbolName::Both => SymbolChoice::Both,
        });
        LookWish { symbol, link: self.link.clone(), ..LookWish::default() }
    }
}

impl PrintArgs {
    /// What the user says of the run.
    fn wish(&self) -> Result<PrintWish, CliError> {
        Ok(PrintWish {
            sheet: self.sheet.clone(),
            paper: self.paper.as_deref().map(paper).transpose()?,
            from: self.start.from,
            skip: self.start.skip.clone(),
            fresh_sheet: self.start.fresh_sheet,
            printer: self.printer.printer.clone(),
            dpi: self.printer.dpi.as_deref().map(str::parse::<Dpi>).transpose()?,
            turn: self.printer.rotate.and_then(Turn::by_degrees),
            copies: self.copies,
            out: self.file.out.clone(),
            force: self.file.force,
        })
    }
}

/// The options of a run, what becomes of its file, and what comes out otherwise than labels were before.
pub(super) fn options(
    args: &PrintArgs,
    kind: RunKind,
    look: Look,
    before: Option<&PrintedOn>,
    session: &mut Session<'_, '_>,
) -> Result<(PrintOptions, FileArgs, Vec<String>), CliError> {
    let wish = args.wish()?;
    let register = session.register_for_change()?;
    let options = print_options(register, kind, look, before.cloned(), &wish)?;
    let options = PrintOptions { fonts: fonts_of(register, &args.font)?, ..options };
    let notes = before.iter().flat_map(|before| before.otherwise(&wish, &options));
    let notes = notes.map(|otherwise| otherwise_text(&otherwise)).collect();
    Ok((options, args.file.clone(), notes))
}

fn otherwise_text(otherwise: &Otherwise) -> String {
    match otherwise {
        Otherwise::Sheets { were, now } => {
            format!("these were printed on {}, and all go on {now} now: --sheet prints them on another", listed(were))
        }
        Otherwise::Fewer => {
            "some of these were printed in several copies, and one of each is printed now: --copies prints more".into()
        }
    }
}

pub(super) fn paper(name: &str) -> Result<Paper, CliError> {
    Paper::by_name(name).ok_or_else(|| crate::job::SettingError::Paper(name.to_owned()).into())
}
