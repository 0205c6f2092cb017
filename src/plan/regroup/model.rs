//! The question in the form in which it is searched: what may move, what must, and how bulky things are.

use super::{BinRule, Thing, Tub, Wish};

/// What of a kind that is measured a tub or a thing has: volume in millilitres, weight in grams.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Sum {
    pub millilitres: u64,
    pub grams: u64,
}

impl Sum {
    pub fn of(thing: &Thing) -> Self {
        Self { millilitres: thing.load.millilitres.into(), grams: thing.load.grams.into() }
    }

    pub fn plus(self, other: Self) -> Self {
        let grams = self.grams.saturating_add(other.grams);
        Self { millilitres: self.millilitres.saturating_add(other.millilitres), grams }
    }

    pub fn minus(self, other: Self) -> Self {
        let grams = self.grams.saturating_sub(other.grams);
        Self { millilitres: self.millilitres.saturating_sub(other.millilitres), grams }
    }

    pub fn is_within(self, most: Self) -> bool {
        self.millilitres <= most.millilitres && self.grams <= most.grams
    }
}

impl std::iter::Sum for Sum {
    fn sum<I: Iterator<Item = Self>>(sums: I) -> Self {
        sums.fold(Self::default(), Self::plus)
    }
}

/// The question.
#[derive(Debug)]
pub(super) struct Model {
    pub tubs: Vec<Tub>,
    /// Those that are in one of the tubs, their groups numbered from 0.
    pub things: Vec<Thing>,
    /// The place of each thing among those that were given.
    pub number: Vec<usize>,
    pub groups: usize,
    /// What each tub may hold of what is moved into it; without a volume, nothing.
    pub most: Vec<Option<Sum>>,
    /// What is in each tub now.
    pub now: Vec<Sum>,
    /// How many things are in each tub now.
    pub count: Vec<usize>,
    /// The most tubs that may be freed, beside those that must be emptied.
    pub free: usize,
    pub bulk: Bulk,
}

impl Model {
    pub fn new(tubs: &[Tub], things: &[Thing], wish: &Wish) -> Self {
        let number: Vec<usize> = (0..things.len()).filter(|thing| things[*thing].tub < tubs.len()).collect();
        let mut kept: Vec<Thing> = number.iter().map(|thing| things[*thing]).collect();
        let groups = renumber(&mut kept);
        let (mut now, mut count) = (vec![Sum::default(); tubs.len()], vec![0; tubs.len()]);
        for thing in &kept {
            now[thing.tub] = now[thing.tub].plus(Sum::of(thing));
            count[thing.tub] += 1;
        }
        let most: Vec<Option<Sum>> = tubs.iter().map(most).collect();
        let bulk = Bulk::new(&most, &now);
        let free = wish.free.unwrap_or(usize::MAX);
        Self { tubs: tubs.to_vec(), things: kept, number, groups, most, now, count, free, bulk }
    }

    pub fn is_movable(&self, thing: usize) -> bool {
        self.tubs[self.things[thing].tub].rule != BinRule::Keep
    }

    pub fn must_go(&self, tub: usize) -> bool {
        self.tubs[tub].rule == BinRule::Empty
    }

    /// Whether a thing that comes from elsewhere may be put into a tub, were the tub empty.
    pub fn may_enter(&self, thing: usize, tub: usize) -> bool {
        let (load, to) = (&self.things[thing].load, &self.tubs[tub]);
        let goes_in = load.longest_mm.zip(to.capacity.longest_mm).is_none_or(|(edge, most)| edge <= most);
        let fits = self.most[tub].is_some_and(|most| Sum::of(&self.things[thing]).is_within(most));
        goes_in && fits && to.rule != BinRule::Empty && self.things[thing].tub != tub
    }

    /// What can be in a tub at most: what it holds, or what is too much in it now and stays.
    pub fn ceiling(&self, tub: usize) -> Sum {
        let (now, most) = (self.now[tub], self.most[tub].unwrap_or_default());
        if self.must_go(tub) {
            return Sum::default();
        }
        Sum { millilitres: now.millilitres.max(most.millilitres), grams: now.grams.max(most.grams) }
    }

    pub fn total(&self) -> Sum {
        self.now.iter().copied().sum()
    }

    /// Whether a tub has something in it in every plan: what is kept there, or what fits nowhere else.
    pub fn is_forced(&self, tub: usize) -> bool {
        let is_stuck = |thing: usize| !(0..self.tubs.len()).any(|to| self.may_enter(thing, to));
        let inside = || (0..self.things.len()).filter(|thing| self.things[*thing].tub == tub);
        match self.tubs[tub].rule {
            BinRule::Keep => self.count[tub] > 0,
            BinRule::Any => inside().any(is_stuck),
            BinRule::Empty => false,
        }
    }

    pub fn bulk_of(&self, thing: usize) -> u64 {
        self.bulk.of(Sum::of(&self.things[thing]))
    }
}

/// Volume and weight as one figure: each as its share of what all tubs hold, and the more of that is needed, the more it
/// counts.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bulk {
    millilitre: u64,
    gram: u64,
}

impl Bulk {
    fn new(most: &[Option<Sum>], now: &[Sum]) -> Self {
        let held: Sum = most.iter().flatten().copied().sum();
        let needed: Sum = now.iter().copied().sum();
        let is_limited = most.iter().flatten().all(|most| most.grams < UNLIMITED);
        let gram = if is_limited { weight(needed.grams, held.grams) } else { 0 };
        Self { millilitre: weight(needed.millilitres, held.millilitres), gram }
    }

    pub fn of(&self, sum: Sum) -> u64 {
        sum.millilitres.saturating_mul(self.millilitre).saturating_add(sum.grams.saturating_mul(self.gram))
    }
}

/// The limit of a tub without a limit: more than any things weigh together.
pub(super) const UNLIMITED: u64 = 1 << 50;

fn weight(needed: u64, held: u64) -> u64 {
    let (needed, held) = (needed.max(1), held.max(needed).max(1));
    (1 << 40) / held * (needed.saturating_mul(100) / held).max(1)
}

fn most(tub: &Tub) -> Option<Sum> {
    let grams = tub.capacity.grams.map_or(UNLIMITED, u64::from);
    Some(Sum { millilitres: tub.capacity.millilitres?.into(), grams })
}

/// Numbers groups from 0, and says how many there are.
fn renumber(things: &mut [Thing]) -> usize {
    let mut known: Vec<usize> = things.iter().filter_map(|thing| thing.group).collect();
    known.sort_unstable();
    known.dedup();
    for thing in things {
        thing.group = thing.group.and_then(|group| known.binary_search(&group).ok());
    }
    known.len()
}
