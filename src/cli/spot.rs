//! `stowmark spot`

use clap::Subcommand;
use serde_json::json;

use super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
};
use crate::{exchange::sale_json::SpotJson, register::SpotInArea};

#[derive(Debug, Subcommand)]
pub(super) enum SpotCommand {
    /// Say in which order you walk past the spots of an area
    #[command(
        after_help = "Labels and the picking round follow it. Spots that are not named come behind, as they were.

Example:
  stowmark spot order 4 \"rack 1\" \"rack 2\" \"under the window\""
    )]
    Order {
        /// The number of the area
        area: String,
        /// Names of its spots, the first one first
        #[arg(required = true, value_name = "SPOT")]
        names: Vec<String>,
    },
    /// List spots, in walking order
    #[command(after_help = "Example:\n  stowmark spot list\n  stowmark spot list 4")]
    List {
        /// Only those of this area
        area: Option<String>,
        #[command(flatten)]
        arrange: Arrange,
    },
}

pub(super) fn run(command: &SpotCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let spots = match command {
        SpotCommand::Order { area, names } => session.register_for_change()?.order_spots(area.parse()?, names)?,
        SpotCommand::List { area, arrange } => {
            let spots = session.register()?.spots(area.as_deref().map(str::parse).transpose()?)?;
            arrange.apply(&HEADINGS, spots, row)?
        }
    };
    let json = json!({ "spots": spots.iter().map(SpotJson::from).collect::<Vec<_>>() });
    session.answer(&json, || spot_table(&spots))?;
    Ok(Outcome::Done)
}

const HEADINGS: [&str; 3] = ["area", "spot", "bins#"];

fn row(known: &SpotInArea) -> Vec<String> {
    vec![format!("{} {}", known.area, known.area_name), known.spot.name.clone(), known.bins.to_string()]
}

fn spot_table(spots: &[SpotInArea]) -> String {
    match spots {
        [] => "no spots; `stowmark bin add` makes them with --spot".into(),
        spots => table(&HEADINGS, spots.iter().map(row)),
    }
}
