//! `stowmark regroup`

mod go;
mod told;

use std::path::PathBuf;

use clap::{Subcommand, ValueEnum};
use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    print_args::paper,
    session::Session,
    sold::today,
    table::count,
};
use crate::{
    code::AreaNumber,
    exchange::regroup_json::{NoPlanJson, PlanJson, PlannedMoveJson},
    job::{
        Planned, RegroupWish, RoundPageOptions, Together, bin_by_text, fonts_of, open_plan, plan_regroup, print_moves,
    },
    register::{MoveState, Register, RegisterError},
};

#[derive(Debug, Subcommand)]
pub(super) enum RegroupCommand {
    /// Find the fewest moves that free the most bins, and keep them as the plan
    Plan(PlanArgs),
    /// Show the plan again, and how far it is
    #[command(after_help = "Example:\n  stowmark regroup show")]
    Show,
    /// Write the moving list: what to take and where to put it, trip by trip
    List(ListArgs),
    /// Carry the plan out with a barcode reader
    Go(go::GoArgs),
    /// End the plan as it is
    #[command(
        after_help = "What was put stays where it is. What is in hand still has to be put somewhere: the register has it
in the bin that it was taken from, so put it back there, or say where it is with `stowmark put`.

Example:
  stowmark regroup drop"
    )]
    Drop,
}

#[derive(Debug, clap::Args)]
#[command(
    after_help = "As many bins are freed as can be, then as few items moved, then as little carried from area to area.
Bins take no more than their litres and their kg; bins whose litres are not known take nothing
(`stowmark bin edit 4A --litres 36`). Items of unknown size count as the middle of those that are
known, and it is said how many. Nothing moves by planning: `regroup list` and `regroup go` do that.

A trip is at most 20 items, 10 kg and what the largest bin holds. These are choices, no figures of
safety. Lifting and stacking: a full tub is heavy. Keep to the tub maker's rating and your local
rules; lift no more and stack no higher than they allow, and ask a qualified person when in doubt.

Example:
  stowmark regroup plan
  stowmark regroup plan --area 4 --free 2 --keep 4A
  stowmark regroup plan --empty 4C 4D --together note"
)]
pub(super) struct PlanArgs {
    /// Bins of these areas only
    #[arg(long, value_name = "NUMBER", num_args = 1..)]
    area: Vec<String>,
    /// Bins that are to be emptied
    #[arg(long, value_name = "BIN", num_args = 1..)]
    empty: Vec<String>,
    /// At most so many more bins become free; else as many as can be
    #[arg(long, value_name = "N")]
    free: Option<u16>,
    /// Bins that keep what is in them; they may take more
    #[arg(long, value_name = "BIN", num_args = 1..)]
    keep: Vec<String>,
    /// Keep things that have the same in as few bins as can be; those that have none go anywhere
    #[arg(long, value_enum, value_name = "FIELD")]
    together: Option<TogetherName>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum TogetherName {
    /// The note
    Note,
    /// The name of the size
    Size,
    /// The day on which it was bought
    Bought,
    /// The order that it was sold for
    Order,
    /// The bin that its code names
    Bin,
}

impl From<TogetherName> for Together {
    fn from(name: TogetherName) -> Self {
        match name {
            TogetherName::Note => Self::Note,
            TogetherName::Size => Self::Size,
            TogetherName::Bought => Self::Bought,
            TogetherName::Order => Self::Order,
            TogetherName::Bin => Self::Bin,
        }
    }
}

#[derive(Debug, clap::Args)]
#[command(
    after_help = "What is left of the plan, trip by trip and in the order in which you walk past the bins: first all
that is taken, then all that is put, with boxes to tick.

Lifting and stacking: a full tub is heavy. Keep to the tub maker's rating and your local rules; lift
no more and stack no higher than they allow, and ask a qualified person when in doubt.

Example:
  stowmark regroup list
  stowmark regroup list --paper letter --out moves.pdf"
)]
pub(super) struct ListArgs {
    /// The list's file; else one named by the day, in the current folder
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
    /// A font file for letters that the bundled faces lack; it is remembered
    #[arg(long, value_name = "FILE")]
    font: Vec<PathBuf>,
    /// The paper, a4 or letter; else the one that is set
    #[arg(long)]
    paper: Option<String>,
    /// Replace a file that is there
    #[arg(long)]
    force: bool,
}

pub(super) fn run(command: &RegroupCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        RegroupCommand::Plan(args) => plan(args, session),
        RegroupCommand::Show => show(session),
        RegroupCommand::List(args) => list(args, session),
        RegroupCommand::Go(args) => go::run(args, session),
        RegroupCommand::Drop => drop_plan(session),
    }
}

fn plan(args: &PlanArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register_for_change()?;
    let wish = wish(args, register)?;
    match plan_regroup(register, &wish)? {
        Planned::Kept(plan, replaced) => {
            if let Some(old) = replaced {
                session.note(&format!("plan {old}, of which nothing was done yet, gives way to this one"))?;
            }
            session.answer(&PlanJson::new(&plan.kept, &plan.items, &plan.worth), || told::plan(&plan))?;
            Ok(Outcome::Done)
        }
        Planned::NothingToGain(worth) => {
            if let Some(open) = open_plan(register)? {
                session.note(&format!("plan {} stays open; `stowmark regroup drop` ends it", open.kept.id))?;
            }
            let limits = [(wish.free.is_some(), "--free"), (!wish.keep.is_empty(), "--keep")];
            let limits: Vec<&str> = limits.into_iter().filter_map(|(is_set, name)| is_set.then_some(name)).collect();
            session.answer(&NoPlanJson::new(&worth), || told::nothing_to_gain(&worth, &limits))?;
            Ok(Outcome::NothingFound)
        }
    }
}

fn wish(args: &PlanArgs, register: &Register) -> Result<RegroupWish, CliError> {
    let area = |text: &String| text.parse::<AreaNumber>().map_err(CliError::from);
    let bins = |texts: &[String]| {
        texts.iter().map(|text| Ok(bin_by_text(register, text)?.code)).collect::<Result<Vec<_>, CliError>>()
    };
    Ok(RegroupWish {
        areas: args.area.iter().map(area).collect::<Result<_, _>>()?,
        empty: bins(&args.empty)?,
        keep: bins(&args.keep)?,
        free: args.free.map(usize::from),
        together: args.together.map(Together::from),
    })
}

/// Where there is no plan.
fn no_plan(session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    session.answer(&json!({ "moves": [] }), || RegisterError::NoRegroup.to_string())?;
    Ok(Outcome::NothingFound)
}

fn show(session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register()?;
    let Some(plan) = open_plan(register)? else { return no_plan(session) };
    register.refuse_retired_targets(&plan.kept)?;
    session.answer(&PlanJson::new(&plan.kept, &plan.items, &plan.worth), || told::plan_so_far(&plan))?;
    Ok(Outcome::Done)
}

fn list(args: &ListArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let paper = args.paper.as_deref().map(paper).transpose()?;
    let Some(plan) = open_plan(session.register()?)? else { return no_plan(session) };
    let register = session.register_for_change()?;
    register.refuse_retired_targets(&plan.kept)?;
    if !plan.kept.moves.iter().any(|one| one.state.is_left()) {
        let text = || "nothing is left to move; `stowmark regroup go` ends the plan".into();
        session.answer(&json!({ "plan": plan.kept.id, "file": null, "pages": 0 }), text)?;
        return Ok(Outcome::NothingFound);
    }
    let fonts = fonts_of(register, &args.font)?;
    let size = plan.size_text();
    let (out, force, day) = (args.out.clone(), args.force, today());
    let options = RoundPageOptions { paper, fonts, out, force, day, size: size.clone() };
    let page = print_moves(register, &plan, &options)?;
    for warning in &page.warnings {
        session.note(&warning.to_string())?;
    }
    let (file, pages) = (page.file.display().to_string(), page.pages);
    session.answer(&json!({ "plan": plan.kept.id, "file": file, "pages": pages }), || {
        format!("{size} on {}: {file}", count(pages as u64, "page"))
    })?;
    Ok(Outcome::Done)
}

fn drop_plan(session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register_for_change()?;
    let Some(plan) = open_plan(register)? else { return no_plan(session) };
    register.drop_regroup()?;
    let in_hand: Vec<_> = plan.in_state(MoveState::Taken).map(|(one, item)| PlannedMoveJson::new(one, item)).collect();
    session.answer(&json!({ "dropped": plan.kept.id, "in_hand": in_hand }), || told::fitted(&told::dropped(&plan)))?;
    Ok(Outcome::Done)
}
