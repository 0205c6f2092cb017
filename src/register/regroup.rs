//! Plans of moves: kept, and carried out move by move.
//!
//! Start with [`Register::keep_regroup`](super::Register::keep_regroup). Which moves make sense is decided elsewhere; one
//! plan is open at a time, and each reading of the session that carries it out is one change.

mod carry;
mod keep;
mod read;

use serde_json::Value;

use super::{Item, ItemId, Move, RegisterError};
use crate::code::BinCode;
pub(super) use keep::refuse_odd_plans_in;

/// The number of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(transparent)]
pub struct RegroupId(pub(super) i64);

impl RegroupId {
    /// The plan that the journal names by this key.
    pub(crate) fn by_key(key: i64) -> Self {
        Self(key)
    }
}

impl std::fmt::Display for RegroupId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// A plan of moves on record.
#[derive(Debug, Clone, PartialEq)]
pub struct Regroup {
    /// Its number.
    pub id: RegroupId,
    /// When it was made, ISO 8601 in UTC.
    pub at: String,
    /// What was asked for.
    pub asked: Value,
    /// How good it is.
    pub outcome: Value,
    /// Its moves, in the order in which things are taken.
    pub moves: Vec<RegroupMove>,
}

/// A move of a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RegroupMove {
    /// The item.
    pub item: ItemId,
    /// The bin that it is taken from.
    pub from: BinCode,
    /// The bin that it goes to.
    pub to: BinCode,
    /// The trip, from 1, on which it is taken.
    pub taken_on: u32,
    /// The trip on which it is put.
    pub put_on: u32,
    /// How far it is; while the plan is open, with what others have done meanwhile.
    pub state: MoveState,
    /// How far it is on record.
    kept: MoveState,
    id: i64,
}

impl RegroupMove {
    /// The same move in another state.
    #[must_use]
    pub fn in_state(&self, state: MoveState) -> Self {
        Self { state, ..self.clone() }
    }

    /// Whether others have brought its item elsewhere since something was done last with the plan.
    #[must_use]
    pub fn is_overtaken(&self) -> bool {
        self.state != self.kept
    }

    /// Whether it waits in the holding box between its trips.
    #[must_use]
    pub fn is_held(&self) -> bool {
        self.taken_on < self.put_on
    }
}

/// How far a move is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum MoveState {
    /// The item is still to be taken.
    Open,
    /// It was taken, and is not put yet.
    Taken,
    /// It was put.
    Done,
    /// It was not there.
    Missing,
    /// It came elsewhere by other ways, or left.
    Void,
}

impl MoveState {
    /// The word in the register and in answers.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Taken => "taken",
            Self::Done => "done",
            Self::Missing => "missing",
            Self::Void => "void",
        }
    }

    fn by_word(word: &str) -> Option<Self> {
        [Self::Open, Self::Taken, Self::Done, Self::Missing, Self::Void].into_iter().find(|state| state.word() == word)
    }

    /// Whether something is still to be done.
    #[must_use]
    pub fn is_left(self) -> bool {
        matches!(self, Self::Open | Self::Taken)
    }
}

/// An item as it is after its move, and the move.
pub type Carried = (Item, Move);

/// A plan to be kept.
#[derive(Debug, Clone, PartialEq)]
pub struct NewRegroup {
    /// What was asked for.
    pub asked: Value,
    /// How good it is.
    pub outcome: Value,
    /// Its moves, in the order in which things are taken.
    pub moves: Vec<NewRegroupMove>,
}

/// A move of a plan to be kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NewRegroupMove {
    /// The item.
    pub item: ItemId,
    /// The bin that it goes to.
    pub to: BinCode,
    /// The trip, from 1, on which it is taken.
    pub taken_on: u32,
    /// The trip on which it is put.
    pub put_on: u32,
}

impl Regroup {
    /// How many moves are in this state.
    #[must_use]
    pub fn count(&self, state: MoveState) -> usize {
        self.moves.iter().filter(|one| one.state == state).count()
    }

    fn begun(&self) -> RegisterError {
        RegisterError::RegroupBegun {
            done: self.count(MoveState::Done),
            all: self.moves.len(),
            taken: self.count(MoveState::Taken),
            missing: self.count(MoveState::Missing),
        }
    }

    /// Whether something of it was taken, put or missed.
    #[must_use]
    pub fn is_begun(&self) -> bool {
        self.moves.iter().any(|one| !matches!(one.kept, MoveState::Open | MoveState::Void))
    }
}
