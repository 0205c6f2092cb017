//! Regrouping: which items move where so that bins become free, on which trips, and the plan kept.
//!
//! Start with [`plan_regroup`]; [`open_plan`] gives the plan that is under way. Whether bins can be carried and stacked
//! as they are filled is for people to say.

mod error;
mod go;
mod next;
mod page;
mod refusal;
mod room;
mod words;

use std::collections::BTreeSet;

use serde_json::{Value, json};

use room::Room;

use crate::{
    code::{AreaNumber, BinCode},
    plan::{USUAL_STEPS, Wish, regroup},
    register::{Bin, Item, MoveState, NewRegroup, Register, RegisterError, Regroup, RegroupId, RegroupMove},
};

pub use error::RegroupError;
pub use go::{Ending, Going, RegroupGo};
pub use next::{Next, Visit};
pub use page::{moves_pdf, print_moves};
pub use refusal::GoRefusal;
pub use words::{planned_line, planned_text};

/// What is carried on a trip at most: so many things, as heavy as that, and as much as the largest bin holds. A choice of
/// this program, and no figure of safety.
pub const MOST_THINGS: usize = 20;
/// In grams.
pub const MOST_GRAMS: u64 = 10_000;
/// In millilitres, where no bin is known to hold any.
const USUAL_TUB: u64 = 36_000;

/// What is wanted of a plan.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RegroupWish {
    /// Only bins of these areas; without any, all.
    pub areas: Vec<AreaNumber>,
    /// Bins that are to be emptied.
    pub empty: Vec<BinCode>,
    /// Bins that keep what is in them.
    pub keep: Vec<BinCode>,
    /// At most so many bins are freed beside those.
    pub free: Option<usize>,
    /// What is to stay, or come, together.
    pub together: Option<Together>,
}

/// What things have in common that are kept together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Together {
    /// Their note.
    Note,
    /// The name of their size.
    Size,
    /// The day on which they were bought.
    Bought,
    /// The order that they were sold for.
    Order,
    /// The bin that their code names.
    Bin,
}

impl Together {
    fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Size => "size",
            Self::Bought => "bought",
            Self::Order => "order",
            Self::Bin => "bin",
        }
    }

    fn of(self, item: &Item) -> Option<String> {
        match self {
            Self::Note => item.note.as_ref().map(|note| note.trim().to_lowercase()),
            Self::Size => item.bulk.size.clone(),
            Self::Bought => item.bought.map(|day| day.to_string()),
            Self::Order => item.sold.as_ref().and_then(|sold| sold.order.clone()),
            Self::Bin => item.code.map(|code| code.bin.to_string()),
        }
    }
}

/// A plan with what is worth telling of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The plan as it is kept.
    pub kept: Regroup,
    /// Its items, by the moves.
    pub items: Vec<Item>,
    /// The bins that something is taken from, in walking order.
    pub sources: Vec<Bin>,
    /// How good it is.
    pub worth: Worth,
}

/// How good a plan is, as it was when it was made.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(default)]
pub struct Worth {
    /// Bins that become free.
    pub freed: Vec<String>,
    /// Bins with something in them before.
    pub bins_before: usize,
    /// And after.
    pub bins_used: usize,
    /// No plan can do with fewer.
    pub bins_lower_bound: usize,
    /// Whether no plan is better.
    pub proven: bool,
    /// Whether no plan with so few bins moves fewer items.
    pub count_proven: bool,
    /// What came of keeping things together, where that was asked for.
    pub together: Option<Grouped>,
    /// Of bins that hold too much and are left as they are, what they hold, in words.
    pub over_full: Vec<String>,
    /// The items that were planned with.
    pub items: usize,
    /// Of how many of them the volume is assumed.
    pub volumes_assumed: usize,
    /// Of how many of them the weight is assumed; none where no bin has a limit.
    pub weights_assumed: usize,
    /// Bins of which no litres are known, so that nothing goes into them.
    pub no_litres: Vec<String>,
}

/// Things of which at least two have the same, and their bins added up.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Grouped {
    /// So many groups.
    pub groups: usize,
    /// The bins of each, added up, as things are.
    pub bins_before: usize,
    /// And after the moves.
    pub bins_after: usize,
}

/// What came of planning.
#[derive(Debug, Clone, PartialEq)]
pub enum Planned {
    /// A plan, and the number of the one that it replaces.
    Kept(Box<Plan>, Option<RegroupId>),
    /// Nothing is gained by any move that was found.
    NothingToGain(Worth),
}

/// Plans moves and keeps them, in place of a plan that was not begun.
///
/// # Errors
/// [`RegroupError`]; nothing is changed then.
pub fn plan_regroup(register: &mut Register, wish: &RegroupWish) -> Result<Planned, RegroupError> {
    plan_regroup_unless(register, wish, || false)
}

/// Plans moves and keeps them as [`plan_regroup`] does, unless that was cancelled meanwhile.
///
/// # Errors
/// [`RegroupError`]; nothing is changed then.
pub fn plan_regroup_unless(
    register: &mut Register,
    wish: &RegroupWish,
    is_cancelled: impl FnOnce() -> bool,
) -> Result<Planned, RegroupError> {
    register.refuse_begun_regroup()?;
    let room = Room::of(register, wish)?;
    let asked = Wish { free: wish.free, steps: USUAL_STEPS };
    let found = regroup(&room.tubs, &room.things, &asked).map_err(|fault| room.no_room(wish, &fault))?;
    let worth = room.worth(wish, &found);
    if found.moves.is_empty() {
        return Ok(Planned::NothingToGain(worth));
    }
    let moves = room.moves(&found);
    if is_cancelled() {
        return Err(RegroupError::Cancelled);
    }
    let new = NewRegroup { asked: asked_json(wish), outcome: json!(worth), moves };
    let (id, replaced) = register.keep_regroup(&new)?;
    let plan = plan_of(register, register.regroup(id)?)?;
    Ok(Planned::Kept(Box::new(plan), replaced))
}

/// The plan that is under way.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn open_plan(register: &Register) -> Result<Option<Plan>, RegisterError> {
    register.open_regroup()?.map(|kept| plan_of(register, kept)).transpose()
}

pub(super) fn plan_of(register: &Register, kept: Regroup) -> Result<Plan, RegisterError> {
    let item = |one: &RegroupMove| {
        let item = register.item(one.item)?;
        item.ok_or_else(|| RegisterError::Damaged(format!("item {}", one.item)))
    };
    let items = kept.moves.iter().map(item).collect::<Result<_, _>>()?;
    let worth = serde_json::from_value(kept.outcome.clone()).unwrap_or_default();
    let sources: BTreeSet<BinCode> = kept.moves.iter().map(|one| one.from).collect();
    let mut sources = sources.into_iter().map(|bin| register.bin(bin)).collect::<Result<Vec<_>, _>>()?;
    sources.sort_by_key(room::walk_key);
    Ok(Plan { kept, items, sources, worth })
}

impl Plan {
    /// Moves with their items.
    pub fn moves(&self) -> impl Iterator<Item = (&RegroupMove, &Item)> {
        self.kept.moves.iter().zip(&self.items)
    }

    /// Those that are in this state.
    pub fn in_state(&self, state: MoveState) -> impl Iterator<Item = (&RegroupMove, &Item)> {
        self.moves().filter(move |(one, _)| one.state == state)
    }

    /// How many trips it takes.
    #[must_use]
    pub fn trips(&self) -> u32 {
        self.kept.moves.iter().map(|one| one.put_on).max().unwrap_or_default()
    }

    /// How many items wait in the holding box.
    #[must_use]
    pub fn held(&self) -> usize {
        self.kept.moves.iter().filter(|one| one.is_held()).count()
    }
}

fn asked_json(wish: &RegroupWish) -> Value {
    let codes = |bins: &[BinCode]| bins.iter().map(BinCode::to_string).collect::<Vec<_>>();
    json!({
        "areas": wish.areas.iter().map(|area| area.get()).collect::<Vec<_>>(),
        "empty": codes(&wish.empty),
        "keep": codes(&wish.keep),
        "free": wish.free,
        "together": wish.together.map(Together::word),
    })
}
