//! Which bins are to be counted next, and how true the register was, by the counts on record.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::{
    code::BinCode,
    plan::{Accuracy, Due, Tally, accuracy_by_bin, accuracy_by_month, due},
    register::{Bin, Register, RegisterError, TallyRecord},
};

/// A bin that is to be counted.
#[derive(Debug, Clone, PartialEq)]
pub struct DueBin {
    /// The bin.
    pub bin: Bin,
    /// The day of its last count; none before the first.
    pub last: Option<Date>,
    /// How many days ago that was.
    pub days: Option<i32>,
    /// Over all its counts.
    pub accuracy: Accuracy,
}

/// All bins, those first that are to be counted first: never counted ones, then by how long ago their count was.
///
/// # Errors
/// [`RegisterError`] when the file can't be read.
pub fn counts_due(register: &Register) -> Result<Vec<DueBin>, RegisterError> {
    let (bins, tallies) = (register.bins(None)?, tallies(register)?);
    let (accuracies, today) = (accuracy_by_bin(&tallies), jiff::ZonedDateTime::now().date());
    let order = due(bins.iter().map(|bin| (bin.code, bin.items)), &tallies);
    let mut bins: BTreeMap<_, Bin> = bins.into_iter().map(|bin| (bin.code, bin)).collect();
    let with = |Due { bin, last, .. }: Due| {
        let accuracy = accuracies.get(&bin).copied().unwrap_or_default();
        let days = last.map(|last| (today - last).get_days());
        bins.remove(&bin).map(|bin| DueBin { bin, last, days, accuracy })
    };
    Ok(order.into_iter().filter_map(with).collect())
}

/// How true the register was, by what counts found.
#[derive(Debug, Clone, PartialEq)]
pub struct Accuracies {
    /// Over all counts.
    pub total: Accuracy,
    /// By bin.
    pub bins: BTreeMap<BinCode, Accuracy>,
    /// By month, as its first day.
    pub months: BTreeMap<Date, Accuracy>,
}

/// The accuracy by bin, by month and over all counts that were not taken back.
///
/// # Errors
/// [`RegisterError`] when the file can't be read.
pub fn accuracies(register: &Register) -> Result<Accuracies, RegisterError> {
    let tallies = tallies(register)?;
    let (bins, months) = (accuracy_by_bin(&tallies), accuracy_by_month(&tallies));
    Ok(Accuracies { total: Accuracy::of(&tallies), bins, months })
}

fn tallies(register: &Register) -> Result<Vec<Tally>, RegisterError> {
    let plain = |record: TallyRecord| Tally {
        bin: record.bin,
        day: record.day,
        present: record.present,
        missing: record.missing,
        misplaced: record.misplaced,
    };
    Ok(register.tallies()?.into_iter().map(plain).collect())
}
