//! Plans of moves in words that every front end uses.
//!
//! Start with [`Plan::heading`]. How lines are broken, and what may be done next, is the front end's to say.

use std::collections::BTreeMap;

use super::{Ending, Grouped, MOST_GRAMS, MOST_THINGS, Plan, Worth};
use crate::{
    code::BinCode,
    job::count,
    register::{Bin, Item, MoveState, RegroupMove},
};

/// More bins than these are only counted.
const MOST_NAMED: usize = 12;

impl Plan {
    /// `7 items move, and 2 bins become free: 4A, 4C`
    #[must_use]
    pub fn heading(&self) -> String {
        let moves = self.kept.moves.len() as u64;
        let verb = if moves == 1 { "moves" } else { "move" };
        let freed = &self.worth.freed;
        let verb_of = if freed.len() == 1 { "becomes" } else { "become" };
        let free = match freed.as_slice() {
            [] => "no bin becomes free".into(),
            freed => format!("{} {verb_of} free: {}", count(freed.len() as u64, "bin"), some_names(freed)),
        };
        format!("{} {verb}, and {free}", count(moves, "item"))
    }

    /// How good it is.
    #[must_use]
    pub fn worth_text(&self) -> String {
        let worth = &self.worth;
        let asked = &self.kept.asked;
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

    /// What came of keeping things together, where that was asked for.
    #[must_use]
    pub fn grouped_text(&self) -> Option<String> {
        let what = match self.kept.asked["together"].as_str()? {
            "bought" => "day of buying",
            "bin" => "bin in their code",
            field => field,
        };
        Some(match &self.worth.together {
            None | Some(Grouped { groups: 0, .. }) => {
                format!("no two items have the same {what}, so nothing is kept together")
            }
            Some(Grouped { groups, bins_before, bins_after }) => {
                let groups = count(*groups as u64, "group");
                format!("{groups} with the same {what}: added up in {bins_before} bins now, in {bins_after} afterwards")
            }
        })
    }

    /// How it is carried.
    #[must_use]
    pub fn trips_text(&self) -> String {
        let held = match self.held() {
            0 => "nothing has to wait in a holding box".into(),
            1 => "1 item waits in a holding box on the way".into(),
            held => format!("{held} items wait in a holding box on the way"),
        };
        let kilograms = MOST_GRAMS / 1000;
        let trips = count(self.trips().into(), "trip");
        format!("{trips} of at most {MOST_THINGS} items, {kilograms} kg and what the largest bin holds; {held}")
    }

    /// What is taken from a bin: how many items, and `4B (5), 4D (2)`.
    #[must_use]
    pub fn from_bin(&self, bin: &Bin) -> (usize, String) {
        let moves: Vec<_> = self.moves().filter(|(one, _)| one.from == bin.code).collect();
        let mut counts: BTreeMap<BinCode, usize> = BTreeMap::new();
        for (one, _) in &moves {
            *counts.entry(one.to).or_default() += 1;
        }
        let texts: Vec<String> = counts.iter().map(|(bin, count)| format!("{bin} ({count})")).collect();
        (moves.len(), texts.join(", "))
    }

    /// `3 of 7 items moved, 2 in hand, 1 missing, 1 to be taken`
    #[must_use]
    pub fn progress_text(&self) -> String {
        let kept = &self.kept;
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
        format!("{} of {} moved{parts}", kept.count(MoveState::Done), count(kept.moves.len() as u64, "item"))
    }

    /// `7 items to move on 3 trips`
    #[must_use]
    pub fn size_text(&self) -> String {
        let left = self.kept.moves.iter().filter(|one| one.state.is_left());
        let trips: std::collections::BTreeSet<u32> = left.clone().flat_map(|one| [one.taken_on, one.put_on]).collect();
        format!("{} to move on {}", count(left.count() as u64, "item"), count(trips.len() as u64, "trip"))
    }

    /// `plan 2 dropped; 3 of 7 items moved`
    #[must_use]
    pub fn dropped_text(&self) -> String {
        let done = self.kept.count(MoveState::Done);
        let all = count(self.kept.moves.len() as u64, "item");
        format!("plan {} dropped; {done} of {all} moved", self.kept.id)
    }
}

impl Worth {
    /// What is assumed and not known.
    #[must_use]
    pub fn assumed_text(&self) -> Option<String> {
        let of = |assumed: usize, what: &str| match assumed {
            0 => None,
            assumed => Some(format!("the {what} of {assumed} of {}", count(self.items as u64, "item"))),
        };
        let parts = [of(self.volumes_assumed, "size"), of(self.weights_assumed, "weight")];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        let is = if parts.len() == 1 { "is" } else { "are" };
        (!parts.is_empty()).then(|| format!("{} {is} assumed, not known", parts.join(" and ")))
    }

    /// The bins that take nothing.
    #[must_use]
    pub fn no_litres_text(&self) -> Option<String> {
        let take = if self.no_litres.len() == 1 { "takes" } else { "take" };
        let bins = some_names(&self.no_litres);
        (!self.no_litres.is_empty()).then(|| format!("{bins} {take} nothing, as no litres are known"))
    }

    /// Nothing that is worth moving; `limits` are the wishes that stand in the way, as the user knows them.
    #[must_use]
    pub fn nothing_to_gain(&self, limits: &[&str]) -> String {
        let used = count(self.bins_before as u64, "bin");
        let how = if self.bins_before <= self.bins_lower_bound && !limits.is_empty() {
            let allow = if limits.len() == 1 { "allows" } else { "allow" };
            format!("{} {allow} no fewer", limits.join(" and "))
        } else if self.bins_before <= self.bins_lower_bound {
            "no plan can do with fewer".into()
        } else {
            format!("no plan was found that frees one, and none can do with fewer than {}", self.bins_lower_bound)
        };
        format!("nothing to gain: {used} in use, and {how}")
    }
}

impl Ending {
    /// How many were moved, and what was not.
    #[must_use]
    pub fn heading(&self) -> Vec<String> {
        let moved = format!("the plan is done: {} moved", count(self.moved as u64, "item"));
        let void = (self.void > 0)
            .then(|| format!("{} came elsewhere by other ways, or left", count(self.void as u64, "item")));
        [Some(moved), void].into_iter().flatten().collect()
    }

    /// `4A, 4C`; `None` where no bin is empty now.
    #[must_use]
    pub fn empty_text(&self) -> Option<String> {
        let names: Vec<String> = self.empty.iter().map(ToString::to_string).collect();
        (!names.is_empty()).then(|| some_names(&names))
    }

    /// The choice between old tags and new ones: what it costs to leave them, and what new codes cost. `to_retag` says how
    /// new codes are given.
    #[must_use]
    pub fn tags_text(&self, to_retag: &str) -> Option<String> {
        let cost = &self.other_tags;
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
        Some(format!("{items}. {leave}, and nothing is to be printed. Or {to_retag} gives {codes}: {tags}, {listings}"))
    }
}

/// `in hand: 4A-001F  Copper jam pan, from 4A for 4B`
#[must_use]
pub fn planned_line(word: &str, planned: (&RegroupMove, &Item)) -> String {
    format!("{word}: {}", planned_text(planned))
}

/// `4A-001F  Copper jam pan, from 4A for 4B`
#[must_use]
pub fn planned_text((one, item): (&RegroupMove, &Item)) -> String {
    format!("{}  {}, from {} for {}", item.name(), item.title, one.from, one.to)
}

/// The first of some names, and how many more there are.
fn some_names(names: &[String]) -> String {
    match names.len().checked_sub(MOST_NAMED) {
        None | Some(0) => names.join(", "),
        Some(more) => format!("{} and {more} more", names[..MOST_NAMED].join(", ")),
    }
}
