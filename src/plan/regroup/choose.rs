//! Which tubs are to be used, where so many of them are: those with many things in them, so that little moves, and as far
//! as needed those that hold much.

use super::{
    BinRule,
    model::{Model, Sum},
};

/// How much what a tub holds counts beside the things that are in it, in eighths.
const SHARES: [u64; 6] = [0, 1, 2, 4, 6, 8];

/// Sets of tubs of a size into which all might go, the ones for which least moves first.
pub(super) fn sets(model: &Model, used: usize) -> Vec<Vec<usize>> {
    let mut sets: Vec<Vec<usize>> = SHARES.iter().map(|share| set(model, used, *share)).collect();
    sets.dedup();
    sets.retain(|set| is_possible(model, set));
    sets
}

fn set(model: &Model, used: usize, share: u64) -> Vec<usize> {
    let most_things = model.count.iter().copied().max().unwrap_or_default().max(1);
    let most_held = (0..model.tubs.len()).map(|tub| model.bulk.of(model.ceiling(tub))).max().unwrap_or_default().max(1);
    let worth = |tub: usize| {
        let things = model.count[tub] as u64 * 1000 / most_things as u64;
        let held = u128::from(model.bulk.of(model.ceiling(tub))) * 1000 / u128::from(most_held);
        things * (8 - share) + u64::try_from(held).unwrap_or_default() * share
    };
    let is_usable = |tub: &usize| model.count[*tub] > 0 || model.most[*tub].is_some();
    let mut tubs: Vec<usize> = (0..model.tubs.len()).filter(is_usable).filter(|tub| !model.must_go(*tub)).collect();
    tubs.sort_by_cached_key(|tub| std::cmp::Reverse((model.is_forced[*tub], worth(*tub), model.now[*tub].millilitres)));
    tubs.truncate(used);
    tubs.sort_unstable();
    tubs
}

/// Whether a set holds all and no tub too many is freed.
pub(super) fn is_possible(model: &Model, set: &[usize]) -> bool {
    let held = set.iter().map(|tub| model.ceiling(*tub)).sum::<Sum>();
    let is_closed = |tub: &usize| model.count[*tub] > 0 && !set.contains(tub);
    let closed: Vec<usize> = (0..model.tubs.len()).filter(is_closed).collect();
    let freed = closed.iter().filter(|tub| !model.must_go(**tub)).count();
    let is_kept = closed.iter().any(|tub| model.tubs[*tub].rule == BinRule::Keep);
    model.total().is_within(held) && freed <= model.free && !is_kept
}
