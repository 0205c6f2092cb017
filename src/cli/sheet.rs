//! `stowmark sheet`

use clap::Subcommand;
use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
};
use crate::{
    sheet::{Sheet, sheets, sheets_with_label},
    unit::Size,
};

#[derive(Debug, Subcommand)]
pub(super) enum SheetCommand {
    /// List the known sheets and rolls
    #[command(
        after_help = "Sheets are named by paper and grid: a4-3x7 has three labels across and seven down. Compare the
measures with those on your packet.

Example:
  stowmark sheet list
  stowmark sheet list --label 63.5x38.1
  stowmark sheet list --label 2.625x1in"
    )]
    List {
        /// Only those with labels of this size, as the packet says it
        #[arg(long, value_name = "WxH")]
        label: Option<String>,
    },
}

pub(super) fn run(command: &SheetCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let SheetCommand::List { label } = command;
    let size = label.as_deref().map(Size::parse).transpose()?;
    let found = size.map_or_else(|| sheets().iter().collect(), sheets_with_label);
    session.answer(&json!({ "sheets": found }), || text(&found))?;
    Ok(if found.is_empty() { Outcome::NothingFound } else { Outcome::Done })
}

fn text(found: &[&Sheet]) -> String {
    let row = |sheet: &&Sheet| {
        let margins = format!("{} / {}", sheet.left.rounded().0, sheet.top.rounded().0);
        vec![sheet.name.clone(), sheet.slots().to_string(), sheet.label().to_string(), margins]
    };
    match found {
        [] => "no sheet has labels of that size; inches are written as 2.625x1in".into(),
        found => table(&["sheet", "labels#", "label", "left / top, mm"], found.iter().map(row)),
    }
}
