//! `stowmark bin`

use clap::Subcommand;
use serde_json::json;

use super::{
    arrange::Arrange,
    bin_kind::{self, BinKindCommand},
    bin_ways::{self, ChangeAreaArgs, MoveArgs, RetireArgs},
    fullness,
    outcome::{CliError, Outcome},
    room::{self, RoomQuery},
    room_args::BinRoomArgs,
    session::Session,
    table::{bin_state, count, items_json, old_codes_text, place_text, sized_item_table, table},
    values::change,
};
use crate::{
    code::{AreaNumber, BinCode},
    exchange::{
        json::{BinContentsJson, BinJson},
        room_json::{FillJson, FilledBinJson},
    },
    job::{BinsEdited, Fill, bin_by_text, edit_bins, fills, place_in_stack, room_doubt, room_text},
    register::{Bin, BinEdit, ItemFilter, NewBins, Title},
};

#[derive(Debug, Subcommand)]
pub(super) enum BinCommand {
    /// Add bins; each gets the next letters of its area
    #[command(after_help = "\
Litres are those that can be used: about 80 % of what the maker says is common practice, so give 36
for a tub of 45. Nothing is taken off them behind your back. The weight limit is for what is in the
bin; the maker's rating comes first. What is not given is as its kind says.

Example:
  stowmark bin add 4 --count 5 --spot \"rack 1, level 2\"
  stowmark bin add 4 --count 2 --litres 36 --max-kg 9 --inside 58x38x28
  stowmark bin add 4 --kind tub-m")]
    Add {
        /// The number of the area that they stand in
        area: String,
        /// How many
        #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=374))]
        count: u16,
        /// Where in the area they stand
        #[arg(long, value_name = "TEXT")]
        spot: Option<String>,
        #[command(flatten)]
        room: BinRoomArgs,
    },
    /// Say where bins stand, in which place of a stack, and how much they hold
    #[command(
        after_help = "A stack is counted from the top: 1 is the one that is taken off first. A bin that comes to another
spot loses its place in the stack, unless --stack gives a new one.

Litres are those that can be used, about 80 % of what the maker says (common practice); nothing is
taken off them behind your back. The weight limit is for what is in the bin; the maker's rating
comes first. `none` takes a figure away, so that the one of the bin's kind counts.

Example:
  stowmark bin edit 4C --stack 2
  stowmark bin edit 4A 4B --spot \"rack 2\"
  stowmark bin edit 4C --stack none
  stowmark bin edit 4A 4B --kind tub-m --max-kg 8"
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
        #[command(flatten)]
        room: BinRoomArgs,
    },
    /// Bins that stand at another spot of their area from now on
    Move(MoveArgs),
    /// Take empty bins out of use
    Retire(RetireArgs),
    /// Give a bin a code of another area that it goes to
    ChangeArea(ChangeAreaArgs),
    /// Kinds of bins: equal tubs, boxes or drawers
    #[command(
        subcommand,
        after_help = "Example:\n  stowmark bin kind add tub-m --litres 36 --max-kg 9\n  stowmark bin kind list"
    )]
    Kind(BinKindCommand),
    /// Propose where a new item or a whole import goes
    #[command(after_help = room::HELP)]
    Room(Box<RoomQuery>),
    /// List bins, and how full they are
    #[command(after_help = "\
Where a bin has a volume or a weight limit, a bar and figures show how full it is. What is not known
of items is assumed, and how much that is stands below: the median of their named size, or of all.

Example:
  stowmark bin list --area 4
  stowmark bin list --retired
  stowmark bin list --has \"rack 1\" --sort items --reverse
  stowmark bin list --sort full")]
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
        BinCommand::Add { area, count, spot, room } => {
            let area: AreaNumber = area.parse()?;
            let spot = spot.as_deref().map(Title::new).transpose()?;
            let new = NewBins { count: *count, spot, kind: room.kind()?, room: room.room()? };
            let bins = session.register_for_change()?.add_bins(area, &new)?;
            note_doubt(&bins, room, session)?;
            answer_bins(&bins, session)
        }
        BinCommand::Edit { codes, spot, stack, room } => {
            let edit = BinEdit {
                spot: change(spot.as_deref(), Title::new)?,
                stack: change(stack.as_deref(), place_in_stack)?,
                ..room.edit()?
            };
            edit_and_answer(codes, &edit, room, session)
        }
        BinCommand::Move(args) => bin_ways::move_to(args, session),
        BinCommand::Retire(args) => bin_ways::retire(args, session),
        BinCommand::ChangeArea(args) => bin_ways::change_area(args, session),
        BinCommand::Kind(command) => bin_kind::run(command, session),
        BinCommand::List { area, retired: true, arrange } => {
            let area = area.as_deref().map(str::parse).transpose()?;
            let bins = session.register()?.retired_bins(area)?;
            bin_ways::answer_retired(&arrange.apply(&bin_ways::RETIRED, bins, bin_ways::retired_row)?, session)
        }
        BinCommand::List { area, arrange, .. } => {
            let area = area.as_deref().map(str::parse).transpose()?;
            let bins = session.register()?.bins(area)?;
            let lines = filled(bins, session)?;
            answer_lines(&arrange.apply(&HEADINGS, lines, row)?, session)
        }
        BinCommand::Room(query) => room::run(query, session),
        BinCommand::Show { code } => show(code, session),
    }
}

fn edit_and_answer(
    codes: &[String],
    edit: &BinEdit,
    room: &BinRoomArgs,
    session: &mut Session<'_, '_>,
) -> Result<Outcome, CliError> {
    if *edit == BinEdit::default() {
        return Err(CliError::NoBinEdit);
    }
    let edited = edit_named(codes, edit, session)?;
    note_doubt(&edited.after, room, session)?;
    answer_bins(&edited.after, session)
}

/// Of figures that were given just now.
fn note_doubt(bins: &[Bin], given: &BinRoomArgs, session: &mut Session<'_, '_>) -> Result<(), CliError> {
    let doubt =
        bins.iter().filter(|_| given.says_how_big()).find_map(|bin| room_doubt(&bin.code.to_string(), &bin.room));
    doubt.map_or(Ok(()), |doubt| session.note(&format!("warning: {doubt}")))
}

/// Changes bins, and says which came out of their stack.
pub(super) fn edit_named(
    codes: &[String],
    edit: &BinEdit,
    session: &mut Session<'_, '_>,
) -> Result<BinsEdited, CliError> {
    let register = session.register_for_change()?;
    let bins = codes.iter().map(|code| bin_by_text(register, code)).collect::<Result<Vec<_>, _>>()?;
    let codes: Vec<BinCode> = bins.iter().map(|bin| bin.code).collect();
    let edited = edit_bins(register, &codes, edit)?;
    let lost: Vec<String> = edited.unstacked(edit).map(|bin| bin.code.to_string()).collect();
    if !lost.is_empty() {
        session.note(&format!("not in a stack any more: {}; --stack gives a place in the new one", lost.join(", ")))?;
    }
    Ok(edited)
}

/// A bin, and what is in it where that is wanted.
#[derive(Debug, Clone)]
struct Line {
    bin: Bin,
    fill: Option<Fill>,
}

/// Items are read only where a bin has a figure to hold them against.
fn filled(bins: Vec<Bin>, session: &mut Session<'_, '_>) -> Result<Vec<Line>, CliError> {
    let fills = fills(session.register()?, &bins)?;
    let fills = fills.map_or_else(|| vec![None; bins.len()], |fills| fills.into_iter().map(Some).collect());
    Ok(bins.into_iter().zip(fills).map(|(bin, fill)| Line { bin, fill }).collect())
}

pub(super) fn answer_bins(bins: &[Bin], session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let lines = filled(bins.to_vec(), session)?;
    answer_lines(&lines, session)
}

fn answer_lines(lines: &[Line], session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let bin = |line: &Line| FilledBinJson::new(&line.bin, fill_json(line));
    let json = json!({ "bins": lines.iter().map(bin).collect::<Vec<_>>() });
    session.answer(&json, || bin_table(lines))?;
    Ok(Outcome::Done)
}

fn fill_json(line: &Line) -> Option<FillJson> {
    line.fill.as_ref().and_then(|fill| fullness::json(&line.bin.room, fill))
}

fn bin_table(lines: &[Line]) -> String {
    if lines.is_empty() {
        return "no bins".into();
    }
    let columns = columns(lines);
    let headings: Vec<&str> = columns.iter().map(|at| HEADINGS[*at]).collect();
    let rows = lines.iter().map(|line| {
        let row = row(line);
        columns.iter().map(|at| row[*at].clone()).collect()
    });
    let known = lines.iter().filter_map(|line| Some((&line.bin.room, line.fill.as_ref()?)));
    let assumed = fullness::assumed_of(known).map(|said| format!("\n{said}")).unwrap_or_default();
    table(&headings, rows) + &assumed
}

/// The columns of stacks, volumes and weights are for those who have any.
fn columns(lines: &[Line]) -> Vec<usize> {
    let has = |has: fn(&Bin) -> bool| lines.iter().any(|line| has(&line.bin));
    let (volume, weight) = (has(|bin| bin.room.volume.is_some()), has(|bin| bin.room.max_weight.is_some()));
    let shown = [true, true, true, has(|bin| bin.stack.is_some()), volume, volume, weight];
    (0..HEADINGS.len()).filter(|at| shown[*at]).collect()
}

const HEADINGS: [&str; 7] =
    ["bin", "items#", "where", "stack#", fullness::HEADINGS[0], fullness::HEADINGS[1], fullness::HEADINGS[2]];

fn row(line: &Line) -> Vec<String> {
    let bin = &line.bin;
    let stack = bin.stack.map(|place| place.to_string()).unwrap_or_default();
    let [full, litres, kg] = fullness::cells(&bin.room, line.fill.as_ref());
    vec![bin.code.to_string(), bin.items.to_string(), place_text(&bin.place), stack, full, litres, kg]
}

fn show(code: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let settings = session.settings()?;
    let register = session.register()?;
    let bin = bin_by_text(register, code)?;
    let items = register.items(&ItemFilter::within(bin.code))?;
    let fill = fills(register, std::slice::from_ref(&bin))?.and_then(|fills| fills.first().copied());
    let old_codes: Vec<String> = register.former_codes(&bin)?.iter().map(ToString::to_string).collect();
    let line = Line { bin, fill };
    let filled = FilledBinJson { bin: BinJson::with_codes(&line.bin, &old_codes), fill: fill_json(&line) };
    let json = BinContentsJson { bin: filled, contents: items_json(&items, &settings.currency) };
    session.answer(&json, || {
        let head = head(&line, &old_codes_text(&old_codes));
        if items.is_empty() { head } else { format!("{head}\n\n{}", sized_item_table(&items, &settings.currency)) }
    })?;
    Ok(Outcome::Done)
}

/// Where a bin stands, what it holds, and how full it is; `old` are the codes that it had.
fn head(Line { bin, fill }: &Line, old: &str) -> String {
    let is = if bin.is_live { count(u64::from(bin.items), "item") } else { bin_state(bin) };
    let first = format!("bin {}: {}, {is}{old}", bin.code, place_text(&bin.place));
    let room = room_text(bin.kind.as_deref(), bin.room);
    let full = fill.as_ref().map(|fill| fullness::line(&bin.room, fill)).unwrap_or_default();
    let assumed = fullness::assumed_of(fill.iter().map(|fill| (&bin.room, fill))).unwrap_or_default();
    let lines = [first, room, full, assumed];
    lines.into_iter().filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n")
}
