//! `stowmark completions`, `stowmark man` and `stowmark json`

use clap::CommandFactory;
use clap_complete::Shell;
use serde_json::json;

use super::{
    Cli,
    outcome::{CliError, Outcome},
    session::Session,
};

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:
  stowmark completions bash > ~/.local/share/bash-completion/completions/stowmark
  stowmark completions powershell >> $PROFILE")]
pub(super) struct CompletionsArgs {
    /// The shell
    shell: Shell,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:
  stowmark man > stowmark.1
  stowmark man item import | man -l -")]
pub(super) struct ManArgs {
    /// The command, such as `item import`; none for the program as a whole
    #[arg(value_name = "COMMAND")]
    command: Vec<String>,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:
  stowmark json
  stowmark --json find jam pan")]
pub(super) struct JsonArgs {}

/// What is in the answers with `--json`.
const JSON: &str = include_str!("json.txt");

pub(super) fn json_page(_: &JsonArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    session.answer(&json!({ "page": JSON }), || JSON.trim_end().to_owned())?;
    Ok(Outcome::Done)
}

/// The definition of the whole command line.
#[must_use]
pub fn command() -> clap::Command {
    Cli::command()
}

pub(super) fn completions(args: &CompletionsArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut command(), "stowmark", &mut script);
    let script = String::from_utf8_lossy(&script).into_owned();
    session.answer(&json!({ "shell": args.shell.to_string(), "script": script }), || script.trim_end().to_owned())?;
    Ok(Outcome::Done)
}

pub(super) fn man(args: &ManArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let mut found = command();
    found.build();
    for name in &args.command {
        let next = found.find_subcommand(name).cloned();
        found = next.ok_or_else(|| CliError::NoCommand(args.command.join(" ")))?;
    }
    let mut page = Vec::new();
    clap_mangen::Man::new(found).render(&mut page)?;
    let page = String::from_utf8_lossy(&page).into_owned();
    session.answer(&json!({ "page": page }), || page.trim_end().to_owned())?;
    Ok(Outcome::Done)
}
