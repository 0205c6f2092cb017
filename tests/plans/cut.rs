//! Questions built backwards from a known best answer: bins that are perfectly full are cut into things, and these are
//! scattered over more bins than are needed.

use fastrand::Rng;
use stowmark::plan::{Capacity, Load, Thing, Tub};

/// What things weigh.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weights {
    /// Nothing that matters.
    None,
    /// As much of what a bin may weigh as of what it holds: it is full in both ways.
    Alike,
    /// Anything, up to about three quarters of what a bin may weigh.
    Loose,
}

/// What is asked for.
#[derive(Debug, Clone, Copy)]
pub struct Cut {
    pub things: usize,
    pub tubs: usize,
    /// So many of the tubs hold all; fewer don't.
    pub optimum: usize,
    pub weights: Weights,
    /// Whether tubs have different sizes.
    pub is_mixed: bool,
}

impl Cut {
    pub fn build(self, seed: u64) -> (Vec<Tub>, Vec<Thing>) {
        let mut rng = Rng::with_seed(seed);
        let tubs: Vec<Tub> = (0..self.tubs).map(|number| self.tub(number)).collect();
        let mut loads = Vec::new();
        for (number, tub) in tubs[..self.optimum].iter().enumerate() {
            let count = self.things / self.optimum + usize::from(number < self.things % self.optimum);
            loads.extend(self.cut(&mut rng, &tub.capacity, count).into_iter().map(|load| (number, load)));
        }
        let things = scatter(&mut rng, &tubs, loads);
        (tubs, things)
    }

    /// Those of the best answer are the largest ones, so that no others hold more.
    fn tub(self, number: usize) -> Tub {
        let millilitres = match (self.is_mixed, number < self.optimum) {
            (true, true) => [64_000, 45_000, 36_000][number % 3],
            (true, false) => [36_000, 22_000, 15_000][number % 3],
            (false, _) => 36_000,
        };
        let grams = (self.weights != Weights::None).then_some(millilitres / 4);
        let capacity = Capacity { millilitres: Some(millilitres), grams, longest_mm: None };
        Tub { capacity, area: u16::try_from(number % 4).unwrap_or_default(), ..Tub::default() }
    }

    fn cut(self, rng: &mut Rng, capacity: &Capacity, count: usize) -> Vec<Load> {
        let whole = capacity.millilitres.unwrap_or_default();
        let mut cuts: Vec<u32> = (1..count).map(|_| rng.u32(1..whole)).collect();
        cuts.extend([0, whole]);
        cuts.sort_unstable();
        let load = |cut: &[u32]| {
            let grams = match self.weights {
                Weights::None => 0,
                // Cuts at the same places, so that what is rounded off one thing comes to the next.
                Weights::Alike => cut[1] / 4 - cut[0] / 4,
                Weights::Loose => (cut[1] - cut[0]) / 4 * rng.u32(50..=100) / 100,
            };
            Load { millilitres: cut[1] - cut[0], grams, ..Load::default() }
        };
        cuts.windows(2).map(load).collect()
    }
}

/// The bulkiest first, each into any tub where it fits; into its own one where there is none.
fn scatter(rng: &mut Rng, tubs: &[Tub], mut loads: Vec<(usize, Load)>) -> Vec<Thing> {
    loads.sort_by_key(|(_, load)| std::cmp::Reverse(load.millilitres));
    let mut filled = vec![(0, 0); tubs.len()];
    let mut place = |(own, load): (usize, Load)| {
        let fits = |tub: &usize| {
            let (volume, weight) = (filled[*tub].0 + load.millilitres, filled[*tub].1 + load.grams);
            let capacity = tubs[*tub].capacity;
            capacity.millilitres.is_some_and(|most| volume <= most) && capacity.grams.is_none_or(|most| weight <= most)
        };
        let tub = rng.choice((0..tubs.len()).filter(fits).collect::<Vec<_>>()).unwrap_or(own);
        filled[tub] = (filled[tub].0 + load.millilitres, filled[tub].1 + load.grams);
        Thing { tub, load, group: None }
    };
    let mut things: Vec<Thing> = loads.into_iter().map(&mut place).collect();
    rng.shuffle(&mut things);
    things
}
