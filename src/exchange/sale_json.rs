//! The JSON of sales, picks and returns; an item's own members come first.

use serde::Serialize;

use super::json::ItemJson;
use crate::{
    register::{Item, Pick, Sale, SpotInArea},
    unit::{Currency, Money},
};

/// An item with its sale; when it was sold, for which order, and when it was picked, are members of the item.
#[derive(Debug, Serialize)]
pub struct SoldJson {
    #[serde(flatten)]
    item: ItemJson,
    price: Option<String>,
    fees: String,
    postage: String,
}

impl SoldJson {
    /// An item and its sale, with amounts in the register's currency.
    #[must_use]
    pub fn new(item: &Item, sale: &Sale, currency: &Currency) -> Self {
        Self {
            item: ItemJson::new(item, currency),
            price: sale.price.map(|price| currency.format(price)),
            fees: currency.format(sale.fees),
            postage: currency.format(sale.postage),
        }
    }
}

/// An item of a picking round.
#[derive(Debug, Serialize)]
pub struct RoundJson {
    /// The item.
    #[serde(flatten)]
    pub item: ItemJson,
    /// The visit to its bin, from 1.
    pub stop: usize,
}

/// An item that was picked.
#[derive(Debug, Serialize)]
pub struct PickJson {
    code: String,
    from: String,
}

impl From<&Pick> for PickJson {
    fn from(pick: &Pick) -> Self {
        Self { code: pick.name.clone(), from: pick.from.to_string() }
    }
}

/// An item of which something was given back.
#[derive(Debug, Serialize)]
pub struct RefundedJson {
    #[serde(flatten)]
    item: ItemJson,
    /// What was given back now.
    refund: String,
    /// What the seller paid for the way back.
    postage: String,
    /// When.
    on: String,
    /// All that the buyer paid.
    price: Option<String>,
    /// What was given back in all.
    refunded: String,
}

impl RefundedJson {
    /// An item, its sale, and what was given back of it now, with amounts in the register's currency.
    #[must_use]
    pub fn new(
        (item, sale): (&Item, &Sale),
        (amount, postage): (Money, Money),
        day: jiff::civil::Date,
        currency: &Currency,
    ) -> Self {
        Self {
            item: ItemJson::new(item, currency),
            refund: currency.format(amount),
            postage: currency.format(postage),
            on: day.to_string(),
            price: sale.price.map(|price| currency.format(price)),
            refunded: currency.format(sale.refunded),
        }
    }
}

/// A spot of an area.
#[derive(Debug, Serialize)]
pub struct SpotJson {
    area: u16,
    area_name: String,
    spot: String,
    /// Its place in the walking order of the area.
    walk_order: i64,
    bins: u32,
}

impl From<&SpotInArea> for SpotJson {
    fn from(known: &SpotInArea) -> Self {
        Self {
            area: known.area.get(),
            area_name: known.area_name.clone(),
            spot: known.spot.name.clone(),
            walk_order: known.spot.walk_order,
            bins: known.bins,
        }
    }
}
