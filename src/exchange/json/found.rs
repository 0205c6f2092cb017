//! The JSON of what a question or a photograph leads to.
//!
//! Start with [`FoundJson::new`]. In whose hand an item is, and where it was missed, is added by who knows it.

use serde::Serialize;

use super::{BinJson, ItemJson};
use crate::{code::BinCode, register::Found, unit::Currency};

/// An item or a bin that was found.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum FoundJson {
    /// An item, with its labels from before.
    Item(Box<LabelledItemJson>),
    /// A bin.
    Bin(Box<BinJson>),
}

/// An item with its labels from before.
#[derive(Debug, Serialize)]
pub struct LabelledItemJson {
    #[serde(flatten)]
    item: ItemJson,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    old_codes: Vec<String>,
    /// The bins that it was taken from and goes to, while it is moved by plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    in_hand: Option<InHandJson>,
    /// The bin in which it was not found when it was to be moved by plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    missed_in: Option<String>,
}

/// An item on its way.
#[derive(Debug, Serialize)]
struct InHandJson {
    from: String,
    to: String,
}

impl FoundJson {
    /// With the bins that an item was taken from and goes to.
    #[must_use]
    pub fn in_hand(mut self, bins: Option<(BinCode, BinCode)>) -> Self {
        if let Self::Item(item) = &mut self {
            item.in_hand = bins.map(|(from, to)| InHandJson { from: from.to_string(), to: to.to_string() });
        }
        self
    }

    /// With the bin in which an item was not found when it was to be moved by plan.
    #[must_use]
    pub fn missed_in(mut self, bin: Option<BinCode>) -> Self {
        if let Self::Item(item) = &mut self {
            item.missed_in = bin.map(|bin| bin.to_string());
        }
        self
    }

    /// What was found, with its amounts in the register's currency.
    #[must_use]
    pub fn new(found: &Found, old_codes: &[String], currency: &Currency) -> Self {
        match found {
            Found::Item(item) => {
                let old_codes = old_codes.to_vec();
                let item = ItemJson::new(item, currency);
                Self::Item(Box::new(LabelledItemJson { item, old_codes, in_hand: None, missed_in: None }))
            }
            Found::Bin(bin) => Self::Bin(Box::new(BinJson::with_codes(bin, old_codes))),
        }
    }
}

/// The answer to a question.
#[derive(Debug, Serialize)]
pub struct FindJson {
    /// What was asked, as it was read.
    pub query: String,
    /// What it stands for.
    pub matches: Vec<FoundJson>,
    /// Codes of the register that may have been meant.
    pub near: Vec<String>,
    /// Whether there are more matches than the limit.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub more: bool,
    /// The keyboard layout that was undone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repaired: Option<&'static str>,
}

/// What is in photographs.
#[derive(Debug, Serialize)]
pub struct PhotoJson {
    /// The items and bins.
    pub matches: Vec<FoundJson>,
    /// What else was read.
    pub unknown: Vec<String>,
}
