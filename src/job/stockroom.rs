//! The bins with what is in them: how big and heavy each item is taken to be, and how full bins are.
//!
//! Start with [`Stockroom::of`].

use std::collections::HashMap;

use crate::{
    code::BinCode,
    plan::{Entered, Load, NamedSize, loads, named_sizes},
    register::{Bin, BulkRecord, ItemId, Register, RegisterError},
};

/// The bins with what is in them.
#[derive(Debug, Clone)]
pub struct Stockroom {
    /// The bins that are in use, by code.
    pub bins: Vec<Bin>,
    /// The items that are in them, by their entry.
    pub items: Vec<Stocked>,
    /// The names of sizes.
    pub sizes: Vec<NamedSize>,
}

/// An item in a bin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stocked {
    /// The item.
    pub item: ItemId,
    /// The place of its bin among the bins.
    pub bin: usize,
    /// How big and heavy it is taken to be.
    pub load: Load,
}

/// What is in a bin.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Fill {
    /// How many items.
    pub items: usize,
    /// What they take up.
    pub millilitres: u64,
    /// What they weigh.
    pub grams: u64,
    /// Of how many of them the volume is assumed.
    pub volumes_assumed: usize,
    /// Of how many of them the weight is assumed.
    pub weights_assumed: usize,
}

impl Fill {
    /// Adds an item.
    pub fn add(&mut self, load: &Load) {
        self.items += 1;
        self.millilitres += u64::from(load.millilitres);
        self.grams += u64::from(load.grams);
        self.volumes_assumed += usize::from(load.volume_is_assumed);
        self.weights_assumed += usize::from(load.weight_is_assumed);
    }
}

impl Stockroom {
    /// As it is now.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read.
    pub fn of(register: &Register) -> Result<Self, RegisterError> {
        let (bins, records) = (register.bins(None)?, register.bulks()?);
        let sizes = named_sizes(&register.set_sizes()?);
        let entered: Vec<Entered<'_>> = records.iter().map(entered).collect();
        let place: HashMap<BinCode, usize> = bins.iter().map(|bin| bin.code).zip(0..).collect();
        let stocked = |(record, load): (&BulkRecord, Load)| {
            let bin = *place.get(&record.bin?)?;
            Some(Stocked { item: record.item, bin, load })
        };
        let items = records.iter().zip(loads(&entered, &sizes)).filter_map(stocked).collect();
        Ok(Self { bins, items, sizes })
    }

    /// What is in each bin.
    #[must_use]
    pub fn fills(&self) -> Vec<Fill> {
        let mut fills = vec![Fill::default(); self.bins.len()];
        self.items.iter().for_each(|item| fills[item.bin].add(&item.load));
        fills
    }
}

fn entered(record: &BulkRecord) -> Entered<'_> {
    let bulk = &record.bulk;
    Entered { volume: bulk.volume, measures: bulk.measures, size: bulk.size.as_deref(), weight: bulk.weight }
}
