//! Plans of moves in words for people.

use std::collections::BTreeMap;

use crate::{
    cli::{
        table::{count, place_text, table},
        width::{of_terminal, wrapped},
    },
    code::BinCode,
    job::{Ending, Grouped, MOST_GRAMS, MOST_THINGS, Plan, Worth},
    register::{Bin, Item, MoveState, RegroupMove},
};

/// More bins than these are only counted.
const MOST_NAMED: usize = 12;

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
    let behind = [self::worth(plan), grouped(plan), trips(plan), over_full(worth), assumed(worth), last.into()];
    let behind = behind.iter().filter(|part| !part.is_empty()).map(|part| fitted(part));
    [fitted(&heading(plan)), moves(plan)].into_iter().chain(behind).collect::<Vec<_>>().join("\n")
}

/// What came of keeping things together.
fn grouped(plan: &Plan) -> String {
    let Some(field) = plan.kept.asked["together"].as_str() else { return String::new() };
    let what = match field {
        "bought" => "day of buying",
        "bin" => "bin in their code",
        field => field,
    };
    match &plan.worth.together {
        None | Some(Grouped { groups: 0, .. }) => {
            format!("no two items have the same {what}, so nothing is kept together")
        }
        Some(Grouped { groups, bins_before, bins_after }) => {
            let groups = count(*groups as u64, "group");
            format!("{groups} with the same {what}: added up in {bins_before} bins now, in {bins_after} afterwards")
        }
    }
}

/// Bins that hold too much, which is left as it is.
fn over_full(worth: &Worth) -> String {
    worth.over_full.join("\n")
}

/// `7 items move, and 2 bins become free: 4A, 4C`
fn heading(plan: &Plan) -> String {
    let moves = plan.kept.moves.len() as u64;
    let verb = if moves == 1 { "moves" } else { "move" };
    let freed = &plan.worth.freed;
    let verb_of = if freed.len() == 1 { "becomes" } else { "become" };
    let free = match freed.as_slice() {
        [] => "no bin becomes free".into(),
        freed => format!("{} {verb_of} free: {}", count(freed.len() as u64, "bin"), some(freed)),
    };
    format!("{} {verb}, and {free}", count(moves, "item"))
}

fn some(names: &[String]) -> String {
    match names.len().checked_sub(MOST_NAMED) {
        None | Some(0) => names.join(", "),
        Some(more) => format!("{} and {more} more", names[..MOST_NAMED].join(", ")),
    }
}

/// A line for each bin that something is taken from, in walking order: how many items go where.
fn moves(plan: &Plan) -> String {
    let row = |bin: &Bin| {
        let moves: Vec<_> = plan.moves().filter(|(one, _)| one.from == bin.code).collect();
        vec![bin.code.to_string(), place_text(&bin.place), moves.len().to_string(), targets(&moves)]
    };
    table(&["from", "where", "items#", "into"], plan.sources.iter().map(row))
}

/// `5 into 4B, 2 into 4D`
fn targets(moves: &[(&RegroupMove, &Item)]) -> String {
    let mut counts: BTreeMap<BinCode, usize> = BTreeMap::new();
    for (one, _) in moves {
        *counts.entry(one.to).or_default() += 1;
    }
    let texts: Vec<String> = counts.iter().map(|(bin, count)| format!("{bin} ({count})")).collect();
    texts.join(", ")
}

/// How good it is.
fn worth(plan: &Plan) -> String {
    let worth = &plan.worth;
    let asked = &plan.kept.asked;
    let is_limited = asked["free"].is_number() || asked["keep"].as_array().is_some_and(|keep| !keep.is_empty());
    let no_plan = if is_limited { "as asked for, no plan" } else { "no plan" };
    let used = count(worth.bins_used as u64, "bin");
    let before = worth.bins_before;
    let how = if worth.proven {
        "no plan is better".into()
    } else if worth.bins_used <= worth.bins_lower_bound && worth.count_proven {
        format!("{no_plan} can do with fewer, and none moves fewer; one that carries less between areas may exist")
    } else if worth.bins_used <= worth.bins_lower_bound {
        format!("{no_plan} can do with fewer, though one with fewer moves may exist")
    } else {
        format!(
            "{no_plan} can do with fewer than {}; a better one than this may exist, but none was found",
            worth.bins_lower_bound
        )
    };
    format!("{used} in use afterwards, {before} now: {how}")
}

fn trips(plan: &Plan) -> String {
    let held = match plan.held() {
        0 => "nothing has to wait in a holding box".into(),
        1 => "1 item waits in a holding box on the way".into(),
        held => format!("{held} items wait in a holding box on the way"),
    };
    let kilograms = MOST_GRAMS / 1000;
    let trips = count(plan.trips().into(), "trip");
    format!("{trips} of at most {MOST_THINGS} items, {kilograms} kg and what the largest bin holds; {held}")
}

fn assumed(worth: &Worth) -> String {
    let of = |assumed: usize, what: &str| match assumed {
        0 => None,
        assumed => Some(format!("the {what} of {assumed} of {}", count(worth.items as u64, "item"))),
    };
    let parts: Vec<String> =
        [of(worth.volumes_assumed, "size"), of(worth.weights_assumed, "weight")].into_iter().flatten().collect();
    let is = if parts.len() == 1 { "is" } else { "are" };
    let assumed = (!parts.is_empty()).then(|| format!("{} {is} assumed, not known", parts.join(" and ")));
    let lines: Vec<String> = assumed.into_iter().chain(no_litres(worth)).collect();
    lines.join("\n")
}

/// How to give a bin its litres.
fn no_litres(worth: &Worth) -> Option<String> {
    let first = worth.no_litres.first()?;
    let take = if worth.no_litres.len() == 1 { "takes" } else { "take" };
    Some(format!(
        "{} {take} nothing, as no litres are known: `stowmark bin edit {first} --litres 36`, or --kind with a kind of bin",
        some(&worth.no_litres)
    ))
}

/// Nothing that is worth moving; with the options that stand in the way.
pub(super) fn nothing_to_gain(worth: &Worth, limits: &[&str]) -> String {
    let used = count(worth.bins_before as u64, "bin");
    let how = if worth.bins_before <= worth.bins_lower_bound && !limits.is_empty() {
        let allow = if limits.len() == 1 { "allows" } else { "allow" };
        format!("{} {allow} no fewer", limits.join(" and "))
    } else if worth.bins_before <= worth.bins_lower_bound {
        "no plan can do with fewer".into()
    } else {
        format!("no plan was found that frees one, and none can do with fewer than {}", worth.bins_lower_bound)
    };
    let found = format!("nothing to gain: {used} in use, and {how}");
    let lines = [found, over_full(worth), assumed(worth)];
    let lines: Vec<String> = lines.into_iter().filter(|line| !line.is_empty()).collect();
    fitted(&lines.join("\n"))
}

/// `3 of 7 items moved, 2 in hand, 1 missing, 1 left`
pub(super) fn progress(plan: &Plan) -> String {
    let kept = &plan.kept;
    let words = [
        (MoveState::Taken, "in hand"),
        (MoveState::Missing, "missing"),
        (MoveState::Void, "moved or gone by other ways"),
        (MoveState::Open, "to be taken"),
    ];
    let parts: String = words
        .iter()
        .map(|(state, word)| (kept.count(*state), word))
        .filter(|(count, _)| *count > 0)
        .map(|(count, word)| format!(", {count} {word}"))
        .collect();
    let told = format!("{} of {} moved{parts}", kept.count(MoveState::Done), count(kept.moves.len() as u64, "item"));
    let named = [(MoveState::Taken, "in hand"), (MoveState::Missing, "missing")];
    let named = named.iter().flat_map(|(state, word)| plan.in_state(*state).map(move |planned| line(word, planned)));
    std::iter::once(told).chain(named).collect::<Vec<_>>().join("\n")
}

/// `  in hand: 4A-001F  Copper jam pan, from 4A for 4B`
fn line(word: &str, (one, item): (&RegroupMove, &Item)) -> String {
    format!("  {word}: {}  {}, from {} for {}", item.name(), item.title, one.from, one.to)
}

/// `7 items left, 3 trips`
pub(super) fn size(plan: &Plan) -> String {
    let left = plan.kept.moves.iter().filter(|one| one.state.is_left());
    let trips: std::collections::BTreeSet<u32> = left.clone().flat_map(|one| [one.taken_on, one.put_on]).collect();
    format!("{} to move on {}", count(left.count() as u64, "item"), count(trips.len() as u64, "trip"))
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
    let done = plan.kept.count(MoveState::Done);
    let all = count(plan.kept.moves.len() as u64, "item");
    std::iter::once(format!("plan {} dropped; {done} of {all} moved", plan.kept.id))
        .chain(in_hand)
        .collect::<Vec<_>>()
        .join("\n")
}

/// The end of a plan, and what may be done then.
pub(super) fn ending(ending: &Ending) -> String {
    let mut lines = vec![format!("the plan is done: {} moved", count(ending.moved as u64, "item"))];
    if ending.void > 0 {
        lines.push(format!("{} came elsewhere by other ways, or left", count(ending.void as u64, "item")));
    }
    lines.extend(ending.missing.iter().map(|(one, item)| {
        let (name, title, from) = (item.name(), &item.title, one.from);
        format!("not found: {name}  {title}; `stowmark count {from}` looks again, `stowmark gone {name}` says that it is lost")
    }));
    if let Some(first) = ending.empty.first() {
        let names: Vec<String> = ending.empty.iter().map(ToString::to_string).collect();
        lines.push(format!("empty now: {}; `stowmark bin retire {first}` if it is not used any more", some(&names)));
    }
    lines.extend(tags(ending));
    lines.join("\n")
}

/// The choice between old tags and new ones, with what each costs.
fn tags(ending: &Ending) -> Option<String> {
    let cost = &ending.other_tags;
    let bins: Vec<String> = ending.other_tags_in.iter().map(ToString::to_string).collect();
    let (items, leave, codes) = match cost.items {
        0 => return None,
        1 => (
            "1 item has a tag that names another bin".to_owned(),
            "Leave it: it is found by its old code",
            "it a code of its bin",
        ),
        items => (
            format!("{items} items have tags that name another bin"),
            "Leave them: they are found by their old codes",
            "them codes of their bins",
        ),
    };
    let some = |number: usize, what: &str, to_do: &str| match number {
        0 => format!("no {what} {to_do}"),
        number => format!("{} {to_do}", count(number as u64, what)),
    };
    let (tags, listings) = (some(cost.tags, "tag", "to print"), some(cost.listings, "listing", "to correct"));
    Some(format!(
        "{items}. {leave}, and nothing is to be printed. Or `stowmark retag --bin {}` gives {codes}: {tags}, {listings}",
        bins.join(" ")
    ))
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
