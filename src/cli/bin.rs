//! `stowmark bin`

use clap::Subcommand;
use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::{count, item_table, items_json, place_text, table},
};
use crate::{
    code::AreaNumber,
    exchange::json::{BinContentsJson, BinJson},
    job::bin_by_text,
    register::{Bin, ItemFilter},
};

#[derive(Debug, Subcommand)]
pub(super) enum BinCommand {
    /// Add bins; each gets the next letters of its area
    #[command(after_help = "Example:\n  stowmark bin add 4 --count 5 --spot \"rack 1, level 2\"")]
    Add {
        /// The number of the area that they stand in
        area: String,
        /// How many
        #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=374))]
        count: u16,
        /// Where in the area they stand
        #[arg(long, value_name = "TEXT")]
        spot: Option<String>,
    },
    /// List bins
    #[command(after_help = "Example:\n  stowmark bin list --area 4")]
    List {
        /// Only those of this area
        #[arg(long, value_name = "NUMBER")]
        area: Option<String>,
    },
    /// Show a bin and what is in it
    #[command(after_help = "Example:\n  stowmark bin show 4A")]
    Show {
        /// Its code
        code: String,
    },
}

pub(super) fn run(command: &BinCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        BinCommand::Add { area, count, spot } => {
            let area: AreaNumber = area.parse()?;
            let bins = session.register_for_change()?.add_bins(area, *count, spot.as_deref())?;
            answer_bins(&bins, session)
        }
        BinCommand::List { area } => {
            let area = area.as_deref().map(str::parse).transpose()?;
            let bins = session.register()?.bins(area)?;
            answer_bins(&bins, session)
        }
        BinCommand::Show { code } => show(code, session),
    }
}

fn answer_bins(bins: &[Bin], session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let json = json!({ "bins": bins.iter().map(BinJson::from).collect::<Vec<_>>() });
    session.answer(&json, || bin_table(bins))?;
    Ok(Outcome::Done)
}

fn bin_table(bins: &[Bin]) -> String {
    let row = |bin: &Bin| vec![bin.code.to_string(), bin.items.to_string(), place_text(&bin.place)];
    if bins.is_empty() { "no bins yet".into() } else { table(&["bin", "items#", "where"], bins.iter().map(row)) }
}

fn show(code: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let settings = session.settings()?;
    let register = session.register()?;
    let bin = bin_by_text(register, code)?;
    let items = register.items(&ItemFilter::within(bin.code))?;
    let json = BinContentsJson { bin: BinJson::from(&bin), contents: items_json(&items, &settings.currency) };
    session.answer(&json, || {
        let head = format!("bin {}: {}, {}", bin.code, place_text(&bin.place), count(u64::from(bin.items), "item"));
        if items.is_empty() { head } else { format!("{head}\n\n{}", item_table(&items, &settings.currency)) }
    })?;
    Ok(Outcome::Done)
}
