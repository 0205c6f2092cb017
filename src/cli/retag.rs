//! `stowmark retag`

use clap::ArgGroup;
use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::{count, short, table},
    width::{text_width, wrapped},
};
use crate::{
    exchange::stale_json::{MovedJson, RetaggedJson},
    job::{RetagChoice, RetagOutcome, cost_text, retag},
    register::Retagged,
};

#[derive(Debug, clap::Args)]
#[command(group = ArgGroup::new("which").required(true).multiple(true).args(["codes", "bin", "area", "all"]))]
#[command(after_help = "An item keeps its code when it moves, and its tag goes on resolving, so that nothing has to be
printed. Whoever wants tags to show where things are gives moved items new codes: then their tags
have to be printed and their listings corrected once. --dry-run tells how many these are. Old codes
stay names of the items for ever, and an item that comes back to a bin gets its old code there.

Sold items keep their codes unless they are named.

Example:
  stowmark retag --bin 4B 4C --dry-run
  stowmark retag 4A-001F 4A-003M
  stowmark retag --all
  stowmark tag --stale
  stowmark export code-changes")]
pub(super) struct RetagArgs {
    /// Codes of items
    #[arg(value_name = "CODE", conflicts_with_all = ["bin", "area", "all"])]
    codes: Vec<String>,
    /// What is in these bins
    #[arg(long, value_name = "CODE", num_args = 1.., conflicts_with_all = ["area", "all"])]
    bin: Vec<String>,
    /// What is in the bins of this area
    #[arg(long, value_name = "NUMBER", conflicts_with = "all")]
    area: Option<String>,
    /// All that is in another bin than its code says
    #[arg(long)]
    all: bool,
    /// Only tell what would be done
    #[arg(long)]
    dry_run: bool,
}

impl RetagArgs {
    fn choice(&self) -> RetagChoice {
        match (self.bin.as_slice(), &self.area) {
            ([_, ..], _) => RetagChoice::Bins(self.bin.clone()),
            (_, Some(area)) => RetagChoice::Area(area.clone()),
            _ if self.all => RetagChoice::All,
            _ => RetagChoice::Of(self.codes.clone()),
        }
    }
}

pub(super) fn run(args: &RetagArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let outcome = retag(session.register_for_change()?, &args.choice(), args.dry_run)?;
    let cost = outcome.cost;
    let json = json!({
        "retagged": outcome.retagged.iter().map(RetaggedJson::from).collect::<Vec<_>>(),
        "renew": MovedJson { items: cost.items, tags: cost.tags, listings: cost.listings, command: None },
        "dry_run": args.dry_run,
    });
    session.answer(&json, || text(&outcome, args.dry_run))?;
    Ok(if outcome.retagged.is_empty() { Outcome::NothingFound } else { Outcome::Done })
}

fn text(outcome: &RetagOutcome, is_dry: bool) -> String {
    let sold = match outcome.sold {
        0 => String::new(),
        items => format!("\n{} that moved {} sold and left as before", count(items as u64, "item"), is_are(items)),
    };
    if outcome.retagged.is_empty() {
        return format!("the codes show the bins already: nothing to do{sold}");
    }
    let row = |retagged: &Retagged| {
        let bin = retagged.item.bin().map(|bin| bin.to_string()).unwrap_or_default();
        vec![retagged.was.to_string(), retagged.item.name(), short(&retagged.item.title), bin]
    };
    let headings = if is_dry { ["code", "would be", "title", "bin"] } else { ["was", "code", "title", "bin"] };
    let table = table(&headings, outcome.retagged.iter().map(row));
    let summary = if is_dry { would_be(outcome) } else { next(outcome) };
    format!("{table}\n\n{summary}{sold}")
}

fn is_are(items: usize) -> &'static str {
    if items == 1 { "is" } else { "are" }
}

fn would_be(outcome: &RetagOutcome) -> String {
    let items = count(outcome.retagged.len() as u64, "item");
    let cost = cost_text(&outcome.cost);
    let text = format!("{items} would get a new code, and {cost} would have to be renewed; nothing was changed");
    wrapped(&text, text_width())
}

/// What is to be renewed now, with the commands for it.
fn next(outcome: &RetagOutcome) -> String {
    let (items, cost) = (outcome.retagged.len(), outcome.cost);
    let mut lines = vec![format!("{} with a new code; old codes go on resolving", count(items as u64, "item"))];
    let untagged = items.saturating_sub(cost.tags);
    let parts = [
        (cost.tags, "tag", "to be printed again: stowmark tag --stale"),
        (untagged, "item", "without a tag so far: stowmark tag"),
        (cost.listings, "listing", "to be corrected: stowmark export code-changes, then stowmark listed --recoded"),
    ];
    let told = parts.iter().filter(|(number, ..)| *number > 0);
    lines.extend(told.map(|(number, noun, what)| {
        let line = wrapped(&format!("{} {what}", count(*number as u64, noun)), text_width() - 4);
        format!("  {}", line.replace('\n', "\n    "))
    }));
    lines.join("\n")
}
