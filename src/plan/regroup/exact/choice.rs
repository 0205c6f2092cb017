//! All sets of so many tubs into which everything might go.
//!
//! Those that leave the tubs with the fewest things closed come first. Of empty tubs that are alike, the first ones are
//! taken.

use std::cmp::Reverse;

use super::super::{
    BinRule,
    model::{Model, Sum},
    steps::Steps,
};

/// What is done with each set.
pub(super) trait Visit {
    /// Whether sets for which at least so many things move need not be looked at.
    fn is_hopeless(&self, used: usize, moved: usize) -> bool;
    /// Looks at a set: the tubs that may have something in them afterwards.
    fn visit(&mut self, open: &[usize], steps: &mut Steps);
}

/// Visits all sets of so many tubs. Whether none was left out for want of steps.
pub(super) fn choices(model: &Model, used: usize, visit: &mut dyn Visit, steps: &mut Steps) -> bool {
    let is_usable = |tub: &usize| !model.must_go(*tub) && (model.count[*tub] > 0 || model.most[*tub].is_some());
    let mut order: Vec<usize> = (0..model.tubs.len()).filter(is_usable).collect();
    order.sort_by_key(|tub| (model.count[*tub], *tub));
    let is_forced = order.iter().map(|tub| model.is_forced[*tub]).collect();
    let must = (0..model.tubs.len()).filter(|tub| model.must_go(*tub)).map(|tub| model.count[tub]).sum();
    let mut choice = Choice { model, order, is_forced, used, open: Vec::new(), visit };
    choice.next(0, Closed { freed: 0, things: must }, steps);
    !steps.is_over()
}

struct Choice<'c> {
    model: &'c Model,
    order: Vec<usize>,
    is_forced: Vec<bool>,
    used: usize,
    open: Vec<usize>,
    visit: &'c mut dyn Visit,
}

/// What is in tubs that are left out.
#[derive(Clone, Copy)]
struct Closed {
    freed: usize,
    things: usize,
}

impl Choice<'_> {
    fn next(&mut self, place: usize, closed: Closed, steps: &mut Steps) {
        let is_wanted = closed.freed <= self.model.free && !self.visit.is_hopeless(self.used, closed.things);
        if !is_wanted || !self.can_hold_all(place) || !steps.spend(self.order.len()) {
            return;
        }
        let Some(&tub) = self.order.get(place) else {
            self.visit.visit(&self.open, steps);
            return;
        };
        let count = self.model.count[tub];
        if !self.is_forced[place] {
            let freed = closed.freed + usize::from(count > 0);
            self.next(place + 1, Closed { freed, things: closed.things + count }, steps);
        }
        if !self.is_twin_of_closed(place) {
            self.open.push(tub);
            self.next(place + 1, closed, steps);
            self.open.pop();
        }
    }

    /// Whether so many tubs can still be open, and hold all.
    fn can_hold_all(&self, place: usize) -> bool {
        let Some(more) = self.used.checked_sub(self.open.len()) else { return false };
        let ceilings = |tubs: &[usize]| tubs.iter().map(|tub| self.model.ceiling(*tub)).collect::<Vec<_>>();
        let rest = ceilings(&self.order[place..]);
        let chosen: Sum = ceilings(&self.open).into_iter().sum();
        let most = |figure: fn(&Sum) -> u64| {
            let mut figures: Vec<u64> = rest.iter().map(figure).collect();
            figures.sort_unstable_by_key(|figure| Reverse(*figure));
            figures.into_iter().take(more).fold(0, u64::saturating_add)
        };
        let rest_most = Sum { millilitres: most(|sum| sum.millilitres), grams: most(|sum| sum.grams) };
        rest.len() >= more && self.model.total().is_within(chosen.plus(rest_most))
    }

    /// Whether an empty tub is like one that was left out.
    fn is_twin_of_closed(&self, place: usize) -> bool {
        let (model, tub) = (self.model, self.order[place]);
        let is_twin = |other: &usize| is_twin(model, tub, *other) && !self.open.contains(other);
        self.order[..place].iter().any(is_twin)
    }
}

/// Whether two tubs are empty and alike, so that plans with the one are as good as those with the other.
pub(super) fn is_twin(model: &Model, one: usize, other: usize) -> bool {
    let is_empty = |tub: usize| model.count[tub] == 0 && model.tubs[tub].rule != BinRule::Empty;
    let key = |tub: usize| (model.tubs[tub].capacity, model.tubs[tub].area);
    is_empty(one) && is_empty(other) && key(one) == key(other)
}
