//! The bins that new items go into, and the codes that these get there.

use std::collections::{BTreeMap, HashMap};

use rusqlite::params;

use super::{Bin, NewItem, RegisterError, bin::live_bin_in, change::Change};
use crate::code::{BinCode, ItemCode, Serial};

/// A bin that new items go into, and the serial that the next one gets.
pub(super) struct Target {
    bin: Bin,
    next: u32,
}

impl Target {
    /// The next code, and its bin.
    pub(super) fn next(&mut self) -> Result<(ItemCode, &Bin), RegisterError> {
        let serial = Serial::new(self.next)?;
        self.next += 1;
        Ok((ItemCode { bin: self.bin.code, serial }, &self.bin))
    }
}

/// The bins of new items, each with as many serials taken as it has items: once a bin, not once an item.
pub(super) fn targets_in(change: &Change<'_>, items: &[NewItem]) -> Result<HashMap<BinCode, Target>, RegisterError> {
    let mut counts: BTreeMap<BinCode, u32> = BTreeMap::new();
    for bin in items.iter().filter_map(|item| item.bin) {
        *counts.entry(bin).or_default() += 1;
    }
    let target = |(code, count)| {
        let bin = live_bin_in(change, code)?;
        Ok((code, Target { next: take_serials_in(change, &bin, count)?, bin }))
    };
    counts.into_iter().map(target).collect()
}

/// The next code of a bin, which is given once and never again.
pub(super) fn next_code_in(change: &Change<'_>, bin: &Bin) -> Result<ItemCode, RegisterError> {
    Ok(ItemCode { bin: bin.code, serial: Serial::new(take_serials_in(change, bin, 1)?)? })
}

/// Takes the next serials of a bin and gives the first of them.
fn take_serials_in(change: &Change<'_>, bin: &Bin, count: u32) -> Result<u32, RegisterError> {
    let sql = "UPDATE bin SET next_serial = next_serial + ?2 WHERE id = ?1 RETURNING next_serial - ?2";
    Ok(change.prepare_cached(sql)?.query_row(params![bin.id, count], |row| row.get(0))?)
}
