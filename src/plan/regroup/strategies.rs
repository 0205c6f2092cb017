//! Good plans for any number of things: several ways to free tubs, of which the best one counts.
//!
//! First what must be emptied is emptied, then the emptiest tubs one by one ([`one_by_one`]): no other way is taken unless
//! it is better. Then the number of used tubs is halved in between what is reached and what no plan can better: for each
//! number a few sets of tubs are tried, by moving in what is outside of them, and by packing all anew.

use std::ops::Range;

use super::{
    choose::sets,
    insert::{insert, squeeze},
    model::Model,
    packing::Packing,
    polish::polish,
    repack::repack,
    steps::Steps,
};

/// The best plan of all ways; else what is left over of that which must move.
pub(super) fn best_plan<'m>(model: &'m Model, least: usize, steps: &mut Steps) -> Result<Packing<'m>, Vec<usize>> {
    let now = Packing::now(model);
    let mut best = match steps.lend(10, |steps| empty_those_that_must(&now, steps)) {
        Ok(packing) => packing,
        Err(left) => halve(&now, least..model.tubs.len() + 1, steps).ok_or(left)?,
    };
    one_by_one(&mut best, &mut Steps::new(0));
    let found = steps.lend(60, |steps| halve(&now, least..best.score.used, steps));
    let mut other = found.unwrap_or_else(|| best.clone());
    steps.lend(30, |steps| one_by_one(&mut other, steps));
    for packing in [&mut best, &mut other] {
        steps.lend(50, |steps| polish(packing, steps));
    }
    Ok(if other.score < best.score { other } else { best })
}

fn is_open(packing: &Packing<'_>, tub: usize) -> bool {
    !packing.model.must_go(tub) && !packing.tubs[tub].things.is_empty()
}

/// Into tubs with something in them as far as it goes, then into any. What then is left over without things being changed
/// about is given back when changing about doesn't help.
fn empty_those_that_must<'m>(now: &Packing<'m>, steps: &mut Steps) -> Result<Packing<'m>, Vec<usize>> {
    let mut packing = now.clone();
    let things = packing.take_all(|tub| now.model.must_go(tub));
    let (used, any): (Vec<usize>, Vec<usize>) =
        (0..now.tubs.len()).filter(|tub| !now.model.must_go(*tub)).partition(|tub| is_open(now, *tub));
    let left = insert(&mut packing, things, &used);
    let left = insert(&mut packing, left, &any);
    let over = left.iter().map(|thing| now.model.number[*thing]).collect();
    let left = squeeze(&mut packing, left, &[used, any].concat(), steps);
    if left.is_empty() { Ok(packing) } else { Err(over) }
}

/// Empties tubs one after the other, those with the fewest things first, as far as it goes.
fn one_by_one(packing: &mut Packing<'_>, steps: &mut Steps) {
    let mut order: Vec<usize> = (0..packing.tubs.len()).filter(|tub| is_open(packing, *tub)).collect();
    order.sort_by_key(|tub| (packing.tubs[*tub].things.len(), packing.tubs[*tub].sum.millilitres, *tub));
    for tub in order {
        steps.lend(30, |steps| try_to_free(packing, tub, steps));
    }
}

/// Lets its things go where they fit; where they don't, and steps are left, others make room.
fn try_to_free(packing: &mut Packing<'_>, tub: usize, steps: &mut Steps) {
    let used = packing.score.used;
    let things = packing.tubs[tub].things.clone();
    let open: Vec<usize> = (0..packing.tubs.len()).filter(|other| *other != tub && is_open(packing, *other)).collect();
    if !things.iter().all(|thing| packing.model.is_movable(*thing)) {
        return;
    }
    for thing in &things {
        packing.take(*thing);
    }
    let left = insert(packing, things.clone(), &open);
    let is_free = |packing: &Packing<'_>| packing.is_allowed() && packing.score.used < used;
    if left.is_empty() && is_free(packing) {
        return;
    }
    if !left.is_empty() && steps.spend(packing.size()) {
        let mut after = packing.clone();
        if squeeze(&mut after, left, &open, steps).is_empty() && is_free(&after) {
            *packing = after;
            return;
        }
    }
    for thing in things {
        packing.take(thing);
        packing.put(thing, tub);
    }
}

/// A plan that uses few tubs, from a range of how many, if one is found.
fn halve<'m>(now: &Packing<'m>, range: Range<usize>, steps: &mut Steps) -> Option<Packing<'m>> {
    let (mut range, mut best) = (range, None);
    while !range.is_empty() {
        let middle = range.start.midpoint(range.end);
        match steps.lend(30, |steps| with_tubs(now, middle, steps)) {
            Some(packing) => (range.end, best) = (middle.min(packing.score.used), Some(packing)),
            None => range.start = middle + 1,
        }
    }
    best
}

/// A plan that uses so many tubs: of several ones that which moves least.
fn with_tubs<'m>(now: &Packing<'m>, used: usize, steps: &mut Steps) -> Option<Packing<'m>> {
    let ways: [Way; 2] = [move_in, pack_anew];
    let sets = sets(now.model, used);
    ways.iter().find_map(|way| {
        let plans = sets.iter().filter_map(|set| steps.lend(30, |steps| complete(now, set, *way, steps)));
        plans.min_by_key(|packing| packing.score)
    })
}

/// A way to fill open tubs: what is left over.
type Way = fn(&mut Packing<'_>, &[usize], &mut Steps) -> Vec<usize>;

fn complete<'m>(now: &Packing<'m>, set: &[usize], way: Way, steps: &mut Steps) -> Option<Packing<'m>> {
    if !steps.spend(now.at.len() * set.len() / 4 + now.size()) {
        return None;
    }
    let mut packing = now.clone();
    let left = way(&mut packing, set, steps);
    (left.is_empty() && packing.is_allowed()).then_some(packing)
}

fn move_in(packing: &mut Packing<'_>, open: &[usize], steps: &mut Steps) -> Vec<usize> {
    let things = packing.take_all(|tub| !open.contains(&tub));
    squeeze(packing, things, open, steps)
}

fn pack_anew(packing: &mut Packing<'_>, open: &[usize], steps: &mut Steps) -> Vec<usize> {
    let left = repack(packing, open, steps);
    squeeze(packing, left, open, steps)
}
