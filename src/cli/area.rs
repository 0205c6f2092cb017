//! `stowmark area`

use clap::Subcommand;
use serde_json::json;

use super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
};
use crate::{
    code::AreaNumber,
    exchange::json::AreaJson,
    register::{Area, RegisterError, Title},
};

#[derive(Debug, Subcommand)]
pub(super) enum AreaCommand {
    /// Add an area
    #[command(after_help = "Example:\n  stowmark area add 4 \"Loft\"")]
    Add {
        /// Its number, 1 to 999; bins are named by it
        number: String,
        /// Its name
        name: String,
    },
    /// Give an area another name
    #[command(
        after_help = "Codes carry the area's number, so that no tag changes. Signs of bins, shelf strips and the area's
own sign show its name; `stowmark stale` lists those that are wrong.

Example:
  stowmark area rename 4 \"Attic\""
    )]
    Rename {
        /// Its number
        number: String,
        /// Its new name
        name: String,
    },
    /// Print signs of areas
    Sign(Box<super::labels::AreaSignArgs>),
    /// Say in which order you walk past areas
    #[command(
        after_help = "Labels and the picking round follow it. Areas that are not named come behind, by number; `none`
puts all of them back to the order of their numbers.

Example:
  stowmark area order 12 4
  stowmark area order none"
    )]
    Order {
        /// Their numbers, the first one first
        #[arg(required = true, value_name = "NUMBER")]
        numbers: Vec<String>,
    },
    /// List all areas, in walking order
    #[command(after_help = "Example:\n  stowmark area list\n  stowmark area list --sort name")]
    List(Arrange),
}

pub(super) fn run(command: &AreaCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        AreaCommand::Add { number, name } => add(number, name, session),
        AreaCommand::Rename { number, name } => rename(number, name, session),
        AreaCommand::Sign(args) => super::labels::area_sign(args, session),
        AreaCommand::Order { numbers } => order(numbers, session),
        AreaCommand::List(arrange) => list(arrange, session),
    }
}

fn add(number: &str, name: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let number: AreaNumber = number.parse()?;
    let name = Title::new(name)?;
    let area = session.new_register()?.add_area(number, name.as_str())?;
    session.answer(&AreaJson::from(&area), || {
        format!("area {} is {}; `stowmark bin add {}` adds bins", area.number, area.name, area.number)
    })?;
    Ok(Outcome::Done)
}

fn rename(number: &str, name: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let number: AreaNumber = number.parse()?;
    let register = session.register_for_change()?;
    let before = register.rename_area(number, name)?;
    let area = register.areas()?.into_iter().find(|area| area.number == number);
    let area = area.ok_or(RegisterError::UnknownArea(number))?;
    session.answer(&AreaJson::from(&area), || match before {
        Some(before) => format!(
            "area {number} is {} now, no longer {before}; no code and no tag changes, but signs and strips that were printed \
             before show the old name: `stowmark stale` lists them",
            area.name
        ),
        None => format!("area {number} is named {} already", area.name),
    })?;
    Ok(Outcome::Done)
}

const HEADINGS: [&str; 2] = ["area#", "name"];

fn list(arrange: &Arrange, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let areas = arrange.apply(&HEADINGS, session.register()?.areas()?, row)?;
    answer(&areas, session)
}

/// Takes the order back.
const NONE: &str = "none";

fn order(numbers: &[String], session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let numbers = match numbers {
        [none] if none.eq_ignore_ascii_case(NONE) => Vec::new(),
        numbers => numbers.iter().map(|number| number.parse()).collect::<Result<Vec<AreaNumber>, _>>()?,
    };
    let areas = session.register_for_change()?.order_areas(&numbers)?;
    answer(&areas, session)
}

fn answer(areas: &[Area], session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let json = json!({ "areas": areas.iter().map(AreaJson::from).collect::<Vec<_>>() });
    session
        .answer(&json, || if areas.is_empty() { "no areas".into() } else { table(&HEADINGS, areas.iter().map(row)) })?;
    Ok(Outcome::Done)
}

fn row(area: &Area) -> Vec<String> {
    vec![area.number.to_string(), area.name.clone()]
}
