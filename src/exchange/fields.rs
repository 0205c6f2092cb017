//! What the columns of a kind of file can mean.
//!
//! A new kind of file is a `static` [`FileKind`]: a list of fields with the headings that they are known by. The road
//! of a file from there, for any kind:
//!
//! ```text
//! let file = CsvFile::read(&bytes)?;                            // headings and rows
//! let known = register.mapping(&mapping_key(&KIND, file.headings()))?;   // what --map said earlier, as text
//! let mapping = Mapping::find(&KIND, file.headings(), &asked, known.as_deref())?;   // which column is what
//! let rows = Rows::read(file, mapping, |cells| {                // each row into a type of yours
//!     let title = cells.needed("title", Title::new);            // faults are noted under their heading
//!     let cost = cells.given("cost", |text| currency.parse(text));
//!     Some(MyRow { title: title?, cost })
//! });
//! let rows = rows.settle(|row| …)?;                             // what only the register knows may refuse more rows
//! rows.good, rows.refused, rows.refused_csv(), rows.mapping.unread(), rows.mapping.to_remember()
//! ```
//!
//! Dates of a column are read in one order: see `settle_dates`. Nothing here knows what a field is used for.

use crate::unit::listed;

/// What a column can hold.
#[derive(Debug, PartialEq, Eq)]
pub struct Field {
    /// By what `--map` and answers call it.
    pub name: &'static str,
    /// As messages say it: `the title`.
    pub meaning: &'static str,
    /// Headings that mean it, in small letters without punctuation; the first few are named in messages.
    pub wordings: &'static [&'static str],
    /// Whether it holds amounts, which need no guard against formulas.
    pub is_amount: bool,
}

/// A kind of file.
#[derive(Debug, PartialEq, Eq)]
pub struct FileKind {
    /// Parts what is remembered of different kinds: `items`.
    pub name: &'static str,
    /// What its columns can mean.
    pub fields: &'static [Field],
    /// Of each group of fields at least one must have a column.
    pub needs: &'static [&'static [&'static str]],
    /// Of each group of fields all must have a column, or none is read.
    pub whole: &'static [&'static [&'static str]],
}

impl FileKind {
    /// Where a field stands in the list, by its name or a heading that means it.
    pub(super) fn position(&self, name: &str) -> Option<usize> {
        let name = bare(name);
        let named = self.fields.iter().position(|field| field.name == name);
        named.or_else(|| self.fields.iter().position(|field| field.wordings.contains(&name.as_str())))
    }

    /// The field of this name.
    pub(super) fn field(&self, name: &str) -> Option<&'static Field> {
        self.fields.iter().find(|field| field.name == name)
    }

    /// The names of all fields, for messages.
    pub(super) fn names(&self) -> String {
        listed(&self.fields.iter().map(|field| field.name).collect::<Vec<_>>())
    }
}

/// The heading in small letters, without `(GBP)`, `€` and the like.
pub(super) fn bare(heading: &str) -> String {
    let before = heading.split(['(', '[']).next().unwrap_or(heading);
    let plain = |c: char| if c.is_alphanumeric() { c } else { ' ' };
    let spaced: String = before.chars().map(plain).collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_are_compared_by_their_words() {
        let cases = [
            ("Title", "title"),
            (" Asking  price (EUR)", "asking price"),
            ("Cost €", "cost"),
            ("old_code", "old code"),
            ("Date-bought", "date bought"),
            ("Code:", "code"),
            ("Größe", "größe"),
            ("(empty)", ""),
        ];
        for (heading, expected) in cases {
            assert_eq!(bare(heading), expected, "{heading}");
        }
    }
}
