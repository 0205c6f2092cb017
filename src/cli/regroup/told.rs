//! Plans of moves in words for people.

use std::collections::BTreeMap;

use crate::{
    cli::table::{count, place_text, table},
    code::BinCode,
    job::{Ending, MOST_GRAMS, MOST_THINGS, Plan, Worth},
    register::{Item, MoveState, RegroupMove},
};

/// More bins than these are only counted.
const MOST_NAMED: usize = 12;

/// A plan that was just made.
pub(super) fn plan(plan: &Plan) -> String {
    let next =
        "nothing has moved yet: `stowmark regroup list` writes the moving list, `stowmark regroup go` carries it out";
    [heading(plan), moves(plan), worth(&plan.worth), trips(plan), assumed(&plan.worth), next.into()]
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join("\n")
}

/// A plan with how far it is.
pub(super) fn plan_so_far(plan: &Plan) -> String {
    [heading(plan), moves(plan), worth(&plan.worth), trips(plan), assumed(&plan.worth), progress(plan)]
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join("\n")
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

/// A line for each bin that something is taken from: how many items go where.
fn moves(plan: &Plan) -> String {
    let mut by_bin: Vec<(BinCode, Vec<(&RegroupMove, &Item)>)> = Vec::new();
    for (one, item) in plan.moves() {
        match by_bin.iter_mut().find(|(bin, _)| *bin == one.from) {
            Some((_, moves)) => moves.push((one, item)),
            None => by_bin.push((one.from, vec![(one, item)])),
        }
    }
    let row = |(bin, moves): &(BinCode, Vec<(&RegroupMove, &Item)>)| {
        let place = moves.iter().find_map(|(_, item)| item.stowed.as_ref().filter(|stowed| stowed.bin == *bin));
        let place = place.map(|stowed| place_text(&stowed.place)).unwrap_or_default();
        vec![bin.to_string(), place, moves.len().to_string(), targets(moves)]
    };
    table(&["from", "where", "items#", "into"], by_bin.iter().map(row))
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
fn worth(worth: &Worth) -> String {
    let used = count(worth.bins_used as u64, "bin");
    let before = worth.bins_before;
    let how = if worth.proven {
        "no plan is better".into()
    } else if worth.bins_used <= worth.bins_lower_bound {
        "no plan can do with fewer, though one with fewer moves may exist".into()
    } else {
        format!(
            "no plan can do with fewer than {}; a better one than this may exist, but none was found",
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

/// Nothing that is worth moving.
pub(super) fn nothing_to_gain(worth: &Worth) -> String {
    let used = count(worth.bins_before as u64, "bin");
    let how = if worth.bins_before <= worth.bins_lower_bound {
        "no plan can do with fewer".into()
    } else {
        format!("no plan was found that frees one, and none can do with fewer than {}", worth.bins_lower_bound)
    };
    let found = format!("nothing to gain: {used} in use, and {how}");
    let lines: Vec<String> = [found, assumed(worth)].into_iter().filter(|line| !line.is_empty()).collect();
    lines.join("\n")
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
    let bins: Vec<String> = ending.other_tags_in.iter().map(ToString::to_string).collect();
    let (items, codes, tags) = match ending.other_tags {
        0 => return None,
        1 => ("1 item has a tag that names".to_owned(), "it a code of its bin", "1 tag to print".to_owned()),
        items => (
            format!("{items} items have tags that name"),
            "them codes of their bins",
            count(items as u64, "tag") + " to print",
        ),
    };
    let listings = match ending.listed {
        0 => "no listing to correct".into(),
        listed => count(listed as u64, "listing") + " to correct",
    };
    Some(format!(
        "{items} another bin. Leave them: they are found by their old codes, and nothing is to be printed. \
         Or `stowmark retag --bin {}` gives {codes}: {tags}, {listings}",
        bins.join(" ")
    ))
}
