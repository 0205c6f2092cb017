//! Puts things that were taken out into open tubs: the bulkiest first, each where it fits best; what is left over then by
//! making room for it.
//!
//! Room is made in two ways, until nothing is left over or nothing helps: two things of different tubs change places so
//! that the gap in one of them grows; or the thing takes the place of one or two smaller ones, which are left over instead.
//! What is left over becomes less each time, so that this ends.

use super::{model::Sum, packing::Packing, steps::Steps};

/// Puts things into open tubs, and says what is left over.
pub(super) fn insert(packing: &mut Packing<'_>, mut things: Vec<usize>, open: &[usize]) -> Vec<usize> {
    packing.sort(&mut things);
    things.retain(|thing| match best(packing, *thing, open) {
        Some(tub) => {
            packing.put(*thing, tub);
            false
        }
        None => true,
    });
    things
}

/// The tub where a thing fits best: one with some of its group, one with something in it, then the one with the least room.
pub(super) fn best(packing: &Packing<'_>, thing: usize, open: &[usize]) -> Option<usize> {
    let area = |tub: usize| packing.model.tubs[tub].area;
    let key = |tub: &usize| {
        let is_far = area(*tub) != area(packing.model.things[thing].tub);
        let is_empty = packing.tubs[*tub].things.is_empty();
        let is_away = packing.model.things[thing].tub != *tub;
        let room = packing.model.bulk.of(packing.room(*tub));
        (!packing.holds_group_of(thing, *tub), is_empty, is_away, room, is_far, *tub)
    };
    open.iter().copied().filter(|tub| packing.takes(thing, *tub)).min_by_key(key)
}

/// Like [`insert`], and makes room for what is left over. Things that may move are changed about in all open tubs.
pub(super) fn squeeze(packing: &mut Packing<'_>, things: Vec<usize>, open: &[usize], steps: &mut Steps) -> Vec<usize> {
    let mut left = insert(packing, things, open);
    while let Some(thing) = first(packing, &mut left) {
        if let Some(tub) = best(packing, thing, open) {
            packing.put(thing, tub);
        } else if !widen(packing, thing, open, steps) {
            let Some(out) = replace(packing, thing, open, steps) else {
                left.push(thing);
                return left;
            };
            left.extend(out);
        }
    }
    left
}

fn first(packing: &Packing<'_>, left: &mut Vec<usize>) -> Option<usize> {
    let first = (0..left.len()).max_by_key(|place| (packing.model.bulk_of(left[*place]), left[*place]))?;
    Some(left.swap_remove(first))
}

/// Lets two things change places so that a third one goes in.
fn widen(packing: &mut Packing<'_>, thing: usize, open: &[usize], steps: &mut Steps) -> bool {
    let need = Sum::of(&packing.model.things[thing]);
    for &tub in open.iter().filter(|tub| packing.model.may_enter(thing, **tub)) {
        for &other in open.iter().filter(|other| **other != tub) {
            if !steps.spend(1) {
                return false;
            }
            if need.is_within(packing.room(tub).plus(packing.room(other)))
                && widen_between(packing, thing, (tub, other), steps)
            {
                return true;
            }
        }
    }
    false
}

fn widen_between(packing: &mut Packing<'_>, thing: usize, (tub, other): (usize, usize), steps: &mut Steps) -> bool {
    let model = packing.model;
    let load = |thing: usize| Sum::of(&model.things[thing]);
    let room = packing.room(tub);
    for out in movable(packing, tub) {
        if !steps.spend(packing.tubs[other].things.len()) {
            return false;
        }
        let widened = room.plus(load(out));
        let beside = packing.room(other);
        // The other one leaves its tub for the gap beside the thing.
        let goes = |back: &usize| {
            load(thing).plus(load(*back)).is_within(widened) && load(out).is_within(beside.plus(load(*back)))
        };
        let back = movable(packing, other).into_iter().find(goes);
        if back.is_some_and(|back| change(packing, thing, (out, tub), (back, other))) {
            return true;
        }
    }
    false
}

/// Puts a thing into a tub from which another goes in exchange for a third one, if all of them may.
fn change(packing: &mut Packing<'_>, thing: usize, (out, tub): (usize, usize), (back, other): (usize, usize)) -> bool {
    packing.take(out);
    packing.take(back);
    let mut done = Vec::new();
    for (thing, to) in [(out, other), (back, tub), (thing, tub)] {
        if packing.takes(thing, to) {
            packing.put(thing, to);
            done.push(thing);
        }
    }
    if done.len() == 3 {
        return true;
    }
    for thing in done {
        packing.take(thing);
    }
    packing.put(out, tub);
    packing.put(back, other);
    false
}

/// Puts a thing in the place of one or two that are less bulky together, and says which: as little as possible.
fn replace(packing: &mut Packing<'_>, thing: usize, open: &[usize], steps: &mut Steps) -> Option<Vec<usize>> {
    let mut found: Option<(u64, usize, Vec<usize>)> = None;
    for &tub in open.iter().filter(|tub| packing.model.may_enter(thing, **tub)) {
        let count = packing.tubs[tub].things.len();
        if !steps.spend(count * count / 2 + 1) {
            break;
        }
        let least = found.as_ref().map_or(packing.model.bulk_of(thing), |found| found.0);
        if let Some((bulk, out)) = lightest(packing, thing, tub, least) {
            found = Some((bulk, tub, out));
        }
    }
    let (_, tub, out) = found?;
    for thing in &out {
        packing.take(*thing);
    }
    packing.put(thing, tub);
    Some(out)
}

/// The least bulky one or two things of a tub in whose place a thing fits, below a bulk.
fn lightest(packing: &Packing<'_>, thing: usize, tub: usize, below: u64) -> Option<(u64, Vec<usize>)> {
    let model = packing.model;
    let load = |thing: usize| Sum::of(&model.things[thing]);
    let (most, sum) = (model.most[tub]?, packing.tubs[tub].sum.plus(load(thing)));
    let inside = movable(packing, tub);
    let mut best: Option<(u64, Vec<usize>)> = None;
    for (place, one) in inside.iter().enumerate() {
        for other in std::iter::once(None).chain(inside[place + 1..].iter().map(Some)) {
            let out = other.map_or(load(*one), |other| load(*one).plus(load(*other)));
            let bulk = model.bulk.of(out);
            if bulk < best.as_ref().map_or(below, |best| best.0) && sum.minus(out).is_within(most) {
                best = Some((bulk, std::iter::once(*one).chain(other.copied()).collect()));
            }
        }
    }
    best
}

fn movable(packing: &Packing<'_>, tub: usize) -> Vec<usize> {
    packing.tubs[tub].things.iter().copied().filter(|thing| packing.model.is_movable(*thing)).collect()
}
