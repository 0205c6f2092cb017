//! Listings narrowed and sorted by what stands in their columns, whatever they list.

use super::outcome::CliError;
use crate::code::BinCode;

/// Options of listings.
#[derive(Debug, Clone, Default, clap::Args)]
pub(super) struct Arrange {
    /// Only lines that have this text in any column
    #[arg(long, value_name = "TEXT")]
    has: Option<String>,
    /// By which column they are sorted, by its heading
    #[arg(long, value_name = "COLUMN")]
    sort: Option<String>,
    /// The other way round
    #[arg(long)]
    reverse: bool,
}

impl Arrange {
    /// What is wanted of a listing, in the order that is wanted; `row` gives the cells under the headings.
    pub(super) fn apply<T>(
        &self,
        headings: &[&str],
        mut listed: Vec<T>,
        row: impl Fn(&T) -> Vec<String>,
    ) -> Result<Vec<T>, CliError> {
        let column = self.sort.as_deref().map(|name| column(headings, name)).transpose()?;
        if let Some(text) = &self.has {
            listed.retain(|line| has(&row(line), text));
        }
        if let Some(at) = column {
            listed.sort_by_cached_key(|line| row(line).get(at).map(|cell| key(cell)));
        }
        if self.reverse {
            listed.reverse();
        }
        if let Some(at) = column {
            // What is not known stands last either way.
            listed.sort_by_cached_key(|line| row(line).get(at).is_none_or(String::is_empty));
        }
        Ok(listed)
    }

    /// Whether anything may be left out.
    pub(super) fn narrows(&self) -> bool {
        self.has.is_some()
    }
}

/// Whether a text stands in a row; capitals don't matter.
pub(super) fn has(cells: &[String], text: &str) -> bool {
    let text = text.to_lowercase();
    cells.iter().any(|cell| cell.to_lowercase().contains(&text))
}

fn column(headings: &[&str], name: &str) -> Result<usize, CliError> {
    let plain = |heading: &str| heading.trim_end_matches('#').to_lowercase();
    let found = headings.iter().position(|heading| plain(heading) == name.to_lowercase());
    found.ok_or_else(|| {
        let known = headings.iter().map(|heading| plain(heading)).filter(|heading| !heading.is_empty());
        CliError::NoColumn { name: name.to_owned(), known: known.collect::<Vec<_>>().join(", ") }
    })
}

/// How a cell is compared: bins by their place in the area, numbers in texts by their value.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    Bin(BinCode),
    Parts(Vec<Part>),
}

#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Part {
    Number(u64),
    Text(String),
}

fn key(cell: &str) -> Key {
    if let Ok(bin) = cell.parse() {
        return Key::Bin(bin);
    }
    let mut parts = Vec::new();
    let mut rest = cell;
    while let Some(first) = rest.chars().next() {
        let is_number = first.is_ascii_digit();
        let end = rest.find(|c: char| c.is_ascii_digit() != is_number).unwrap_or(rest.len());
        let (part, after) = rest.split_at(end);
        let number = part.parse().ok().filter(|_| is_number);
        parts.push(number.map_or_else(|| Part::Text(part.to_lowercase()), Part::Number));
        rest = after;
    }
    Key::Parts(parts)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sorted(cells: &[&'static str], arrange: &Arrange) -> Vec<&'static str> {
        arrange.apply(&["cell"], cells.to_vec(), |cell| vec![(*cell).to_owned()]).unwrap()
    }

    #[test]
    fn cells_are_sorted_as_people_count() {
        let by_cell = Arrange { sort: Some("Cell".into()), ..Arrange::default() };
        assert_eq!(sorted(&["12A", "4AA", "4B", "", "4A"], &by_cell), ["4A", "4B", "4AA", "12A", ""]);
        assert_eq!(sorted(&["rack 10", "Rack 2", "rack 1"], &by_cell), ["rack 1", "Rack 2", "rack 10"]);
        assert_eq!(sorted(&["12.50", "9.00", "12.05"], &by_cell), ["9.00", "12.05", "12.50"]);
        let reversed = Arrange { reverse: true, ..by_cell };
        assert_eq!(sorted(&["4A", "", "12A"], &reversed), ["12A", "4A", ""]);
    }

    #[test]
    fn lines_are_kept_by_their_text() {
        let with = Arrange { has: Some("RACK".into()), reverse: true, ..Arrange::default() };
        assert_eq!(sorted(&["rack 1", "shelf", "my Rack"], &with), ["my Rack", "rack 1"]);
    }

    #[test]
    fn a_column_that_is_not_there_is_refused_with_those_that_are() {
        let by_colour = Arrange { sort: Some("colour".into()), ..Arrange::default() };
        let refused = by_colour.apply(&["bin", "items#"], Vec::<String>::new(), |_| Vec::new()).unwrap_err();
        assert_eq!(refused.to_string(), "there is no column `colour`; there are bin, items");
    }
}
