//! Whether all that may move goes into some tubs: the bulkiest first, each into every tub in turn.
//!
//! What comes to the same is tried once: of tubs that hold the same and have the same in them, the first; of things that
//! are alike, an earlier one never goes into a later tub.

use std::cmp::Reverse;

use super::{
    super::{model::Model, model::Sum, packing::Packing, steps::Steps},
    choice::Visit,
};

/// Looks for a plan into one of the sets that are visited.
pub(super) struct Pack<'m> {
    model: &'m Model,
    /// Whether what is in a tub would also be taken by it if it came from elsewhere.
    is_plain: Vec<bool>,
    /// The first plan that was found.
    pub found: Option<Packing<'m>>,
}

impl<'m> Pack<'m> {
    pub fn new(model: &'m Model) -> Self {
        let is_plain = (0..model.tubs.len()).map(|tub| is_plain(model, tub)).collect();
        Self { model, is_plain, found: None }
    }
}

fn is_plain(model: &Model, tub: usize) -> bool {
    let longest = model.tubs[tub].capacity.longest_mm;
    let goes_in = |edge: Option<u32>| edge.zip(longest).is_none_or(|(edge, most)| edge <= most);
    let mut inside = model.things.iter().filter(|thing| thing.tub == tub);
    let fits = model.most[tub].is_some_and(|most| model.now[tub].is_within(most));
    model.must_go(tub) || (fits && inside.all(|thing| goes_in(thing.load.longest_mm)))
}

impl Visit for Pack<'_> {
    fn is_hopeless(&self, _used: usize, _moved: usize) -> bool {
        self.found.is_some()
    }

    fn visit(&mut self, open: &[usize], steps: &mut Steps) {
        let mut packing = Packing::now(self.model);
        let mut order = packing.take_all(|_| true);
        order.sort_by_key(|thing| (Reverse(self.model.bulk_of(*thing)), self.likeness(*thing), *thing));
        let mut search = Search { packing, open, is_plain: &self.is_plain, things: order };
        if search.place(0, steps) {
            self.found = Some(search.packing);
        }
    }
}

/// What makes things alike: their size, and whether their own tub treats them like others.
type Likeness = (u32, u32, Option<u32>, Option<usize>);

impl Pack<'_> {
    fn likeness(&self, thing: usize) -> Likeness {
        likeness(self.model, &self.is_plain, thing)
    }
}

fn likeness(model: &Model, is_plain: &[bool], thing: usize) -> Likeness {
    let now = &model.things[thing];
    let own = (!is_plain[now.tub]).then_some(thing);
    (now.load.millilitres, now.load.grams, now.load.longest_mm, own)
}

struct Search<'s, 'm> {
    packing: Packing<'m>,
    open: &'s [usize],
    is_plain: &'s [bool],
    things: Vec<usize>,
}

impl Search<'_, '_> {
    /// Whether the things from a place on go in.
    fn place(&mut self, place: usize, steps: &mut Steps) -> bool {
        let Some(&thing) = self.things.get(place) else { return self.packing.is_allowed() };
        if !steps.spend(self.open.len() + self.things.len() - place) || !self.has_room(place) {
            return false;
        }
        for tub in self.targets(place) {
            self.packing.put(thing, tub);
            if self.place(place + 1, steps) {
                return true;
            }
            self.packing.take(thing);
            if steps.is_over() {
                return false;
            }
        }
        false
    }

    /// The tub where it is first, then the fullest ones.
    fn targets(&self, place: usize) -> Vec<usize> {
        let (thing, packing) = (self.things[place], &self.packing);
        let from = self.first_target(place);
        let is_new = |tub: &usize| !self.open.iter().any(|other| other < tub && self.is_like(*other, *tub));
        let fits = |tub: &usize| *tub >= from && packing.takes(thing, *tub) && is_new(tub);
        let mut targets: Vec<usize> = self.open.iter().copied().filter(fits).collect();
        let bulk = packing.model.bulk;
        targets.sort_by_key(|tub| (packing.model.things[thing].tub != *tub, bulk.of(packing.room(*tub)), *tub));
        targets
    }

    /// The tub of the thing before, if that is alike.
    fn first_target(&self, place: usize) -> usize {
        let like = |place: usize| likeness(self.packing.model, self.is_plain, self.things[place]);
        let before = place.checked_sub(1).filter(|before| like(*before) == like(place));
        before.and_then(|before| self.packing.at[self.things[before]]).unwrap_or_default()
    }

    fn is_like(&self, one: usize, other: usize) -> bool {
        let (packing, model) = (&self.packing, self.packing.model);
        let key = |tub: usize| (model.tubs[tub].capacity, packing.tubs[tub].sum, model.count[tub] > 0);
        let is_used = |tub: usize| packing.tubs[tub].things.is_empty();
        self.is_plain[one] && self.is_plain[other] && key(one) == key(other) && is_used(one) == is_used(other)
    }

    /// Whether what is left is not more than the tubs hold; gaps that are too small for any thing hold nothing.
    fn has_room(&self, place: usize) -> bool {
        let left = self.things[place..].iter().map(|thing| Sum::of(&self.packing.model.things[*thing]));
        let least = left
            .clone()
            .fold((u64::MAX, u64::MAX), |least, sum| (least.0.min(sum.millilitres), least.1.min(sum.grams)));
        let is_gap = |room: &Sum| room.millilitres >= least.0 && room.grams >= least.1;
        let ceilings = self.open.iter().map(|tub| self.packing.model.ceiling(*tub).minus(self.packing.tubs[*tub].sum));
        left.sum::<Sum>().is_within(ceilings.filter(is_gap).sum())
    }
}
