//! Regrouping: which items move where so that bins become free, on which trips, and the plan kept.
//!
//! Start with [`plan_regroup`]; [`open_plan`] gives the plan that is under way. Whether bins can be carried and stacked
//! as they are filled is for people to say.

mod go;
mod page;

use std::collections::{BTreeSet, HashMap};

use serde_json::{Value, json};

use super::{Stockroom, round::stand};
use crate::{
    code::{AreaNumber, BinCode},
    plan::{
        Armful, BinRule, Capacity, Floor, RegroupError as NoPlan, Regrouping, Thing, Tub, WalkKey, Wish, regroup, trips,
    },
    register::{
        Bin, Item, ItemFilter, ItemId, MoveState, NewRegroup, NewRegroupMove, Register, RegisterError, Regroup,
        RegroupId, RegroupMove,
    },
    unit::{Measures, Volume, Weight},
};

pub use go::{Ending, GoRefusal, Going, Next, RegroupGo, RoomWarning, Visit};
pub use page::print_moves;

/// How long the search may go on: a plan for a few thousand items takes seconds.
const STEPS: u64 = 20_000_000;

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
    /// How good it is.
    pub worth: Worth,
}

/// How good a plan is, as it was when it was made.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
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
    /// The items that were planned with.
    pub items: usize,
    /// Of how many of them the volume is assumed.
    pub volumes_assumed: usize,
    /// Of how many of them the weight is assumed; none where no bin has a limit.
    pub weights_assumed: usize,
    /// Bins of which no litres are known, so that nothing goes into them.
    pub no_litres: Vec<String>,
}

/// What came of planning.
#[derive(Debug, Clone, PartialEq)]
pub enum Planned {
    /// A plan, and the number of the one that it replaces.
    Kept(Box<Plan>, Option<RegroupId>),
    /// Nothing is gained by any move that was found.
    NothingToGain(Worth),
}

/// Why there is no plan.
#[derive(Debug, thiserror::Error)]
pub enum RegroupError {
    /// There is nothing to plan with.
    #[error("there are no bins with anything in them{}; `stowmark bin list` shows all", within(areas))]
    NoBins {
        /// The areas that were named.
        areas: Vec<AreaNumber>,
    },
    /// A bin that is to be emptied or kept is not among those that are planned with.
    #[error("{bin} is not in {}; name its area too, or leave --area out", areas_text(areas))]
    NotWithin {
        /// Which.
        bin: BinCode,
        /// The areas that were named.
        areas: Vec<AreaNumber>,
    },
    /// A bin can't be emptied and kept.
    #[error("{0} is to be emptied and to be kept; name it once")]
    EmptyAndKeep(BinCode),
    /// What is in bins that are to be emptied does not fit elsewhere.
    #[error(
        "what is in {} does not fit into the other bins: {left} would be left over{}",
        names(empty),
        litres_hint(no_litres)
    )]
    NoRoom {
        /// The bins that are to be emptied.
        empty: Vec<BinCode>,
        /// How many items, in words.
        left: String,
        /// Bins of which no litres are known.
        no_litres: Vec<String>,
    },
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

fn within(areas: &[AreaNumber]) -> String {
    if areas.is_empty() { String::new() } else { format!(" in {}", areas_text(areas)) }
}

fn areas_text(areas: &[AreaNumber]) -> String {
    let numbers: Vec<String> = areas.iter().map(AreaNumber::to_string).collect();
    format!("area {}", numbers.join(" or "))
}

fn names(bins: &[BinCode]) -> String {
    bins.iter().map(BinCode::to_string).collect::<Vec<_>>().join(", ")
}

fn litres_hint(no_litres: &[String]) -> String {
    match no_litres.first() {
        None => "; add bins, or empty fewer".into(),
        Some(bin) => format!(
            "; nothing goes into bins whose litres are not known ({}): `stowmark bin edit {bin} --litres 36`",
            no_litres.join(", ")
        ),
    }
}

/// Plans moves and keeps them, in place of a plan that was not begun.
///
/// # Errors
/// [`RegroupError`]; nothing is changed then.
pub fn plan_regroup(register: &mut Register, wish: &RegroupWish) -> Result<Planned, RegroupError> {
    register.refuse_begun_regroup()?;
    let room = Room::of(register, wish)?;
    let asked = Wish { free: wish.free, steps: STEPS };
    let found = regroup(&room.tubs, &room.things, &asked).map_err(|fault| room.no_room(wish, &fault))?;
    let worth = room.worth(&found);
    if found.moves.is_empty() {
        return Ok(Planned::NothingToGain(worth));
    }
    let moves = room.moves(&found);
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
    Ok(Plan { kept, items, worth })
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

/// The bins and items that are planned with.
struct Room {
    bins: Vec<Bin>,
    tubs: Vec<Tub>,
    things: Vec<Thing>,
    items: Vec<ItemId>,
}

impl Room {
    fn of(register: &Register, wish: &RegroupWish) -> Result<Self, RegroupError> {
        for area in &wish.areas {
            register.bins(Some(*area))?;
        }
        refuse_odd(wish)?;
        let stockroom = Stockroom::of(register)?;
        let is_within = |bin: &Bin| wish.areas.is_empty() || wish.areas.contains(&bin.place.area);
        let mut place = vec![None; stockroom.bins.len()];
        let (mut bins, mut tubs) = (Vec::new(), Vec::new());
        for (at, bin) in stockroom.bins.into_iter().enumerate().filter(|(_, bin)| is_within(bin)) {
            place[at] = Some(bins.len());
            tubs.push(tub(&bin, wish));
            bins.push(bin);
        }
        let groups = groups(register, wish)?;
        let mut items = Vec::new();
        let mut things = Vec::new();
        for stocked in &stockroom.items {
            let Some(tub) = place[stocked.bin] else { continue };
            things.push(Thing { tub, load: stocked.load, group: groups.get(&stocked.item).copied() });
            items.push(stocked.item);
        }
        if things.is_empty() {
            return Err(RegroupError::NoBins { areas: wish.areas.clone() });
        }
        Ok(Self { bins, tubs, things, items })
    }

    fn code(&self, tub: usize) -> String {
        self.bins[tub].code.to_string()
    }

    fn no_litres(&self) -> Vec<String> {
        let is_unknown = |tub: &usize| self.tubs[*tub].capacity.millilitres.is_none();
        (0..self.tubs.len()).filter(is_unknown).map(|tub| self.code(tub)).collect()
    }

    fn no_room(&self, wish: &RegroupWish, fault: &NoPlan) -> RegroupError {
        let NoPlan::NoRoom { left } = fault;
        let left = if left.len() == 1 { "1 item".into() } else { format!("{} items", left.len()) };
        RegroupError::NoRoom { empty: wish.empty.clone(), left, no_litres: self.no_litres() }
    }

    fn worth(&self, found: &Regrouping) -> Worth {
        let before: BTreeSet<usize> = self.things.iter().map(|thing| thing.tub).collect();
        let has_limit = self.tubs.iter().any(|tub| tub.capacity.grams.is_some());
        let assumed = |is: fn(&Thing) -> bool| self.things.iter().filter(|thing| is(thing)).count();
        Worth {
            freed: found.freed.iter().map(|tub| self.code(*tub)).collect(),
            bins_before: before.len(),
            bins_used: found.used,
            bins_lower_bound: found.lower_bound,
            proven: found.proven,
            items: self.things.len(),
            volumes_assumed: assumed(|thing| thing.load.volume_is_assumed),
            weights_assumed: if has_limit { assumed(|thing| thing.load.weight_is_assumed) } else { 0 },
            no_litres: self.no_litres(),
        }
    }

    /// The moves in the order of their trips.
    fn moves(&self, found: &Regrouping) -> Vec<NewRegroupMove> {
        let walk = walk_places(&self.bins);
        let largest = self.tubs.iter().filter_map(|tub| tub.capacity.millilitres).max().map(u64::from);
        let armful = Armful { things: MOST_THINGS, millilitres: largest.unwrap_or(USUAL_TUB), grams: MOST_GRAMS };
        let floor = Floor { tubs: &self.tubs, walk: &walk, things: &self.things, armful };
        let trip = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
        let carries = trips(&floor, &found.moves);
        let kept = carries.iter().map(|carry| NewRegroupMove {
            item: self.items[carry.thing],
            to: self.bins[carry.to].code,
            taken_on: trip(carry.taken_on),
            put_on: trip(carry.put_on),
        });
        kept.collect()
    }
}

/// For each bin its place in walking order.
fn walk_places(bins: &[Bin]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..bins.len()).collect();
    order.sort_by_key(|at| walk_key(&bins[*at]));
    let mut places = vec![0; bins.len()];
    order.iter().enumerate().for_each(|(place, at)| places[*at] = place);
    places
}

fn walk_key(bin: &Bin) -> WalkKey {
    WalkKey::new(Some(stand(&bin.place, bin.stack)), Some(bin.code), None)
}

fn refuse_odd(wish: &RegroupWish) -> Result<(), RegroupError> {
    if let Some(both) = wish.empty.iter().find(|bin| wish.keep.contains(bin)) {
        return Err(RegroupError::EmptyAndKeep(*both));
    }
    let is_within = |bin: &&BinCode| wish.areas.is_empty() || wish.areas.contains(&bin.area());
    match wish.empty.iter().chain(&wish.keep).find(|bin| !is_within(bin)) {
        Some(bin) => Err(RegroupError::NotWithin { bin: *bin, areas: wish.areas.clone() }),
        None => Ok(()),
    }
}

fn tub(bin: &Bin, wish: &RegroupWish) -> Tub {
    let capacity = Capacity {
        millilitres: bin.room.volume.map(Volume::millilitres),
        grams: bin.room.max_weight.map(Weight::grams),
        longest_mm: bin.room.inside.map(Measures::diagonal_mm),
    };
    let rule = match bin.code {
        code if wish.empty.contains(&code) => BinRule::Empty,
        code if wish.keep.contains(&code) => BinRule::Keep,
        _ => BinRule::Any,
    };
    Tub { capacity, area: bin.place.area.get(), rule }
}

/// The number of each item's group.
fn groups(register: &Register, wish: &RegroupWish) -> Result<HashMap<ItemId, usize>, RegisterError> {
    let Some(together) = wish.together else { return Ok(HashMap::new()) };
    let mut numbers: HashMap<String, usize> = HashMap::new();
    let items = register.items(&ItemFilter::stowed())?;
    let grouped = items.iter().filter_map(|item| {
        let value = together.of(item)?;
        let next = numbers.len();
        Some((item.id(), *numbers.entry(value).or_insert(next)))
    });
    Ok(grouped.collect())
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
