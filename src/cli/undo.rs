//! `stowmark undo`

use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
};
use crate::register::{ChangeId, ChangeSummary};

#[derive(Debug, clap::Args)]
#[command(after_help = "A change is what one command did, as a whole, also an import or a sale; in a scanning session
what one line did. It stays where later changes stand on it, which are named. Codes are never
given twice, so an item that is entered again gets another one. What was taken back can be
brought back by its number. A print is not taken back here: `stowmark run cancel` is for one of
which nothing came out.

Example:
  stowmark undo
  stowmark undo --last 3
  stowmark undo --change 57")]
pub(super) struct UndoArgs {
    /// The last so many changes
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..), conflicts_with = "change")]
    last: u16,
    /// The change of this number, as `history` shows it
    #[arg(long, value_name = "NUMBER")]
    change: Option<u32>,
}

pub(super) fn run(args: &UndoArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register_for_change()?;
    let undone = match args.change {
        Some(number) => register.undo(&[ChangeId::new(number)])?,
        None => register.undo_last(args.last.into())?,
    };
    let json: Vec<_> = undone.iter().map(change_json).collect();
    session.answer(&json!({ "undone": json }), || {
        let line = |change: &ChangeSummary| format!("taken back: change {}, {}", change.id, change.what);
        undone.iter().map(line).collect::<Vec<_>>().join("\n")
    })?;
    Ok(Outcome::Done)
}

pub(super) fn change_json(change: &ChangeSummary) -> serde_json::Value {
    json!({ "change": change.id, "at": change.at, "what": change.what })
}
