//! Plans of moves for a terminal, with what may be typed next.

use crate::{
    cli::{
        table::{place_text, table},
        width::{of_terminal, wrapped},
    },
    job::{Ending, Plan, Worth, planned_line},
    register::{Bin, MoveState},
};

/// A plan that was just made.
pub(super) fn plan(plan: &Plan) -> String {
    let next =
        "nothing has moved yet: `stowmark regroup list` writes the moving list, `stowmark regroup go` carries it out";
    parts(plan, next)
}

/// A plan with how far it is.
pub(super) fn plan_so_far(plan: &Plan) -> String {
    parts(plan, &progress(plan))
}

fn parts(plan: &Plan, last: &str) -> String {
    let worth = &plan.worth;
    let grouped = plan.grouped_text().unwrap_or_default();
    let behind = [plan.worth_text(), grouped, plan.trips_text(), over_full(worth), assumed(worth), last.into()];
    let behind = behind.iter().filter(|part| !part.is_empty()).map(|part| fitted(part));
    [fitted(&plan.heading()), moves(plan)].into_iter().chain(behind).collect::<Vec<_>>().join("\n")
}

/// Bins that hold too much, which is left as it is.
fn over_full(worth: &Worth) -> String {
    worth.over_full.join("\n")
}

/// A line for each bin that something is taken from, in walking order: how many items go where.
fn moves(plan: &Plan) -> String {
    let row = |bin: &Bin| {
        let (items, targets) = plan.from_bin(bin);
        vec![bin.code.to_string(), place_text(&bin.place), items.to_string(), targets]
    };
    table(&["from", "where", "items#", "into"], plan.sources.iter().map(row))
}

fn assumed(worth: &Worth) -> String {
    let lines: Vec<String> = worth.assumed_text().into_iter().chain(no_litres(worth)).collect();
    lines.join("\n")
}

/// How to give a bin its litres.
fn no_litres(worth: &Worth) -> Option<String> {
    let (told, first) = (worth.no_litres_text()?, worth.no_litres.first()?);
    Some(format!("{told}: `stowmark bin edit {first} --litres 36`, or --kind with a kind of bin"))
}

/// Nothing that is worth moving; with the options that stand in the way.
pub(super) fn nothing_to_gain(worth: &Worth, limits: &[&str]) -> String {
    let lines = [worth.nothing_to_gain(limits), over_full(worth), assumed(worth)];
    let lines: Vec<String> = lines.into_iter().filter(|line| !line.is_empty()).collect();
    fitted(&lines.join("\n"))
}

/// `3 of 7 items moved, 2 in hand, 1 missing, 1 left`
pub(super) fn progress(plan: &Plan) -> String {
    let named = [(MoveState::Taken, "in hand"), (MoveState::Missing, "missing")];
    let line = |word, planned| format!("  {}", planned_line(word, planned));
    let named = named.iter().flat_map(|(state, word)| plan.in_state(*state).map(move |planned| line(word, planned)));
    std::iter::once(plan.progress_text()).chain(named).collect::<Vec<_>>().join("\n")
}

/// A plan that was ended.
pub(super) fn dropped(plan: &Plan) -> String {
    let in_hand = plan.in_state(MoveState::Taken).map(|(one, item)| {
        let name = item.name();
        format!(
            "  in hand: {name}  {}; the register has it in {}: put it back there, or `stowmark put {name} --in {}`",
            item.title, one.from, one.to
        )
    });
    std::iter::once(plan.dropped_text()).chain(in_hand).collect::<Vec<_>>().join("\n")
}

/// The end of a plan, and what may be done then.
pub(super) fn ending(ending: &Ending) -> String {
    let mut lines = ending.heading();
    lines.extend(ending.missing.iter().map(|(one, item)| {
        let (name, title, from) = (item.name(), &item.title, one.from);
        format!("not found: {name}  {title}; `stowmark count {from}` looks again, `stowmark gone {name}` says that it is lost")
    }));
    if let Some((first, names)) = ending.empty.first().zip(ending.empty_text()) {
        lines.push(format!("empty now: {names}; `stowmark bin retire {first}` if it is not used any more"));
    }
    let bins: Vec<String> = ending.other_tags_in.iter().map(ToString::to_string).collect();
    lines.extend(ending.tags_text(&format!("`stowmark retag --bin {}`", bins.join(" "))));
    lines.join("\n")
}

/// Lines broken where they are longer than the terminal is wide.
pub(super) fn fitted(text: &str) -> String {
    let Some(width) = of_terminal() else { return text.to_owned() };
    text.lines().map(|line| fitted_line(line, width)).collect::<Vec<_>>().join("\n")
}

/// What goes on below stands as far in as its line.
fn fitted_line(line: &str, width: usize) -> String {
    let bare = line.trim_start();
    let indent = &line[..line.len() - bare.len()];
    let broken = wrapped(bare, width.saturating_sub(indent.len()));
    broken.lines().map(|part| format!("{indent}{part}")).collect::<Vec<_>>().join("\n")
}
