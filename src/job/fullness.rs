//! How full bins are, what is said when one is over-full, and where a new item would go.
//!
//! Start with [`fills`] for a list of bins, [`RoomWatch`] for a session that moves items, [`room_for`] for a new item. What
//! is not known of items is assumed as [`crate::plan::loads`] says. Where no bin has any figure, items are not read.

use std::collections::{BTreeSet, HashMap};

use super::{Fill, Stockroom};
use crate::{
    code::BinCode,
    plan::{Capacity, Load, Tubful, best_fits},
    register::{Bin, Bulk, Item, ItemId, Register, RegisterError, Room},
    unit::{Measures, Volume, Weight},
};

/// What a bin holds, as plans take it.
#[must_use]
pub fn capacity(room: &Room) -> Capacity {
    Capacity {
        millilitres: room.volume.map(Volume::millilitres),
        grams: room.max_weight.map(Weight::grams),
        longest_mm: room.inside.map(Measures::diagonal_mm),
    }
}

impl Fill {
    /// How much of a bin's volume is taken, in percent: 100 only when it is full, 0 only when nothing is in it, more
    /// than 100 whenever it is over.
    #[must_use]
    pub fn percent(&self, room: &Room) -> Option<u64> {
        let volume = u64::from(room.volume?.millilitres());
        let hundredfold = self.millilitres * 100;
        let is_over = self.millilitres > volume;
        let percent = if is_over { hundredfold.div_ceil(volume) } else { hundredfold / volume };
        Some(percent.max(u64::from(self.millilitres > 0)))
    }

    /// How much of what it may weigh is taken, in percent as [`Self::percent`]; nothing where no weight is known.
    #[must_use]
    pub fn weight_percent(&self, room: &Room) -> Option<u64> {
        let most = u64::from(room.max_weight.filter(|_| self.knows_weight())?.grams());
        let hundredfold = self.grams * 100;
        let percent = if self.grams > most { hundredfold.div_ceil(most) } else { hundredfold / most };
        Some(percent.max(u64::from(self.grams > 0)))
    }

    /// Whether there is more in it than it holds.
    #[must_use]
    pub fn is_over_volume(&self, room: &Room) -> bool {
        room.volume.is_some_and(|most| self.millilitres > u64::from(most.millilitres()))
    }

    /// Whether it weighs more than it may.
    #[must_use]
    pub fn is_over_weight(&self, room: &Room) -> bool {
        room.max_weight.is_some_and(|most| self.grams > u64::from(most.grams()))
    }

    /// With as much room as a bin has.
    #[must_use]
    pub fn tubful(&self, room: &Room) -> Tubful {
        Tubful { capacity: capacity(room), millilitres: self.millilitres, grams: self.grams }
    }
}

/// What is in each of these bins; `None` where none of them has a volume or a weight limit.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn fills(register: &Register, bins: &[Bin]) -> Result<Option<Vec<Fill>>, RegisterError> {
    if bins.iter().all(|bin| bin.room.volume.is_none() && bin.room.max_weight.is_none()) {
        return Ok(None);
    }
    let stockroom = Stockroom::of(register)?;
    let all = stockroom.fills();
    let by_code: HashMap<BinCode, Fill> = stockroom.bins.iter().map(|bin| bin.code).zip(all).collect();
    Ok(Some(bins.iter().map(|bin| by_code.get(&bin.code).copied().unwrap_or_default()).collect()))
}

/// What is said of an item that was put into a bin.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RoomWarning {
    /// More than its volume.
    #[error("{bin} is over-full: {} of {most} are taken{}", litres(*millilitres), assumed(*sizes_assumed, "size"))]
    Volume {
        /// The bin.
        bin: BinCode,
        /// What is in it.
        millilitres: u64,
        /// What it holds.
        most: Volume,
        /// Of how many items that is assumed.
        sizes_assumed: usize,
    },
    /// More than it may weigh.
    #[error("{bin} is too heavy: {} kg of at most {most}{}", kilograms(*grams), assumed(*weights_assumed, "weight"))]
    Weight {
        /// The bin.
        bin: BinCode,
        /// What is in it.
        grams: u64,
        /// What it may weigh.
        most: Weight,
        /// Of how many items that is assumed.
        weights_assumed: usize,
    },
    /// An item that does not go in, however it is turned.
    #[error("{item} is too long for {bin}: its longest edge is {} cm, the bin's diagonal {} cm", cm(*edge), cm(*diagonal))]
    Long {
        /// What it is called by.
        item: String,
        /// The bin.
        bin: BinCode,
        /// Its longest edge in millimetres.
        edge: u32,
        /// The bin's diagonal in millimetres.
        diagonal: u32,
    },
}

#[expect(clippy::cast_precision_loss, reason = "no bin holds that much")]
fn thousandth(whole: u64) -> f64 {
    whole as f64 / 1000.0
}

fn litres(millilitres: u64) -> String {
    format!("{} l", thousandth(millilitres))
}

fn kilograms(grams: u64) -> String {
    thousandth(grams).to_string()
}

fn cm(millimetres: u32) -> f64 {
    f64::from(millimetres) / 10.0
}

fn assumed(count: usize, noun: &str) -> String {
    match count {
        0 => String::new(),
        1 => format!(", 1 {noun} is assumed"),
        many => format!(", {many} {noun}s are assumed"),
    }
}

/// How full bins are while items move: read once, kept up with each move. Empty where no bin has any figure.
#[derive(Debug, Clone, Default)]
pub struct RoomWatch {
    tubs: HashMap<BinCode, (Room, Fill)>,
    loads: HashMap<ItemId, Load>,
    /// Of an item of which nothing is known.
    unknown: Load,
}

impl RoomWatch {
    /// As it is now.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read.
    pub fn of(register: &Register) -> Result<Self, RegisterError> {
        if !register.has_room()? {
            return Ok(Self::default());
        }
        let records = register.bulks()?;
        let (stockroom, loads) = Stockroom::reckoned(register, &records, &[&Bulk::default()])?;
        let fills = stockroom.fills();
        let tubs = stockroom.bins.iter().zip(fills).map(|(bin, fill)| (bin.code, (bin.room, fill))).collect();
        let unknown = loads.last().copied().unwrap_or_default();
        Ok(Self { tubs, loads: records.iter().map(|record| record.item).zip(loads).collect(), unknown })
    }

    /// An item came from one bin into another.
    pub fn moved(&mut self, item: ItemId, from: Option<BinCode>, to: Option<BinCode>) {
        let load = self.load(item);
        if let Some((_, fill)) = from.and_then(|bin| self.tubs.get_mut(&bin)) {
            fill.remove(&load);
        }
        if let Some((_, fill)) = to.and_then(|bin| self.tubs.get_mut(&bin)) {
            fill.add(&load);
        }
    }

    /// What is to be said of an item in a bin, and of that bin.
    #[must_use]
    pub fn warnings(&self, item: &Item, bin: BinCode) -> Vec<RoomWarning> {
        self.too_long(item, bin).into_iter().chain(self.over(bin)).collect()
    }

    fn too_long(&self, item: &Item, bin: BinCode) -> Option<RoomWarning> {
        let diagonal = self.tubs.get(&bin)?.0.inside?.diagonal_mm();
        let edge = self.load(item.id()).longest_mm.filter(|edge| *edge > diagonal)?;
        Some(RoomWarning::Long { item: item.name(), bin, edge, diagonal })
    }

    /// What is to be said of a bin.
    pub(super) fn over(&self, bin: BinCode) -> Vec<RoomWarning> {
        let Some((room, fill)) = self.tubs.get(&bin) else { return Vec::new() };
        let (millilitres, sizes_assumed) = (fill.millilitres, fill.volumes_assumed);
        let volume = room.volume.filter(|_| fill.is_over_volume(room));
        let weight = room.max_weight.filter(|_| fill.is_over_weight(room));
        let volume = volume.map(|most| RoomWarning::Volume { bin, millilitres, most, sizes_assumed });
        let (grams, weights_assumed) = (fill.grams, fill.weights_assumed);
        let weight = weight.map(|most| RoomWarning::Weight { bin, grams, most, weights_assumed });
        [volume, weight].into_iter().flatten().collect()
    }

    fn load(&self, item: ItemId) -> Load {
        self.loads.get(&item).copied().unwrap_or(self.unknown)
    }
}

/// What is to be said of items that were put into bins, and of these bins; all others are read only where one of these
/// has a figure.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn room_warnings(register: &Register, items: &[Item]) -> Result<Vec<RoomWarning>, RegisterError> {
    let bins: BTreeSet<BinCode> = items.iter().filter_map(Item::bin).collect();
    let rooms = bins.iter().map(|bin| Ok(register.bin(*bin)?.room)).collect::<Result<Vec<_>, RegisterError>>()?;
    if rooms.iter().all(|room| *room == Room::default()) {
        return Ok(Vec::new());
    }
    let watch = RoomWatch::of(register)?;
    let long = items.iter().filter_map(|item| watch.too_long(item, item.bin()?));
    Ok(long.chain(bins.iter().flat_map(|bin| watch.over(*bin))).collect())
}

/// Where a new item would go.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomFor {
    /// What it is taken to take up.
    pub load: Load,
    /// The bins that take it, the best first, as full as they would be with it.
    pub bins: Vec<(Bin, Fill)>,
}

/// Where a new item of this size would go; `None` where no bin has a volume.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn room_for(register: &Register, bulk: &Bulk) -> Result<Option<RoomFor>, RegisterError> {
    let (stockroom, loads) = Stockroom::reckoned(register, &register.bulks()?, &[bulk])?;
    if stockroom.bins.iter().all(|bin| bin.room.volume.is_none()) {
        return Ok(None);
    }
    let (load, fills) = (loads.last().copied().unwrap_or_default(), stockroom.fills());
    let tubs: Vec<Tubful> = stockroom.bins.iter().zip(&fills).map(|(bin, fill)| fill.tubful(&bin.room)).collect();
    let with_it = |at: usize| {
        let mut fill = fills[at];
        fill.add(&load);
        (stockroom.bins[at].clone(), fill)
    };
    Ok(Some(RoomFor { load, bins: best_fits(&tubs, &load).into_iter().map(with_it).collect() }))
}
