//! Which thing is in which tub, and how good that is; things are taken out and put in one by one.

use super::model::{Model, Sum};

/// How good a plan is: less is better, and what stands first counts first.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Score {
    /// Tubs with something in them.
    pub used: usize,
    /// Tubs that hold some of a group, summed up over groups.
    pub spread: usize,
    /// Things that are not where they were.
    pub moved: usize,
    /// Those of them that are in another area.
    pub carried: usize,
}

/// What is in a tub.
#[derive(Debug, Clone, Default)]
pub(super) struct Content {
    pub sum: Sum,
    pub things: Vec<usize>,
    /// How many of the things were elsewhere before.
    pub arrived: usize,
}

/// Where things are.
#[derive(Debug, Clone)]
pub(super) struct Packing<'m> {
    pub model: &'m Model,
    /// The tub of each thing; nothing while it is taken out.
    pub at: Vec<Option<usize>>,
    pub tubs: Vec<Content>,
    pub score: Score,
    /// How many tubs are freed, beside those that must be emptied.
    freed: usize,
    /// How many things of each group each tub holds.
    held: Vec<u32>,
}

impl<'m> Packing<'m> {
    /// As things are now.
    pub fn now(model: &'m Model) -> Self {
        let count = |tub: &usize| model.count[*tub] > 0 && !model.must_go(*tub);
        let freed = (0..model.tubs.len()).filter(count).count();
        let held = vec![0; model.groups * model.tubs.len()];
        let tubs = vec![Content::default(); model.tubs.len()];
        let at = vec![None; model.things.len()];
        let mut packing = Self { model, at, tubs, score: Score::default(), freed, held };
        for (thing, now) in model.things.iter().enumerate() {
            packing.put(thing, now.tub);
        }
        packing
    }

    /// Whether a tub takes a thing that is taken out. What was in it comes back into it as long as nothing else came in.
    pub fn takes(&self, thing: usize, tub: usize) -> bool {
        let (content, model) = (&self.tubs[tub], self.model);
        let fits = || {
            let after = content.sum.plus(Sum::of(&model.things[thing]));
            model.most[tub].is_some_and(|most| after.is_within(most))
        };
        if model.things[thing].tub == tub {
            return !model.must_go(tub) && (content.arrived == 0 || fits());
        }
        fits() && model.may_enter(thing, tub)
    }

    /// Whether something came into a tub that holds too much for that.
    pub fn is_overfull(&self, tub: usize) -> bool {
        let content = &self.tubs[tub];
        content.arrived > 0 && self.model.most[tub].is_none_or(|most| !content.sum.is_within(most))
    }

    /// What a tub that takes things still holds.
    pub fn room(&self, tub: usize) -> Sum {
        self.model.most[tub].unwrap_or_default().minus(self.tubs[tub].sum)
    }

    pub fn put(&mut self, thing: usize, tub: usize) {
        let (model, now) = (self.model, self.model.things[thing]);
        let content = &mut self.tubs[tub];
        if content.things.is_empty() {
            self.score.used += 1;
            self.freed -= usize::from(model.count[tub] > 0 && !model.must_go(tub));
        }
        content.things.push(thing);
        content.sum = content.sum.plus(Sum::of(&now));
        content.arrived += usize::from(now.tub != tub);
        self.score.moved += usize::from(now.tub != tub);
        self.score.carried += usize::from(model.tubs[now.tub].area != model.tubs[tub].area);
        self.at[thing] = Some(tub);
        if let Some(held) = self.held_mut(thing, tub) {
            *held += 1;
            self.score.spread += usize::from(*held == 1);
        }
    }

    /// Takes a thing out, and says where it was.
    pub fn take(&mut self, thing: usize) -> Option<usize> {
        let tub = self.at[thing].take()?;
        let (model, now) = (self.model, self.model.things[thing]);
        let content = &mut self.tubs[tub];
        content.things.retain(|other| *other != thing);
        content.sum = content.sum.minus(Sum::of(&now));
        content.arrived -= usize::from(now.tub != tub);
        if content.things.is_empty() {
            self.score.used -= 1;
            self.freed += usize::from(model.count[tub] > 0 && !model.must_go(tub));
        }
        self.score.moved -= usize::from(now.tub != tub);
        self.score.carried -= usize::from(model.tubs[now.tub].area != model.tubs[tub].area);
        if let Some(held) = self.held_mut(thing, tub) {
            *held -= 1;
            self.score.spread -= usize::from(*held == 0);
        }
        Some(tub)
    }

    pub fn shift(&mut self, thing: usize, tub: usize) {
        self.take(thing);
        self.put(thing, tub);
    }

    /// Whether a tub holds some of a thing's group.
    pub fn holds_group_of(&self, thing: usize, tub: usize) -> bool {
        let place = |group: usize| self.held[group * self.tubs.len() + tub];
        self.model.things[thing].group.is_some_and(|group| place(group) > 0)
    }

    fn held_mut(&mut self, thing: usize, tub: usize) -> Option<&mut u32> {
        let group = self.model.things[thing].group?;
        Some(&mut self.held[group * self.tubs.len() + tub])
    }

    /// About how many steps it takes to copy it.
    pub fn size(&self) -> usize {
        (self.at.len() + self.held.len()) / 16
    }

    /// Whether not too many tubs are freed.
    pub fn is_allowed(&self) -> bool {
        self.freed <= self.model.free
    }

    /// Whether a tub is freed that might have to keep something.
    pub fn is_freed(&self, tub: usize) -> bool {
        self.model.count[tub] > 0 && !self.model.must_go(tub) && self.tubs[tub].things.is_empty()
    }

    /// Takes all out of tubs that may be taken out, the bulkiest first.
    pub fn take_all(&mut self, closed: impl Fn(usize) -> bool) -> Vec<usize> {
        let is_inside = |thing: &usize| self.at[*thing].is_some_and(&closed) && self.model.is_movable(*thing);
        let mut taken: Vec<usize> = (0..self.at.len()).filter(is_inside).collect();
        self.sort(&mut taken);
        for thing in &taken {
            self.take(*thing);
        }
        taken
    }

    /// The bulkiest first.
    pub fn sort(&self, things: &mut [usize]) {
        things.sort_by_key(|thing| (std::cmp::Reverse(self.model.bulk_of(*thing)), *thing));
    }
}
