//! Which bins new items go into: where they fill best what is left, or in as few bins as possible.
//!
//! Start with [`best_fits`] for one item, [`fit`] and [`fit_together`] for many. Bins and items are plain data. Litres are
//! added up: whether shapes lie beside each other is not looked at, but for the longest edge, which has to fit the bin's
//! diagonal. A bin of which no volume is known takes nothing here.

use std::cmp::Reverse;

use super::{Capacity, Load};

/// More items are placed without a search: it would go too deep, and prove nothing.
const DEEPEST: usize = 500;

/// A bin and what is in it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tubful {
    /// What it holds.
    pub capacity: Capacity,
    /// What its items take up.
    pub millilitres: u64,
    /// What they weigh.
    pub grams: u64,
}

impl Tubful {
    /// Whether it takes one more item, by volume, weight and diagonal.
    #[must_use]
    pub fn takes(&self, load: &Load) -> bool {
        let volume = self.millilitres + u64::from(load.millilitres);
        let weight = self.grams + u64::from(load.grams);
        self.capacity.millilitres.is_some_and(|most| volume <= u64::from(most))
            && self.capacity.grams.is_none_or(|most| weight <= u64::from(most))
            && load.longest_mm.zip(self.capacity.longest_mm).is_none_or(|(edge, most)| edge <= most)
    }

    /// The millilitres that are left.
    #[must_use]
    pub fn left(&self) -> u64 {
        self.capacity.millilitres.map_or(0, u64::from).saturating_sub(self.millilitres)
    }

    /// Puts an item in.
    pub fn add(&mut self, load: &Load) {
        self.millilitres += u64::from(load.millilitres);
        self.grams += u64::from(load.grams);
    }

    /// Takes an item out.
    fn remove(&mut self, load: &Load) {
        self.millilitres -= u64::from(load.millilitres);
        self.grams -= u64::from(load.grams);
    }
}

/// What bins lack for an item that none of them takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lack {
    /// It is longer than each of them.
    Length,
    /// None has as much room left, of those that it is not too long for.
    Volume,
    /// Those with room may not become as heavy.
    Weight,
}

impl Lack {
    /// Why none of these bins takes it.
    #[must_use]
    pub fn of(bins: &[Tubful], load: &Load) -> Self {
        let by = |edge: Option<u32>, millilitres: u32| {
            let part = Load { longest_mm: edge, millilitres, ..Load::default() };
            bins.iter().any(|bin| Tubful { grams: 0, ..*bin }.takes(&part))
        };
        let is_short = bins.iter().any(|bin| {
            let empty = Tubful { capacity: bin.capacity, ..Tubful::default() };
            empty.takes(&Load { longest_mm: load.longest_mm, ..Load::default() })
        });
        match is_short {
            false => Self::Length,
            true if by(load.longest_mm, load.millilitres) => Self::Weight,
            true => Self::Volume,
        }
    }

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Length => "too long",
            Self::Volume => "too big for the room that is left",
            Self::Weight => "too heavy for the bins with room",
        }
    }
}

/// The places of the bins that take an item, the one with the least room left first; of equals the first.
#[must_use]
pub fn best_fits(bins: &[Tubful], load: &Load) -> Vec<usize> {
    let mut found: Vec<usize> = (0..bins.len()).filter(|at| bins[*at].takes(load)).collect();
    found.sort_by_key(|at| bins[*at].left());
    found
}

/// The bin of each item, by its place; none where no bin takes it any more. Best fit decreasing: the largest first, each
/// where the least room is left.
#[must_use]
pub fn fit(bins: &[Tubful], loads: &[Load]) -> Vec<Option<usize>> {
    let all: Vec<usize> = (0..bins.len()).collect();
    fit_within(bins, &all, loads)
}

fn fit_within(bins: &[Tubful], open: &[usize], loads: &[Load]) -> Vec<Option<usize>> {
    let mut bins = bins.to_vec();
    let mut places = vec![None; loads.len()];
    for item in largest_first(loads) {
        let load = &loads[item];
        let best = open.iter().filter(|at| bins[**at].takes(load)).min_by_key(|at| bins[**at].left());
        if let Some(at) = best {
            bins[*at].add(load);
            places[item] = Some(*at);
        }
    }
    places
}

/// Of equal volume the heavier ones first.
fn largest_first(loads: &[Load]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..loads.len()).collect();
    order.sort_by_key(|at| Reverse((loads[*at].millilitres, loads[*at].grams)));
    order
}

/// The bin of each item, by its place, so that as many as possible find one, and these in as few bins as possible. One
/// bin that takes them all is the one with the least room left. The search ends after so many steps with the best that
/// it has found: the same steps give the same on any machine. Some thousands prove a dozen of items.
#[must_use]
pub fn fit_together(bins: &[Tubful], loads: &[Load], steps: u64) -> Vec<Option<usize>> {
    if let Some(only) = one_for_all(bins, loads) {
        return vec![Some(only); loads.len()];
    }
    let greedy = fewest_by_fit(bins, loads);
    let order: Vec<usize> =
        largest_first(loads).into_iter().filter(|item| bins.iter().any(|bin| bin.takes(&loads[*item]))).collect();
    if order.len() > DEEPEST {
        return greedy;
    }
    let mut search = Search {
        loads,
        bins: bins.to_vec(),
        by_room: by_room(bins),
        used: vec![0; bins.len()],
        behind: volumes_behind(&order, loads),
        order,
        places: vec![None; loads.len()],
        best_score: score(&greedy, loads.len() - count_fitting(bins, loads)),
        best: greedy,
        steps,
    };
    search.go(0, Score::default());
    search.best
}

/// The bin with the least room left of those that take all of it.
fn one_for_all(bins: &[Tubful], loads: &[Load]) -> Option<usize> {
    let takes_all = |at: &usize| {
        let mut bin = bins[*at];
        loads.iter().all(|load| {
            let takes = bin.takes(load);
            bin.add(load);
            takes
        })
    };
    let volume: u64 = loads.iter().map(|load| u64::from(load.millilitres)).sum();
    let large = (0..bins.len()).filter(|at| bins[*at].left() >= volume);
    large.filter(takes_all).min_by_key(|at| bins[*at].left())
}

fn by_room(bins: &[Tubful]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..bins.len()).collect();
    order.sort_by_key(|at| Reverse(bins[*at].left()));
    order
}

/// Into the bins with the most room, more and more of them, until all that can go in are in.
fn fewest_by_fit(bins: &[Tubful], loads: &[Load]) -> Vec<Option<usize>> {
    let (order, fitting) = (by_room(bins), count_fitting(bins, loads));
    let volume: u64 = loads.iter().map(|load| u64::from(load.millilitres)).sum();
    let mut room = 0;
    let enough = order.iter().position(|at| {
        room += bins[*at].left();
        room >= volume
    });
    let mut open = enough.map_or(order.len(), |at| at + 1);
    while open < order.len() {
        let places = fit_within(bins, &order[..open], loads);
        if places.iter().flatten().count() == fitting {
            return places;
        }
        // A sixteenth more, so that an import of thousands is not tried thousands of times.
        open += 1 + open / 16;
    }
    fit_within(bins, &order, loads)
}

/// How many items find a bin if they are asked one by one.
fn count_fitting(bins: &[Tubful], loads: &[Load]) -> usize {
    loads.iter().filter(|load| bins.iter().any(|bin| bin.takes(load))).count()
}

/// How many items find no bin though one would take them alone, then how many bins are used: less is better.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Score {
    left: usize,
    bins: usize,
}

/// Of places of all items, `hopeless` of which no bin takes.
fn score(places: &[Option<usize>], hopeless: usize) -> Score {
    let mut used: Vec<usize> = places.iter().flatten().copied().collect();
    let left = places.len() - used.len() - hopeless;
    used.sort_unstable();
    used.dedup();
    Score { left, bins: used.len() }
}

/// The millilitres of each item of the order and all behind it.
fn volumes_behind(order: &[usize], loads: &[Load]) -> Vec<u64> {
    let mut behind = vec![0; order.len() + 1];
    for (at, item) in order.iter().enumerate().rev() {
        behind[at] = behind[at + 1] + u64::from(loads[*item].millilitres);
    }
    behind
}

/// A search through all ways of putting the items in, that leaves those out that can't be better than the best so far.
struct Search<'a> {
    loads: &'a [Load],
    bins: Vec<Tubful>,
    /// The bins, those with the most room at the beginning first.
    by_room: Vec<usize>,
    /// How many of the items are in each bin.
    used: Vec<u32>,
    /// The items that any bin takes, the largest first.
    order: Vec<usize>,
    behind: Vec<u64>,
    places: Vec<Option<usize>>,
    best: Vec<Option<usize>>,
    best_score: Score,
    steps: u64,
}

impl Search<'_> {
    fn go(&mut self, depth: usize, so_far: Score) {
        if self.steps == 0 || so_far >= self.best_score || self.is_hopeless(depth, so_far) {
            return;
        }
        self.steps -= 1;
        let Some(item) = self.order.get(depth).copied() else {
            (self.best, self.best_score) = (self.places.clone(), so_far);
            return;
        };
        for bin in self.choices(item) {
            self.put(item, bin);
            let bins = so_far.bins + usize::from(self.used[bin] == 1);
            self.go(depth + 1, Score { bins, ..so_far });
            self.take_out(item, bin);
        }
        self.go(depth + 1, Score { left: so_far.left + 1, ..so_far });
    }

    /// Whether what is left to place needs more bins than would be better. Where one more may be left out, more bins may
    /// be worth it.
    fn is_hopeless(&self, depth: usize, so_far: Score) -> bool {
        if so_far.left < self.best_score.left {
            return false;
        }
        let open: u64 = (0..self.bins.len()).filter(|at| self.used[*at] > 0).map(|at| self.bins[at].left()).sum();
        let mut missing = self.behind[depth].saturating_sub(open);
        let mut fresh = self.by_room.iter().filter(|at| self.used[**at] == 0);
        let mut bins = so_far.bins;
        while missing > 0 {
            let Some(at) = fresh.next() else { return true };
            missing = missing.saturating_sub(self.bins[*at].left().max(1));
            bins += 1;
        }
        bins >= self.best_score.bins
    }

    /// Bins that are used already, the one with the least room first; then fresh ones, one of each sort, the largest first.
    fn choices(&self, item: usize) -> Vec<usize> {
        let load = &self.loads[item];
        let takes = |at: &usize| self.bins[*at].takes(load);
        let mut found: Vec<usize> =
            self.by_room.iter().copied().filter(|at| self.used[*at] > 0).filter(takes).collect();
        found.sort_by_key(|at| self.bins[*at].left());
        for at in self.by_room.iter().copied().filter(|at| self.used[*at] == 0).filter(takes) {
            let is_known = found.iter().any(|known| self.used[*known] == 0 && self.bins[*known] == self.bins[at]);
            if !is_known {
                found.push(at);
            }
        }
        found
    }

    fn put(&mut self, item: usize, bin: usize) {
        self.bins[bin].add(&self.loads[item]);
        self.used[bin] += 1;
        self.places[item] = Some(bin);
    }

    fn take_out(&mut self, item: usize, bin: usize) {
        self.bins[bin].remove(&self.loads[item]);
        self.used[bin] -= 1;
        self.places[item] = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tub(litres: u32, used: u64) -> Tubful {
        let capacity = Capacity { millilitres: Some(litres * 1000), ..Capacity::default() };
        Tubful { capacity, millilitres: used * 1000, grams: 0 }
    }

    fn thing(litres: u32) -> Load {
        Load { millilitres: litres * 1000, ..Load::default() }
    }

    #[test]
    fn an_item_goes_where_the_least_is_left() {
        let bins = [tub(36, 0), tub(36, 30), tub(36, 33), tub(10, 0), Tubful::default()];
        assert_eq!(best_fits(&bins, &thing(4)), [1, 3, 0]);
        assert_eq!(best_fits(&bins, &thing(37)), [] as [usize; 0]);
        assert_eq!(fit(&bins, &[thing(3), thing(6), thing(40)]), [Some(2), Some(1), None]);
    }

    #[test]
    fn weight_and_the_diagonal_count() {
        let capacity = Capacity { millilitres: Some(9000), grams: Some(2000), longest_mm: Some(500) };
        let bins = [Tubful { capacity, millilitres: 0, grams: 1500 }];
        let load = |grams, longest_mm| Load { millilitres: 100, grams, longest_mm, ..Load::default() };
        let cases = [(500, None, true), (501, None, false), (0, Some(500), true), (0, Some(501), false)];
        for (grams, edge, fits) in cases {
            assert_eq!(best_fits(&bins, &load(grams, edge)).len(), usize::from(fits), "{grams} {edge:?}");
        }
    }

    #[test]
    fn together_fills_one_bin_that_takes_them_all() {
        let bins = [tub(36, 34), tub(36, 20), tub(36, 10), tub(60, 0)];
        let loads = [thing(2), thing(5), thing(9)];
        assert_eq!(fit(&bins, &loads), [Some(0), Some(1), Some(1)]);
        // 16 l: 4A has 2 l left, 4B exactly 16.
        assert_eq!(fit_together(&bins, &loads, 1000), [Some(1); 3]);
        assert_eq!(fit_together(&bins, &[], 1000), []);
    }
}
