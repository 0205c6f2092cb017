//! `stowmark set`

use serde_json::{Map, Value};

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
};
use crate::job::{SETTINGS, Settings, check, set};

#[derive(Debug, clap::Args)]
#[command(after_help = "Without a name all settings are shown. `none` takes a default sheet or a currency back.

Example:
  stowmark set
  stowmark set currency EUR
  stowmark set paper letter
  stowmark set sheet a4-3x7
  stowmark set dpi 203")]
pub(super) struct SetArgs {
    /// paper, sheet, dpi, currency or backups
    #[arg(requires = "value")]
    name: Option<String>,
    /// Its new value
    value: Option<String>,
}

pub(super) fn run(args: &SetArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let settings = match (&args.name, &args.value) {
        (Some(name), Some(value)) => {
            // A refused first setting leaves no register.
            check(&session.sheets()?, name, value)?;
            set(session.new_register()?, name, value)?
        }
        _ => present(session)?,
    };
    session.answer(&json(&settings), || text(&settings))?;
    Ok(Outcome::Done)
}

/// Before there is a register, what holds without one.
fn present(session: &mut Session<'_, '_>) -> Result<Settings, CliError> {
    session.register_if_any()?.map_or_else(|| Ok(Settings::default()), |register| Ok(Settings::of(register)?))
}

fn json(settings: &Settings) -> Map<String, Value> {
    SETTINGS.iter().zip(settings.values()).map(|((name, _), value)| ((*name).to_owned(), Value::from(value))).collect()
}

fn text(settings: &Settings) -> String {
    let row = |((name, meaning), value): (&(&str, &str), Option<String>)| {
        vec![(*name).to_owned(), value.unwrap_or_else(|| "none".into()), (*meaning).to_owned()]
    };
    table(&["setting", "value", "meaning"], SETTINGS.iter().zip(settings.values()).map(row))
}
