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
    /// Whether each tub has something in it in every plan.
    pub is_forced: Vec<bool>,
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
        let is_forced = Vec::new();
        let mut model =
            Self { tubs: tubs.to_vec(), things: kept, number, groups, most, now, count, is_forced, free, bulk };
        model.is_forced = model.forced();
        model
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

    /// Which tubs have something in them in every plan: what is kept there, or what fits nowhere else.
    fn forced(&self) -> Vec<bool> {
        let may_go = |thing: usize| (0..self.tubs.len()).any(|to| self.may_enter(thing, to));
        let mut is_forced = vec![false; self.tubs.len()];
        for (thing, now) in self.things.iter().enumerate() {
            let may_leave = self.must_go(now.tub) || (self.is_movable(thing) && may_go(thing));
            is_forced[now.tub] |= !may_leave;
        }
        is_forced
    }

    pub fn bulk_of(&self, thing: usize) -> u64 {
        self.bulk.of(Sum::of(&self.things[thing]))
    }
}

/// Volume and weight as one figure: each as its share of what all tubs hold. The one of which there is clearly more than
/// enough, beside the other, counts for nothing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bulk {
    millilitre: u64,
    gram: u64,
}

impl Bulk {
    fn new(most: &[Option<Sum>], now: &[Sum]) -> Self {
        let held: Sum = most.iter().flatten().copied().sum();
        let needed: Sum = now.iter().copied().sum();
        let volume = share(needed.millilitres, held.millilitres);
        let weight = share(needed.grams, held.grams);
        let unit = |share: u64, other: u64, held: u64| if share * 10 < other * 9 { 0 } else { WHOLE / held.max(1) };
        let millilitre = unit(volume, weight, held.millilitres.max(needed.millilitres));
        Self { millilitre, gram: unit(weight, volume, held.grams.max(needed.grams)) }
    }

    pub fn of(&self, sum: Sum) -> u64 {
        sum.millilitres.saturating_mul(self.millilitre).saturating_add(sum.grams.saturating_mul(self.gram))
    }
}

/// The limit of a tub without a limit: more than any things weigh together.
pub(super) const UNLIMITED: u64 = 1 << 50;

/// What all tubs hold, as a bulk.
const WHOLE: u64 = 1 << 46;

/// How much of what is held is needed, in thousandths.
fn share(needed: u64, held: u64) -> u64 {
    needed.saturating_mul(1000) / held.max(1)
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
