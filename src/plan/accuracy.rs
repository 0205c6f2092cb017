//! How true the register is, by what counts found.
//!
//! Start with [`Accuracy::of`]. Inventory record accuracy = correct records / records counted (`CHECK-VALUES.md`).
//! Goods are one-off, so the tolerance is 0: a record is right or wrong. What is missing and what was found though it
//! belongs elsewhere are two wrong records and are never netted against each other. What the register does not know
//! has no record, so it is not among those counted.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::code::BinCode;

/// What a count of a bin found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tally {
    /// The bin.
    pub bin: BinCode,
    /// When.
    pub day: Date,
    /// Items that were in it as the register says.
    pub present: u32,
    /// Items that the register has in it and that were not there.
    pub missing: u32,
    /// Items that were in it and that the register has elsewhere or nowhere.
    pub misplaced: u32,
}

/// How many of the records that were counted were right.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Accuracy {
    /// How many counts of a bin.
    pub counts: u32,
    /// Records that were right.
    pub correct: u64,
    /// Records that were counted.
    pub counted: u64,
}

impl Accuracy {
    /// Over these counts.
    pub fn of<'a>(tallies: impl IntoIterator<Item = &'a Tally>) -> Self {
        tallies.into_iter().fold(Self::default(), Self::with)
    }

    fn with(self, tally: &Tally) -> Self {
        let wrong = u64::from(tally.missing) + u64::from(tally.misplaced);
        Self {
            counts: self.counts + 1,
            correct: self.correct + u64::from(tally.present),
            counted: self.counted + u64::from(tally.present) + wrong,
        }
    }

    /// From 0 to 1; `None` when no record was counted.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "no household has 2^53 things")]
    pub fn ratio(self) -> Option<f64> {
        (self.counted > 0).then(|| self.correct as f64 / self.counted as f64)
    }

    /// `97.5 %`, rounded down, so that only what is wholly right says 100; `None` when no record was counted.
    #[must_use]
    pub fn percent(self) -> Option<String> {
        let tenths = (self.correct * 1000).checked_div(self.counted)?;
        Some(format!("{}.{} %", tenths / 10, tenths % 10))
    }
}

/// By bin, over all its counts.
#[must_use]
pub fn accuracy_by_bin(tallies: &[Tally]) -> BTreeMap<BinCode, Accuracy> {
    by(tallies, |tally| tally.bin)
}

/// By month, as its first day, over the counts of all bins in it.
#[must_use]
pub fn accuracy_by_month(tallies: &[Tally]) -> BTreeMap<Date, Accuracy> {
    by(tallies, |tally| tally.day.first_of_month())
}

fn by<K: Ord>(tallies: &[Tally], key: impl Fn(&Tally) -> K) -> BTreeMap<K, Accuracy> {
    let mut found: BTreeMap<K, Accuracy> = BTreeMap::new();
    for tally in tallies {
        let entry = found.entry(key(tally)).or_default();
        *entry = entry.with(tally);
    }
    found
}

/// A bin and when it was last counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Due {
    /// The bin.
    pub bin: BinCode,
    /// How many items the register has in it.
    pub items: u32,
    /// The day of its last count; none before the first.
    pub last: Option<Date>,
}

/// Bins in the order in which they are to be counted: those never counted first, of these the ones with most in them
/// first; then by how long ago the last count was.
#[must_use]
pub fn due(bins: impl IntoIterator<Item = (BinCode, u32)>, tallies: &[Tally]) -> Vec<Due> {
    let mut last: BTreeMap<BinCode, Date> = BTreeMap::new();
    for tally in tallies {
        let day = last.entry(tally.bin).or_insert(tally.day);
        *day = tally.day.max(*day);
    }
    let mut all: Vec<Due> =
        bins.into_iter().map(|(bin, items)| Due { bin, items, last: last.get(&bin).copied() }).collect();
    all.sort_by_key(|due| (due.last, if due.last.is_none() { u32::MAX - due.items } else { 0 }, due.bin));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tally(bin: &str, day: &str, [present, missing, misplaced]: [u32; 3]) -> Tally {
        Tally { bin: bin.parse().unwrap(), day: day.parse().unwrap(), present, missing, misplaced }
    }

    /// By hand from the formula of CHECK-VALUES.md: 100 records, 97 of them right.
    #[test]
    fn accuracy_is_correct_records_of_those_counted() {
        let accuracy = Accuracy::of(&[tally("4A", "2026-11-02", [97, 2, 1])]);
        assert_eq!((accuracy.correct, accuracy.counted, accuracy.percent().as_deref()), (97, 100, Some("97.0 %")));
        assert_eq!(accuracy.ratio(), Some(0.97));
    }

    /// CHECK-VALUES.md: pluses and minuses are never netted. Two missing and two too many are four wrong records,
    /// though the bin holds as many things as it should.
    #[test]
    fn pluses_and_minuses_are_not_netted() {
        let accuracy = Accuracy::of(&[tally("4A", "2026-11-02", [6, 2, 2])]);
        assert_eq!((accuracy.correct, accuracy.counted), (6, 10));
        let two = [tally("4A", "2026-11-02", [3, 1, 0]), tally("4B", "2026-11-02", [3, 0, 1])];
        assert_eq!(Accuracy::of(&two).percent().as_deref(), Some("75.0 %"));
    }

    #[test]
    fn nothing_counted_has_no_accuracy_and_nearly_all_is_not_all() {
        assert_eq!(Accuracy::of(&[tally("4A", "2026-11-02", [0, 0, 0])]).percent(), None);
        assert_eq!(Accuracy::of(&[]).ratio(), None);
        let nearly = Accuracy::of(&[tally("4A", "2026-11-02", [9999, 1, 0])]);
        assert_eq!(nearly.percent().as_deref(), Some("99.9 %"));
    }

    #[test]
    fn counts_are_summed_by_bin_and_by_month() {
        let tallies = [
            tally("4A", "2026-10-31", [8, 2, 0]),
            tally("4B", "2026-11-01", [5, 0, 0]),
            tally("4A", "2026-11-30", [10, 0, 0]),
        ];
        let text = |accuracy: &Accuracy| (accuracy.counts, accuracy.percent().unwrap());
        let bins: Vec<_> =
            accuracy_by_bin(&tallies).iter().map(|(bin, found)| (bin.to_string(), text(found))).collect();
        assert_eq!(bins, [("4A".into(), (2, "90.0 %".into())), ("4B".into(), (1, "100.0 %".into()))]);
        let months: Vec<_> =
            accuracy_by_month(&tallies).iter().map(|(day, found)| (day.to_string(), text(found))).collect();
        assert_eq!(months, [("2026-10-01".into(), (1, "80.0 %".into())), ("2026-11-01".into(), (2, "100.0 %".into()))]);
    }

    #[test]
    fn what_was_never_counted_is_due_first_and_then_what_was_counted_longest_ago() {
        let tallies = [
            tally("4A", "2026-11-02", [0; 3]),
            tally("4B", "2026-10-02", [0; 3]),
            tally("4B", "2026-09-02", [0; 3]),
            tally("4C", "2026-09-30", [0; 3]),
        ];
        let bins =
            ["4A", "4B", "4C", "4D", "4F", "4G"].map(|bin| bin.parse().unwrap()).into_iter().zip([9, 1, 1, 0, 2, 7]);
        let order: Vec<String> = due(bins, &tallies).iter().map(|due| due.bin.to_string()).collect();
        assert_eq!(order, ["4G", "4F", "4D", "4C", "4B", "4A"]);
    }
}
