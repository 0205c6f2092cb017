//! The bins and items that moves are planned with, as plain data.

use std::collections::{BTreeSet, HashMap};

use super::{MOST_GRAMS, MOST_THINGS, RegroupError, RegroupWish, USUAL_TUB, Worth};
use crate::{
    code::BinCode,
    job::{Stockroom, capacity, round::stand},
    plan::{Armful, BinRule, Floor, RegroupError as NoPlan, Regrouping, Thing, Tub, WalkKey, trips},
    register::{Bin, ItemFilter, ItemId, NewRegroupMove, Register, RegisterError},
};

/// The bins and items that are planned with.
pub(super) struct Room {
    bins: Vec<Bin>,
    pub tubs: Vec<Tub>,
    pub things: Vec<Thing>,
    items: Vec<ItemId>,
}

impl Room {
    pub(super) fn of(register: &Register, wish: &RegroupWish) -> Result<Self, RegroupError> {
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

    pub(super) fn no_room(&self, wish: &RegroupWish, fault: &NoPlan) -> RegroupError {
        let NoPlan::NoRoom { left } = fault;
        let left = if left.len() == 1 { "1 item".into() } else { format!("{} items", left.len()) };
        RegroupError::NoRoom { empty: wish.empty.clone(), left, no_litres: self.no_litres() }
    }

    pub(super) fn worth(&self, found: &Regrouping) -> Worth {
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
    pub(super) fn moves(&self, found: &Regrouping) -> Vec<NewRegroupMove> {
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

pub(super) fn walk_key(bin: &Bin) -> WalkKey {
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
    let rule = match bin.code {
        code if wish.empty.contains(&code) => BinRule::Empty,
        code if wish.keep.contains(&code) => BinRule::Keep,
        _ => BinRule::Any,
    };
    Tub { capacity: capacity(&bin.room), area: bin.place.area.get(), rule }
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
