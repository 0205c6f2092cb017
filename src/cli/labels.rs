//! `stowmark tag`, `sign`, `strip`, `contents` and `area sign`

use clap::ValueEnum;

use super::{
    lift::SignLiftArgs,
    outcome::{CliError, Outcome},
    print_args::{PrintArgs, SymbolArgs, options},
    printed::print_and_answer,
    session::Session,
    sold::today,
    stale::bare_text,
};
use crate::{
    code::AreaNumber,
    job::{Choice, Field, Look, LookWish, Wanted, area_signs, bare_spots, strips},
    register::RunKind,
    unit::{Mm, UnitError},
};

#[derive(Debug, clap::Args)]
#[command(after_help = "Without a choice the tags of all items that have none yet are printed. They go on
the free slots of the sheet in use, which the register remembers for each sheet name.

Tags that are wrong go on the sheet that they were printed on, for the same printer and in as many
copies; if they were on several sheets, all go on the one that most of them were on, and that is
said. So do signs, strips, lists and area signs with --stale.

Example:
  stowmark tag
  stowmark tag 4A-001F 4A-003M --copies 2
  stowmark tag --bin 4A --sheet a4-3x7 --symbol code128 --out tags.pdf
  stowmark tag --stale
  stowmark tag --sheet a4-3x7 --from 14 --skip 16,18-19
  stowmark tag --show asking,bought --symbol both --sheet a4-2x7
  stowmark tag --sheet roll-57x32 --dpi 203 --rotate 90 --png pictures")]
pub(super) struct TagArgs {
    /// Codes of items
    #[arg(value_name = "CODE", conflicts_with_all = ["bin", "all"])]
    codes: Vec<String>,
    /// All items in this bin
    #[arg(long, value_name = "CODE", conflicts_with_all = ["area", "all"])]
    bin: Option<String>,
    /// All items in the bins of this area
    #[arg(long, value_name = "NUMBER", conflicts_with_all = ["codes", "all"])]
    area: Option<String>,
    /// All items
    #[arg(long)]
    all: bool,
    /// Of them those whose tag is wrong now, each as it looked and on what it was printed; options go before that
    #[arg(long)]
    stale: bool,
    /// What stands below the title; what an item cost never does unless it is asked for
    #[arg(long, value_enum, value_delimiter = ',', value_name = "FIELDS")]
    show: Vec<FieldName>,
    /// A short note on each of these tags
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    #[command(flatten)]
    symbol: SymbolArgs,
    #[command(flatten)]
    print: PrintArgs,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum FieldName {
    Asking,
    Bought,
    Cost,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Without a choice the signs of all bins that have none yet are printed. They go on
the free slots of the sheet in use, which the register remembers for each sheet name. The code is as
high as ISO 9241-3 prefers for the distance, or as high as the label lets it be.

Stacks and lifting: a full tub is heavy. Keep to the tub maker's rating and your local rules; stack
no higher and lift no more than they allow, and ask a qualified person when in doubt. A note about
weight is printed with this caution or not at all. --guide-weight prints the guide weight of a lift,
as `stowmark lift` reckons it, or what the bin takes at most where that is less.

Example:
  stowmark sign
  stowmark sign 4A 4B --sheet a4-2x4 --read-from 5m
  stowmark sign --area 4 --paper letter --out signs.pdf
  stowmark sign --stale
  stowmark sign 4A --lid --inside \"copper, enamel\"
  stowmark sign 4A --guide-weight --height 20 --to 80 --reach 40
  stowmark sign --sheet cut-a4-90x55")]
pub(super) struct SignArgs {
    /// Codes of bins
    #[arg(value_name = "CODE", conflicts_with_all = ["area", "all"])]
    codes: Vec<String>,
    /// All bins of this area
    #[arg(long, value_name = "NUMBER", conflicts_with = "all")]
    area: Option<String>,
    /// All bins
    #[arg(long)]
    all: bool,
    /// Of them those whose sign is wrong now, each as it looked and on what it was printed; options go before that
    #[arg(long)]
    stale: bool,
    /// For the lid instead of the front
    #[arg(long)]
    lid: bool,
    /// From how far the code is to be read, as 3m or 10ft
    #[arg(long, value_name = "DISTANCE", value_parser = distance)]
    read_from: Option<Mm>,
    /// What kind of things are inside
    #[arg(long, value_name = "TEXT")]
    inside: Option<String>,
    /// A note, such as whose it is
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    #[command(flatten)]
    lift: SignLiftArgs,
    #[command(flatten)]
    symbol: SymbolArgs,
    #[command(flatten)]
    print: PrintArgs,
}

#[derive(Debug, clap::Args)]
#[command(
    after_help = "A strip for the edge of a shelf has the codes of all bins that stand at a spot. It has no symbol.

Example:
  stowmark strip
  stowmark strip 4
  stowmark strip --stale
  stowmark strip 4 --spot \"rack 1, level 2\" --sheet a4-2x8"
)]
pub(super) struct StripArgs {
    /// Only the spots of this area
    area: Option<String>,
    /// Only this spot of it
    #[arg(long, value_name = "TEXT", requires = "area")]
    spot: Option<String>,
    /// Of them those that are wrong now, on what they were printed; options go before that
    #[arg(long)]
    stale: bool,
    #[command(flatten)]
    print: PrintArgs,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "A list of what is in a bin, by code, with the count and the day, for the inside of its lid. It
takes as many pages, or labels with --sheet, as it needs.

Example:
  stowmark contents 4A
  stowmark contents --area 4 --paper letter
  stowmark contents --stale
  stowmark contents 4A --sheet a4-2x2")]
pub(super) struct ContentsArgs {
    /// Codes of bins
    #[arg(value_name = "CODE", conflicts_with_all = ["area", "all"], required_unless_present_any = ["area", "all", "stale"])]
    codes: Vec<String>,
    /// All bins of this area
    #[arg(long, value_name = "NUMBER", conflicts_with = "all")]
    area: Option<String>,
    /// All bins
    #[arg(long)]
    all: bool,
    /// Of them those whose list is wrong now, on what it was printed; options go before that
    #[arg(long)]
    stale: bool,
    #[command(flatten)]
    print: PrintArgs,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "A sign for a room or a part of it, with its number and name. It has no symbol.

Example:
  stowmark area sign
  stowmark area sign 4 12 --sheet a4-1x2")]
pub(super) struct AreaSignArgs {
    /// Numbers of areas; else all
    #[arg(value_name = "NUMBER")]
    numbers: Vec<String>,
    /// Of them those that are wrong now, on what they were printed; options go before that
    #[arg(long)]
    stale: bool,
    #[command(flatten)]
    print: PrintArgs,
}

/// `3m`, `10ft`, `250 cm`; a bare number is metres.
fn distance(text: &str) -> Result<Mm, UnitError> {
    Mm::parse_distance(text)
}

pub(super) fn tag(args: &TagArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let show = args.show.iter().map(|field| match field {
        FieldName::Asking => Field::Asking,
        FieldName::Bought => Field::Bought,
        FieldName::Cost => Field::Cost,
    });
    let wish = LookWish { show: show.collect(), note: args.note.clone(), ..args.symbol.wish() };
    let choice = match &args.area {
        Some(area) => Choice::InArea(area.clone()),
        None => Choice::new(&args.codes, args.bin.as_deref(), args.all),
    };
    let register = session.register_for_change()?;
    let jobs = if args.stale {
        Wanted::stale(register, RunKind::Tags, &choice, today())?.dressed(|look| wish.put_onto(look))
    } else {
        Wanted::of(register, RunKind::Tags, &choice, today())?
    };
    let nothing = if args.stale { none_stale(RunKind::Tags) } else { no_tags(&choice) };
    print(RunKind::Tags, &args.print, wish.look(), jobs, &nothing, session)
}

pub(super) fn sign(args: &SignArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let wish = LookWish {
        read_from: args.read_from,
        inside: args.inside.clone(),
        note: args.note.clone(),
        guide: args.lift.guide()?,
        ..args.symbol.wish()
    };
    let choice = Choice::new(&args.codes, args.area.as_deref(), args.all);
    let kind = if args.lid { RunKind::Lids } else { RunKind::Signs };
    let register = session.register_for_change()?;
    let jobs = if args.stale {
        Wanted::stale(register, kind, &choice, today())?.dressed(|look| wish.put_onto(look))
    } else {
        Wanted::of(register, kind, &choice, today())?
    };
    let nothing = if args.stale { none_stale(kind) } else { no_signs(&choice, kind) };
    print(kind, &args.print, wish.look(), jobs, &nothing, session)
}

pub(super) fn strip(args: &StripArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let area: Option<AreaNumber> = args.area.as_deref().map(str::parse).transpose()?;
    let register = session.register_for_change()?;
    let jobs = strips(register, area, args.spot.as_deref())?;
    let jobs = if args.stale { Wanted::stale_among(register, RunKind::Strips, &jobs, today())? } else { jobs.into() };
    let bare = if args.stale { bare_spots(register, area)? } else { Vec::new() };
    if !bare.is_empty() {
        session.note(&bare_text(&bare))?;
    }
    let nothing = match &args.spot {
        _ if args.stale => none_stale(RunKind::Strips),
        Some(spot) => format!("no bin stands at `{spot}` there; `stowmark bin list` shows where they stand"),
        None => "no bin there has a spot; `stowmark bin add 4 --spot \"rack 1\"` gives new ones one".into(),
    };
    print(RunKind::Strips, &args.print, Look::default(), jobs, &nothing, session)
}

pub(super) fn contents(args: &ContentsArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let choice = Choice::new(&args.codes, args.area.as_deref(), args.all);
    let register = session.register_for_change()?;
    let kind = RunKind::Contents;
    let jobs = if args.stale {
        Wanted::stale(register, kind, &choice, today())?
    } else {
        Wanted::of(register, kind, &choice, today())?
    };
    let nothing = if args.stale { none_stale(kind) } else { no_signs(&choice, kind) };
    print(kind, &args.print, Look::default(), jobs, &nothing, session)
}

pub(super) fn area_sign(args: &AreaSignArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let numbers = args.numbers.iter().map(|number| number.parse()).collect::<Result<Vec<AreaNumber>, _>>()?;
    let register = session.register_for_change()?;
    let jobs = area_signs(register, &numbers)?;
    let jobs = if args.stale { Wanted::stale_among(register, RunKind::Areas, &jobs, today())? } else { jobs.into() };
    let nothing = if args.stale { none_stale(RunKind::Areas) } else { "there are no areas yet".into() };
    print(RunKind::Areas, &args.print, Look::default(), jobs, &nothing, session)
}

fn print(
    kind: RunKind,
    args: &PrintArgs,
    look: Look,
    jobs: Wanted,
    nothing: &str,
    session: &mut Session<'_, '_>,
) -> Result<Outcome, CliError> {
    let Wanted { labels, before } = jobs;
    let (options, file, notes) = options(args, kind, look, before.as_ref(), session)?;
    for note in notes {
        session.note(&note)?;
    }
    print_and_answer(kind, labels, options, &file, [nothing, ""], session)
}

fn none_stale(kind: RunKind) -> String {
    format!("no {} there is wrong; `stowmark stale` shows what is", kind.noun())
}

fn no_tags(choice: &Choice) -> String {
    match choice {
        Choice::Within(bin) => format!("there are no items in {bin}"),
        Choice::InArea(area) => format!("there are no items in area {area}"),
        Choice::All => "there are no items yet".into(),
        _ => "no item waits for a tag; --all, --bin or codes print tags again".into(),
    }
}

fn no_signs(choice: &Choice, kind: RunKind) -> String {
    match choice {
        Choice::Within(area) | Choice::InArea(area) => format!("there are no bins in area {area}"),
        Choice::All => "there are no bins yet".into(),
        _ => format!("no bin waits for a {noun}; --all, --area or codes print {noun}s again", noun = kind.noun()),
    }
}
