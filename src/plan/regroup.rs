//! Which items move where, so that as many bins as possible become free with as few moves as possible.
//!
//! Start with [`regroup`]. Of two plans that is better which uses fewer bins; else the one in which groups are in fewer
//! bins; else the one that moves fewer items; else the one that carries fewer into another area. Good plans are looked for
//! in several ways (`strategies`), up to thousands of items in a hundred bins; for up to some dozens of items that may move
//! the best one is searched for (`exact`), and is proven where that search ends within its steps.
//!
//! Bins and items are plain data: nothing of what is decided here is known to be carried out, nor in which order. A bin of
//! which no volume is known can be emptied, and nothing is moved into it; one in which there is too much now is left as it
//! is as long as nothing is moved into it. Volumes add up as they are: whether shapes fit beside each other is not known,
//! only that an edge is no longer than the bin takes.

mod bound;
mod choose;
mod exact;
mod insert;
mod model;
mod packing;
mod polish;
mod repack;
mod steps;
mod strategies;

use super::Load;
use bound::tubs_at_least;
use exact::{Best, improve};
use model::Model;
use steps::Steps;
use strategies::best_plan;

/// What a bin holds at most.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Capacity {
    /// Its usable volume; without one nothing is moved into it.
    pub millilitres: Option<u32>,
    /// The most that its contents may weigh.
    pub grams: Option<u32>,
    /// The longest edge that fits in.
    pub longest_mm: Option<u32>,
}

/// What is asked of a bin.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum BinRule {
    /// It may be emptied or filled.
    #[default]
    Any,
    /// What is in it stays there; it may take more.
    Keep,
    /// All that is in it moves out, and nothing in.
    Empty,
}

/// A bin to be planned with.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tub {
    /// What it holds.
    pub capacity: Capacity,
    /// The number of its area.
    pub area: u16,
    /// What is asked of it.
    pub rule: BinRule,
}

/// An item to be planned with.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Thing {
    /// The place of its bin among the bins.
    pub tub: usize,
    /// What it takes up.
    pub load: Load,
    /// What it is to be kept together with: all that have the same number.
    pub group: Option<usize>,
}

/// Steps for a search of one or two seconds at most, on a machine of 2026; most questions need far fewer.
pub const USUAL_STEPS: u64 = 100_000_000;

/// What is wanted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Wish {
    /// At most so many bins are freed, beside those that are to be emptied; else as many as possible.
    pub free: Option<usize>,
    /// How many steps the search may take, such as [`USUAL_STEPS`]; the same steps give the same plan on any machine. A
    /// step is about a look at a thing and a bin. Without any, bins are only emptied one by one as far as that goes.
    pub steps: u64,
}

/// A plan.
#[expect(clippy::struct_excessive_bools, reason = "each says by itself how much is known to be best")]
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Regrouping {
    /// Which things move, by their place, and the places of the bins that they go to; by thing.
    pub moves: Vec<(usize, usize)>,
    /// The bins that become free, by their place. Those that are empty already are not among them.
    pub freed: Vec<usize>,
    /// How many bins have something in them afterwards.
    pub used: usize,
    /// No plan uses fewer bins than this.
    pub lower_bound: usize,
    /// Whether no plan uses fewer bins: as many are used as there must be at least.
    pub bins_proven: bool,
    /// Whether, of the plans that use so many bins, none is better: none has a group in fewer bins (added up over groups),
    /// none that is equal in this moves fewer things, and none that is equal in both carries fewer into another area.
    pub moves_proven: bool,
    /// Whether that is so but for what is carried into another area: of the plans that use so many bins, and have groups
    /// in so few, none moves fewer things.
    pub count_proven: bool,
    /// Whether no plan is better: bins and moves.
    pub proven: bool,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RegroupError {
    /// What is in bins that are to be emptied does not fit elsewhere.
    #[error("what is in the bins to be emptied does not fit into the others")]
    NoRoom {
        /// Things that are left over when the others have gone where they fit.
        left: Vec<usize>,
    },
}

/// Plans which things move.
///
/// Things in a bin that isn't there are passed over.
///
/// # Errors
/// [`RegroupError::NoRoom`] when no way is found to empty the bins that are to be emptied: there is none where the search
/// ended within its steps, as it does for some dozens of things.
pub fn regroup(tubs: &[Tub], things: &[Thing], wish: &Wish) -> Result<Regrouping, RegroupError> {
    let model = Model::new(tubs, things, wish);
    let least = tubs_at_least(&model);
    let mut steps = Steps::new(wish.steps);
    let found = steps.lend(50, |steps| best_plan(&model, least, steps));
    let best = improve(&model, least, found, &mut steps)?;
    Ok(told(&best))
}

fn told(best: &Best<'_>) -> Regrouping {
    let (packing, model) = (&best.packing, best.packing.model);
    let target = |(place, to): (usize, &Option<usize>)| {
        let to = to.filter(|to| *to != model.things[place].tub)?;
        Some((model.number[place], to))
    };
    let is_freed = |tub: &usize| model.count[*tub] > 0 && packing.tubs[*tub].things.is_empty();
    let (used, bins_proven, moves_proven) = (packing.score.used, packing.score.used == best.least, best.is_least_moved);
    Regrouping {
        moves: packing.at.iter().enumerate().filter_map(target).collect(),
        freed: (0..model.tubs.len()).filter(is_freed).collect(),
        used,
        lower_bound: best.least,
        bins_proven,
        moves_proven,
        count_proven: moves_proven || best.is_least_count,
        proven: bins_proven && moves_proven,
    }
}
