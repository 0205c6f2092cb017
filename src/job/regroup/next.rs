//! Where to go next with a plan of moves.

use super::room::walk_key;
use crate::{
    code::BinCode,
    register::{Bin, Item, MoveState, Register, RegisterError, Regroup, RegroupMove},
};

/// So many items are named in a line; the others come when these are done.
const MOST_NAMED: usize = 8;

/// Where to go next.
#[derive(Debug, Clone, PartialEq)]
pub enum Next {
    /// Take these from a bin.
    Take(Visit),
    /// Put these into a bin.
    Put(Visit),
    /// The plan has ended.
    Nothing,
}

/// A visit to a bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    /// The trip.
    pub trip: u32,
    /// The bin.
    pub bin: Bin,
    /// What is taken or put there.
    pub items: Vec<(RegroupMove, Item)>,
}

/// The trip that is under way: the first on which something is left to be taken or put.
pub(super) fn trip(plan: &Regroup) -> Option<u32> {
    let on = |one: &RegroupMove| match one.state {
        MoveState::Open => Some(one.taken_on),
        MoveState::Taken => Some(one.put_on),
        _ => None,
    };
    plan.moves.iter().filter_map(on).min()
}

/// On a trip all is taken before anything is put.
pub(super) fn next(register: &Register, plan: &Regroup) -> Result<Next, RegisterError> {
    let Some(trip) = trip(plan) else { return Ok(Next::Nothing) };
    let mut bins = register.bins(None)?;
    bins.sort_by_key(walk_key);
    let of = |state, on: fn(&RegroupMove) -> u32| {
        plan.moves.iter().filter(move |one| one.state == state && on(one) == trip).cloned().collect::<Vec<_>>()
    };
    let takes = of(MoveState::Open, |one| one.taken_on);
    let (moves, at): (Vec<RegroupMove>, fn(&RegroupMove) -> BinCode) = if takes.is_empty() {
        (of(MoveState::Taken, |one| one.put_on), |one| one.to)
    } else {
        (takes.clone(), |one| one.from)
    };
    let Some(bin) = bins.into_iter().find(|bin| moves.iter().any(|one| at(one) == bin.code)) else {
        return Ok(Next::Nothing);
    };
    let mut items = Vec::new();
    for one in moves.into_iter().filter(|one| at(one) == bin.code) {
        let item = register.item(one.item)?;
        items.extend(item.map(|item| (one, item)));
    }
    let visit = Visit { trip, bin, items };
    Ok(if takes.is_empty() { Next::Put(visit) } else { Next::Take(visit) })
}

impl Next {
    /// `take from 4A, Loft: 4A-001F, 4A-002C`
    #[must_use]
    pub fn expected(&self) -> String {
        match self {
            Self::Take(visit) => format!("take from {}", visit.text()),
            Self::Put(visit) => format!("put into {}", visit.text()),
            Self::Nothing => "nothing is left to do".into(),
        }
    }
}

impl Visit {
    /// `4A, Loft, rack 1: 4A-001F, 4A-002C`
    #[must_use]
    pub fn text(&self) -> String {
        let spot = self.bin.place.spot.as_ref().map(|spot| format!(", {}", spot.name)).unwrap_or_default();
        let names: Vec<String> = self.items.iter().take(MOST_NAMED).map(|(_, item)| item.name()).collect();
        let more = self.items.len().checked_sub(MOST_NAMED).filter(|more| *more > 0);
        let more = more.map(|more| format!(" and {more} more")).unwrap_or_default();
        format!("{}, {}{spot}: {}{more}", self.bin.code, self.bin.place.area_name, names.join(", "))
    }
}
