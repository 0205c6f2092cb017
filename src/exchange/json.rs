//! The JSON that commands answer with: amounts as strings in major units, dates ISO 8601, lengths in mm.
//!
//! Each type is one object of the answers. They are written only, never read.

use serde::Serialize;

use crate::{
    register::{Area, Bin, Found, Item, Move, Status},
    unit::{Currency, Mm, Money},
};

/// An area.
#[derive(Debug, Serialize)]
pub struct AreaJson {
    area: u16,
    name: String,
}

impl From<&Area> for AreaJson {
    fn from(area: &Area) -> Self {
        Self { area: area.number.get(), name: area.name.clone() }
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
    items: u32,
}

impl From<&Bin> for BinJson {
    fn from(bin: &Bin) -> Self {
        Self {
            code: bin.code.to_string(),
            payload: bin.code.payload(),
            area: bin.place.area.get(),
            area_name: bin.place.area_name.clone(),
            spot: bin.place.spot.as_ref().map(|spot| spot.name.clone()),
            items: bin.items,
        }
    }
}

/// An item.
#[derive(Debug, Serialize)]
pub struct ItemJson {
    code: String,
    payload: String,
    title: String,
    bin: String,
    area: u16,
    area_name: String,
    spot: Option<String>,
    cost: Option<String>,
    asking: Option<String>,
    bought: Option<String>,
    status: Status,
}

impl ItemJson {
    /// An item with its amounts in the register's currency.
    #[must_use]
    pub fn new(item: &Item, currency: &Currency) -> Self {
        let amount = |money: Option<Money>| money.map(|money| currency.format(money));
        Self {
            code: item.code.to_string(),
            payload: item.code.payload(),
            title: item.title.clone(),
            bin: item.bin.to_string(),
            area: item.place.area.get(),
            area_name: item.place.area_name.clone(),
            spot: item.place.spot.as_ref().map(|spot| spot.name.clone()),
            cost: amount(item.cost),
            asking: amount(item.asking),
            bought: item.bought.map(|date| date.to_string()),
            status: item.status,
        }
    }
}

/// A bin with what is in it.
#[derive(Debug, Serialize)]
pub struct BinContentsJson {
    /// The bin.
    #[serde(flatten)]
    pub bin: BinJson,
    /// The items in it.
    pub contents: Vec<ItemJson>,
}

/// An item or a bin that was found.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum FoundJson {
    /// An item.
    Item(ItemJson),
    /// A bin.
    Bin(BinJson),
}

impl FoundJson {
    /// What was found, with its amounts in the register's currency.
    #[must_use]
    pub fn new(found: &Found, currency: &Currency) -> Self {
        match found {
            Found::Item(item) => Self::Item(ItemJson::new(item, currency)),
            Found::Bin(bin) => Self::Bin(bin.into()),
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

/// An item that was moved.
#[derive(Debug, Serialize)]
pub struct MoveJson {
    code: String,
    from: String,
    to: String,
}

impl From<&Move> for MoveJson {
    fn from(moved: &Move) -> Self {
        Self { code: moved.code.to_string(), from: moved.from.to_string(), to: moved.to.to_string() }
    }
}

/// A label on its page.
#[derive(Debug, Serialize)]
pub struct PlacedJson {
    /// What its symbols carry.
    pub payload: String,
    /// Its symbols.
    pub symbols: Vec<SymbolJson>,
    /// The page, counted from 1.
    pub page: usize,
    /// The slot, counted from 1.
    pub slot: u32,
    /// From the page's left edge.
    pub left_mm: Mm,
    /// From the page's top edge.
    pub top_mm: Mm,
    /// Width of the label.
    pub width_mm: Mm,
    /// Height of the label.
    pub height_mm: Mm,
}

/// A symbol of a label.
#[derive(Debug, Serialize)]
pub struct SymbolJson {
    /// The symbology.
    pub kind: crate::symbol::SymbolKind,
    /// Width of a module.
    pub x_dimension_mm: Mm,
}

/// A refused row of an imported file.
#[derive(Debug, Serialize)]
pub struct RefusedJson {
    /// The line of the file.
    pub line: u64,
    /// The column of the fault, where one is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column: Option<u64>,
    /// What is wrong.
    pub reason: String,
}
