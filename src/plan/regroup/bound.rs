//! What no plan can better: how many tubs are used at least, how many of a group's at least, and how much is moved at
//! least.
//!
//! Tubs: what all things take up and weigh, filled into the tubs that hold most; and things that are too big for two of
//! them to share a tub, with what does not go beside them (the bound L2 of Martello and Toth, "Lower bounds and reduction
//! procedures for the bin packing problem", Discrete Applied Mathematics 28 (1990) 59-70, from memory).

use super::{
    model::{Model, Sum},
    packing::Score,
};

/// No plan uses fewer tubs.
pub(super) fn tubs_at_least(model: &Model) -> usize {
    let by_wish = model.count.iter().zip(0..).filter(|(count, tub)| **count > 0 && !model.must_go(*tub)).count();
    let volume = |sum: Sum| sum.millilitres;
    let weight = |sum: Sum| sum.grams;
    [by_sum(model, volume), by_sum(model, weight), by_size(model, volume), by_size(model, weight)]
        .into_iter()
        .chain([by_wish.saturating_sub(model.free)])
        .max()
        .unwrap_or_default()
}

/// Those that hold something in any plan, then those that hold most, until all is in.
fn by_sum(model: &Model, figure: impl Fn(Sum) -> u64) -> usize {
    let mut tubs: Vec<(bool, u64)> =
        (0..model.tubs.len()).map(|tub| (model.is_forced[tub], figure(model.ceiling(tub)))).collect();
    tubs.sort_unstable_by(|one, other| other.cmp(one));
    let (mut left, mut needed) = (figure(model.total()), 0);
    for (is_forced, most) in tubs {
        needed += usize::from(is_forced || left > 0);
        left = left.saturating_sub(most);
    }
    needed.max(usize::from(!model.things.is_empty()))
}

/// The bound L2, as if each tub were as large as the largest.
fn by_size(model: &Model, figure: impl Fn(Sum) -> u64) -> usize {
    let largest = (0..model.tubs.len()).map(|tub| figure(model.ceiling(tub))).max().unwrap_or_default();
    let mut sizes: Vec<u64> = model.things.iter().map(|thing| figure(Sum::of(thing)).min(largest)).collect();
    sizes.sort_unstable();
    let mut small: Vec<u64> = sizes.iter().copied().filter(|size| *size * 2 <= largest).collect();
    small.push(0);
    small.dedup();
    small.into_iter().map(|least| at_threshold(&sizes, largest, least)).max().unwrap_or_default()
}

/// Things of at most half a tub that are smaller than `least` count for nothing. Those that leave less than `least` beside
/// them have a tub of their own; in what the other large ones leave, the small ones go.
fn at_threshold(sizes: &[u64], largest: u64, least: u64) -> usize {
    let half = sizes.partition_point(|size| size * 2 <= largest);
    let alone = sizes.partition_point(|size| size + least <= largest).max(half);
    let from = sizes.partition_point(|size| *size < least).min(half);
    let beside: u64 = sizes[half..alone].iter().map(|size| largest - size).sum();
    let small: u64 = sizes[from..half].iter().sum();
    let more = small.saturating_sub(beside).checked_div(largest).unwrap_or_default();
    let has_rest = small.saturating_sub(beside) > more * largest;
    sizes.len() - half + usize::try_from(more).unwrap_or_default() + usize::from(has_rest)
}

/// No plan that uses so many tubs has a better score.
pub(super) fn score_at_least(model: &Model, used: usize) -> Score {
    let moved = moved_at_least(model, used);
    Score { used, spread: spread_at_least(model), moved, carried: carried_at_least(model) }
}

/// The things in tubs that must be emptied, and those in the tubs with the fewest things of those that must be freed.
fn moved_at_least(model: &Model, used: usize) -> usize {
    let is_full = |tub: &usize| model.count[*tub] > 0;
    let must: usize = (0..model.tubs.len()).filter(|tub| model.must_go(*tub)).map(|tub| model.count[tub]).sum();
    let stay: Vec<usize> = (0..model.tubs.len()).filter(is_full).filter(|tub| !model.must_go(*tub)).collect();
    let mut counts: Vec<usize> =
        stay.iter().filter(|tub| !model.is_forced[**tub]).map(|tub| model.count[*tub]).collect();
    counts.sort_unstable();
    must + counts.iter().take(stay.len().saturating_sub(used)).sum::<usize>()
}

/// The tubs of all groups.
fn spread_at_least(model: &Model) -> usize {
    let mut kept = vec![Vec::new(); model.groups];
    for (thing, now) in model.things.iter().enumerate() {
        if let (Some(group), false) = (now.group, model.is_movable(thing)) {
            kept[group].push(now.tub);
        }
    }
    for tubs in &mut kept {
        tubs.sort_unstable();
        tubs.dedup();
    }
    kept.iter().zip(groups_at_least(model)).map(|(tubs, least)| tubs.len().max(least)).sum()
}

/// Of each group, the tubs that hold it, if these are the ones that hold most.
pub(super) fn groups_at_least(model: &Model) -> Vec<usize> {
    let mut sums = vec![Sum::default(); model.groups];
    for thing in &model.things {
        if let Some(group) = thing.group {
            sums[group] = sums[group].plus(Sum::of(thing));
        }
    }
    let volumes = largest_first(model, |sum| sum.millilitres);
    let weights = largest_first(model, |sum| sum.grams);
    sums.iter().map(|sum| count_to(&volumes, sum.millilitres).max(count_to(&weights, sum.grams)).max(1)).collect()
}

fn largest_first(model: &Model, figure: impl Fn(Sum) -> u64) -> Vec<u64> {
    let mut figures: Vec<u64> = (0..model.tubs.len()).map(|tub| figure(model.ceiling(tub))).collect();
    figures.sort_unstable_by_key(|figure| std::cmp::Reverse(*figure));
    figures
}

/// How many of the first figures it takes to come to a sum; all where they don't.
fn count_to(figures: &[u64], mut sum: u64) -> usize {
    let is_needed = |figure: &&u64| {
        let is_needed = sum > 0;
        sum = sum.saturating_sub(**figure);
        is_needed
    };
    figures.iter().take_while(is_needed).count()
}

/// The things that must move and fit nowhere in their own area.
fn carried_at_least(model: &Model) -> usize {
    let is_carried = |thing: &usize| {
        let from = model.things[*thing].tub;
        let is_near = |to: usize| model.tubs[to].area == model.tubs[from].area && model.may_enter(*thing, to);
        model.must_go(from) && !(0..model.tubs.len()).any(is_near)
    };
    (0..model.things.len()).filter(is_carried).count()
}
