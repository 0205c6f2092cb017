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

/// Lets two things that move change their targets, so that one of them goes home, or less is carried.
fn exchange(packing: &mut Packing<'_>, steps: &mut Steps) {
    let area = |tub: Option<usize>| tub.map(|tub| packing.model.tubs[tub].area);
    let moved = moved(packing);
    let mut is_far = vec![false; packing.at.len()];
    for &thing in &moved {
        is_far[thing] = area(packing.at[thing]) != area(Some(packing.model.things[thing].tub));
    }
    for &thing in moved.iter().filter(|thing| is_far[**thing]) {
        for &other in &moved {
            if !steps.spend(1) {
                return;
            }
            try_exchange(packing, &[thing], &[other]);
        }
    }
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
    for group in 0..packing.model.groups {
        let is_of = |thing: &usize| packing.model.things[*thing].group == Some(group);
        let things: Vec<usize> = (0..packing.at.len()).filter(is_of).collect();
        for tub in 0..packing.tubs.len() {
            let here: Vec<usize> = things.iter().copied().filter(|thing| packing.at[*thing] == Some(tub)).collect();
            let mut others: Vec<usize> = things.iter().filter_map(|thing| packing.at[*thing]).collect();
            others.sort_unstable();
            others.dedup();
            others.retain(|other| *other != tub);
            let can_move = !here.is_empty() && here.iter().all(|thing| packing.model.is_movable(*thing));
            if can_move && !others.is_empty() {
                try_gather(packing, here, tub, &others, steps);
            }
        }
    }
}

/// Each thing goes where there is room, else in the place of one without a group, which comes here.
fn try_gather(packing: &mut Packing<'_>, mut here: Vec<usize>, tub: usize, others: &[usize], steps: &mut Steps) {
    let kept = packing.clone();
    packing.sort(&mut here);
    for thing in here {
        packing.take(thing);
        let goes = match best(packing, thing, others) {
            Some(to) => {
                packing.put(thing, to);
                true
            }
            None => others.iter().any(|to| swap_in(packing, thing, tub, *to, steps)),
        };
        if !goes {
            *packing = kept;
            return;
        }
    }
    if !is_better(packing, kept.score) {
        *packing = kept;
    }
}

/// Puts a thing that is taken out into a tub from which another comes here.
fn swap_in(packing: &mut Packing<'_>, thing: usize, tub: usize, to: usize, steps: &mut Steps) -> bool {
    let loose = |other: &usize| {
        let is_loose = packing.model.things[*other].group.is_none() || packing.holds_group_of(*other, tub);
        is_loose && packing.model.is_movable(*other)
    };
    for other in packing.tubs[to].things.iter().copied().filter(loose).collect::<Vec<_>>() {
        if !steps.spend(1) {
            return false;
        }
        packing.take(other);
        if packing.takes(thing, to) {
            packing.put(thing, to);
            if packing.takes(other, tub) {
                packing.put(other, tub);
                return true;
            }
            packing.take(thing);
        }
        packing.put(other, to);
    }
    false
}
