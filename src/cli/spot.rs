//! `stowmark spot`

use clap::Subcommand;
use serde_json::json;

use super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
};
use crate::{
    exchange::sale_json::SpotJson,
    register::{SpotInArea, Title},
};

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
    /// Give a spot another name
    #[command(
        after_help = "No code and no tag changes. Its strip and the signs of its bins show the name; `stowmark stale` lists
those that are wrong.

Example:
  stowmark spot rename 4 \"rack 1\" \"rack 1, by the door\""
    )]
    Rename {
        /// The number of the area
        area: String,
        /// The name that it has
        spot: String,
        /// Its new name
        name: String,
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
        SpotCommand::Rename { area, spot, name } => {
            let (area, name) = (area.parse()?, Title::new(name)?);
            let register = session.register_for_change()?;
            register.rename_spot(area, spot, &name)?;
            register.spots(Some(area))?.into_iter().filter(|known| known.spot.name == name.as_str()).collect()
        }
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
