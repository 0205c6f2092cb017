//! On which terms a change is made: the scan that it answers, and how an item has to stand.
//!
//! Start with [`Register::on`]. The terms are looked at within the change's own transaction, so that no other device
//! and no other program comes between.

use rusqlite::{Connection, OptionalExtension};

use super::{ChangeSummary, ItemId, Register, RegisterError};

/// The terms of the next change.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Terms {
    /// The number that a device gave its scan. A scan makes one change, however often it comes.
    pub scan: Option<String>,
    /// Items, and how they were when the user looked at them.
    pub unchanged: Vec<(ItemId, Version)>,
}

/// How an item was at a time: the number of its last row in the journal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Version(pub(super) i64);

impl Version {
    /// What [`std::fmt::Display`] wrote.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        text.parse().ok().map(Self)
    }
}

impl std::fmt::Display for Version {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// The terms end when this is dropped, also by a panic: they are not those of what another device does next.
struct Termed<'r>(&'r mut Register);

impl Drop for Termed<'_> {
    fn drop(&mut self) {
        self.0.terms = None;
    }
}

impl Register {
    /// Makes the changes of `make` on these terms; the scan is noted with the first of them.
    ///
    /// # Errors
    /// Those of `make`, and from its first change [`RegisterError::ScannedBefore`] and [`RegisterError::ItemChanged`].
    pub fn on<T>(&mut self, terms: Terms, make: impl FnOnce(&mut Self) -> T) -> T {
        self.terms = Some(terms);
        make(Termed(self).0)
    }

    /// How an item is now.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn version(&self, item: ItemId) -> Result<Version, RegisterError> {
        version_in(&self.connection, item)
    }

    /// The change that a scan has made, if it came before.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn change_of_scan(&self, scan: &str) -> Result<Option<ChangeSummary>, RegisterError> {
        scanned_in(&self.connection, scan)
    }
}

impl Terms {
    pub(super) fn check_in(&self, tx: &Connection) -> Result<(), RegisterError> {
        if let Some(change) = self.scan.as_deref().map(|scan| scanned_in(tx, scan)).transpose()?.flatten() {
            return Err(RegisterError::ScannedBefore(change));
        }
        let is_other = |(item, seen): &&(ItemId, Version)| version_in(tx, *item).map(|now| now != *seen);
        for one in &self.unchanged {
            if is_other(&one)? {
                return Err(RegisterError::ItemChanged);
            }
        }
        Ok(())
    }
}

fn version_in(tx: &Connection, item: ItemId) -> Result<Version, RegisterError> {
    let sql = "SELECT coalesce(max(id), 0) FROM journal WHERE item = ?1";
    Ok(tx.prepare_cached(sql)?.query_row([item.0], |row| row.get(0).map(Version))?)
}

fn scanned_in(tx: &Connection, scan: &str) -> Result<Option<ChangeSummary>, RegisterError> {
    let mut query = tx.prepare_cached("SELECT id, at, what FROM change WHERE scan = ?1")?;
    Ok(query.query_row([scan], ChangeSummary::from_row).optional()?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{code::AreaNumber, register::NewBins};

    fn add_bins(register: &mut Register) -> Result<(), RegisterError> {
        register.add_bins(AreaNumber::new(4).unwrap(), &NewBins::new(1)).map(drop)
    }

    #[test]
    fn a_scan_makes_one_change_however_often_it_comes() {
        let mut register = Register::in_memory().unwrap();
        register.add_area(AreaNumber::new(4).unwrap(), "Loft").unwrap();
        let terms = Terms { scan: Some("a1".into()), unchanged: Vec::new() };
        register.on(terms.clone(), add_bins).unwrap();
        let again = register.on(terms, add_bins).unwrap_err();
        assert!(matches!(again, RegisterError::ScannedBefore(_)), "{again}");
        assert_eq!(register.bins(None).unwrap().len(), 1);
        assert!(register.change_of_scan("a1").unwrap().is_some());
        // A panic ends terms that came to no change.
        let terms = Terms { scan: Some("a2".into()), unchanged: Vec::new() };
        let broken = std::panic::AssertUnwindSafe(|| register.on(terms, |_| panic!("on purpose")));
        assert!(std::panic::catch_unwind(broken).is_err());
        // Terms end with their change.
        add_bins(&mut register).unwrap();
        assert_eq!(register.bins(None).unwrap().len(), 2);
        assert!(register.change_of_scan("a2").unwrap().is_none());
    }
}
