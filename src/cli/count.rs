//! `stowmark count`

mod overview;

use std::path::PathBuf;

use clap::Subcommand;
use serde_json::json;

use super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    print_args::paper,
    reader::{Reader, Sound},
    session::Session,
    table::{count, item_line, items_json, place_text, shown},
};
use overview::{accuracy, accuracy_json, due};

use crate::{
    exchange::count_json::{CountJson, FixedJson, WithoutEffectJson},
    exchange::json::MoveJson,
    job::{Count, Counted, Reckoned, TickListOptions, bin_by_text, fixed_lines, missing_line, tick_list},
    register::{Bin, Fixed, Item},
    unit::Currency,
};

#[derive(Debug, clap::Args)]
#[command(
    subcommand_negates_reqs = true,
    after_help = "Scan all that is in the bin; the end of input or the word `done` ends the count, Ctrl-C drops
it. What was sold and not picked yet belongs in its bin. Or print a page with --list, tick it,
and say what is missing with --missing, or --all-present. Each count is recorded, whatever it
found.

With --fix missing items are gone from now on, and what belongs elsewhere is here; `undo` takes that
back together with the count. Sold items that are missing are left for you to decide about.

Accuracy is the share of records that were right among those counted: what is missing and what was
found though it belongs elsewhere are wrong ones each, and are never set off against each other.

Example:
  stowmark count 4A
  stowmark count 4A --fix
  stowmark count 4A --list
  stowmark count 4A --missing 4A-003A --found 4B-001J
  stowmark count due"
)]
pub(super) struct CountArgs {
    #[command(subcommand)]
    command: Option<CountCommand>,
    /// The bin
    #[arg(required = true, value_name = "BIN")]
    bin: Option<String>,
    /// Items that are not there; all others are
    #[arg(long, value_name = "CODE", num_args = 1.., conflicts_with_all = ["all_present", "list"])]
    missing: Vec<String>,
    /// All is there that should be
    #[arg(long, conflicts_with = "list")]
    all_present: bool,
    /// Items that are there and belong elsewhere, with --missing or --all-present
    #[arg(long, value_name = "CODE", num_args = 1.., conflicts_with = "list")]
    found: Vec<String>,
    /// Mark missing items as gone and put those that belong elsewhere here
    #[arg(long, conflicts_with = "list")]
    fix: bool,
    #[command(flatten)]
    page: PageArgs,
}

#[derive(Debug, clap::Args)]
struct PageArgs {
    /// Write a page to tick instead of counting
    #[arg(long)]
    list: bool,
    /// The paper of that page, a4 or letter
    #[arg(long, requires = "list")]
    paper: Option<String>,
    /// The file of that page; else one named by the bin, in the current folder
    #[arg(long, value_name = "FILE.pdf", requires = "list")]
    out: Option<PathBuf>,
    /// Replace a file that is there
    #[arg(long, requires = "list")]
    force: bool,
}

#[derive(Debug, Subcommand)]
enum CountCommand {
    /// Bins by how long ago their last count was
    #[command(after_help = "Bins that were never counted come first, those with most in them ahead.

Example:
  stowmark count due
  stowmark count due --limit 5")]
    Due {
        /// At most this many
        #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
        limit: Option<u32>,
        #[command(flatten)]
        arrange: Arrange,
    },
    /// How true the register was, by bin and by month
    #[command(after_help = "The share of records that were right among those counted, over all counts that were not
taken back.

Example:
  stowmark count accuracy")]
    Accuracy,
}

pub(super) fn run(args: &CountArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match (&args.command, &args.bin) {
        (Some(_), Some(bin)) => Err(CliError::CountBoth(bin.clone())),
        (Some(CountCommand::Due { limit, arrange }), None) => due(*limit, arrange, session),
        (Some(CountCommand::Accuracy) | None, None) => accuracy(session),
        (None, Some(bin)) => {
            let register = session.register_for_change()?;
            let bin = bin_by_text(register, bin)?;
            if args.page.list { list(&args.page, &bin, session) } else { count_bin(args, bin, session) }
        }
    }
}

fn list(args: &PageArgs, bin: &Bin, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let paper = args.paper.as_deref().map(paper).transpose()?;
    let options = TickListOptions { paper, out: args.out.clone(), force: args.force };
    let list = tick_list(session.register()?, bin, &options)?;
    for warning in &list.warnings {
        session.note(&format!("warning: {warning}"))?;
    }
    let json = json!({ "file": list.file, "bin": bin.code.to_string(), "pages": list.pages, "items": list.items });
    session.answer(&json, || {
        let (items, pages) = (count(list.items as u64, "item"), count(list.pages as u64, "page"));
        let code = bin.code;
        format!(
            "{}: {items} of {code} to tick on {pages}\n\
             then `stowmark count {code} --missing CODE…`, or `stowmark count {code} --all-present`",
            list.file.display()
        )
    })?;
    Ok(Outcome::Done)
}

fn count_bin(args: &CountArgs, bin: Bin, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let register = session.register()?;
    let is_ticked = args.all_present || !args.missing.is_empty();
    if !args.found.is_empty() && !is_ticked {
        return Err(CliError::FoundAlone);
    }
    let counted = if is_ticked {
        Count::ticked(register, bin, &args.missing, &args.found)?
    } else {
        read(Count::begin(register, bin)?, session)?
    };
    let counted = counted.finish(session.register_for_change()?, args.fix)?;
    session.answer(&counted_json(&counted, &currency), || counted_text(&counted))?;
    Ok(Outcome::Done)
}

/// Takes readings until the input or the count ends. With `--json` only the whole is answered.
fn read(mut going: Count, session: &mut Session<'_, '_>) -> Result<Count, CliError> {
    let hint = format!(
        "Scan all that is in {}, {}: {} by the register. `done` ends the count, Ctrl-C drops it.",
        going.bin.code,
        place_text(&going.bin.place),
        count(going.expected() as u64, "item")
    );
    let mut reader = Reader::begin(session, &hint)?;
    while let Some(reading) = reader.next(session)? {
        let reckoned = going.take(session.register()?, &reading.text, reading.is_cut)?;
        if reckoned == Reckoned::End {
            break;
        }
        if reader.is_terminal() {
            let is_good = matches!(reckoned, Reckoned::Present(_) | Reckoned::Ignored(_));
            let sound = if is_good { Sound::Silent } else { Sound::Refused };
            reader.answer(session, sound, &(), || reckoned_text(&reckoned, &going))?;
        }
    }
    if reader.is_broken_off() {
        return Err(CliError::CountBrokenOff);
    }
    reader.end(session)?;
    Ok(going)
}

fn reckoned_text(reckoned: &Reckoned, going: &Count) -> String {
    match reckoned {
        Reckoned::Present(item) => {
            format!("  {} of {}: {}  {}\n", going.present(), going.expected(), item.name(), item.title)
        }
        Reckoned::Misplaced(item) => format!("  belongs elsewhere: {}\n", item_line(item)),
        Reckoned::Unknown(why) => format!("  unknown: {why}\n"),
        Reckoned::Ignored(why) => format!("  no effect: {why}\n"),
        Reckoned::End => String::new(),
    }
}

fn counted_json(counted: &Counted, currency: &Currency) -> CountJson {
    let without_effect = |(read, why): &(String, _)| WithoutEffectJson { read: read.clone(), reason: format!("{why}") };
    CountJson {
        bin: counted.bin.code.to_string(),
        present: items_json(&counted.present, currency),
        missing: items_json(&counted.missing, currency),
        misplaced: items_json(&counted.misplaced, currency),
        unknown: counted.unknown.clone(),
        without_effect: counted.ignored.iter().map(without_effect).collect(),
        accuracy: accuracy_json(counted.accuracy),
        fixed: counted.fixed.as_ref().map(fixed_json),
    }
}

fn fixed_json(fixed: &Fixed) -> FixedJson {
    let names = |items: &[Item]| items.iter().map(Item::name).collect();
    let moved = fixed.moved.iter().map(MoveJson::from).collect();
    FixedJson { moved, gone: names(&fixed.gone), left: names(&fixed.left) }
}

fn counted_text(counted: &Counted) -> String {
    let (bin, number) = (&counted.bin, |items: &[Item]| items.len());
    let mut lines = vec![format!(
        "{}, {}: {} present, {} missing, {} found here but belonging elsewhere, {} unknown",
        bin.code,
        place_text(&bin.place),
        number(&counted.present),
        number(&counted.missing),
        number(&counted.misplaced),
        counted.unknown.len()
    )];
    lines.extend(part("missing:", counted.missing.iter().map(missing_line)));
    lines.extend(part("found here but belonging elsewhere:", counted.misplaced.iter().map(item_line)));
    lines.extend(part("unknown:", counted.unknown.iter().map(|read| format!("`{}`", shown(read)))));
    let ignored = counted.ignored.iter().map(|(read, why)| format!("`{}`: {why}", shown(read)));
    lines.extend(part("without effect:", ignored));
    lines.extend(counted.accuracy.percent().map(|percent| {
        format!("accuracy: {percent} ({} of {} records right)", counted.accuracy.correct, counted.accuracy.counted)
    }));
    lines.extend(fixed_text(counted));
    lines.join("\n")
}

fn part(heading: &str, lines: impl Iterator<Item = String>) -> Vec<String> {
    let lines: Vec<String> = lines.map(|line| format!("  {line}")).collect();
    if lines.is_empty() { lines } else { [vec![heading.to_owned()], lines].concat() }
}

fn fixed_text(counted: &Counted) -> Vec<String> {
    let is_true = counted.missing.is_empty() && counted.misplaced.is_empty();
    let Some(fixed) = &counted.fixed else {
        let hint = "nothing was changed; with --fix missing items are gone, and what belongs elsewhere is here";
        return if is_true { Vec::new() } else { vec![hint.to_owned()] };
    };
    part("put right:", fixed_lines(fixed).into_iter())
}
