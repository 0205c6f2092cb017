//! The bins with what is in them: how big and heavy each item is taken to be, and how full bins are.
//!
//! Start with [`Stockroom::of`].

use std::collections::HashMap;

use crate::{
    code::BinCode,
    plan::{Entered, Load, NamedSize, loads, named_sizes},
    register::{Bin, Bulk, BulkRecord, ItemId, Register, RegisterError},
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

    /// Takes one of its items out.
    pub fn remove(&mut self, load: &Load) {
        self.items = self.items.saturating_sub(1);
        self.millilitres = self.millilitres.saturating_sub(load.millilitres.into());
        self.grams = self.grams.saturating_sub(load.grams.into());
        self.volumes_assumed = self.volumes_assumed.saturating_sub(usize::from(load.volume_is_assumed));
        self.weights_assumed = self.weights_assumed.saturating_sub(usize::from(load.weight_is_assumed));
    }
}

impl Stockroom {
    /// As it is now.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read.
    pub fn of(register: &Register) -> Result<Self, RegisterError> {
        Ok(Self::reckoned(register, &register.bulks()?, &[])?.0)
    }

    /// With these items, and what each of them is taken to take up; behind them those that are new, which are in no bin.
    pub(super) fn reckoned(
        register: &Register,
        records: &[BulkRecord],
        new: &[&Bulk],
    ) -> Result<(Self, Vec<Load>), RegisterError> {
        let (bins, sizes) = (register.bins(None)?, named_sizes(&register.set_sizes()?));
        let known = records.iter().map(|record| &record.bulk).chain(new.iter().copied());
        let loads = loads(&known.map(entered).collect::<Vec<_>>(), &sizes);
        let place: HashMap<BinCode, usize> = bins.iter().map(|bin| bin.code).zip(0..).collect();
        let stocked = |(record, load): (&BulkRecord, &Load)| {
            let bin = *place.get(&record.bin?)?;
            Some(Stocked { item: record.item, bin, load: *load })
        };
        let items = records.iter().zip(&loads).filter_map(stocked).collect();
        Ok((Self { bins, items, sizes }, loads))
    }

    /// What is in each bin.
    #[must_use]
    pub fn fills(&self) -> Vec<Fill> {
        let mut fills = vec![Fill::default(); self.bins.len()];
        self.items.iter().for_each(|item| fills[item.bin].add(&item.load));
        fills
    }
}

fn entered(bulk: &Bulk) -> Entered<'_> {
    Entered { volume: bulk.volume, measures: bulk.measures, size: bulk.size.as_deref(), weight: bulk.weight }
}
