//! The bins and items that moves are planned with, as plain data.

use std::collections::{BTreeSet, HashMap};

use super::{Grouped, MOST_GRAMS, MOST_THINGS, RegroupError, RegroupWish, USUAL_TUB, Worth};
use crate::{
    code::BinCode,
    job::{Stockroom, capacity, round::stand},
    plan::{Armful, BinRule, Capacity, Floor, Load, RegroupError as NoPlan, Regrouping, Thing, Tub, WalkKey, trips},
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
        let NoPlan::NoRoom { .. } = fault;
        RegroupError::NoRoom { empty: wish.empty.clone(), left: self.left_at_least(), no_litres: self.no_litres() }
    }

    /// However things are packed, so many of those that must move find no room: the smallest, and the lightest, of them
    /// fill all the room that there is.
    fn left_at_least(&self) -> usize {
        let volume = |load: &Load| u64::from(load.millilitres);
        let weight = |load: &Load| u64::from(load.grams);
        let most = |capacity: &Capacity| capacity.millilitres.map(u64::from);
        // Without litres nothing goes in, and without a limit any weight does.
        let heaviest = |capacity: &Capacity| capacity.millilitres.map(|_| capacity.grams.map_or(u64::MAX, u64::from));
        self.left_by(volume, most).max(self.left_by(weight, heaviest))
    }

    fn left_by(&self, figure: impl Fn(&Load) -> u64, most: impl Fn(&Capacity) -> Option<u64>) -> usize {
        let mut now = vec![0_u64; self.tubs.len()];
        self.things.iter().for_each(|thing| now[thing.tub] += figure(&thing.load));
        let is_open = |tub: &usize| self.tubs[*tub].rule != BinRule::Empty;
        let room = |tub: usize| most(&self.tubs[tub].capacity).unwrap_or_default().saturating_sub(now[tub]);
        let mut room = (0..self.tubs.len()).filter(is_open).map(room).fold(0_u64, u64::saturating_add);
        let moving = self.things.iter().filter(|thing| !is_open(&thing.tub));
        let mut figures: Vec<u64> = moving.map(|thing| figure(&thing.load)).collect();
        figures.sort_unstable();
        let fits = |figure: &&u64| room.checked_sub(**figure).map(|left| room = left).is_some();
        figures.len() - figures.iter().take_while(fits).count()
    }

    pub(super) fn worth(&self, wish: &RegroupWish, found: &Regrouping) -> Worth {
        let before: BTreeSet<usize> = self.things.iter().map(|thing| thing.tub).collect();
        let has_limit = self.tubs.iter().any(|tub| tub.capacity.grams.is_some());
        let assumed = |is: fn(&Thing) -> bool| self.things.iter().filter(|thing| is(thing)).count();
        Worth {
            freed: found.freed.iter().map(|tub| self.code(*tub)).collect(),
            bins_before: before.len(),
            bins_used: found.used,
            bins_lower_bound: found.lower_bound,
            proven: found.proven,
            count_proven: found.count_proven,
            together: wish.together.map(|_| self.grouped(found)),
            over_full: self.over_full(found),
            items: self.things.len(),
            volumes_assumed: assumed(|thing| thing.load.volume_is_assumed),
            weights_assumed: if has_limit { assumed(|thing| thing.load.weight_is_assumed) } else { 0 },
            no_litres: self.no_litres(),
        }
    }

    /// The tub of each thing after the moves.
    fn after(&self, found: &Regrouping) -> Vec<usize> {
        let mut after: Vec<usize> = self.things.iter().map(|thing| thing.tub).collect();
        found.moves.iter().for_each(|(thing, to)| after[*thing] = *to);
        after
    }

    fn grouped(&self, found: &Regrouping) -> Grouped {
        let mut sizes: HashMap<usize, usize> = HashMap::new();
        for group in self.things.iter().filter_map(|thing| thing.group) {
            *sizes.entry(group).or_default() += 1;
        }
        sizes.retain(|_, size| *size > 1);
        let (mut before, mut after) = (BTreeSet::new(), BTreeSet::new());
        for (thing, to) in self.things.iter().zip(self.after(found)) {
            if let Some(group) = thing.group.filter(|group| sizes.contains_key(group)) {
                before.insert((group, thing.tub));
                after.insert((group, to));
            }
        }
        Grouped { groups: sizes.len(), bins_before: before.len(), bins_after: after.len() }
    }

    /// `4A stays over-full: 27.4 of 20 l`
    fn over_full(&self, found: &Regrouping) -> Vec<String> {
        let mut sums = vec![0_u64; self.tubs.len()];
        for (thing, to) in self.things.iter().zip(self.after(found)) {
            sums[to] += u64::from(thing.load.millilitres);
        }
        let told = |(bin, sum): (&Bin, u64)| {
            let most = bin.room.volume?;
            let is_over = sum > u64::from(most.millilitres());
            is_over.then(|| format!("{} stays over-full: {} of {most}", bin.code, tenths(sum)))
        };
        self.bins.iter().zip(sums).filter_map(told).collect()
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

/// Litres with a tenth, rounded up: what is over must not look like what fits.
fn tenths(millilitres: u64) -> String {
    let tenths = millilitres.div_ceil(100);
    match tenths % 10 {
        0 => (tenths / 10).to_string(),
        tenth => format!("{}.{tenth}", tenths / 10),
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
