//! `stowmark size`

use clap::Subcommand;
use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
    values::given,
};
use crate::{
    exchange::room_json::SizeJson,
    job::{CountedSize, counted_sizes, remove_size, set_size},
    register::Title,
    unit::Volume,
};

#[derive(Debug, Subcommand)]
pub(super) enum SizeCommand {
    /// List the names for sizes and what they stand for
    #[command(after_help = "\
An item of such a size counts as what you have set, else as the median of those of that name whose
litres or measures are known, else as the usual figure.

Example:
  stowmark size list")]
    List,
    /// Set what a name for a size stands for; a new name is made
    #[command(after_help = "Example:
  stowmark size set medium 2.5
  stowmark size set teapot 1.8")]
    Set {
        /// The name
        name: String,
        /// What an item of that size takes up, in litres
        #[arg(allow_hyphen_values = true)]
        litres: String,
    },
    /// Forget what a name for a size was set to
    #[command(after_help = "A usual size is as it was then; another one is no more, unless items have it.

Example:
  stowmark size remove teapot")]
    Remove {
        /// The name
        name: String,
    },
}

pub(super) fn run(command: &SizeCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        SizeCommand::List => answer(&counted_sizes(session.register()?)?, session),
        SizeCommand::Set { name, litres } => {
            let name = Title::new(name)?;
            let Some(volume) = given("LITRES", Some(litres), Volume::parse)? else { return Ok(Outcome::Done) };
            let size = set_size(session.register_for_change()?, &name, volume)?;
            let mut counted = counted_sizes(session.register()?)?;
            counted.retain(|counted| counted.size.name == size.name);
            answer(&counted, session)
        }
        SizeCommand::Remove { name } => {
            let size = remove_size(session.register_for_change()?, name)?;
            session
                .answer(&json!({ "removed": size.name }), || format!("the size {} is not set any more", size.name))?;
            Ok(Outcome::Done)
        }
    }
}

fn answer(sizes: &[CountedSize], session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let json = json!({ "sizes": sizes.iter().map(|counted| SizeJson::new(&counted.size, counted.counts_as)).collect::<Vec<_>>() });
    session.answer(&json, || table(&["name", "litres#", "counts as#", ""], sizes.iter().map(row)))?;
    Ok(Outcome::Done)
}

fn row(CountedSize { size, counts_as, is_median }: &CountedSize) -> Vec<String> {
    let by = match (size.is_set, is_median) {
        (true, _) => "set",
        (_, true) => "median",
        _ => "usual",
    };
    vec![size.name.clone(), size.volume.litres().to_string(), counts_as.litres().to_string(), by.to_owned()]
}
