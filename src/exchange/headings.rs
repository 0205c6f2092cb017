//! What the columns of a buy list mean.
//!
//! Start with [`Layout::new`]. Columns without a known heading are carried along, and not read.

use super::{CsvError, error::shown};

/// The heading of the last column of refused rows, which says why; ignored when it comes back.
pub(super) const REFUSED_BECAUSE: &str = "refused because";
/// Stands in the reason of every row with too few or too many fields, and tells such a reason from data.
pub(super) const HEADINGS_HAVE: &str = ", the headings have ";
/// How many headings a message lists.
const LISTED: usize = 12;

/// Where the columns are that are read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Columns {
    pub(super) title: usize,
    pub(super) bought: Option<usize>,
    pub(super) cost: Option<usize>,
    pub(super) asking: Option<usize>,
}

/// The headings of a file and what they mean.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    /// What parts the fields.
    pub(super) delimiter: u8,
    /// All headings but a last one of [`REFUSED_BECAUSE`].
    pub(super) headings: Vec<String>,
    /// Counted in `headings`.
    pub(super) columns: Columns,
    /// Whether [`REFUSED_BECAUSE`] was the last heading.
    has_reasons: bool,
}

impl Layout {
    /// Finds the columns by their headings.
    pub(super) fn new(fields: &[String], delimiter: u8) -> Result<Self, CsvError> {
        let mut headings: Vec<String> = fields.iter().map(|field| tidy(field)).collect();
        drop_blank_end(&mut headings, 0);
        let has_reasons = headings.pop_if(|heading| heading.eq_ignore_ascii_case(REFUSED_BECAUSE)).is_some();
        let columns = Columns::find(&headings)?;
        Ok(Self { delimiter, headings, columns, has_reasons })
    }

    /// The headings of the columns that are not read.
    pub(super) fn unread(&self) -> Vec<&str> {
        let Columns { title, bought, cost, asking } = self.columns;
        let read = [Some(title), bought, cost, asking];
        let others = self.headings.iter().enumerate().filter(|(at, _)| !read.contains(&Some(*at)));
        others.map(|(_, heading)| heading.as_str()).filter(|heading| !heading.is_empty()).collect()
    }

    /// Whether a column holds amounts.
    pub(super) fn is_amount(&self, column: usize) -> bool {
        [self.columns.cost, self.columns.asking].contains(&Some(column))
    }

    /// The fields without blank ones that a spreadsheet put behind them, and without an earlier reason.
    ///
    /// A reason in another column than its own shows that the row still has too few or too many fields, even if a
    /// spreadsheet has filled it up since.
    pub(super) fn own_fields(&self, mut fields: Vec<String>) -> Vec<String> {
        let own = self.headings.len();
        drop_blank_end(&mut fields, own + usize::from(self.has_reasons));
        if self.has_reasons {
            match fields.iter().position(|field| field.contains(HEADINGS_HAVE)) {
                Some(at) if at != own => fields.truncate(at),
                _ if fields.len() == own + 1 && is_reason(&fields[own]) => fields.truncate(own),
                _ => {}
            }
        }
        fields
    }
}

impl Columns {
    fn find(headings: &[String]) -> Result<Self, CsvError> {
        let column = |names: &[&str], meaning| find_one(headings, names, meaning);
        let title = column(&["title", "item", "description", "name"], "the title")?;
        Ok(Self {
            title: title.ok_or_else(|| CsvError::NoTitle { found: list(headings) })?,
            bought: column(
                &["bought", "date", "date bought", "bought date", "bought on", "purchase date"],
                "the date bought",
            )?,
            cost: column(&["cost", "paid", "price paid", "purchase price"], "the cost")?,
            asking: column(&["asking", "asking price", "list price", "price"], "the asking price")?,
        })
    }
}

fn find_one(headings: &[String], names: &[&str], meaning: &'static str) -> Result<Option<usize>, CsvError> {
    let is_named = |at: &usize| names.contains(&bare(&headings[*at]).as_str());
    let mut found = (0..headings.len()).filter(is_named);
    match (found.next(), found.next()) {
        (Some(first), Some(second)) => {
            let [first, second] = [first, second].map(|at| headings[at].clone());
            Err(CsvError::SameMeaning { first, second, meaning })
        }
        (first, _) => Ok(first),
    }
}

/// The heading in small letters, without `(GBP)`, `€` and the like.
fn bare(heading: &str) -> String {
    let before = heading.split(['(', '[']).next().unwrap_or(heading);
    let plain = |c: char| c.is_alphanumeric() || c.is_whitespace();
    before.chars().filter(|c| plain(*c)).collect::<String>().trim().to_lowercase()
}

/// What is left under the heading of reasons: nothing, or a reason as this program writes it. Anything else is a
/// field too many.
fn is_reason(field: &str) -> bool {
    field.trim().is_empty() || field.contains(": ") || field.contains(HEADINGS_HAVE)
}

/// Headings are sometimes broken over two lines in their cell.
fn tidy(heading: &str) -> String {
    heading.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn drop_blank_end(fields: &mut Vec<String>, keep: usize) {
    while fields.len() > keep && fields.last().is_some_and(|field| field.trim().is_empty()) {
        fields.pop();
    }
}

fn list(headings: &[String]) -> String {
    let quoted: Vec<String> = headings.iter().take(LISTED).map(|heading| format!("`{}`", shown(heading))).collect();
    let more = if headings.len() > LISTED { " and more" } else { "" };
    quoted.join(", ") + more
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strings(fields: &[&str]) -> Vec<String> {
        fields.iter().map(ToString::to_string).collect()
    }

    fn layout(headings: &[&str]) -> Result<Layout, CsvError> {
        Layout::new(&strings(headings), b',')
    }

    #[test]
    fn every_heading_is_known_in_any_case() {
        for title in ["title", "Item", " DESCRIPTION ", "name"] {
            assert_eq!(layout(&["note", title]).unwrap().columns.title, 1, "{title}");
        }
        for bought in ["bought", "Date", "date bought", "Bought\r\non", "PURCHASE DATE"] {
            assert_eq!(layout(&["title", bought]).unwrap().columns.bought, Some(1), "{bought}");
        }
        for cost in ["cost", "Paid", "price  paid", "purchase price"] {
            assert_eq!(layout(&["title", cost]).unwrap().columns.cost, Some(1), "{cost}");
        }
        for asking in ["asking", "Asking Price", "list price", "price"] {
            assert_eq!(layout(&["title", asking]).unwrap().columns.asking, Some(1), "{asking}");
        }
        let others = layout(&["title", "note", "shelf", "costs", ""]).unwrap();
        assert_eq!(others.columns, Columns { title: 0, bought: None, cost: None, asking: None });
        assert_eq!(others.headings.len(), 4);
    }

    #[test]
    fn currencies_behind_a_heading_do_not_matter_and_unread_columns_are_known() {
        let layout = layout(&["Title", "Cost (GBP)", "Asking price €", "Shelf", ""]).unwrap();
        assert_eq!(layout.columns, Columns { title: 0, bought: None, cost: Some(1), asking: Some(2) });
        assert_eq!(layout.unread(), ["Shelf"]);
    }

    #[test]
    fn what_stands_under_the_reasons_is_dropped_only_if_it_is_one() {
        let layout = layout(&["title", "cost", "refused because"]).unwrap();
        let cases: [(&[&str], usize); 4] = [
            (&["Pan", "3.50", ""], 2),
            (&["Pan", "3.50", "cost: `3,5,0` is no amount"], 2),
            (&["Pan", "3", "50", ""], 3),
            (&["Pan", "3", "50"], 3),
        ];
        for (fields, own) in cases {
            assert_eq!(layout.own_fields(strings(fields)).len(), own, "{fields:?}");
        }
    }

    #[test]
    fn missing_and_doubled_columns_are_named() {
        let cases: [(&[&str], &str); 3] = [
            (
                &["What", "cost", "no\u{7}te"],
                "no title column, the headings are `What`, `cost`, `no te`; \
                 name one of them title, item, description or name",
            ),
            (
                &["Item", "cost", "Description"],
                "the columns `Item` and `Description` both mean the title; rename or remove one of them",
            ),
            (
                &["title", "Price paid", "cost"],
                "the columns `Price paid` and `cost` both mean the cost; rename or remove one of them",
            ),
        ];
        for (headings, expected) in cases {
            assert_eq!(layout(headings).unwrap_err().to_string(), expected);
        }
        let many = vec!["x"; 13];
        assert!(layout(&many).unwrap_err().to_string().contains("`x` and more; name"));
    }

    #[test]
    fn fields_behind_the_headings_count_only_with_text() {
        let layout = layout(&["title", "cost"]).unwrap();
        let own = |fields: &[&str]| layout.own_fields(strings(fields)).len();
        assert_eq!(own(&["Pan", "3", "", " "]), 2);
        assert_eq!(own(&["Pan", "", "", ""]), 2);
        assert_eq!(own(&["Pan", "3", "", "x"]), 4);
        assert_eq!(own(&["Pan"]), 1);
    }

    #[test]
    fn an_earlier_reason_is_no_field() {
        let layout = layout(&["title", "cost", "Refused Because", ""]).unwrap();
        assert_eq!(layout.headings, ["title", "cost"]);
        let own = |fields: &[&str]| layout.own_fields(strings(fields));
        let few = "has 1 field, the headings have 2";
        assert_eq!(own(&["Pan", "3", "cost: `x` is no amount"]), ["Pan", "3"]);
        assert_eq!(own(&["Pan", "3", few]), ["Pan", "3"]);
        assert_eq!(own(&["Pan", few]), ["Pan"]);
        assert_eq!(own(&["Pan", few, ""]), ["Pan"]);
        assert_eq!(own(&["Pan", "3", "50", few]), ["Pan", "3", "50"]);
        assert_eq!(own(&["Pan", "3"]), ["Pan", "3"]);
    }
}
