//! `stowmark setting`

use clap::Subcommand;
use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
};
use crate::job::{SETTINGS, set};

#[derive(Debug, Subcommand)]
pub(super) enum SettingCommand {
    /// List the settings and their values
    #[command(after_help = "Example:\n  stowmark setting list")]
    List,
    /// Change a setting
    #[command(after_help = "Example:\n  stowmark setting set paper letter\n  stowmark setting set currency EUR")]
    Set {
        /// paper, dpi or currency
        name: String,
        /// Its new value
        value: String,
    },
}

pub(super) fn run(command: &SettingCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        SettingCommand::List => list(session),
        SettingCommand::Set { name, value } => {
            let value = set(session.new_register()?, name, value)?;
            session.answer(&json!({ "setting": name, "value": value }), || format!("{name} is {value}"))?;
            Ok(Outcome::Done)
        }
    }
}

fn list(session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let values = session.settings()?.values();
    let json: serde_json::Map<_, _> =
        SETTINGS.iter().zip(&values).map(|((name, _), value)| ((*name).to_owned(), json!(value))).collect();
    session.answer(&json!({ "settings": json }), || {
        let row = |((name, meaning), value): (&(&str, &str), &String)| {
            vec![(*name).to_owned(), value.clone(), (*meaning).to_owned()]
        };
        table(&["setting", "value", "meaning"], SETTINGS.iter().zip(&values).map(row))
    })?;
    Ok(Outcome::Done)
}
