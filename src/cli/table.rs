//! Tables and lines for people.

use comfy_table::{Cell, CellAlignment, ColumnConstraint, ContentArrangement, Table, presets::NOTHING};

use super::width::{of_terminal, wrapped};
use crate::{
    exchange::json::ItemJson,
    register::{Bin, Bulk, Found, Item, Move, Place, Status, Stowed},
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

/// `Loft, rack 1, level 2`
pub(super) fn place_text(place: &Place) -> String {
    match &place.spot {
        Some(spot) => format!("{}, {}", place.area_name, spot.name),
        None => place.area_name.clone(),
    }
}

/// `4A-001F  Copper jam pan: in 4A, Loft, rack 1, level 2`
pub(super) fn item_line(item: &Item) -> String {
    format!("{}  {}: {}", item.name(), item.title, whereabouts(item))
}

/// Where an item is, or what has become of it: `in 4C, Loft, rack 1 (its code names 4A)`
pub(super) fn whereabouts(item: &Item) -> String {
    let place = item.stowed.as_ref().map(|Stowed { bin, place, .. }| {
        let tag = item.tag_shows().map(|shown| format!(" (its code names {shown})")).unwrap_or_default();
        format!("in {bin}, {}{tag}", place_text(place))
    });
    let parts: Vec<String> = [fate(item), place].into_iter().flatten().collect();
    match (parts.as_slice(), item.status) {
        ([], Status::Waiting) => "waits for a bin".into(),
        ([], Status::Undone) => "its entry was taken back".into(),
        ([], other) => other.word().into(),
        (parts, _) => parts.join("; "),
    }
}

/// What has become of an item that is for sale no more: `sold on 2026-11-20 for order 77, not picked yet`
pub(super) fn fate(item: &Item) -> Option<String> {
    let gone = item.gone.map(|since| match &item.why_gone {
        Some(why) => format!("gone since {since}: {why}"),
        None => format!("gone since {since}"),
    });
    let sold = item.sold.as_ref().map(ToString::to_string);
    let parts: Vec<String> = [gone, sold].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}

/// One line for what was found, with its labels from before.
pub(super) fn found_line(found: &Found, old_codes: &[String]) -> String {
    match found {
        Found::Item(item) => item_line(item) + &old_codes_text(old_codes),
        Found::Bin(bin) => {
            let old = old_codes_text(old_codes);
            format!("{}  bin {}: {}{old}", bin.code, bin_state(bin), place_text(&bin.place))
        }
    }
}

/// `with 2 items`, `retired since 2026-11-25`
pub(super) fn bin_state(bin: &Bin) -> String {
    match bin.retired {
        _ if bin.is_live => format!("with {}", count(u64::from(bin.items), "item")),
        Some(since) => format!("retired since {since}"),
        None => "that was taken back".into(),
    }
}

/// ` (old code K 117)`
pub(super) fn old_codes_text(old_codes: &[String]) -> String {
    match old_codes {
        [] => String::new(),
        [only] => format!(" (old code {only})"),
        many => format!(" (old codes {})", many.join(", ")),
    }
}

/// ` (was 4A-001F)` of an item that got a new code when it moved.
pub(super) fn was(moved: &Move) -> String {
    moved.was.map(|code| format!(" (was {code})")).unwrap_or_default()
}

/// `1 item`, `2 items`
pub(super) fn count(number: u64, noun: &str) -> String {
    if number == 1 { format!("1 {noun}") } else { format!("{number} {noun}s") }
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

/// `2.5 l, 30 x 20 x 10 cm, medium, 850 g`
pub(super) fn bulk_text(bulk: &Bulk) -> String {
    let parts = [
        bulk.volume.map(|volume| volume.to_string()),
        bulk.measures.map(|measures| measures.to_string()),
        bulk.size.clone(),
        bulk.weight.map(|weight| weight.to_string()),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
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

/// A text that came from outside in one line, without the control characters that a symbol may carry to the terminal.
pub(super) fn shown(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    plain.trim().to_owned()
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
