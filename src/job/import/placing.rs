//! Where the new items of a file go that no row names a bin for.
//!
//! Start with `place`. Nothing is placed unless a bin has a volume; what fits nowhere waits.

use std::collections::HashMap;

use super::ImportOptions;
use crate::{
    job::{Fill, Stockroom},
    plan::{Lack, Load, Tubful, fit, fit_together},
    register::{Bin, Bulk, BulkEdit, BulkRecord, Edit, ItemChange, ItemId, NewItem, Register, RegisterError, Title},
};

/// Steps of a search for the fewest bins, each of which looks at all bins.
const STEPS: u64 = 2_000_000;

/// What is done with new items that no row names a bin for.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Placement {
    /// Each goes where it fits best, if any bin has a volume.
    #[default]
    BestFit,
    /// The same in as few bins as can be found.
    Together,
    /// They wait.
    Wait,
}

/// Where new items go.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Placing {
    /// The bins that they go into, by code.
    pub bins: Vec<PlacedBin>,
    /// Those that fit into no bin and wait.
    pub waiting: Vec<Waiting>,
    /// How many were to be placed.
    pub items: usize,
    /// Of how many of them the volume is assumed.
    pub sizes_assumed: usize,
    /// Of how many of them the weight is assumed, of those that come into a bin with a limit.
    pub weights_assumed: usize,
}

/// A new item that fits into no bin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Waiting {
    /// What it is.
    pub title: String,
    /// What the bins lack for it.
    pub lack: Lack,
}

/// A bin that new items go into.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedBin {
    /// The bin as it is.
    pub bin: Bin,
    /// How many come into it.
    pub came: usize,
    /// What is in it then.
    pub fill: Fill,
}

/// Gives the new items without a bin one. `None` where that is not wanted, or no bin has a volume.
pub(super) fn place(
    register: &Register,
    options: &ImportOptions,
    new: &mut [NewItem],
    changes: &[ItemChange],
) -> Result<Option<Placing>, RegisterError> {
    let homeless: Vec<usize> = (0..new.len()).filter(|at| new[*at].bin.is_none()).collect();
    if options.bin.is_some() || options.placement == Placement::Wait || homeless.is_empty() || !register.has_room()? {
        return Ok(None);
    }
    let records = changed(register.bulks()?, changes);
    let bulks: Vec<&Bulk> = new.iter().map(|item| &item.bulk).collect();
    let (stockroom, loads) = Stockroom::reckoned(register, &records, &bulks)?;
    if stockroom.bins.iter().all(|bin| bin.room.volume.is_none()) {
        return Ok(None);
    }
    let loads = &loads[records.len()..];
    let fills = filled(&stockroom, new, loads);
    let wanted: Vec<Load> = homeless.iter().map(|at| loads[*at]).collect();
    let places = places(&stockroom, &fills, &wanted, options.placement);
    for (at, place) in homeless.iter().zip(&places) {
        new[*at].bin = place.map(|place| stockroom.bins[place].code);
    }
    let titles: Vec<&str> = homeless.iter().map(|at| new[*at].title.as_str()).collect();
    Ok(Some(Placing::new(stockroom.bins, fills, &wanted, (&places, &titles))))
}

fn places(stockroom: &Stockroom, fills: &[Fill], loads: &[Load], placement: Placement) -> Vec<Option<usize>> {
    let tubs: Vec<Tubful> = stockroom.bins.iter().zip(fills).map(|(bin, fill)| fill.tubful(&bin.room)).collect();
    if placement == Placement::Together {
        fit_together(&tubs, loads, STEPS / (tubs.len() as u64 + 1))
    } else {
        fit(&tubs, loads)
    }
}

/// What is in the bins when the rows that name a bin have come in.
fn filled(stockroom: &Stockroom, new: &[NewItem], loads: &[Load]) -> Vec<Fill> {
    let mut fills = stockroom.fills();
    let place: HashMap<_, _> = stockroom.bins.iter().map(|bin| bin.code).zip(0..).collect::<HashMap<_, usize>>();
    for (item, load) in new.iter().zip(loads) {
        if let Some(at) = item.bin.and_then(|bin| place.get(&bin)) {
            fills[*at].add(load);
        }
    }
    fills
}

impl Placing {
    fn new(
        bins: Vec<Bin>,
        mut fills: Vec<Fill>,
        loads: &[Load],
        (places, titles): (&[Option<usize>], &[&str]),
    ) -> Self {
        let (mut came, mut weights_assumed) = (vec![0; bins.len()], 0);
        for (load, place) in loads.iter().zip(places) {
            if let Some(at) = place {
                fills[*at].add(load);
                came[*at] += 1;
                weights_assumed += usize::from(load.weight_is_assumed && bins[*at].room.max_weight.is_some());
            }
        }
        let tubs: Vec<Tubful> = bins.iter().zip(&fills).map(|(bin, fill)| fill.tubful(&bin.room)).collect();
        let all = places.iter().zip(loads).zip(titles);
        let waiting = all
            .filter(|((place, _), _)| place.is_none())
            .map(|((_, load), title)| Waiting { title: (*title).to_owned(), lack: Lack::of(&tubs, load) });
        let waiting = waiting.collect();
        let used = bins.into_iter().zip(fills).zip(came).filter(|(_, came)| *came > 0);
        Self {
            bins: used.map(|((bin, fill), came)| PlacedBin { bin, came, fill }).collect(),
            waiting,
            items: loads.len(),
            sizes_assumed: loads.iter().filter(|load| load.volume_is_assumed).count(),
            weights_assumed,
        }
    }
}

/// The items as they are when the file's changes are made.
fn changed(mut records: Vec<BulkRecord>, changes: &[ItemChange]) -> Vec<BulkRecord> {
    let place: HashMap<ItemId, usize> = records.iter().map(|record| record.item).zip(0..).collect();
    for change in changes {
        let item = &change.item;
        let at = place.get(&item.id()).copied().unwrap_or_else(|| {
            records.push(BulkRecord { item: item.id(), bin: item.bin(), bulk: item.bulk.clone() });
            records.len() - 1
        });
        records[at].bin = change.bin.or(records[at].bin);
        edited(&mut records[at].bulk, &change.edit.bulk);
    }
    records
}

fn edited(bulk: &mut Bulk, edit: &BulkEdit) {
    set(&mut bulk.volume, &edit.volume, |volume| *volume);
    set(&mut bulk.measures, &edit.measures, |measures| *measures);
    set(&mut bulk.size, &edit.size, |size: &Title| size.as_str().to_owned());
    set(&mut bulk.weight, &edit.weight, |weight| *weight);
}

fn set<T, V>(value: &mut Option<V>, edit: &Edit<T>, read: impl FnOnce(&T) -> V) {
    match edit {
        Edit::Keep => {}
        Edit::Clear => *value = None,
        Edit::Set(new) => *value = Some(read(new)),
    }
}
