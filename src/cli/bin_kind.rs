//! `stowmark bin kind`

use clap::Subcommand;
use serde_json::json;

use super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    room_args::RoomArgs,
    session::Session,
    table::table,
};
use crate::{
    exchange::room_json::BinKindJson,
    job::room_doubt,
    register::{BinKind, RoomEdit, Title},
};

#[derive(Debug, Subcommand)]
pub(super) enum BinKindCommand {
    /// Add a kind of bin: equal tubs, boxes or drawers
    #[command(after_help = "\
Litres are those that can be used: about 80 % of what the maker says is common practice, so give 36
for a tub of 45. Nothing is taken off them behind your back. The weight limit is for what is in the
bin; the maker's rating comes first.

Example:
  stowmark bin kind add tub-m --litres 36 --max-kg 9 --inside 58x38x28")]
    Add {
        /// Its name
        name: String,
        #[command(flatten)]
        room: RoomArgs,
    },
    /// Change how much bins of a kind hold that have no figures of their own
    #[command(after_help = "`none` takes a figure away.

Example:
  stowmark bin kind edit tub-m --max-kg 8
  stowmark bin kind edit tub-m --inside none")]
    Edit {
        /// Its name
        name: String,
        #[command(flatten)]
        room: RoomArgs,
    },
    /// List the kinds of bins
    #[command(after_help = "Example:\n  stowmark bin kind list")]
    List(Arrange),
    /// Remove a kind that no bin is of
    #[command(after_help = "Example:\n  stowmark bin kind remove tub-m")]
    Remove {
        /// Its name
        name: String,
    },
}

pub(super) fn run(command: &BinKindCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        BinKindCommand::Add { name, room } => {
            let (name, room) = (Title::new(name)?, room.room()?);
            let kind = session.register_for_change()?.add_kind(&name, room)?;
            answer_with_doubt(kind, session)
        }
        BinKindCommand::Edit { name, room } => {
            let kind = edit(name, &room.edit()?, session)?;
            answer_with_doubt(kind, session)
        }
        BinKindCommand::List(arrange) => {
            let kinds = session.register()?.bin_kinds()?;
            answer(&arrange.apply(&HEADINGS, kinds, row)?, session)
        }
        BinKindCommand::Remove { name } => remove(name, session),
    }
}

fn edit(name: &str, edit: &RoomEdit, session: &mut Session<'_, '_>) -> Result<BinKind, CliError> {
    if *edit == RoomEdit::default() {
        return Err(CliError::NoKindEdit);
    }
    let register = session.register_for_change()?;
    register.edit_kind(name, edit)?;
    Ok(register.bin_kind(name)?)
}

fn remove(name: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register_for_change()?;
    let kind = register.bin_kind(name)?;
    register.remove_kind(&kind.name)?;
    session.answer(&json!({ "removed": kind.name }), || format!("the kind of bins {} is removed", kind.name))?;
    Ok(Outcome::Done)
}

/// A kind that was added or changed.
fn answer_with_doubt(kind: BinKind, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    if let Some(doubt) = room_doubt(&kind.name, &kind.room) {
        session.note(&format!("warning: {doubt}"))?;
    }
    answer(&[kind], session)
}

fn answer(kinds: &[BinKind], session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let json = json!({ "bin_kinds": kinds.iter().map(BinKindJson::from).collect::<Vec<_>>() });
    let none = || "no kinds of bins; `stowmark bin kind add NAME --litres 36` makes one".to_owned();
    session.answer(&json, || if kinds.is_empty() { none() } else { table(&HEADINGS, kinds.iter().map(row)) })?;
    Ok(Outcome::Done)
}

const HEADINGS: [&str; 5] = ["name", "litres#", "max kg#", "inside", "bins#"];

fn row(kind: &BinKind) -> Vec<String> {
    let room = kind.room;
    vec![
        kind.name.clone(),
        room.volume.map(|volume| volume.litres().to_string()).unwrap_or_default(),
        room.max_weight.map(|weight| weight.kilograms().to_string()).unwrap_or_default(),
        room.inside.map(|inside| inside.to_string()).unwrap_or_default(),
        kind.bins.to_string(),
    ]
}
