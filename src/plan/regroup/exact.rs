//! The best plan there is, where the search through all of them ends within its steps.
//!
//! First the fewest tubs: for one number after the other, from what no plan can better, each set of so many tubs is tried
//! as to whether all goes in ([`pack`]). Then the fewest moves: for each set of so many tubs, moves are made one by one for
//! as long as something is wrong, and given up where they can't become fewer than the fewest so far ([`moves`]).

mod choice;
mod groups;
mod moves;
mod pack;

use std::ops::Range;

use super::{RegroupError, bound::score_at_least, model::Model, packing::Packing, polish::polish, steps::Steps};
use choice::choices;
use moves::Moves;
use pack::Pack;

/// More things that may move are not searched through, nor more tubs.
const MOST_THINGS: usize = 150;
const MOST_TUBS: usize = 300;

/// A plan, and how good it is.
pub(super) struct Best<'m> {
    pub packing: Packing<'m>,
    /// No plan uses fewer tubs.
    pub least: usize,
    /// Whether no plan that uses so many tubs is better.
    pub is_least_moved: bool,
    /// Whether none that uses so many, and has groups in so few, moves fewer things.
    pub is_least_count: bool,
}

/// Makes a plan better, or shows that there is none that is better.
pub(super) fn improve<'m>(
    model: &'m Model,
    least: usize,
    found: Result<Packing<'m>, Vec<usize>>,
    steps: &mut Steps,
) -> Result<Best<'m>, RegroupError> {
    let movable = (0..model.things.len()).filter(|thing| model.is_movable(*thing)).count();
    let is_small = movable <= MOST_THINGS && model.tubs.len() <= MOST_TUBS;
    let limit = found.as_ref().map_or(model.tubs.len() + 1, |packing| packing.score.used);
    let (fewer, least) =
        if is_small { steps.lend(50, |steps| fewest(model, least..limit, steps)) } else { (None, least.min(limit)) };
    let packing = match fewer {
        Some(packing) => packing,
        None => found.map_err(|left| RegroupError::NoRoom { left })?,
    };
    let mut moves = Moves::new(packing);
    let is_least = |packing: &Packing<'_>| packing.score <= score_at_least(model, packing.score.used);
    let is_least_moved = is_least(&moves.best) || (is_small && all_moves(&mut moves, steps));
    let is_least_count = is_count_least(&moves.best);
    Ok(Best { packing: moves.best, least, is_least_moved, is_least_count })
}

fn is_count_least(packing: &Packing<'_>) -> bool {
    let (score, least) = (packing.score, score_at_least(packing.model, packing.score.used));
    (score.spread, score.moved) <= (least.spread, least.moved)
}

/// A plan that uses fewer tubs, if there is one, and how many are used at least.
fn fewest<'m>(model: &'m Model, range: Range<usize>, steps: &mut Steps) -> (Option<Packing<'m>>, usize) {
    for used in range.clone() {
        let mut pack = Pack::new(model);
        let is_all = choices(model, used, &mut pack, steps);
        if let Some(mut packing) = pack.found {
            steps.lend(20, |steps| polish(&mut packing, steps));
            let least = used.min(packing.score.used);
            return (Some(packing), least);
        }
        if !is_all {
            return (None, used);
        }
    }
    (None, range.end)
}

/// Whether all was searched through. A plan that uses fewer tubs, when one is met, is searched about in turn.
fn all_moves(moves: &mut Moves<'_>, steps: &mut Steps) -> bool {
    loop {
        let used = moves.best.score.used;
        let is_all = choices(moves.best.model, used, moves, steps);
        if moves.best.score.used == used {
            return is_all;
        }
    }
}
