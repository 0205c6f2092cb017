//! A list of items from a spreadsheet, as checked rows: things bought, stock with labels from before, or what this
//! program exported.
//!
//! Start with [`read_buys`]. Whether an item is listed twice, and what only the register knows of codes and bins, is
//! not checked.

use jiff::civil::Date;

use super::{
    DateOrder, Mapping, Rows,
    cells::Cells,
    date::parse_date_in,
    fields::{Field, FileKind},
    table::CsvFile,
};
use crate::{
    register::{Bulk, Title},
    unit::{Currency, Measures, Money, Volume, Weight},
};

/// One row of it. Of a field without a column there is nothing either.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BuyRow {
    /// The code of an item that is in the register.
    pub code: Option<String>,
    /// What it is; given where there is no code.
    pub title: Option<Title>,
    /// When it was bought.
    pub bought: Option<Date>,
    /// What was paid.
    pub cost: Option<Money>,
    /// What is asked for it.
    pub asking: Option<Money>,
    /// The bin that it is in.
    pub bin: Option<String>,
    /// What labels from before say.
    pub old: Vec<String>,
    /// A note.
    pub note: Option<Title>,
    /// How big and heavy it is; the name of its size as it is written.
    pub bulk: Bulk,
}

/// What the columns of a list of items can mean.
pub static BUYS: FileKind = FileKind {
    name: "items",
    fields: &[
        Field { name: "code", meaning: "the code", wordings: &["code"], is_amount: false },
        Field {
            name: "title",
            meaning: "the title",
            wordings: &[
                "title",
                "item",
                "description",
                "name",
                "item name",
                "item title",
                "item description",
                "product",
                "product name",
                "article",
            ],
            is_amount: false,
        },
        Field {
            name: "bin",
            meaning: "the bin",
            wordings: &["bin", "tub", "box", "bin code", "tub code", "box code", "tote", "crate", "drawer"],
            is_amount: false,
        },
        Field {
            name: "cost",
            meaning: "the cost",
            wordings: &[
                "cost",
                "paid",
                "price paid",
                "purchase price",
                "cost price",
                "bought for",
                "buying price",
                "purchase cost",
            ],
            is_amount: true,
        },
        Field {
            name: "asking",
            meaning: "the asking price",
            wordings: &["asking", "asking price", "list price", "price", "listing price", "price asked", "listed at"],
            is_amount: true,
        },
        Field {
            name: "bought",
            meaning: "the date bought",
            wordings: &[
                "bought",
                "date",
                "date bought",
                "bought date",
                "bought on",
                "purchase date",
                "date of purchase",
                "date purchased",
                "purchased",
                "purchased on",
            ],
            is_amount: false,
        },
        Field {
            name: "old",
            meaning: "the old code",
            wordings: &[
                "old code",
                "old number",
                "sku",
                "barcode",
                "old codes",
                "old label",
                "old sku",
                "stock code",
                "stock number",
                "stock no",
                "bar code",
                "item code",
                "item number",
                "item no",
                "inventory number",
                "ean",
                "upc",
                "gtin",
            ],
            is_amount: false,
        },
        Field {
            name: "note",
            meaning: "the note",
            wordings: &["note", "notes", "remark", "remarks", "comment", "comments"],
            is_amount: false,
        },
        Field {
            name: "litres",
            meaning: "the litres",
            wordings: &["litres", "liters", "litre", "liter", "volume in litres"],
            is_amount: true,
        },
        Field {
            name: "measures",
            meaning: "the outer measures",
            wordings: &["measures", "measurements", "dimensions", "outer measures"],
            is_amount: false,
        },
        Field { name: "length", meaning: "the length", wordings: &["length", "length cm"], is_amount: true },
        Field { name: "width", meaning: "the width", wordings: &["width", "width cm"], is_amount: true },
        Field { name: "height", meaning: "the height", wordings: &["height", "height cm"], is_amount: true },
        Field {
            name: "size",
            meaning: "the name of the size",
            wordings: &["size", "item size", "size name"],
            is_amount: false,
        },
        Field {
            name: "grams",
            meaning: "the grams",
            wordings: &["grams", "gram", "weight in grams", "weight g"],
            is_amount: true,
        },
    ],
    needs: &[&["title", "code"]],
    whole: &[&["length", "width", "height"]],
};

/// Parts several labels from before in one cell.
const OLD_CODES_PARTED_BY: [char; 3] = [';', '\n', '\r'];

/// Reads a list of items. Amounts are in the given currency, dates that could be two in the given order.
#[must_use]
pub fn read_buys(file: CsvFile, mapping: Mapping, currency: &Currency, dates: Option<DateOrder>) -> Rows<BuyRow> {
    Rows::read(file, mapping, |cells| read_row(cells, currency, dates))
}

fn read_row(cells: &mut Cells<'_>, currency: &Currency, dates: Option<DateOrder>) -> Option<BuyRow> {
    let code = cells.text("code");
    let title = cells.needed("title", Title::new);
    if title.is_none() && code.is_none() && !cells.has("title") {
        cells.fault("code", "the cell is empty, and there is no title for a new item");
        return None;
    }
    Some(BuyRow {
        code,
        title,
        bought: cells.given("bought", |text| parse_date_in(text, dates)),
        cost: cells.given("cost", |text| currency.parse(text)),
        asking: cells.given("asking", |text| currency.parse(text)),
        bin: cells.text("bin"),
        old: cells.text("old").map(|text| old_codes(&text)).unwrap_or_default(),
        note: cells.given("note", Title::new),
        bulk: bulk(cells),
    })
}

fn bulk(cells: &mut Cells<'_>) -> Bulk {
    Bulk {
        volume: cells.given_in("litres", Volume::parse_in),
        measures: measures(cells),
        size: cells.text("size"),
        weight: cells.given_in("grams", Weight::parse_grams_in),
    }
}

/// From one cell, or from three of which all or none are filled.
fn measures(cells: &mut Cells<'_>) -> Option<Measures> {
    let unit = cells.unit("measures").filter(|unit| !is_order_of_sides(unit));
    let whole = cells.given("measures", |text| Measures::parse_in(text, unit.as_deref()));
    let filled: Vec<&str> = SIDES.into_iter().filter(|side| cells.text(side).is_some()).collect();
    match filled.as_slice() {
        [] => whole,
        [..] if filled.len() < SIDES.len() => {
            cells.fault(filled[0], "length, width and height go together; give all three or none");
            None
        }
        [..] if cells.text("measures").is_some() => {
            cells.fault("measures", "they stand under length, width and height as well; give them once");
            None
        }
        [..] => sides(cells),
    }
}

/// `L x W x H` in brackets is no unit.
fn is_order_of_sides(words: &str) -> bool {
    words.chars().all(|letter| " lwhdbx×*/".contains(letter))
}

const SIDES: [&str; 3] = ["length", "width", "height"];

fn sides(cells: &mut Cells<'_>) -> Option<Measures> {
    let [length, width, height] = SIDES.map(|side| cells.given_in(side, Measures::parse_side));
    Measures::from_mm([length?, width?, height?])
}

/// Labels that are parted by `;` or stand on lines of their own; commas may be part of one.
fn old_codes(cell: &str) -> Vec<String> {
    cell.split(OLD_CODES_PARTED_BY).map(str::trim).filter(|code| !code.is_empty()).map(str::to_owned).collect()
}

#[cfg(test)]
mod tests;
