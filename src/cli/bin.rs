//! `stowmark bin`

use clap::Subcommand;
use serde_json::json;

use super::{
    arrange::Arrange,
    bin_ways::{self, ChangeAreaArgs, MoveArgs, RetireArgs},
    outcome::{CliError, Outcome},
    session::Session,
    table::{bin_state, count, item_table, items_json, old_codes_text, place_text, table},
    values::change,
};
use crate::{
    code::{AreaNumber, BinCode},
    exchange::json::{BinContentsJson, BinJson},
    job::bin_by_text,
    register::{Bin, BinEdit, Edit, ItemFilter, Title},
};

#[derive(Debug, Subcommand)]
pub(super) enum BinCommand {
    /// Add bins; each gets the next letters of its area
    #[command(after_help = "Example:\n  stowmark bin add 4 --count 5 --spot \"rack 1, level 2\"")]
    Add {
        /// The number of the area that they stand in
        area: String,
        /// How many
        #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=374))]
        count: u16,
        /// Where in the area they stand
        #[arg(long, value_name = "TEXT")]
        spot: Option<String>,
    },
    /// Say where bins stand: their spot, and their place in the stack there
    #[command(
        after_help = "A stack is counted from the top: 1 is the one that is taken off first. A bin that comes to another
spot loses its place in the stack, unless --stack gives a new one.

Example:
  stowmark bin edit 4C --stack 2
  stowmark bin edit 4A 4B --spot \"rack 2\"
  stowmark bin edit 4C --stack none"
    )]
    Edit {
        /// Codes of bins
        #[arg(required = true, value_name = "CODE")]
        codes: Vec<String>,
        /// Where in their area they stand, or none
        #[arg(long, value_name = "TEXT")]
        spot: Option<String>,
        /// Their place in the stack from the top, 1 to 99, or none
        #[arg(long, value_name = "N")]
        stack: Option<String>,
    },
    /// Bins that stand at another spot of their area from now on
    Move(MoveArgs),
    /// Take empty bins out of use
    Retire(RetireArgs),
    /// Give a bin a code of another area that it goes to
    ChangeArea(ChangeAreaArgs),
    /// List bins
    #[command(after_help = "Example:
  stowmark bin list --area 4
  stowmark bin list --retired
  stowmark bin list --has \"rack 1\" --sort items --reverse")]
    List {
        /// Only those of this area
        #[arg(long, value_name = "NUMBER")]
        area: Option<String>,
        /// Those that are not used any more
        #[arg(long)]
        retired: bool,
        #[command(flatten)]
        arrange: Arrange,
    },
    /// Show a bin and what is in it
    #[command(after_help = "Example:\n  stowmark bin show 4A")]
    Show {
        /// Its code
        code: String,
    },
}

pub(super) fn run(command: &BinCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        BinCommand::Add { area, count, spot } => {
            let area: AreaNumber = area.parse()?;
            let bins = session.register_for_change()?.add_bins(area, *count, spot.as_deref())?;
            answer_bins(&bins, session)
        }
        BinCommand::Edit { codes, spot, stack } => edit(codes, spot.as_deref(), stack.as_deref(), session),
        BinCommand::Move(args) => bin_ways::move_to(args, session),
        BinCommand::Retire(args) => bin_ways::retire(args, session),
        BinCommand::ChangeArea(args) => bin_ways::change_area(args, session),
        BinCommand::List { area, retired: true, arrange } => {
            let area = area.as_deref().map(str::parse).transpose()?;
            let bins = session.register()?.retired_bins(area)?;
            bin_ways::answer_retired(&arrange.apply(&bin_ways::RETIRED, bins, bin_ways::retired_row)?, session)
        }
        BinCommand::List { area, arrange, .. } => {
            let area = area.as_deref().map(str::parse).transpose()?;
            let bins = session.register()?.bins(area)?;
            answer_bins(&arrange.apply(&HEADINGS, bins, row)?, session)
        }
        BinCommand::Show { code } => show(code, session),
    }
}

fn edit(
    codes: &[String],
    spot: Option<&str>,
    stack: Option<&str>,
    session: &mut Session<'_, '_>,
) -> Result<Outcome, CliError> {
    let edit = BinEdit { spot: change(spot, Title::new)?, stack: change(stack, place_in_stack)?, ..BinEdit::default() };
    if edit == BinEdit::default() {
        return Err(CliError::NoBinEdit);
    }
    let (_, fresh) = edit_bins(codes, &edit, session)?;
    answer_bins(&fresh, session)
}

/// Changes bins, and gives them as they were and as they are now.
pub(super) fn edit_bins(
    codes: &[String],
    edit: &BinEdit,
    session: &mut Session<'_, '_>,
) -> Result<(Vec<Bin>, Vec<Bin>), CliError> {
    let register = session.register_for_change()?;
    let bins = codes.iter().map(|code| bin_by_text(register, code)).collect::<Result<Vec<_>, _>>()?;
    let codes: Vec<BinCode> = bins.iter().map(|bin| bin.code).collect();
    register.edit_bins(&codes, edit)?;
    let fresh = codes.iter().map(|code| register.bin(*code)).collect::<Result<Vec<_>, _>>()?;
    let lost =
        |(before, after): &(&Bin, &Bin)| before.stack.is_some() && after.stack.is_none() && edit.stack == Edit::Keep;
    let lost: Vec<String> = bins.iter().zip(&fresh).filter(lost).map(|(bin, _)| bin.code.to_string()).collect();
    if !lost.is_empty() {
        session.note(&format!("not in a stack any more: {}; --stack gives a place in the new one", lost.join(", ")))?;
    }
    Ok((bins, fresh))
}

pub(super) fn place_in_stack(text: &str) -> Result<u32, CliError> {
    let place = text.parse().ok().filter(|place| (1..=99).contains(place));
    place.ok_or_else(|| CliError::Stack(text.to_owned()))
}

pub(super) fn answer_bins(bins: &[Bin], session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let json = json!({ "bins": bins.iter().map(BinJson::from).collect::<Vec<_>>() });
    session.answer(&json, || bin_table(bins))?;
    Ok(Outcome::Done)
}

fn bin_table(bins: &[Bin]) -> String {
    if bins.is_empty() {
        return "no bins".into();
    }
    // The column of stacks is for those who have any.
    let columns = if bins.iter().all(|bin| bin.stack.is_none()) { HEADINGS.len() - 1 } else { HEADINGS.len() };
    table(&HEADINGS[..columns], bins.iter().map(|bin| row(bin).into_iter().take(columns).collect()))
}

const HEADINGS: [&str; 4] = ["bin", "items#", "where", "stack#"];

fn row(bin: &Bin) -> Vec<String> {
    let stack = bin.stack.map(|place| place.to_string()).unwrap_or_default();
    vec![bin.code.to_string(), bin.items.to_string(), place_text(&bin.place), stack]
}

fn show(code: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let settings = session.settings()?;
    let register = session.register()?;
    let bin = bin_by_text(register, code)?;
    let items = register.items(&ItemFilter::within(bin.code))?;
    let old_codes: Vec<String> = register.former_codes(&bin)?.iter().map(ToString::to_string).collect();
    let json = BinContentsJson {
        bin: BinJson::with_codes(&bin, &old_codes),
        contents: items_json(&items, &settings.currency),
    };
    session.answer(&json, || {
        let is = if bin.is_live { count(u64::from(bin.items), "item") } else { bin_state(&bin) };
        let head = format!("bin {}: {}, {is}{}", bin.code, place_text(&bin.place), old_codes_text(&old_codes));
        if items.is_empty() { head } else { format!("{head}\n\n{}", item_table(&items, &settings.currency)) }
    })?;
    Ok(Outcome::Done)
}
