//! Tables and lines for people.

use comfy_table::{Cell, CellAlignment, ColumnConstraint, ContentArrangement, Table, presets::NOTHING};

use super::width::{of_terminal, wrapped};
pub(super) use crate::job::{
    bin_state, bulk_text, count, fate, found_line, item_line, old_codes_text, place_text, shown, whereabouts,
};
use crate::{
    exchange::json::ItemJson,
    register::{Bulk, Item},
    unit::{Currency, Money},
};

/// Columns of words, which may take several lines where the terminal is narrow; codes, days and figures never do.
const WORDS: [&str; 10] = ["title", "where", "what", "file", "meaning", "what is known", "for", "name", "spot", "why"];

/// Rows under headings, no wider than the terminal; columns whose heading ends in `#` are aligned to the right.
pub(super) fn table(headings: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    table_within(of_terminal(), headings, rows)
}

fn table_within(width: Option<usize>, headings: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let rows: Vec<Vec<String>> = rows.collect();
    let mut table = Table::new();
    if let Some(width) = width {
        if least(headings, &rows) > width {
            return entries(width, headings, &rows);
        }
        // The blanks behind the last column are cut off.
        let width = u16::try_from(width + GAP).unwrap_or(u16::MAX);
        table.set_content_arrangement(ContentArrangement::Dynamic).set_width(width);
    }
    table.load_style(NOTHING).set_header(headings.iter().map(|heading| heading.trim_end_matches('#')));
    for row in rows {
        table.add_row(row.into_iter().map(Cell::new));
    }
    for (column, heading) in table.column_iter_mut().zip(headings) {
        column.set_padding((0, 2));
        if !WORDS.contains(heading) {
            column.set_constraint(ColumnConstraint::ContentWidth);
        }
        if heading.ends_with('#') {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table.lines().map(|line| line.trim_end().to_owned()).collect::<Vec<_>>().join("\n")
}

/// Columns of words that are narrower than this can't be read.
const LEAST_WORDS: usize = 14;
/// Behind each column.
const GAP: usize = 2;

/// The width below which a table can't be read.
fn least(headings: &[&str], rows: &[Vec<String>]) -> usize {
    let width = |(at, heading): (usize, &&str)| {
        let cells = rows.iter().filter_map(|row| row.get(at)).map(|cell| cell.chars().count());
        let widest = cells.chain([heading.trim_end_matches('#').chars().count()]).max().unwrap_or_default();
        if WORDS.contains(heading) { widest.min(LEAST_WORDS) } else { widest }
    };
    headings.iter().enumerate().map(width).map(|width| width + GAP).sum::<usize>().saturating_sub(GAP)
}

/// Each row in lines of its own: its first two cells, and below them the others.
fn entries(width: usize, headings: &[&str], rows: &[Vec<String>]) -> String {
    let told = |(heading, cell): (&&str, &String)| match heading.trim_end_matches('#') {
        "where" | "bin" | "state" | "file" => cell.clone(),
        heading => format!("{heading} {cell}"),
    };
    let entry = |row: &Vec<String>| {
        let (first, others) = row.split_at(row.len().min(2));
        let known = headings.iter().skip(2).zip(others).filter(|(_, cell)| !cell.is_empty());
        let others = wrapped(&known.map(told).collect::<Vec<_>>().join(", "), width.saturating_sub(GAP));
        let others: String = others.lines().map(|line| format!("\n  {line}")).collect();
        wrapped(&first.join("  "), width) + &others
    };
    rows.iter().map(entry).collect::<Vec<_>>().join("\n")
}

pub(super) fn items_json(items: &[Item], currency: &Currency) -> Vec<ItemJson> {
    items.iter().map(|item| ItemJson::new(item, currency)).collect()
}

pub(super) fn item_table(items: &[Item], currency: &Currency) -> String {
    let headings = ["code", "title", "bin", "where", "cost#", "asking#", "bought", "state"];
    let short_row = |item: &Item| {
        let mut row = item_row(item, currency);
        row[1] = short(&row[1]);
        row
    };
    if items.is_empty() { "no items".into() } else { table(&headings, items.iter().map(short_row)) }
}

/// The same with how big and heavy they are, where any of them has a figure.
pub(super) fn sized_item_table(items: &[Item], currency: &Currency) -> String {
    let plain = item_table(items, currency);
    if items.iter().all(|item| item.bulk == Bulk::default()) {
        return plain;
    }
    let sized = items.iter().filter(|item| item.bulk != Bulk::default());
    let rows = sized.map(|item| vec![item.name(), bulk_text(&item.bulk)]);
    format!("{plain}\n\n{}", table(&["code", "size and weight"], rows))
}

/// The cells of an item, with its whole title.
pub(super) fn item_row(item: &Item, currency: &Currency) -> Vec<String> {
    let amount = |money: Option<Money>| money.map(|money| currency.format(money)).unwrap_or_default();
    vec![
        item.name(),
        item.title.clone(),
        item.bin().map(|bin| bin.to_string()).unwrap_or_default(),
        item.stowed.as_ref().map(|stowed| place_text(&stowed.place)).unwrap_or_default(),
        amount(item.cost),
        amount(item.asking),
        item.bought.map(|date| date.to_string()).unwrap_or_default(),
        item.status.word().to_owned(),
    ]
}

/// Longer titles would push the rest of a table off the screen.
const LONGEST: usize = 60;

pub(super) fn short(title: &str) -> String {
    if title.chars().count() <= LONGEST {
        return title.to_owned();
    }
    title.chars().take(LONGEST - 1).chain(['…']).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_narrow_by_their_words_alone() {
        let row = ["4A-001F", "Copper jam pan, 28 cm, hand-forged", "12.50"].map(str::to_owned).to_vec();
        let headings = ["code", "title", "cost#"];
        let wide = table_within(None, &headings, [row.clone()].into_iter());
        assert_eq!(wide.lines().last(), Some("4A-001F  Copper jam pan, 28 cm, hand-forged  12.50"));
        let narrow = table_within(Some(34), &headings, [row].into_iter());
        assert!(narrow.lines().all(|line| line.chars().count() <= 34), "{narrow}");
        assert!(narrow.contains("4A-001F") && narrow.contains("12.50") && narrow.lines().count() > 2, "{narrow}");
        let row = ["4A-001F", "Copper jam pan, 28 cm", "", "12.50"].map(str::to_owned).to_vec();
        let entry = table_within(Some(30), &["code", "title", "bought", "asking#"], [row].into_iter());
        assert_eq!(entry, "4A-001F  Copper jam pan, 28 cm\n  asking 12.50");
    }
}
