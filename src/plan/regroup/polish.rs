//! Makes a plan better without other tubs: things that need not move go home, groups come together, targets come nearer.
//!
//! Each step is kept only if the whole score is better, so that this never makes a plan worse, and ends.

use super::{
    insert::best,
    packing::{Packing, Score},
    steps::Steps,
};

/// Makes a plan better until nothing helps, or no steps are left.
pub(super) fn polish(packing: &mut Packing<'_>, steps: &mut Steps) {
    let mut before = None;
    while before != Some(packing.score) && !steps.is_over() {
        before = Some(packing.score);
        gather(packing, steps);
        exchange_all(packing, steps);
        settle(packing, steps);
        exchange(packing, steps);
    }
}

/// What stands before is undone unless the score is better now.
fn is_better(packing: &Packing<'_>, before: Score) -> bool {
    packing.score < before && packing.is_allowed()
}

fn moved(packing: &Packing<'_>) -> Vec<usize> {
    let is_moved = |thing: &usize| packing.at[*thing] != Some(packing.model.things[*thing].tub);
    (0..packing.at.len()).filter(is_moved).collect()
}

/// Used tubs that take things.
fn open(packing: &Packing<'_>) -> Vec<usize> {
    (0..packing.tubs.len())
        .filter(|tub| !packing.tubs[*tub].things.is_empty() && !packing.model.must_go(*tub))
        .collect()
}

/// Sends things home, even when another has to make room; or to a better tub.
fn settle(packing: &mut Packing<'_>, steps: &mut Steps) {
    let open = open(packing);
    for thing in moved(packing) {
        for &tub in &open {
            if !steps.spend(1) {
                return;
            }
            let may = packing.model.things[thing].tub == tub || packing.model.may_enter(thing, tub);
            if may && !try_shift(packing, thing, tub) && packing.model.things[thing].tub == tub {
                oust(packing, thing, &open, steps);
            }
        }
    }
}

fn try_shift(packing: &mut Packing<'_>, thing: usize, tub: usize) -> bool {
    let before = packing.score;
    let Some(from) = packing.take(thing) else { return false };
    if packing.takes(thing, tub) {
        packing.put(thing, tub);
        if is_better(packing, before) {
            return true;
        }
        packing.take(thing);
    }
    packing.put(thing, from);
    false
}

/// Sends a thing home in the place of one that came there, which goes elsewhere.
fn oust(packing: &mut Packing<'_>, thing: usize, open: &[usize], steps: &mut Steps) {
    let home = packing.model.things[thing].tub;
    let came = |other: &usize| packing.model.things[*other].tub != home;
    for other in packing.tubs[home].things.iter().copied().filter(came).collect::<Vec<_>>() {
        if !steps.spend(open.len()) || try_oust(packing, thing, other, open) {
            return;
        }
    }
}

fn try_oust(packing: &mut Packing<'_>, thing: usize, other: usize, open: &[usize]) -> bool {
    let before = packing.score;
    let (Some(from), Some(home)) = (packing.take(thing), packing.take(other)) else { return false };
    if packing.takes(thing, home) {
        packing.put(thing, home);
        if let Some(tub) = best(packing, other, open) {
            packing.put(other, tub);
            if is_better(packing, before) {
                return true;
            }
            packing.take(other);
        }
        packing.take(thing);
    }
    packing.put(other, home);
    packing.put(thing, from);
    false
}

/// Lets two things that move change their targets, so that less is carried.
fn exchange(packing: &mut Packing<'_>, steps: &mut Steps) {
    let moved = moved(packing);
    for &thing in &moved {
        for &other in &moved {
            if !is_carried(packing, thing, packing.at[thing]) {
                break;
            }
            if !steps.spend(1) {
                return;
            }
            let [from, to] = [packing.at[thing], packing.at[other]];
            let after = [is_carried(packing, thing, to), is_carried(packing, other, from)];
            let before = [true, is_carried(packing, other, to)];
            if after.iter().filter(|is| **is).count() < before.iter().filter(|is| **is).count() {
                try_exchange(packing, &[thing], &[other]);
            }
        }
    }
}

fn is_carried(packing: &Packing<'_>, thing: usize, to: Option<usize>) -> bool {
    let area = |tub: usize| packing.model.tubs[tub].area;
    to.is_some_and(|to| area(to) != area(packing.model.things[thing].tub))
}

/// Lets what is in two tubs change places as a whole: where that is where more of it was before, less moves.
fn exchange_all(packing: &mut Packing<'_>, steps: &mut Steps) {
    let open = open(packing);
    let inside = |packing: &Packing<'_>, tub: usize| -> Vec<usize> {
        let things = packing.tubs[tub].things.iter().copied();
        things.filter(|thing| packing.model.is_movable(*thing)).collect()
    };
    let is_wanted = |packing: &Packing<'_>, things: &[usize], tub: usize| {
        things.iter().any(|thing| packing.model.things[*thing].tub == tub || packing.holds_group_of(*thing, tub))
    };
    for (place, &one) in open.iter().enumerate() {
        for &other in &open[place + 1..] {
            let (here, there) = (inside(packing, one), inside(packing, other));
            if !steps.spend(here.len() + there.len() + 1) {
                return;
            }
            if is_wanted(packing, &here, other) || is_wanted(packing, &there, one) {
                try_exchange(packing, &here, &there);
            }
        }
    }
}

/// Lets things of a tub change places with things of another.
fn try_exchange(packing: &mut Packing<'_>, here: &[usize], there: &[usize]) -> bool {
    let place = |things: &[usize]| things.first().and_then(|thing| packing.at[*thing]);
    let (Some(one), Some(other)) = (place(here), place(there)) else { return false };
    one != other && try_places(packing, &targets(here, other, there, one))
}

fn targets(here: &[usize], other: usize, there: &[usize], one: usize) -> Vec<(usize, usize)> {
    let to = |things: &[usize], tub: usize| things.iter().map(|thing| (*thing, tub)).collect::<Vec<_>>();
    [to(here, other), to(there, one)].concat()
}

/// Puts things elsewhere, all of them or none.
fn try_places(packing: &mut Packing<'_>, targets: &[(usize, usize)]) -> bool {
    let before = packing.score;
    let from: Vec<Option<usize>> = targets.iter().map(|(thing, _)| packing.take(*thing)).collect();
    let goes = |(thing, tub): &(usize, usize)| {
        let goes = packing.takes(*thing, *tub);
        if goes {
            packing.put(*thing, *tub);
        }
        goes
    };
    if targets.iter().all(goes) && is_better(packing, before) {
        return true;
    }
    for (thing, _) in targets {
        packing.take(*thing);
    }
    for ((thing, _), from) in targets.iter().zip(from) {
        if let Some(from) = from {
            packing.put(*thing, from);
        }
    }
    false
}

/// Brings what a tub holds of a group to other tubs that hold some of it.
fn gather(packing: &mut Packing<'_>, steps: &mut Steps) {
    let mut groups = vec![Vec::new(); packing.model.groups];
    for (thing, now) in packing.model.things.iter().enumerate() {
        if let Some(group) = now.group {
            groups[group].push(thing);
        }
    }
    for things in groups {
        for tub in places(packing, &things) {
            try_gather(packing, &things, tub, steps);
        }
    }
}

/// Where things are.
fn places(packing: &Packing<'_>, things: &[usize]) -> Vec<usize> {
    let mut places: Vec<usize> = things.iter().filter_map(|thing| packing.at[*thing]).collect();
    places.sort_unstable();
    places.dedup();
    places
}

/// Each thing of a group that is here goes where there is room, else in the place of one that may come here.
fn try_gather(packing: &mut Packing<'_>, group: &[usize], tub: usize, steps: &mut Steps) {
    let mut here: Vec<usize> = group.iter().copied().filter(|thing| packing.at[*thing] == Some(tub)).collect();
    let mut others = places(packing, group);
    others.retain(|other| *other != tub);
    if others.is_empty() || !here.iter().all(|thing| packing.model.is_movable(*thing)) {
        return;
    }
    packing.sort(&mut here);
    let before = packing.score;
    let mut trail = Trail::default();
    let all_go = here.into_iter().all(|thing| go_to_group(packing, thing, &others, &mut trail, steps));
    if !all_go || !is_better(packing, before) {
        trail.undo(packing);
    }
}

/// Things that were put elsewhere, and where each was.
#[derive(Default)]
struct Trail(Vec<(usize, usize)>);

impl Trail {
    fn shift(&mut self, packing: &mut Packing<'_>, thing: usize, tub: usize) {
        self.0.extend(packing.take(thing).map(|from| (thing, from)));
        packing.put(thing, tub);
    }

    fn undo(self, packing: &mut Packing<'_>) {
        for (thing, from) in self.0.into_iter().rev() {
            packing.shift(thing, from);
        }
    }
}

fn go_to_group(
    packing: &mut Packing<'_>,
    thing: usize,
    others: &[usize],
    trail: &mut Trail,
    steps: &mut Steps,
) -> bool {
    if !steps.spend(others.len()) {
        return false;
    }
    match best(packing, thing, others) {
        Some(to) => {
            trail.shift(packing, thing, to);
            true
        }
        None => others.iter().any(|to| swap_in(packing, thing, *to, trail, steps)),
    }
}

/// Puts a thing into a tub from which another, without a group or with some of it here, comes here.
fn swap_in(packing: &mut Packing<'_>, thing: usize, to: usize, trail: &mut Trail, steps: &mut Steps) -> bool {
    let Some(tub) = packing.at[thing] else { return false };
    let loose = |other: &usize| {
        let is_loose = packing.model.things[*other].group.is_none() || packing.holds_group_of(*other, tub);
        is_loose && packing.model.is_movable(*other)
    };
    for other in packing.tubs[to].things.iter().copied().filter(loose).collect::<Vec<_>>() {
        if !steps.spend(1) {
            return false;
        }
        if may_swap(packing, thing, other) {
            trail.shift(packing, thing, to);
            trail.shift(packing, other, tub);
            return true;
        }
    }
    false
}

/// Whether two things may change places, by what the tubs hold then.
fn may_swap(packing: &mut Packing<'_>, thing: usize, other: usize) -> bool {
    let (Some(tub), Some(to)) = (packing.take(thing), packing.take(other)) else { return false };
    let may = packing.takes(thing, to) && packing.takes(other, tub);
    packing.put(thing, tub);
    packing.put(other, to);
    may
}
