//! The rules of a plan, written a second time and simply: whether it may be carried out, and how good it is.

use std::{collections::BTreeSet, env};

use stowmark::plan::{BinRule, Load, Regrouping, Thing, Tub, Wish};

/// Bins used, bins of all groups, things moved, things carried into another area: less is better, the first counts first.
pub type Score = (usize, usize, usize, usize);

pub fn setting(name: &str, otherwise: u64) -> u64 {
    env::var(name).ok().map_or(otherwise, |text| text.parse().unwrap_or_else(|_| panic!("{name}=`{text}`")))
}

pub fn thing(tub: usize, millilitres: u32, grams: u32) -> Thing {
    Thing { tub, load: Load { millilitres, grams, ..Load::default() }, group: None }
}

pub fn tub(millilitres: u32) -> Tub {
    let mut tub = Tub::default();
    tub.capacity.millilitres = Some(millilitres);
    tub
}

/// Where each thing is after a plan.
pub fn after(things: &[Thing], plan: &Regrouping) -> Vec<usize> {
    let mut after: Vec<usize> = things.iter().map(|thing| thing.tub).collect();
    for (thing, to) in &plan.moves {
        assert_ne!(after[*thing], *to, "a thing moves to where it is: {plan:?}");
        after[*thing] = *to;
    }
    after
}

/// What is against the rules.
pub fn fault(tubs: &[Tub], things: &[Thing], wish: &Wish, after: &[usize]) -> Option<String> {
    let in_tub = |places: &[usize], tub: usize| places.contains(&tub);
    let before: Vec<usize> = things.iter().map(|thing| thing.tub).collect();
    for (number, tub) in tubs.iter().enumerate() {
        let inside: Vec<&Thing> =
            things.iter().zip(after).filter(|(_, at)| **at == number).map(|(thing, _)| thing).collect();
        let arrived: Vec<&&Thing> = inside.iter().filter(|thing| thing.tub != number).collect();
        let left = before.iter().zip(after).filter(|(from, to)| **from == number && **to != number).count();
        let volume: u64 = inside.iter().map(|thing| u64::from(thing.load.millilitres)).sum();
        let weight: u64 = inside.iter().map(|thing| u64::from(thing.load.grams)).sum();
        let is_too_long = |thing: &&&Thing| match (thing.load.longest_mm, tub.capacity.longest_mm) {
            (Some(edge), Some(most)) => edge > most,
            _ => false,
        };
        if tub.rule == BinRule::Empty && !inside.is_empty() {
            return Some(format!("{number} must be empty"));
        }
        if tub.rule == BinRule::Keep && left > 0 {
            return Some(format!("{number} must keep what it has"));
        }
        if arrived.is_empty() {
            continue;
        }
        match tub.capacity.millilitres {
            None => return Some(format!("of {number} no volume is known")),
            Some(most) if volume > u64::from(most) => return Some(format!("{number} holds {volume} of {most} ml")),
            Some(_) => {}
        }
        if tub.capacity.grams.is_some_and(|most| weight > u64::from(most)) {
            return Some(format!("{number} holds {weight} g"));
        }
        if arrived.iter().any(is_too_long) {
            return Some(format!("{number} is too short"));
        }
    }
    let is_freed = |tub: &usize| tubs[*tub].rule != BinRule::Empty && in_tub(&before, *tub) && !in_tub(after, *tub);
    let freed = (0..tubs.len()).filter(is_freed).count();
    wish.free.filter(|most| freed > *most).map(|most| format!("{freed} of {most} are freed"))
}

pub fn score(tubs: &[Tub], things: &[Thing], after: &[usize]) -> Score {
    let used: BTreeSet<usize> = after.iter().copied().collect();
    let held: BTreeSet<(usize, usize)> =
        things.iter().zip(after).filter_map(|(thing, at)| Some((thing.group?, *at))).collect();
    let moved = things.iter().zip(after).filter(|(thing, at)| thing.tub != **at);
    let carried = moved.clone().filter(|(thing, at)| tubs[thing.tub].area != tubs[**at].area);
    (used.len(), held.len(), moved.clone().count(), carried.count())
}

/// The score of a plan that keeps the rules and says the truth of itself.
pub fn checked(tubs: &[Tub], things: &[Thing], wish: &Wish, plan: &Regrouping) -> Score {
    let after = after(things, plan);
    assert_eq!(fault(tubs, things, wish, &after), None, "{tubs:?}\n{things:?}\n{wish:?}\n{plan:?}");
    let score = score(tubs, things, &after);
    let freed: Vec<usize> =
        (0..tubs.len()).filter(|tub| things.iter().any(|thing| thing.tub == *tub) && !after.contains(tub)).collect();
    assert_eq!((score.0, &freed), (plan.used, &plan.freed), "{plan:?}");
    assert!(plan.moves.is_sorted() && plan.lower_bound <= plan.used, "{plan:?}");
    assert_eq!(plan.proven, plan.bins_proven && plan.moves_proven);
    assert_eq!(plan.bins_proven, plan.used == plan.lower_bound);
    score
}
