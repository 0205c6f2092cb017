//! Tables and lines for people.

use comfy_table::{Cell, CellAlignment, Table, presets::NOTHING};

use crate::{
    exchange::json::ItemJson,
    register::{Found, Item, Place},
    unit::{Currency, Money},
};

/// Rows under headings; columns whose heading ends in `#` are aligned to the right.
pub(super) fn table(headings: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut table = Table::new();
    table.load_style(NOTHING).set_header(headings.iter().map(|heading| heading.trim_end_matches('#')));
    for row in rows {
        table.add_row(row.into_iter().map(Cell::new));
    }
    for (column, heading) in table.column_iter_mut().zip(headings) {
        column.set_padding((0, 2));
        if heading.ends_with('#') {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table.lines().map(|line| line.trim_end().to_owned()).collect::<Vec<_>>().join("\n")
}

/// `Loft, rack 1, level 2`
pub(super) fn place_text(place: &Place) -> String {
    match &place.spot {
        Some(spot) => format!("{}, {}", place.area_name, spot.name),
        None => place.area_name.clone(),
    }
}

/// `4A-001F  Copper jam pan: in 4A, Loft, rack 1, level 2`
pub(super) fn item_line(item: &Item) -> String {
    format!("{}  {}: in {}, {}", item.code, item.title, item.bin, place_text(&item.place))
}

/// One line for what was found.
pub(super) fn found_line(found: &Found) -> String {
    match found {
        Found::Item(item) => item_line(item),
        Found::Bin(bin) => {
            let items = count(u64::from(bin.items), "item");
            format!("{}  bin with {items}: {}", bin.code, place_text(&bin.place))
        }
    }
}

/// `1 item`, `2 items`
pub(super) fn count(number: u64, noun: &str) -> String {
    if number == 1 { format!("1 {noun}") } else { format!("{number} {noun}s") }
}

pub(super) fn items_json(items: &[Item], currency: &Currency) -> Vec<ItemJson> {
    items.iter().map(|item| ItemJson::new(item, currency)).collect()
}

pub(super) fn item_table(items: &[Item], currency: &Currency) -> String {
    let amount = |money: Option<Money>| money.map(|money| currency.format(money)).unwrap_or_default();
    let row = |item: &Item| {
        vec![
            item.code.to_string(),
            short(&item.title),
            item.bin.to_string(),
            place_text(&item.place),
            amount(item.cost),
            amount(item.asking),
            item.bought.map(|date| date.to_string()).unwrap_or_default(),
        ]
    };
    let headings = ["code", "title", "bin", "where", "cost#", "asking#", "bought"];
    if items.is_empty() { "no items".into() } else { table(&headings, items.iter().map(row)) }
}

/// Longer titles would push the rest of a table off the screen.
const LONGEST: usize = 60;

fn short(title: &str) -> String {
    if title.chars().count() <= LONGEST {
        return title.to_owned();
    }
    title.chars().take(LONGEST - 1).chain(['…']).collect()
}
