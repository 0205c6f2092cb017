//! Packs all that may move anew, tub by tub, each as full as it gets.
//!
//! A tub takes the bulkiest thing that is left, then what was in it before, then others: with each choice undone again for
//! a while, until little room is left (after Gupta and Ho, "A new heuristic algorithm for the one-dimensional bin-packing
//! problem", Production Planning & Control 10 (1999) 598-603, from memory).

use super::{model::Sum, packing::Packing, steps::Steps};

/// How many choices are tried for a tub.
const TRIES: usize = 2000;

/// Packs all that may move into open tubs, and says what is left over.
pub(super) fn repack(packing: &mut Packing<'_>, open: &[usize], steps: &mut Steps) -> Vec<usize> {
    let mut pool = packing.take_all(|_| true);
    let mut order = open.to_vec();
    order.sort_by_key(|tub| (std::cmp::Reverse(packing.model.bulk.of(packing.room(*tub))), *tub));
    let slack = slack(packing, open, &pool);
    for tub in order {
        let chosen = choose(packing, tub, &pool, slack, steps);
        pool.retain(|thing| !chosen.contains(thing));
        for thing in chosen {
            packing.put(thing, tub);
        }
    }
    pool
}

/// What each tub may leave empty.
fn slack(packing: &Packing<'_>, open: &[usize], pool: &[usize]) -> u64 {
    let bulk = packing.model.bulk;
    let room: u64 = open.iter().map(|tub| bulk.of(packing.room(*tub))).fold(0, u64::saturating_add);
    let needed: u64 = pool.iter().map(|thing| packing.model.bulk_of(*thing)).fold(0, u64::saturating_add);
    room.saturating_sub(needed) / (open.len().max(1) as u64)
}

/// What goes into a tub.
fn choose(packing: &Packing<'_>, tub: usize, pool: &[usize], slack: u64, steps: &mut Steps) -> Vec<usize> {
    let is_home = |thing: &usize| packing.model.things[*thing].tub == tub;
    let mut order: Vec<usize> = pool.iter().copied().filter(|thing| packing.takes(*thing, tub)).collect();
    let rest = order.len().min(1);
    order[rest..].sort_by_key(|thing| !is_home(thing));
    let loads: Vec<Sum> = order.iter().map(|thing| Sum::of(&packing.model.things[*thing])).collect();
    let mut fill = Fill { packing, loads, slack, chosen: Vec::new(), best: (u64::MAX, Vec::new()), tries: TRIES };
    fill.fill(0, packing.room(tub), steps);
    fill.best.1.into_iter().map(|place| order[place]).collect()
}

struct Fill<'p> {
    packing: &'p Packing<'p>,
    loads: Vec<Sum>,
    slack: u64,
    chosen: Vec<usize>,
    /// The room that is left, and what is chosen then.
    best: (u64, Vec<usize>),
    tries: usize,
}

impl Fill<'_> {
    /// Whether it is full enough.
    fn fill(&mut self, from: usize, room: Sum, steps: &mut Steps) -> bool {
        let left = self.packing.model.bulk.of(Sum { grams: room.grams.min(super::model::UNLIMITED), ..room });
        if left < self.best.0 {
            self.best = (left, self.chosen.clone());
        }
        let mut before = None;
        for place in from..self.loads.len() {
            let load = self.loads[place];
            if before == Some(load) || !load.is_within(room) {
                continue;
            }
            if self.best.0 <= self.slack || self.tries == 0 || !steps.spend(place - from + 1) {
                return true;
            }
            (self.tries, before) = (self.tries - 1, Some(load));
            self.chosen.push(place);
            let is_done = self.fill(place + 1, room.minus(load), steps);
            self.chosen.pop();
            if is_done || (from == 0 && place == 0) {
                return true;
            }
        }
        self.best.0 <= self.slack
    }
}
