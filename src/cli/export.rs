//! `stowmark export`

use std::path::{Path, PathBuf};

use clap::{Subcommand, ValueEnum};
use serde_json::json;

use super::{
    item::StateName,
    outcome::{CliError, Outcome},
    session::Session,
    table::count,
};
use crate::{
    exchange::Separator,
    job::{ExportError, ExportOptions, Exported, Stream, bin_by_text, export, export_to},
    register::ItemFilter,
};

#[derive(Debug, Subcommand)]
pub(super) enum ExportCommand {
    /// Items, with headings that `item import` knows
    #[command(
        after_help = "Columns: code, number, title, bin, area, area name, spot, state, cost, asking, bought, listed,
entered, old code (several parted by `; `), note, gone, why gone, litres, length, width, height
(in cm), size, grams.

CSV is RFC 4180 in UTF-8; amounts are plain (1234.50), dates are year-month-day. A text that a
spreadsheet would take for a formula begins with ', which an import takes off again.

Example:
  stowmark export items items.csv
  stowmark export items unsold.csv --state held,listed --columns code,title,asking --bom"
    )]
    Items {
        #[command(flatten)]
        file: FileArgs,
        /// Only those in these states
        #[arg(long, value_enum, value_delimiter = ',', value_name = "STATES")]
        state: Vec<StateName>,
        /// Only those in this bin
        #[arg(long, value_name = "CODE")]
        bin: Option<String>,
        /// Only those in bins of this area
        #[arg(long, value_name = "NUMBER")]
        area: Option<String>,
    },
    /// Bins
    #[command(after_help = "Columns: code, area, area name, spot, stack, items, kind, litres, max kg, inside.

Example:
  stowmark export bins bins.csv")]
    Bins {
        #[command(flatten)]
        file: FileArgs,
    },
    /// All that came into a bin or left one, as it happened
    #[command(after_help = "Columns: at (in UTC), code, number, title, from, to, what (entered, put, picked, returned,
gone, taken back).

Example:
  stowmark export moves moves.csv")]
    Moves {
        #[command(flatten)]
        file: FileArgs,
    },
    /// Sales
    #[command(
        after_help = "Columns: code, number, title, sold, price, fees, postage, refunds, return postage, cost, profit,
order, listed, days to sell, picked, returned. Profit is empty where the price or the cost is not
known; an item that came back has cost nothing.

Example:
  stowmark export sales sales.csv
  stowmark export sales sales.json --columns code,sold,profit"
    )]
    Sales {
        #[command(flatten)]
        file: FileArgs,
    },
    /// Titles and codes of what is for sale, to paste into listings
    #[command(after_help = "Without a file the lines go to the screen, title and code parted by a tab.

Example:
  stowmark export listing-codes
  stowmark export listing-codes --unlisted codes.csv")]
    ListingCodes {
        #[command(flatten)]
        file: PasteArgs,
        /// Only those that are not listed yet
        #[arg(long)]
        unlisted: bool,
    },
    /// Old and new codes of what is listed under an old code, to correct the listings
    #[command(
        after_help = "Columns: old code, new code, title, asking. Without a file the lines go to the screen, parted by
tabs. `stowmark retag` makes such changes; when the listings are corrected, `stowmark listed` with
the codes says so, or with --recoded for all of them.

Example:
  stowmark export code-changes
  stowmark export code-changes changes.csv
  stowmark listed --recoded"
    )]
    CodeChanges {
        #[command(flatten)]
        file: PasteArgs,
    },
}

#[derive(Debug, clap::Args)]
pub(super) struct PasteArgs {
    /// A .csv or .json file; without one to the screen
    file: Option<PathBuf>,
    /// Replace the file if it is there
    #[arg(long)]
    force: bool,
    /// Begin CSV with a byte order mark, for spreadsheets that show accents wrongly without it
    #[arg(long)]
    bom: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct FileArgs {
    /// A .csv or .json file, or - for standard output (CSV, with --json JSON)
    file: PathBuf,
    /// Only these columns, in this order
    #[arg(long, value_delimiter = ',', value_name = "NAMES")]
    columns: Vec<String>,
    /// What parts the fields of CSV
    #[arg(long, value_enum, default_value_t = SeparatorName::Comma, value_name = "NAME")]
    separator: SeparatorName,
    /// Begin CSV with a byte order mark, for spreadsheets that show accents wrongly without it
    #[arg(long)]
    bom: bool,
    /// Replace the file if it is there
    #[arg(long)]
    force: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum SeparatorName {
    #[value(alias = ",")]
    Comma,
    #[value(alias = ";")]
    Semicolon,
    Tab,
}

impl From<SeparatorName> for Separator {
    fn from(name: SeparatorName) -> Self {
        match name {
            SeparatorName::Comma => Self::Comma,
            SeparatorName::Semicolon => Self::Semicolon,
            SeparatorName::Tab => Self::Tab,
        }
    }
}

pub(super) fn run(command: &ExportCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        ExportCommand::Items { file, state, bin, area } => {
            let area = area.as_deref().map(str::parse).transpose()?;
            let register = session.register()?;
            let bin = bin.as_deref().map(|code| bin_by_text(register, code)).transpose()?.map(|bin| bin.code);
            let states = state.iter().map(|state| state.status()).collect();
            out(&Exported::Items(ItemFilter { bin, area, states, ..ItemFilter::default() }), file, session)
        }
        ExportCommand::Bins { file } => out(&Exported::Bins, file, session),
        ExportCommand::Moves { file } => out(&Exported::Moves, file, session),
        ExportCommand::Sales { file } => out(&Exported::Sales, file, session),
        ExportCommand::ListingCodes { file, unlisted } => {
            paste(&Exported::ListingCodes { unlisted: *unlisted }, file, "there is nothing to list", session)
        }
        ExportCommand::CodeChanges { file } => {
            paste(&Exported::CodeChanges, file, "no listing shows another code than its item has", session)
        }
    }
}

/// To a file, or as lines to the screen.
fn paste(
    exported: &Exported,
    args: &PasteArgs,
    nothing: &str,
    session: &mut Session<'_, '_>,
) -> Result<Outcome, CliError> {
    let options = ExportOptions { mark: args.bom, ..ExportOptions::default() };
    match args.file.as_deref().filter(|file| !is_stdout(file)) {
        Some(file) => to_file(exported, &options, file, args.force, session),
        None => to_screen(exported, nothing, session),
    }
}

fn is_stdout(file: &Path) -> bool {
    file == Path::new("-")
}

fn out(exported: &Exported, args: &FileArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let options = ExportOptions { columns: args.columns.clone(), separator: args.separator.into(), mark: args.bom };
    if !is_stdout(&args.file) {
        return to_file(exported, &options, &args.file, args.force, session);
    }
    let stream = if session.json() { Stream::Json } else { Stream::Csv };
    to_stdout(exported, &options, stream, session)?;
    Ok(Outcome::Done)
}

fn to_file(
    exported: &Exported,
    options: &ExportOptions,
    file: &Path,
    force: bool,
    session: &mut Session<'_, '_>,
) -> Result<Outcome, CliError> {
    let rows = export(session.register()?, exported, options, file, force)?;
    let json = json!({ "file": file.display().to_string(), "rows": rows });
    session.answer(&json, || format!("{} in {}", count(rows as u64, "row"), file.display()))?;
    Ok(Outcome::Done)
}

fn to_stdout(
    exported: &Exported,
    options: &ExportOptions,
    stream: Stream,
    session: &mut Session<'_, '_>,
) -> Result<usize, CliError> {
    let rows = session.with_register(|register, out| export_to(register, exported, options, stream, out))?;
    rows.map_err(|fault| match fault {
        ExportError::Stream(fault) => fault.into(),
        other => other.into(),
    })
}

fn to_screen(exported: &Exported, nothing: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let stream = if session.json() { Stream::Json } else { Stream::Lines };
    let rows = to_stdout(exported, &ExportOptions::default(), stream, session)?;
    if rows == 0 {
        session.note(nothing)?;
        return Ok(Outcome::NothingFound);
    }
    Ok(Outcome::Done)
}
