//! `stowmark font`

use std::path::{Path, PathBuf};

use clap::Subcommand;
use serde_json::{Value, json};

use super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    session::Session,
    table::{count, table},
};
use crate::job::{FontState, add_font, font_states, remove_font};

#[derive(Debug, Subcommand)]
pub(super) enum FontCommand {
    /// List the fonts that are remembered, in the order in which they are asked
    #[command(after_help = "Example:\n  stowmark font list")]
    List(Arrange),
    /// Remember a font, or take one as it is now
    #[command(
        after_help = "A .ttf, .otf or .ttc file, of which the first font is taken. It stays where it is: only its
place and what it holds are remembered.

Example:\n  stowmark font add fonts/characters.otf"
    )]
    Add {
        /// The font
        file: PathBuf,
    },
    /// Forget a font; its file stays
    #[command(after_help = "Example:\n  stowmark font remove fonts/characters.otf")]
    Remove {
        /// The file, or the name that the list shows
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
}

pub(super) fn run(command: &FontCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        FontCommand::List(arrange) => list(arrange, session),
        FontCommand::Add { file } => add(file, session),
        FontCommand::Remove { file } => remove(file, session),
    }
}

const HEADINGS: [&str; 3] = ["font", "state", "file"];

fn row(font: &FontState) -> Vec<String> {
    vec![font.font.family.clone(), font.word().into(), font.font.path.clone()]
}

fn list(arrange: &Arrange, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let fonts = arrange.apply(&HEADINGS, font_states(session.register()?)?, row)?;
    let json = json!({ "fonts": fonts.iter().map(state_json).collect::<Vec<_>>() });
    session.answer(&json, || {
        let none = "no fonts; the bundled faces have Latin, Greek and Cyrillic, `stowmark font add FILE` adds others";
        if fonts.is_empty() { none.into() } else { table(&HEADINGS, fonts.iter().map(row)) }
    })?;
    Ok(Outcome::Done)
}

fn state_json(font: &FontState) -> Value {
    let fault = font.now.as_ref().err().map(ToString::to_string);
    json!({ "file": font.font.path, "font": font.font.family, "state": font.word(), "fault": fault })
}

fn add(file: &Path, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let font = add_font(session.new_register()?, file)?;
    let path = font.path.display().to_string();
    let json = json!({ "file": path, "font": font.family, "characters": font.characters });
    session.answer(&json, || {
        format!(
            "{} with {} stands in for what the bundled faces lack",
            font.family,
            count(font.characters as u64, "character")
        )
    })?;
    Ok(Outcome::Done)
}

fn remove(file: &Path, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let font = remove_font(session.register_for_change()?, file)?;
    let json = json!({ "file": font.path, "font": font.family });
    session.answer(&json, || format!("{} is forgotten; its file stays", font.family))?;
    Ok(Outcome::Done)
}
