//! The JSON that commands answer with: amounts as strings in major units, dates ISO 8601, lengths in mm.
//!
//! Each type is one object of the answers. They are written only, never read.

use serde::Serialize;

use super::room_json::FilledBinJson;
use crate::{
    code::{BinCode, ItemCode},
    proof::Letter,
    register::{Area, Bin, Found, Item, Move, RecordedLabel, Run, RunId, RunKind, RunState, Status},
    unit::{Currency, Measures, Mm, Money, Volume, Weight},
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

/// An item.
#[derive(Debug, Serialize)]
pub struct ItemJson {
    code: Option<String>,
    payload: Option<String>,
    number: i64,
    title: String,
    bin: Option<String>,
    area: Option<u16>,
    area_name: Option<String>,
    spot: Option<String>,
    cost: Option<String>,
    asking: Option<String>,
    bought: Option<String>,
    note: Option<String>,
    listed: Option<String>,
    status: Status,
    /// The code that its listing shows, if that is another one than it has now.
    #[serde(skip_serializing_if = "Option::is_none")]
    listing_code: Option<String>,
    /// The bin that its tag shows, if that is another one than it is in.
    #[serde(skip_serializing_if = "Option::is_none")]
    tag_shows: Option<String>,
    /// When it was sold, if it has not come back.
    #[serde(skip_serializing_if = "Option::is_none")]
    sold_on: Option<String>,
    /// The order that it was sold for.
    #[serde(skip_serializing_if = "Option::is_none")]
    order: Option<String>,
    /// When it was taken from its bin to be sent.
    #[serde(skip_serializing_if = "Option::is_none")]
    picked_on: Option<String>,
    /// Since when it is gone, and why.
    #[serde(skip_serializing_if = "Option::is_none")]
    gone_on: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why_gone: Option<String>,
    /// How big and heavy it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    litres: Option<Volume>,
    #[serde(skip_serializing_if = "Option::is_none")]
    measures_cm: Option<Measures>,
    #[serde(skip_serializing_if = "Option::is_none")]
    size: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    grams: Option<Weight>,
}

impl ItemJson {
    /// An item with its amounts in the register's currency.
    #[must_use]
    pub fn new(item: &Item, currency: &Currency) -> Self {
        let amount = |money: Option<Money>| money.map(|money| currency.format(money));
        let place = item.stowed.as_ref().map(|stowed| &stowed.place);
        Self {
            code: item.code.map(|code| code.to_string()),
            payload: item.code.map(ItemCode::payload),
            number: item.id().get(),
            title: item.title.clone(),
            bin: item.bin().map(|bin| bin.to_string()),
            area: place.map(|place| place.area.get()),
            area_name: place.map(|place| place.area_name.clone()),
            spot: place.and_then(|place| place.spot.as_ref()).map(|spot| spot.name.clone()),
            cost: amount(item.cost),
            asking: amount(item.asking),
            bought: item.bought.map(|date| date.to_string()),
            note: item.note.clone(),
            listed: item.listed.map(|date| date.to_string()),
            status: item.status,
            listing_code: item.listing_code.map(|code| code.to_string()),
            tag_shows: item.tag_shows().map(|bin| bin.to_string()),
            sold_on: item.sold.as_ref().map(|sold| sold.day.to_string()),
            order: item.sold.as_ref().and_then(|sold| sold.order.clone()),
            picked_on: item.sold.as_ref().and_then(|sold| sold.picked).map(|day| day.to_string()),
            gone_on: item.gone.map(|day| day.to_string()),
            why_gone: item.why_gone.clone(),
            litres: item.bulk.volume,
            measures_cm: item.bulk.measures,
            size: item.bulk.size.clone(),
            grams: item.bulk.weight,
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

/// An item that was moved.
#[derive(Debug, Serialize)]
pub struct MoveJson {
    code: String,
    /// The code that it had, where it got one of its new bin.
    #[serde(skip_serializing_if = "Option::is_none")]
    was: Option<String>,
    from: Option<String>,
    to: String,
}

impl From<&Move> for MoveJson {
    fn from(moved: &Move) -> Self {
        Self {
            code: moved.code.to_string(),
            was: moved.was.map(|code| code.to_string()),
            from: moved.from.map(|bin| bin.to_string()),
            to: moved.to.to_string(),
        }
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
    /// What it carries.
    pub payload: String,
}

/// What a run does to the sheets.
#[derive(Debug, Serialize)]
pub struct SheetStateJson {
    /// Whether it begins on a part-used sheet.
    pub part_used: bool,
    /// The slots of that sheet that it takes.
    pub slots: Vec<u32>,
    /// How many fresh sheets it takes.
    pub fresh_sheets: usize,
    /// The free slots of its last sheet when it is printed.
    pub free_after: Vec<u32>,
    /// What is said once about part-used sheets.
    pub caution: Option<&'static str>,
}

/// A run on record.
#[derive(Debug, Serialize)]
pub struct RunJson {
    run: RunId,
    at: String,
    kind: RunKind,
    state: RunState,
    labels: usize,
    pages: usize,
    sheet: String,
    dpi: f64,
    printer: Option<String>,
    file: String,
    cancelled_at: Option<String>,
    reprint_of: serde_json::Value,
}

impl RunJson {
    /// A run with so many labels.
    #[must_use]
    pub fn new<L>(run: &Run<L>, labels: usize) -> Self {
        Self {
            run: run.id,
            at: run.at.clone(),
            kind: run.kind,
            state: run.state,
            labels,
            pages: run.pages,
            sheet: run.sheet.clone(),
            dpi: run.dpi,
            printer: run.printer.clone(),
            file: run.target.display().to_string(),
            cancelled_at: run.cancelled_at.clone(),
            reprint_of: run.options["reprint_of"].clone(),
        }
    }
}

/// A label of a run on record.
#[derive(Debug, Serialize)]
pub struct RecordedLabelJson {
    page: usize,
    slot: u32,
    payload: String,
    symbols: Vec<String>,
    said: serde_json::Value,
}

impl From<&RecordedLabel> for RecordedLabelJson {
    fn from(label: &RecordedLabel) -> Self {
        Self {
            page: label.page,
            slot: label.slot,
            payload: label.payload.clone(),
            symbols: label.symbols.split(' ').map(str::to_owned).collect(),
            said: label.said.clone(),
        }
    }
}

/// A run with its labels.
#[derive(Debug, Serialize)]
pub struct RunLabelsJson {
    /// The run.
    #[serde(flatten)]
    pub run: RunJson,
    /// Its labels in the order of the file.
    pub placed: Vec<RecordedLabelJson>,
}

/// A kind of symbol in simulated prints; all of it is estimated.
#[derive(Debug, Serialize)]
pub struct KindJson {
    /// The symbology.
    pub kind: crate::symbol::SymbolKind,
    /// Width of a module.
    pub x_dimension_mm: Mm,
    /// Modules across without quiet zones.
    pub modules: u32,
    /// How many symbols are of this kind.
    pub symbols: usize,
    /// The worst letter.
    pub letter: Letter,
    /// By their names.
    #[serde(serialize_with = "by_name")]
    pub figures: Vec<FigureJson>,
    /// How many simulated prints were read.
    pub read: usize,
    /// Of how many.
    pub prints: usize,
}

/// A figure of a kind of symbol.
#[derive(Debug)]
pub struct FigureJson {
    /// Its name.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
}

/// To the thousandth: more is noise.
fn by_name<S: serde::Serializer>(figures: &[FigureJson], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_map(figures.iter().map(|figure| (figure.name, (figure.value * 1000.0).round() / 1000.0)))
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
