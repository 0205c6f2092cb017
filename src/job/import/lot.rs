//! The price of a mixed lot, shared by its items.

use crate::{plan::shares, register::NewItem, unit::Money};

/// By what a price is shared.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum LotBy {
    /// Each the same.
    #[default]
    Even,
    /// In proportion to what is asked for it.
    Asking,
}

/// A price for several items.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lot {
    /// What all of them cost.
    pub cost: Money,
    /// How it is shared.
    pub by: LotBy,
}

/// Why it can't be shared.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LotError {
    /// Nothing shares it.
    #[error("no new item of the file is without a cost of its own, so nothing shares the price of the lot")]
    Nobody,
    /// An item without an asking price.
    #[error(
        "line {line}: `{title}` has no asking price, so the price of the lot can't be shared by them; give it one, \
         or share evenly with --lot-by even"
    )]
    NoAsking {
        /// The line of the file, from 1.
        line: u64,
        /// What it is.
        title: String,
    },
    /// Nothing is asked for any of them.
    #[error("all asking prices are zero, so the price of the lot can't be shared by them; use --lot-by even")]
    AllZero,
}

impl Lot {
    /// Gives all items without a cost their share, to the last cent.
    pub(super) fn share(self, items: &mut [NewItem], lines: &[u64]) -> Result<(), LotError> {
        let (mut sharing, mut weights) = (Vec::new(), Vec::new());
        for (item, line) in items.iter_mut().zip(lines).filter(|(item, _)| item.cost.is_none()) {
            weights.push(self.weight(item, *line)?);
            sharing.push(item);
        }
        if sharing.is_empty() {
            return Err(LotError::Nobody);
        }
        let parts = shares(self.cost.minor(), &weights).ok_or(LotError::AllZero)?;
        for (item, part) in sharing.into_iter().zip(parts) {
            item.cost = Money::from_minor(part);
        }
        Ok(())
    }

    fn weight(self, item: &NewItem, line: u64) -> Result<i64, LotError> {
        match (self.by, item.asking) {
            (LotBy::Even, _) => Ok(1),
            (LotBy::Asking, Some(asking)) => Ok(asking.minor()),
            (LotBy::Asking, None) => Err(LotError::NoAsking { line, title: item.title.as_str().to_owned() }),
        }
    }
}
