//! The JSON of room and weight: kinds of bins, named sizes, and how full bins are.
//!
//! Each type is one object of the answers. They are written only, never read. Litres and kilograms are numbers.

use serde::Serialize;

use super::json::BinJson;
use crate::{
    plan::NamedSize,
    register::{Bin, BinKind},
    unit::{Measures, Volume, Weight},
};

/// A kind of bins.
#[derive(Debug, Serialize)]
pub struct BinKindJson {
    name: String,
    litres: Option<Volume>,
    max_kg: Option<f64>,
    inside_cm: Option<Measures>,
    bins: u32,
}

impl From<&BinKind> for BinKindJson {
    fn from(kind: &BinKind) -> Self {
        Self {
            name: kind.name.clone(),
            litres: kind.room.volume,
            max_kg: kind.room.max_weight.map(Weight::kilograms),
            inside_cm: kind.room.inside,
            bins: kind.bins,
        }
    }
}

/// A name for a size.
#[derive(Debug, Serialize)]
pub struct SizeJson {
    name: String,
    litres: Volume,
    set: bool,
    counts_as: Volume,
}

impl SizeJson {
    /// A name, and what items of it count as.
    #[must_use]
    pub fn new(size: &NamedSize, counts_as: Volume) -> Self {
        Self { name: size.name.clone(), litres: size.volume, set: size.is_set, counts_as }
    }
}

/// A new item that fits into no bin.
#[derive(Debug, Serialize)]
pub struct WaitingJson<'a> {
    /// What it is.
    pub title: &'a str,
    /// What the bins lack for it, in words.
    pub why: &'static str,
}

/// How full a bin is.
#[derive(Debug, Serialize)]
pub struct FillJson {
    /// What its items take up.
    pub litres: f64,
    /// What they weigh; nothing where the bin has no limit, or no weight is known of any item.
    pub kg: Option<f64>,
    /// How much of its volume is taken.
    pub percent: Option<u64>,
    /// Of how many items the volume is assumed.
    pub sizes_assumed: usize,
    /// Of how many items the weight is assumed.
    pub weights_assumed: usize,
    /// Whether there is more in it than it holds, by volume or weight.
    pub over: bool,
}

/// A bin with how full it is, where that can be told.
#[derive(Debug, Serialize)]
pub struct FilledBinJson {
    /// The bin.
    #[serde(flatten)]
    pub bin: BinJson,
    /// How full it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fill: Option<FillJson>,
}

impl FilledBinJson {
    /// A bin.
    #[must_use]
    pub fn new(bin: &Bin, fill: Option<FillJson>) -> Self {
        Self { bin: BinJson::from(bin), fill }
    }
}
