//! The JSON of areas and bins.
//!
//! Start with [`BinJson`]. How full a bin is stands with the JSON of room.

use serde::Serialize;

use super::ItemJson;
use crate::{
    exchange::room_json::FilledBinJson,
    register::{Area, Bin},
    unit::{Measures, Volume, Weight},
};

/// An area.
#[derive(Debug, Serialize)]
pub struct AreaJson {
    area: u16,
    name: String,
    /// Its place among the areas that were given an order.
    #[serde(skip_serializing_if = "Option::is_none")]
    walk_order: Option<i64>,
}

impl From<&Area> for AreaJson {
    fn from(area: &Area) -> Self {
        Self { area: area.number.get(), name: area.name.clone(), walk_order: area.order }
    }
}

/// A bin.
#[derive(Debug, Serialize)]
pub struct BinJson {
    code: String,
    payload: String,
    area: u16,
    area_name: String,
    spot: Option<String>,
    /// Its place in the stack of its spot, from the top.
    #[serde(skip_serializing_if = "Option::is_none")]
    stack: Option<u32>,
    items: u32,
    /// Since when it is not used any more.
    #[serde(skip_serializing_if = "Option::is_none")]
    retired: Option<String>,
    /// The codes that it had before.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    old_codes: Vec<String>,
    /// The kind of bin that it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    bin_kind: Option<String>,
    /// What it holds.
    #[serde(skip_serializing_if = "Option::is_none")]
    litres: Option<Volume>,
    #[serde(skip_serializing_if = "Option::is_none")]
    max_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    inside_cm: Option<Measures>,
}

impl BinJson {
    /// A bin with the codes that it had before.
    #[must_use]
    pub fn with_codes(bin: &Bin, old_codes: &[String]) -> Self {
        Self { old_codes: old_codes.to_vec(), ..bin.into() }
    }
}

impl From<&Bin> for BinJson {
    fn from(bin: &Bin) -> Self {
        Self {
            code: bin.code.to_string(),
            payload: bin.code.payload(),
            area: bin.place.area.get(),
            area_name: bin.place.area_name.clone(),
            spot: bin.place.spot.as_ref().map(|spot| spot.name.clone()),
            stack: bin.stack,
            items: bin.items,
            retired: bin.retired.map(|day| day.to_string()),
            old_codes: Vec::new(),
            bin_kind: bin.kind.clone(),
            litres: bin.room.volume,
            max_kg: bin.room.max_weight.map(Weight::kilograms),
            inside_cm: bin.room.inside,
        }
    }
}

/// A bin with what is in it.
#[derive(Debug, Serialize)]
pub struct BinContentsJson {
    /// The bin.
    #[serde(flatten)]
    pub bin: FilledBinJson,
    /// The items in it.
    pub contents: Vec<ItemJson>,
}
