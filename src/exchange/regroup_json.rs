//! The JSON of plans of moves and of the sessions that carry them out.
//!
//! Each type is one object of the answers. They are written only, never read.

use serde::Serialize;

use crate::register::{Item, MoveState, Regroup, RegroupId, RegroupMove};

/// A move of a plan.
#[derive(Debug, Serialize)]
pub struct PlannedMoveJson {
    code: String,
    title: String,
    from: String,
    to: String,
    taken_on: u32,
    put_on: u32,
    state: MoveState,
}

impl PlannedMoveJson {
    /// A move with its item.
    #[must_use]
    pub fn new(one: &RegroupMove, item: &Item) -> Self {
        Self {
            code: item.name(),
            title: item.title.clone(),
            from: one.from.to_string(),
            to: one.to.to_string(),
            taken_on: one.taken_on,
            put_on: one.put_on,
            state: one.state,
        }
    }
}

/// A plan, with what is told of how good it is.
#[derive(Debug, Serialize)]
pub struct PlanJson<'a, W> {
    plan: RegroupId,
    at: &'a str,
    asked: &'a serde_json::Value,
    moves: Vec<PlannedMoveJson>,
    items_moved: usize,
    trips: u32,
    held: usize,
    #[serde(flatten)]
    worth: &'a W,
}

impl<'a, W> PlanJson<'a, W> {
    /// A plan with the items of its moves.
    #[must_use]
    pub fn new(plan: &'a Regroup, items: &[Item], worth: &'a W) -> Self {
        Self {
            plan: plan.id,
            at: &plan.at,
            asked: &plan.asked,
            moves: plan.moves.iter().zip(items).map(|(one, item)| PlannedMoveJson::new(one, item)).collect(),
            items_moved: plan.moves.len(),
            trips: plan.moves.iter().map(|one| one.put_on).max().unwrap_or_default(),
            held: plan.moves.iter().filter(|one| one.is_held()).count(),
            worth,
        }
    }
}

/// Nothing that is worth moving.
#[derive(Debug, Serialize)]
pub struct NoPlanJson<'a, W> {
    moves: [(); 0],
    items_moved: usize,
    #[serde(flatten)]
    worth: &'a W,
}

impl<'a, W> NoPlanJson<'a, W> {
    /// With what is told of the bins.
    #[must_use]
    pub fn new(worth: &'a W) -> Self {
        Self { moves: [], items_moved: 0, worth }
    }
}

/// Where to go next.
#[derive(Debug, Serialize)]
pub struct NextJson {
    /// `take` or `put`.
    #[serde(rename = "do")]
    pub doing: &'static str,
    /// The trip.
    pub trip: u32,
    /// The bin.
    pub bin: String,
    /// The items.
    pub codes: Vec<String>,
}

/// What is to be said at the end of a plan.
#[derive(Debug, Serialize)]
pub struct EndingJson {
    /// How many items were moved.
    pub moved: usize,
    /// How many came elsewhere by other ways, or left.
    pub void: usize,
    /// What was not there.
    pub missing: Vec<PlannedMoveJson>,
    /// Bins of the plan with nothing in them.
    pub empty: Vec<String>,
    /// How many items, in the bins into which something was moved, have a code of another bin.
    pub other_tags: usize,
    /// How many of them have a tag with it.
    pub tags: usize,
    /// How many of them are listed under it.
    pub listed: usize,
}
