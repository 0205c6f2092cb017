//! Moves put into an order of trips that can be carried out.
//!
//! Start with [`trips`]. On a trip things are taken first, from one bin or several, and then put; whenever something is
//! put, its bin has room for it. What stays within an area, or goes from one area into another, is a trip of its own as
//! far as that goes, and what is taken from a bin is not spread over trips without need. Where bins wait for each other in a circle that is too much to be carried at once, things
//! are taken on an earlier trip and wait in a holding box. How long a way takes is not known here.

mod circle;

use std::collections::BTreeSet;

use super::{Load, Thing, Tub};
use circle::Circle;

/// What is carried on a trip at most. A single thing that is more is carried alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Armful {
    /// So many things.
    pub things: usize,
    /// All that they take up.
    pub millilitres: u64,
    /// All that they weigh.
    pub grams: u64,
}

/// What a trip is planned with: the bins in the order in which they are walked past.
#[derive(Debug, Clone, Copy)]
pub struct Floor<'a> {
    /// The bins.
    pub tubs: &'a [Tub],
    /// For each bin its place in walking order.
    pub walk: &'a [usize],
    /// What is in them.
    pub things: &'a [Thing],
    /// What is carried at most.
    pub armful: Armful,
}

/// A thing on its way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Carry {
    /// Which, by its place among the things.
    pub thing: usize,
    /// The place of the bin that it comes from.
    pub from: usize,
    /// The place of the bin that it goes to.
    pub to: usize,
    /// The trip, from 1, on which it is taken.
    pub taken_on: usize,
    /// The trip on which it is put; on a later one than it is taken where it waits in the holding box.
    pub put_on: usize,
}

impl Carry {
    /// Whether it waits in the holding box.
    #[must_use]
    pub fn is_held(&self) -> bool {
        self.taken_on < self.put_on
    }
}

/// What is taken and put on one trip, by the places of moves.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Step {
    takes: Vec<usize>,
    puts: Vec<usize>,
    /// The areas that all of it comes from and goes to; nothing where moves wait for each other.
    way: Option<(u16, u16)>,
}

impl Step {
    fn whole(moves: Vec<usize>) -> Self {
        Self { takes: moves.clone(), puts: moves, way: None }
    }
}

/// What is carried.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct Sum {
    things: usize,
    millilitres: u64,
    grams: u64,
}

impl Sum {
    fn add(&mut self, load: &Load) {
        self.things += 1;
        self.millilitres += u64::from(load.millilitres);
        self.grams += u64::from(load.grams);
    }

    fn take(&mut self, load: &Load) {
        self.things = self.things.saturating_sub(1);
        self.millilitres = self.millilitres.saturating_sub(load.millilitres.into());
        self.grams = self.grams.saturating_sub(load.grams.into());
    }

    fn fits(&self, armful: &Armful) -> bool {
        let is_within =
            self.things <= armful.things && self.millilitres <= armful.millilitres && self.grams <= armful.grams;
        self.things <= 1 || is_within
    }

    /// Whether a bin has room for all of this. One of which no volume is known has.
    fn fits_into(&self, tub: &Tub) -> bool {
        let most = tub.capacity;
        most.millilitres.is_none_or(|most| self.millilitres <= most.into())
            && most.grams.is_none_or(|most| self.grams <= most.into())
    }
}

/// Puts moves, each a thing and the place of the bin that it goes to, into an order of trips; by the trips on which
/// things are taken, and on each in walking order. What fits nowhere in the end is put all the same, on the last trips.
#[must_use]
pub fn trips(floor: &Floor<'_>, moves: &[(usize, usize)]) -> Vec<Carry> {
    let mut stock = Stock::new(floor, moves);
    let mut steps = Vec::new();
    while !stock.open.is_empty() {
        let free = stock.free();
        if free.is_empty() {
            steps.extend(stock.circle());
        } else {
            steps.extend(stock.of_bins(&free));
            for one in free {
                stock.carry(one);
            }
        }
    }
    let joined = stock.joined(&steps);
    stock.carries(&joined)
}

/// The bins while moves are carried out one after the other.
struct Stock<'a> {
    floor: &'a Floor<'a>,
    moves: &'a [(usize, usize)],
    /// What is in each bin.
    sums: Vec<Sum>,
    /// Moves that are not planned yet.
    open: Vec<usize>,
}

impl<'a> Stock<'a> {
    fn new(floor: &'a Floor<'a>, moves: &'a [(usize, usize)]) -> Self {
        let mut sums = vec![Sum::default(); floor.tubs.len()];
        floor.things.iter().for_each(|thing| sums[thing.tub].add(&thing.load));
        Self { floor, moves, sums, open: (0..moves.len()).collect() }
    }

    fn load(&self, one: usize) -> &'a Load {
        &self.floor.things[self.moves[one].0].load
    }

    fn from(&self, one: usize) -> usize {
        self.floor.things[self.moves[one].0].tub
    }

    fn to(&self, one: usize) -> usize {
        self.moves[one].1
    }

    /// Moves into bins that have room for all that is still to come into them, before anything more leaves them. They
    /// can be carried out in any order, and never stand in the way of others.
    fn free(&self) -> Vec<usize> {
        let mut coming = self.sums.clone();
        self.open.iter().for_each(|one| coming[self.to(*one)].add(self.load(*one)));
        let is_free = |one: &usize| coming[self.to(*one)].fits_into(&self.floor.tubs[self.to(*one)]);
        let mut free: Vec<usize> = self.open.iter().copied().filter(is_free).collect();
        free.sort_by_key(|one| self.walk(*one));
        free
    }

    /// First things of one area for one area, then by the bins in walking order.
    fn walk(&self, one: usize) -> [usize; 5] {
        let place = |tub: usize| self.floor.walk[tub];
        let area = |tub: usize| usize::from(self.floor.tubs[tub].area);
        // The first bin of an area in walking order stands for where the area comes.
        let area_place = |tub: usize| {
            let own = (0..self.floor.tubs.len()).filter(|other| area(*other) == area(tub));
            own.map(place).min().unwrap_or_default()
        };
        let (from, to) = (self.from(one), self.to(one));
        [area_place(from), area_place(to), place(from), place(to), self.moves[one].0]
    }

    fn carry(&mut self, one: usize) {
        let (from, to, load) = (self.from(one), self.to(one), self.load(one));
        self.sums[from].take(load);
        self.sums[to].add(load);
        self.open.retain(|other| *other != one);
    }

    /// Carries out the moves that hang together with the first one, where none is free.
    fn circle(&mut self) -> Vec<Step> {
        let mut bins: BTreeSet<usize> = self.open.first().map(|one| self.to(*one)).into_iter().collect();
        let touches = |one: &&usize, bins: &BTreeSet<usize>| {
            [self.from(**one), self.to(**one)].map(|tub| bins.contains(&tub)) != [false; 2]
        };
        loop {
            let more: Vec<usize> = self
                .open
                .iter()
                .filter(|one| touches(one, &bins))
                .flat_map(|one| [self.from(*one), self.to(*one)])
                .collect();
            let before = bins.len();
            bins.extend(more);
            if bins.len() == before {
                break;
            }
        }
        let mut members: Vec<usize> = self.open.iter().filter(|one| touches(one, &bins)).copied().collect();
        members.sort_unstable();
        let steps = Circle::new(self, &members).steps();
        for one in members {
            self.carry(one);
        }
        steps
    }

    /// Free moves in steps: all that is taken from a bin on its way into another area, where that is an armful.
    fn of_bins(&self, free: &[usize]) -> Vec<Step> {
        let area = |tub: usize| self.floor.tubs[tub].area;
        let way = |one: usize| (area(self.from(one)), area(self.to(one)));
        let is_together = |one: &usize, other: &usize| self.from(*one) == self.from(*other) && way(*one) == way(*other);
        let step = |moves: &[usize]| Step { way: moves.first().map(|one| way(*one)), ..Step::whole(moves.to_vec()) };
        free.chunk_by(is_together)
            .flat_map(|moves| {
                let at_once = if self.sum(moves).fits(&self.floor.armful) { moves.len() } else { 1 };
                moves.chunks(at_once).map(step).collect::<Vec<_>>()
            })
            .collect()
    }

    fn sum(&self, moves: &[usize]) -> Sum {
        let mut sum = Sum::default();
        for one in moves {
            sum.add(self.load(*one));
        }
        sum
    }

    /// Steps one behind the other, of one way, in as few trips as hold them: on a longer trip all is taken before anything is put, so
    /// that there is never less room than on the shorter ones.
    fn joined(&self, steps: &[Step]) -> Vec<Step> {
        let mut trips: Vec<Step> = Vec::new();
        for step in steps {
            let fits = |trip: &Step| {
                let (takes, puts) = ([&trip.takes[..], &step.takes].concat(), [&trip.puts[..], &step.puts].concat());
                trip.way == step.way
                    && self.sum(&takes).fits(&self.floor.armful)
                    && self.sum(&puts).fits(&self.floor.armful)
            };
            match trips.last_mut().filter(|trip| fits(trip)) {
                Some(trip) => {
                    trip.takes.extend(&step.takes);
                    trip.puts.extend(&step.puts);
                }
                None => trips.push(step.clone()),
            }
        }
        trips
    }

    fn carries(&self, trips: &[Step]) -> Vec<Carry> {
        let on = |one: usize, side: fn(&Step) -> &Vec<usize>| {
            trips.iter().position(|trip| side(trip).contains(&one)).map_or(1, |at| at + 1)
        };
        let carry = |one: usize| Carry {
            thing: self.moves[one].0,
            from: self.from(one),
            to: self.to(one),
            taken_on: on(one, |trip| &trip.takes),
            put_on: on(one, |trip| &trip.puts),
        };
        let mut carries: Vec<Carry> = (0..self.moves.len()).map(carry).collect();
        carries.sort_by_key(|carry| (carry.taken_on, self.floor.walk[carry.from], carry.thing));
        carries
    }
}

#[cfg(test)]
mod tests;
