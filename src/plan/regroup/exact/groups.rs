//! What groups cost at least, where some of their things stay where they are.

use super::super::{bound::groups_at_least, model::Model, packing::Packing};

/// The groups of a question.
pub(super) struct Groups {
    things: Vec<Vec<usize>>,
    /// How many tubs each is in at least.
    least: Vec<usize>,
}

/// What a tub holds of a group.
#[derive(Clone, Copy, Default)]
struct Part {
    settled: usize,
    loose: usize,
}

impl Groups {
    pub fn new(model: &Model) -> Self {
        let mut things = vec![Vec::new(); model.groups];
        for (thing, now) in model.things.iter().enumerate() {
            if let Some(group) = now.group {
                things[group].push(thing);
            }
        }
        Self { things, least: groups_at_least(model) }
    }

    /// The tubs of all groups at least; and, where they are in no more than that, how many things move yet at least.
    pub fn at_least(&self, packing: &Packing<'_>, is_settled: &[bool]) -> (usize, usize) {
        let groups = self.things.iter().zip(&self.least);
        groups.fold((0, 0), |(spread, moved), (things, least)| {
            let parts = parts(packing, things, is_settled);
            let settled = parts.iter().filter(|part| part.settled > 0).count();
            (spread + settled.max(*least), moved + gathered(parts, least.saturating_sub(settled)))
        })
    }

    /// A loose thing of a group that might be in fewer tubs.
    pub fn next(&self, packing: &Packing<'_>, is_settled: &[bool]) -> Option<usize> {
        let is_wide = |(things, least): &(&Vec<usize>, &usize)| {
            let parts = parts(packing, things, is_settled);
            parts.iter().filter(|part| part.settled + part.loose > 0).count() > **least
        };
        let mut wide = self.things.iter().zip(&self.least).filter(is_wide);
        wide.find_map(|(things, _)| things.iter().copied().find(|thing| !is_settled[*thing]))
    }
}

fn parts(packing: &Packing<'_>, things: &[usize], is_settled: &[bool]) -> Vec<Part> {
    let mut parts = vec![Part::default(); packing.tubs.len()];
    for thing in things {
        if let Some(tub) = packing.at[*thing] {
            parts[tub].settled += usize::from(is_settled[*thing]);
            parts[tub].loose += usize::from(!is_settled[*thing]);
        }
    }
    parts
}

/// How many loose things leave tubs where none stays, if that many more tubs may be kept: those with the most.
fn gathered(parts: Vec<Part>, kept: usize) -> usize {
    let mut loose: Vec<usize> = parts.into_iter().filter(|part| part.settled == 0).map(|part| part.loose).collect();
    loose.sort_unstable_by_key(|count| std::cmp::Reverse(*count));
    loose.into_iter().skip(kept).sum()
}
