//! The fewest moves into a set of tubs.
//!
//! Things start where they are. As long as something is wrong, it is tried in each way to put it right, one move at a time:
//! a thing from a closed tub goes into each open one; a tub into which too much came gives up each of its things in turn.
//! With groups, each move that brings one together is tried too. A thing that was moved, or of which it was tried what comes
//! of moving it, stays: so that each plan is met once.

use super::{
    super::{
        bound::score_at_least,
        model::{Model, Sum},
        packing::{Packing, Score},
        steps::Steps,
    },
    choice::{Visit, is_twin},
    groups::Groups,
};

/// Looks for the fewest moves in the sets that are visited.
pub(super) struct Moves<'m> {
    /// The best plan so far.
    pub best: Packing<'m>,
    least: Score,
    groups: Groups,
}

impl<'m> Moves<'m> {
    pub fn new(best: Packing<'m>) -> Self {
        let least = score_at_least(best.model, best.score.used);
        Self { groups: Groups::new(best.model), best, least }
    }
}

impl Visit for Moves<'_> {
    fn is_hopeless(&self, used: usize, moved: usize) -> bool {
        Score { used, moved: moved.max(self.least.moved), ..self.least } >= self.best.score
    }

    fn visit(&mut self, open: &[usize], steps: &mut Steps) {
        let model = self.best.model;
        let mut packing = Packing::now(model);
        let mut homeless = packing.take_all(|tub| !open.contains(&tub));
        homeless.sort_by_key(|thing| {
            let now = model.things[*thing];
            (std::cmp::Reverse(model.bulk_of(*thing)), now.load.millilitres, now.tub, now.group, now.load.longest_mm)
        });
        let is_settled = (0..model.things.len()).map(|thing| !model.is_movable(thing)).collect();
        let is_far = homeless.iter().map(|thing| is_far(model, *thing, open)).collect();
        let mut search = Search {
            packing,
            open,
            homeless,
            is_far,
            placed: 0,
            is_settled,
            groups: &self.groups,
            best: &mut self.best,
        };
        search.next(steps);
    }
}

/// Whether a thing can't stay in its area.
fn is_far(model: &Model, thing: usize, open: &[usize]) -> bool {
    let area = |tub: usize| model.tubs[tub].area;
    let from = model.things[thing].tub;
    !open.iter().any(|tub| area(*tub) == area(from) && model.may_enter(thing, *tub))
}

struct Search<'s, 'm> {
    packing: Packing<'m>,
    open: &'s [usize],
    /// What was in closed tubs, the bulkiest first, and whether each leaves its area; how many have a place.
    homeless: Vec<usize>,
    is_far: Vec<bool>,
    placed: usize,
    /// What is not moved any more.
    is_settled: Vec<bool>,
    groups: &'s Groups,
    best: &'s mut Packing<'m>,
}

/// What is wrong.
enum Trouble {
    /// Too much came into a tub.
    Overfull(usize),
    /// A tub became empty that must not be freed.
    Freed(usize),
    /// Nothing.
    None,
}

impl Search<'_, '_> {
    fn next(&mut self, steps: &mut Steps) {
        if !steps.spend(self.open.len() + self.packing.at.len()) {
            return;
        }
        match self.bound() {
            Some(bound) if bound < self.best.score => {}
            _ => return,
        }
        if self.placed < self.homeless.len() {
            return self.house(steps);
        }
        match self.trouble() {
            Trouble::Overfull(tub) => self.move_one_of(&self.loose_in(tub), steps),
            Trouble::Freed(tub) => self.fill(tub, &self.loose(), steps),
            Trouble::None => {
                if self.packing.score < self.best.score {
                    *self.best = self.packing.clone();
                }
                if let Some(thing) = self.groups.next(&self.packing, &self.is_settled) {
                    self.move_or_settle(thing, steps);
                }
            }
        }
    }

    fn trouble(&self) -> Trouble {
        let overfull = self.open.iter().find(|tub| self.packing.is_overfull(**tub));
        let freed = || self.open.iter().find(|tub| self.packing.is_freed(**tub));
        match overfull {
            Some(tub) => Trouble::Overfull(*tub),
            None if self.packing.is_allowed() => Trouble::None,
            None => freed().map_or(Trouble::None, |tub| Trouble::Freed(*tub)),
        }
    }

    /// Puts the next thing of a closed tub into each open one. Of things that are alike, an earlier one never goes into a
    /// later tub.
    fn house(&mut self, steps: &mut Steps) {
        let thing = self.homeless[self.placed];
        let before = self.placed.checked_sub(1).map(|place| self.homeless[place]);
        let before = before.filter(|before| self.is_like(*before, thing)).and_then(|before| self.packing.at[before]);
        self.placed += 1;
        for tub in self.targets(thing).into_iter().filter(|tub| before.is_none_or(|before| before <= *tub)) {
            self.packing.put(thing, tub);
            self.is_settled[thing] = true;
            self.next(steps);
            self.is_settled[thing] = false;
            self.packing.take(thing);
        }
        self.placed -= 1;
    }

    /// Lets a thing stay, and moves it to every tub.
    fn move_or_settle(&mut self, thing: usize, steps: &mut Steps) {
        self.is_settled[thing] = true;
        self.next(steps);
        self.is_settled[thing] = false;
        self.move_one_of(&[thing], steps);
    }

    /// Moves each of some things in turn to every tub; those that were tried stay where they are.
    fn move_one_of(&mut self, things: &[usize], steps: &mut Steps) {
        for (place, &thing) in things.iter().enumerate() {
            if !self.has_like(&things[..place], thing) {
                self.targets(thing).into_iter().for_each(|tub| self.move_to(thing, tub, steps));
            }
            self.is_settled[thing] = true;
        }
        for thing in things {
            self.is_settled[*thing] = false;
        }
    }

    /// Moves each of some things in turn to a tub. Those that were tried may still move, to another one.
    fn fill(&mut self, tub: usize, things: &[usize], steps: &mut Steps) {
        for (place, &thing) in things.iter().enumerate() {
            if !self.has_like(&things[..place], thing) && self.packing.model.may_enter(thing, tub) {
                self.move_to(thing, tub, steps);
            }
        }
    }

    /// Moves a thing, which then stays there, and goes on; then takes it back.
    fn move_to(&mut self, thing: usize, tub: usize, steps: &mut Steps) {
        let Some(from) = self.packing.at[thing] else { return };
        self.packing.shift(thing, tub);
        self.is_settled[thing] = true;
        self.next(steps);
        self.is_settled[thing] = false;
        self.packing.shift(thing, from);
    }

    fn has_like(&self, things: &[usize], thing: usize) -> bool {
        things.iter().any(|other| self.is_like(*other, thing))
    }

    /// The tubs that a thing may go to, near ones first; of empty ones that are alike the first.
    fn targets(&self, thing: usize) -> Vec<usize> {
        let (model, packing) = (self.packing.model, &self.packing);
        let is_empty = |tub: usize| packing.tubs[tub].things.is_empty();
        let is_same = |tub: usize, other: usize| is_empty(tub) && is_empty(other) && is_twin(model, tub, other);
        let is_new = |tub: usize| !self.open.iter().any(|other| *other < tub && is_same(*other, tub));
        let may = |tub: &usize| model.may_enter(thing, *tub) && is_new(*tub);
        let mut targets: Vec<usize> = self.open.iter().copied().filter(may).collect();
        let from = model.tubs[model.things[thing].tub].area;
        let room = |tub: usize| model.bulk.of(packing.room(tub));
        targets.sort_by_key(|tub| {
            let is_too_small = !Sum::of(&model.things[thing]).is_within(packing.room(*tub));
            (!packing.holds_group_of(thing, *tub), is_too_small, model.tubs[*tub].area != from, room(*tub), *tub)
        });
        targets
    }

    /// Whether plans in which two things change places are equally good.
    fn is_like(&self, one: usize, other: usize) -> bool {
        let key = |thing: usize| {
            let now = &self.packing.model.things[thing];
            (now.tub, now.group, Sum::of(now), now.load.longest_mm)
        };
        key(one) == key(other)
    }

    fn loose(&self) -> Vec<usize> {
        (0..self.is_settled.len()).filter(|thing| !self.is_settled[*thing]).collect()
    }

    fn loose_in(&self, tub: usize) -> Vec<usize> {
        let mut loose = self.packing.tubs[tub].things.clone();
        loose.retain(|thing| !self.is_settled[*thing]);
        self.packing.sort(&mut loose);
        loose
    }

    /// What can't be bettered from here; nothing when it can't be put right.
    fn bound(&self) -> Option<Score> {
        let left = self.homeless.len() - self.placed;
        let far = self.is_far[self.placed..].iter().filter(|is_far| **is_far).count();
        let overfull = self.open.iter().filter(|tub| self.packing.is_overfull(**tub));
        let out: Option<usize> = overfull.map(|tub| self.least_out(*tub)).sum();
        let (spread, gathered) = self.groups.at_least(&self.packing, &self.is_settled);
        // What leaves a tub that is too full may be what has to come to its group.
        let is_strict = self.best.score.used == self.open.len() && self.best.score.spread == spread;
        let more = out?.max(if is_strict { gathered } else { 0 });
        let score = self.packing.score;
        Some(Score { used: self.open.len(), spread, moved: score.moved + left + more, carried: score.carried + far })
    }

    /// How many things have to leave a tub at least so that it holds the rest, if that is possible.
    fn least_out(&self, tub: usize) -> Option<usize> {
        let most = self.packing.model.most[tub]?;
        let over = self.packing.tubs[tub].sum.minus(most);
        let loads: Vec<Sum> =
            self.loose_in(tub).iter().map(|thing| Sum::of(&self.packing.model.things[*thing])).collect();
        let volumes = count_to(loads.iter().map(|sum| sum.millilitres).collect(), over.millilitres)?;
        let weights = count_to(loads.iter().map(|sum| sum.grams).collect(), over.grams)?;
        Some(volumes.max(weights))
    }
}

/// How many of the largest figures it takes to come to a sum.
fn count_to(mut figures: Vec<u64>, sum: u64) -> Option<usize> {
    figures.sort_unstable_by_key(|figure| std::cmp::Reverse(*figure));
    let mut left = sum;
    let mut count = 0;
    for figure in figures {
        if left == 0 {
            break;
        }
        left = left.saturating_sub(figure);
        count += 1;
    }
    (left == 0).then_some(count)
}
