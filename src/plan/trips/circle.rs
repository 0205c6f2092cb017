//! Moves that wait for each other: an order without a holding box where there is one, else one that holds few things.
//!
//! Start with [`Circle::steps`]. Up to [`EXACT`] moves all orders are looked at; beyond, room is made step by step.

use std::collections::HashSet;

use super::{Step, Stock, Sum};

/// Up to so many moves the least number of things is held.
const EXACT: usize = 10;

/// Moves that hang together, numbered from 0.
pub(super) struct Circle<'a> {
    stock: &'a Stock<'a>,
    members: Vec<usize>,
}

/// How far the moves of a circle are, a bit for each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
struct Done {
    taken: u64,
    put: u64,
}

impl<'a> Circle<'a> {
    pub(super) fn new(stock: &'a Stock<'a>, members: &[usize]) -> Self {
        Self { stock, members: members.to_vec() }
    }

    /// All of them, in steps that are carried at once.
    pub(super) fn steps(&self) -> Vec<Step> {
        let is_small = self.members.len() <= EXACT && self.fits_in_the_end();
        is_small.then(|| self.least_held()).flatten().unwrap_or_else(|| self.by_and_by())
    }

    fn fits_in_the_end(&self) -> bool {
        let mut sums = self.stock.sums.clone();
        for one in &self.members {
            sums[self.stock.from(*one)].take(self.stock.load(*one));
            sums[self.stock.to(*one)].add(self.stock.load(*one));
        }
        self.members.iter().all(|one| sums[self.stock.to(*one)].fits_into(&self.stock.floor.tubs[self.stock.to(*one)]))
    }

    /// An order that holds as few as can be: what is held may as well be taken before all others.
    fn least_held(&self) -> Option<Vec<Step>> {
        let all = (1_u64 << self.members.len()) - 1;
        let mut choices: Vec<u64> = (0..=all).collect();
        choices.sort_by_key(|held| held.count_ones());
        choices.into_iter().find_map(|held| {
            let first = bits(held).map(|at| Step { takes: vec![self.members[at]], puts: Vec::new(), way: None });
            let mut steps: Vec<Step> = first.collect();
            let start = Done { taken: held, put: 0 };
            self.search(start, all, &mut HashSet::new(), &mut steps).then_some(steps)
        })
    }

    /// Finishes the moves from here on, if that can be; `seen` are states from where it can't.
    fn search(&self, done: Done, all: u64, seen: &mut HashSet<u64>, steps: &mut Vec<Step>) -> bool {
        if done.put == all {
            return true;
        }
        if !seen.insert(done.put) {
            return false;
        }
        let left = all & !done.put;
        let mut batches: Vec<u64> =
            subsets(left).filter(|batch| self.can_carry(*batch, done) && self.has_room(*batch, done)).collect();
        // A large one is fewer trips.
        batches.sort_by_key(|batch| std::cmp::Reverse(batch.count_ones()));
        for batch in batches {
            let moves: Vec<usize> = bits(batch).map(|at| self.members[at]).collect();
            let takes = bits(batch & !done.taken).map(|at| self.members[at]).collect();
            steps.push(Step { takes, puts: moves, way: None });
            let next = Done { taken: done.taken | batch, put: done.put | batch };
            if self.search(next, all, seen, steps) {
                return true;
            }
            steps.pop();
        }
        false
    }

    fn can_carry(&self, batch: u64, done: Done) -> bool {
        let sum = |set: u64| {
            let mut sum = Sum::default();
            bits(set).for_each(|at| sum.add(self.stock.load(self.members[at])));
            sum
        };
        let armful = &self.stock.floor.armful;
        sum(batch).fits(armful) && sum(batch & !done.taken).fits(armful)
    }

    /// Whether all bins of a batch have room for it once all of it is taken.
    fn has_room(&self, batch: u64, done: Done) -> bool {
        let (taken, put) = (done.taken | batch, done.put | batch);
        bits(batch).all(|at| {
            let tub = self.stock.to(self.members[at]);
            let mut sum = self.stock.sums[tub];
            let of = |set: u64| bits(set).map(|at| self.members[at]);
            of(taken).filter(|one| self.stock.from(*one) == tub).for_each(|one| sum.take(self.stock.load(one)));
            of(put).filter(|one| self.stock.to(*one) == tub).for_each(|one| sum.add(self.stock.load(one)));
            sum.fits_into(&self.stock.floor.tubs[tub])
        })
    }

    /// Carries out what has room, a few at once where they make room for each other, and holds the smallest where
    /// nothing has.
    fn by_and_by(&self) -> Vec<Step> {
        let mut floor = Live::new(self.stock, &self.members);
        let mut steps = Vec::new();
        while !(floor.open.is_empty() && floor.held.is_empty()) {
            steps.push(floor.put_held().or_else(|| floor.batch()).unwrap_or_else(|| floor.hold()));
        }
        steps
    }
}

/// A large circle while it is carried out.
struct Live<'a> {
    stock: &'a Stock<'a>,
    sums: Vec<Sum>,
    open: Vec<usize>,
    held: Vec<usize>,
}

impl<'a> Live<'a> {
    fn new(stock: &'a Stock<'a>, members: &[usize]) -> Self {
        Self { stock, sums: stock.sums.clone(), open: members.to_vec(), held: Vec::new() }
    }

    fn has_room(&self, one: usize, sums: &[Sum]) -> bool {
        let tub = self.stock.to(one);
        let mut sum = sums[tub];
        sum.add(self.stock.load(one));
        sum.fits_into(&self.stock.floor.tubs[tub])
    }

    fn put_held(&mut self) -> Option<Step> {
        let at = self.held.iter().position(|one| self.has_room(*one, &self.sums));
        // With nothing left to be taken there is no more room to be made.
        let at = at.or((self.open.is_empty() && !self.held.is_empty()).then_some(0))?;
        let one = self.held.remove(at);
        self.sums[self.stock.to(one)].add(self.stock.load(one));
        Some(Step { takes: Vec::new(), puts: vec![one], way: None })
    }

    /// The smallest batch that is found: a move, and for the room that it lacks moves out of its bin, and so on.
    fn batch(&mut self) -> Option<Step> {
        let alone = self.open.iter().find(|one| self.has_room(**one, &self.sums)).map(|one| vec![*one]);
        let several = || self.open.iter().filter_map(|one| self.batch_of(*one)).min_by_key(Vec::len);
        let found = alone.or_else(several)?;
        for one in &found {
            self.sums[self.stock.from(*one)].take(self.stock.load(*one));
            self.sums[self.stock.to(*one)].add(self.stock.load(*one));
        }
        self.open.retain(|one| !found.contains(one));
        Some(Step::whole(found))
    }

    fn batch_of(&self, first: usize) -> Option<Vec<usize>> {
        let (mut batch, mut sums) = (vec![first], self.sums.clone());
        let carry = |one: usize, sums: &mut [Sum]| {
            sums[self.stock.from(one)].take(self.stock.load(one));
            sums[self.stock.to(one)].add(self.stock.load(one));
        };
        carry(first, &mut sums);
        while let Some(tub) = batch.iter().map(|one| self.stock.to(*one)).find(|tub| !self.fits(*tub, &sums)) {
            let out = self.open.iter().filter(|one| self.stock.from(**one) == tub && !batch.contains(one));
            let next = *out.min_by_key(|one| (!self.has_room(**one, &sums), self.stock.load(**one).millilitres))?;
            carry(next, &mut sums);
            batch.push(next);
            if !self.stock.sum(&batch).fits(&self.stock.floor.armful) {
                return None;
            }
        }
        Some(batch)
    }

    fn fits(&self, tub: usize, sums: &[Sum]) -> bool {
        sums[tub].fits_into(&self.stock.floor.tubs[tub])
    }

    /// Takes the smallest thing whose going makes room for another one; else the smallest.
    fn hold(&mut self) -> Step {
        let helps = |one: &usize| {
            let mut sums = self.sums.clone();
            sums[self.stock.from(*one)].take(self.stock.load(*one));
            self.open.iter().chain(&self.held).any(|other| other != one && self.has_room(*other, &sums))
        };
        let best = self.open.iter().min_by_key(|one| (!helps(one), self.stock.load(**one).millilitres)).copied();
        let takes: Vec<usize> = best.into_iter().collect();
        for one in &takes {
            self.sums[self.stock.from(*one)].take(self.stock.load(*one));
            self.held.push(*one);
        }
        self.open.retain(|one| !takes.contains(one));
        Step { takes, puts: Vec::new(), way: None }
    }
}

/// The places of the bits that are set.
fn bits(set: u64) -> impl Iterator<Item = usize> {
    (0..64).filter(move |at| set & (1 << at) != 0)
}

/// All parts of a set but the empty one.
fn subsets(set: u64) -> impl Iterator<Item = u64> {
    std::iter::successors((set != 0).then_some(set), move |part| Some((part - 1) & set).filter(|next| *next != 0))
}
