//! Which column of a file is what: by the user's word, by what is remembered for its headings, or by the headings.
//!
//! Start with [`Mapping::find`]. Whether the cells of a column hold what they should is not looked at.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{
    DateOrder,
    error::shown,
    fields::{Field, FileKind, bare},
};
use crate::unit::{joined, listed};

/// How many headings a message lists.
const LISTED: usize = 12;
/// How many headings that would be known a message lists.
const OFFERED: usize = 4;

/// Why the columns can't be told.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MappingError {
    /// Not `FIELD=HEADING`.
    #[error("`{0}` is no mapping; write it as title=\"Item name\", or title= to leave the title unread")]
    Malformed(String),
    /// No such field.
    #[error("--map: there is no field `{field}`; there are {known}")]
    UnknownField {
        /// As it was written.
        field: String,
        /// All there are.
        known: String,
    },
    /// No such heading.
    #[error("--map: no column has the heading `{heading}`; the headings are {found}")]
    UnknownHeading {
        /// As it was written.
        heading: String,
        /// All there are, each in backticks.
        found: String,
    },
    /// Two columns with the same heading.
    #[error("--map: more than one column has the heading `{0}`; rename one of them")]
    DoubleHeading(String),
    /// A field or a column was mapped twice.
    #[error("--map: `{0}` is named twice; name each field and each heading once")]
    Twice(String),
    /// No column for what is needed.
    #[error("no column holds {meaning}, the headings are {found}; {advice}")]
    Missing {
        /// What is needed: `the title`.
        meaning: String,
        /// The headings, each in backticks.
        found: String,
        /// What to do.
        advice: String,
    },
    /// Fields that make sense together only.
    #[error("--map: {field} is of use together with {others} only; name their columns as well")]
    Partial {
        /// The field that has a column.
        field: &'static str,
        /// Those of its group.
        others: String,
    },
    /// Two headings that mean the same.
    #[error(
        "the columns `{first}` and `{second}` both mean {meaning}; say which it is with --map {field}=\"{first}\", \
         or rename one of them"
    )]
    SameMeaning {
        /// The heading further left.
        first: String,
        /// The heading further right.
        second: String,
        /// What both mean.
        meaning: &'static str,
        /// The field.
        field: &'static str,
    },
}

/// A column that the user named for a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// The field, by its name or a heading that means it.
    pub field: String,
    /// The heading; nothing to leave the field unread.
    pub heading: String,
}

impl std::str::FromStr for Asked {
    type Err = MappingError;

    /// From `title=Item name`.
    fn from_str(text: &str) -> Result<Self, MappingError> {
        let malformed = || MappingError::Malformed(text.to_owned());
        let (field, heading) = text.split_once('=').ok_or_else(malformed)?;
        if field.trim().is_empty() { Err(malformed()) } else { Ok(Self { field: tidy(field), heading: tidy(heading) }) }
    }
}

/// How it is known what a column is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KnownBy {
    /// Its heading says so.
    Heading,
    /// The user said so earlier for these headings.
    Memory,
    /// The user says so.
    User,
}

/// What is remembered for a set of headings.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
struct Remembered {
    /// The heading of a field, or nothing for one that stays unread.
    columns: BTreeMap<String, Option<String>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    dates: Option<DateOrder>,
}

/// A column and what it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Column {
    at: usize,
    by: KnownBy,
}

/// What the columns of a file are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mapping {
    kind: &'static FileKind,
    headings: Vec<String>,
    /// By the field's place in its kind of file.
    columns: Vec<Option<Column>>,
    partial: Vec<Partial>,
    remembered: Remembered,
    is_new: bool,
}

/// Columns that are not read because others are missing that they make sense with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Partial {
    /// Their headings.
    pub headings: Vec<String>,
    /// The fields that are missing.
    pub missing: Vec<&'static str>,
}

/// `Length and Width: height is missing, all of them are needed or none`
impl std::fmt::Display for Partial {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let headings: Vec<&str> = self.headings.iter().map(String::as_str).collect();
        let is = if self.missing.len() == 1 { "is" } else { "are" };
        let missing = listed(&self.missing);
        write!(f, "{}: {missing} {is} missing, all three are needed or none", listed(&headings))
    }
}

/// Under what the mapping of a file with these headings is remembered; their order does not matter.
#[must_use]
pub fn mapping_key(kind: &FileKind, headings: &[String]) -> String {
    let mut headings: Vec<String> = headings.iter().map(|heading| tidy(heading).to_lowercase()).collect();
    headings.sort_unstable();
    format!("{}\n{}", kind.name, headings.join("\n"))
}

impl Mapping {
    /// Tells the columns of a file: first what the user asks for, then what is remembered for these headings (as
    /// [`Self::to_remember`] gave it), then by the words of the headings.
    ///
    /// # Errors
    /// [`MappingError`].
    pub fn find(
        kind: &'static FileKind,
        headings: &[String],
        asked: &[Asked],
        remembered: Option<&str>,
    ) -> Result<Self, MappingError> {
        let (mapping, fault) = Self::guess(kind, headings, asked, remembered);
        fault.map_or(Ok(mapping), Err)
    }

    /// The same as far as it can be told, and what keeps it from being all.
    #[must_use]
    pub fn guess(
        kind: &'static FileKind,
        headings: &[String],
        asked: &[Asked],
        remembered: Option<&str>,
    ) -> (Self, Option<MappingError>) {
        // What can't be read any more counts as forgotten.
        let remembered = remembered.and_then(|text| serde_json::from_str(text).ok()).unwrap_or_default();
        let headings: Vec<String> = headings.iter().map(|heading| tidy(heading)).collect();
        let columns = vec![None; kind.fields.len()];
        let mut mapping = Self { kind, headings, columns, partial: Vec::new(), remembered, is_new: false };
        let mut settled = vec![false; kind.fields.len()];
        let asked = mapping.take_asked(asked, &mut settled);
        mapping.take_remembered(&mut settled);
        let worded = mapping.take_by_wording(&settled);
        let whole = mapping.drop_partial();
        let fault = asked.and(worded).and(whole).and_then(|()| mapping.require_needed()).err();
        (mapping, fault)
    }

    /// The column of a field, from 0.
    #[must_use]
    pub fn column(&self, field: &str) -> Option<usize> {
        self.of(field).map(|column| column.at)
    }

    /// How the column of a field is known.
    #[must_use]
    pub fn known_by(&self, field: &str) -> Option<KnownBy> {
        self.of(field).map(|column| column.by)
    }

    /// The heading over the column of a field.
    #[must_use]
    pub fn heading(&self, field: &str) -> Option<&str> {
        self.column(field).and_then(|at| self.headings.get(at)).map(String::as_str)
    }

    /// The fields that have a column, in the order of the kind of file, and its heading.
    pub fn fields(&self) -> impl Iterator<Item = (&'static Field, &str)> {
        self.kind.fields.iter().filter_map(|field| self.heading(field.name).map(|heading| (field, heading)))
    }

    /// The fields that have a column because it was remembered, and its heading.
    pub fn remembered_fields(&self) -> impl Iterator<Item = (&'static Field, &str)> {
        self.fields().filter(|(field, _)| self.known_by(field.name) == Some(KnownBy::Memory))
    }

    /// The headings of the columns that are not read.
    #[must_use]
    pub fn unread(&self) -> Vec<String> {
        let others = self.headings.iter().enumerate().filter(|(at, _)| !self.is_read(*at));
        others.map(|(_, heading)| heading.clone()).filter(|heading| !heading.is_empty()).collect()
    }

    /// Those of them that would be read if others were there.
    #[must_use]
    pub fn partial(&self) -> &[Partial] {
        &self.partial
    }

    /// Those whose headings are not known.
    #[must_use]
    pub fn unknown(&self) -> Vec<String> {
        let is_partial = |heading: &String| self.partial.iter().any(|partial| partial.headings.contains(heading));
        self.unread().into_iter().filter(|heading| !is_partial(heading)).collect()
    }

    /// The order of day and month that is remembered.
    #[must_use]
    pub fn dates(&self) -> Option<DateOrder> {
        self.remembered.dates
    }

    /// Has an order of day and month remembered.
    pub fn remember_dates(&mut self, order: DateOrder) {
        self.is_new |= self.remembered.dates != Some(order);
        self.remembered.dates = Some(order);
    }

    /// The key and the text to remember it by; `None` when nothing new was asked for.
    #[must_use]
    pub fn to_remember(&self) -> Option<(String, String)> {
        let text = serde_json::to_string(&self.remembered).ok().filter(|_| self.is_new)?;
        Some((mapping_key(self.kind, &self.headings), text))
    }

    /// Whether a column holds amounts.
    pub(super) fn is_amount(&self, at: usize) -> bool {
        let holds = |(field, _): &(&Field, &str)| field.is_amount && self.column(field.name) == Some(at);
        self.fields().any(|field| holds(&field))
    }

    fn of(&self, field: &str) -> Option<Column> {
        let at = self.kind.fields.iter().position(|known| known.name == field)?;
        self.columns[at]
    }

    fn is_read(&self, at: usize) -> bool {
        self.columns.iter().flatten().any(|column| column.at == at)
    }

    fn take_asked(&mut self, asked: &[Asked], settled: &mut [bool]) -> Result<(), MappingError> {
        for Asked { field, heading } in asked {
            let unknown = || MappingError::UnknownField { field: field.clone(), known: self.kind.names() };
            let at = self.kind.position(field).ok_or_else(unknown)?;
            if std::mem::replace(&mut settled[at], true) {
                return Err(MappingError::Twice(field.clone()));
            }
            let column = if heading.is_empty() { None } else { Some(self.named(heading)?) };
            if column.is_some_and(|column| self.is_read(column)) {
                return Err(MappingError::Twice(heading.clone()));
            }
            self.columns[at] = column.map(|at| Column { at, by: KnownBy::User });
            let heading = column.map(|at| self.headings[at].clone());
            let name = self.kind.fields[at].name;
            self.remembered.columns.retain(|field, other| field == name || heading.is_none() || *other != heading);
            let before = self.remembered.columns.insert(name.to_owned(), heading.clone());
            self.is_new |= before != Some(heading);
        }
        Ok(())
    }

    /// The column of a heading: as it is written, else by its words.
    fn named(&self, heading: &str) -> Result<usize, MappingError> {
        let ways: [fn(&str) -> String; 3] = [str::to_owned, str::to_lowercase, bare];
        for way in ways {
            let mut same = (0..self.headings.len()).filter(|at| way(&self.headings[*at]) == way(heading));
            match (same.next(), same.next()) {
                (Some(_), Some(_)) => return Err(MappingError::DoubleHeading(heading.to_owned())),
                (Some(only), None) => return Ok(only),
                (None, _) => {}
            }
        }
        Err(MappingError::UnknownHeading { heading: heading.to_owned(), found: list(&self.headings) })
    }

    fn take_remembered(&mut self, settled: &mut [bool]) {
        for (name, heading) in self.remembered.columns.clone() {
            let Some(at) = self.kind.position(&name).filter(|at| !settled[*at]) else { continue };
            let column = heading.map(|heading| self.named(&heading)).transpose().ok().flatten();
            // The user may have given its column to another field meanwhile.
            let column = column.filter(|column| !self.is_read(*column));
            self.columns[at] = column.map(|at| Column { at, by: KnownBy::Memory });
            settled[at] = true;
        }
    }

    /// Where two headings mean the same, none of them is taken.
    fn take_by_wording(&mut self, settled: &[bool]) -> Result<(), MappingError> {
        let mut told = Ok(());
        let bare: Vec<String> = self.headings.iter().map(|heading| bare(heading)).collect();
        for (place, field) in self.kind.fields.iter().enumerate().filter(|(place, _)| !settled[*place]) {
            let means = |at: &usize| field.wordings.contains(&bare[*at].as_str()) && !self.is_read(*at);
            let mut found = (0..bare.len()).filter(means);
            let (first, second) = (found.next(), found.next());
            if let (Some(first), Some(second)) = (first, second) {
                let [first, second] = [first, second].map(|at| shown(&self.headings[at]));
                let same = MappingError::SameMeaning { first, second, meaning: field.meaning, field: field.name };
                told = told.and(Err(same));
                continue;
            }
            self.columns[place] = first.map(|at| Column { at, by: KnownBy::Heading });
        }
        told
    }

    /// Columns that make sense together only are left unread where one is missing.
    fn drop_partial(&mut self) -> Result<(), MappingError> {
        for group in self.kind.whole {
            if group.iter().all(|field| self.column(field).is_some()) {
                continue;
            }
            if let Some(field) = group.iter().find(|field| self.known_by(field) == Some(KnownBy::User)) {
                let others: Vec<&str> = group.iter().filter(|other| *other != field).copied().collect();
                return Err(MappingError::Partial { field, others: listed(&others) });
            }
            let headings: Vec<String> =
                group.iter().filter_map(|field| self.heading(field).map(ToOwned::to_owned)).collect();
            if !headings.is_empty() {
                let missing = group.iter().filter(|field| self.column(field).is_none()).copied().collect();
                self.partial.push(Partial { headings, missing });
            }
            for (place, field) in self.kind.fields.iter().enumerate() {
                self.columns[place] = self.columns[place].filter(|_| !group.contains(&field.name));
            }
        }
        Ok(())
    }

    fn require_needed(&self) -> Result<(), MappingError> {
        let missing = self.kind.needs.iter().find(|group| !group.iter().any(|field| self.column(field).is_some()));
        let Some(group) = missing else { return Ok(()) };
        let fields: Vec<&Field> = group.iter().filter_map(|name| self.kind.field(name)).collect();
        let meanings: Vec<&str> = fields.iter().map(|field| field.meaning).collect();
        let offered: Vec<&str> =
            fields.first().into_iter().flat_map(|field| field.wordings.iter().copied().take(OFFERED)).collect();
        let field = fields.first().map_or("", |field| field.name);
        Err(MappingError::Missing {
            meaning: joined(&meanings, "or"),
            found: list(&self.headings),
            advice: format!(
                "name one of them {}, or say which it is with --map {field}=\"HEADING\"",
                joined(&offered, "or")
            ),
        })
    }
}

/// Headings are sometimes broken over two lines in their cell.
pub(super) fn tidy(heading: &str) -> String {
    heading.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn list(headings: &[String]) -> String {
    let quoted: Vec<String> = headings.iter().take(LISTED).map(|heading| format!("`{}`", shown(heading))).collect();
    let more = if headings.len() > LISTED { " and more" } else { "" };
    quoted.join(", ") + more
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exchange::BUYS;

    fn strings(headings: &[&str]) -> Vec<String> {
        headings.iter().map(ToString::to_string).collect()
    }

    fn asked(maps: &[&str]) -> Vec<Asked> {
        maps.iter().map(|map| map.parse().unwrap()).collect()
    }

    fn find(headings: &[&str], maps: &[&str], remembered: Option<&str>) -> Result<Mapping, MappingError> {
        Mapping::find(&BUYS, &strings(headings), &asked(maps), remembered)
    }

    fn columns(mapping: &Mapping) -> Vec<(&'static str, &str)> {
        mapping.fields().map(|(field, heading)| (field.name, heading)).collect()
    }

    #[test]
    fn every_wording_is_known_in_any_case_and_order() {
        for field in BUYS.fields {
            for wording in field.wordings {
                assert_eq!(bare(wording), *wording, "a wording that can't be met");
                let heading = format!(" {} (GBP)", wording.to_uppercase());
                // Those that make sense together only have the others beside them.
                let group = BUYS.whole.iter().find(|group| group.contains(&field.name)).copied().unwrap_or_default();
                let others = group.iter().filter(|other| **other != field.name);
                let headings: Vec<&str> = ["Shelf", &heading, "title"].into_iter().chain(others.copied()).collect();
                let found = find(&headings, &[], None);
                let expected = if field.name == "title" { None } else { Some(1) };
                assert_eq!(found.ok().and_then(|mapping| mapping.column(field.name)), expected, "{wording}");
            }
        }
        for wording in BUYS.field("title").unwrap().wordings {
            assert_eq!(find(&["x", wording], &[], None).unwrap().column("title"), Some(1), "{wording}");
        }
    }

    #[test]
    fn columns_that_need_each_other_are_read_together_or_not_at_all() {
        let sides = ["title", "Length (cm)", "Width", "Height"];
        assert_eq!(find(&sides, &[], None).unwrap().column("height"), Some(3));
        let mapping = find(&sides[..3], &[], None).unwrap();
        assert_eq!(
            (columns(&mapping), mapping.unread()),
            (vec![("title", "title")], strings(&["Length (cm)", "Width"]))
        );
        let refused = find(&["title", "long"], &["length=long"], None).unwrap_err();
        let why = "--map: length is of use together with width and height only; name their columns as well";
        assert_eq!(refused.to_string(), why);
        assert!(find(&["title", "a", "b", "c"], &["length=a", "width=b", "height=c"], None).is_ok());
    }

    #[test]
    fn no_heading_means_two_things() {
        let mut all: Vec<&str> = BUYS.fields.iter().flat_map(|field| field.wordings).copied().collect();
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
    }

    #[test]
    fn columns_without_a_meaning_are_unread() {
        let mapping = find(&["Title", "Cost (GBP)", "Asking\r\nprice €", "Shelf", "", "costs"], &[], None).unwrap();
        assert_eq!(columns(&mapping), [("title", "Title"), ("cost", "Cost (GBP)"), ("asking", "Asking price €")]);
        assert_eq!(mapping.unread(), ["Shelf", "costs"]);
        assert!(mapping.is_amount(1) && mapping.is_amount(2) && !mapping.is_amount(0) && !mapping.is_amount(3));
    }

    #[test]
    fn missing_and_doubled_columns_are_named() {
        let cases: [(&[&str], &str); 3] = [
            (
                &["What", "cost", "no\u{7}te"],
                "no column holds the title or the code, the headings are `What`, `cost`, `no te`; \
                 name one of them title, item, description or name, or say which it is with --map title=\"HEADING\"",
            ),
            (
                &["Item", "cost", "Description"],
                "the columns `Item` and `Description` both mean the title; say which it is with --map title=\"Item\", \
                 or rename one of them",
            ),
            (
                &["title", "Price paid", "cost"],
                "the columns `Price paid` and `cost` both mean the cost; say which it is with --map \
                 cost=\"Price paid\", or rename one of them",
            ),
        ];
        for (headings, expected) in cases {
            assert_eq!(find(headings, &[], None).unwrap_err().to_string(), expected);
        }
        assert!(find(&["x"; 13], &[], None).unwrap_err().to_string().contains("`x` and more; name"));
    }

    #[test]
    fn the_user_says_what_a_column_is() {
        let mapping = find(&["Item", "Description", "Mine", "EUR"], &["title=description", "cost=EUR"], None).unwrap();
        assert_eq!(columns(&mapping), [("title", "Description"), ("cost", "EUR")]);
        assert_eq!(mapping.unread(), ["Item", "Mine"]);
        // A column that is taken is nothing else; a field may be named as a heading; one may stay unread.
        let mapping = find(&["name", "code", "price"], &["Old code=Code", "asking="], None).unwrap();
        assert_eq!(columns(&mapping), [("title", "name"), ("old", "code")]);
    }

    #[test]
    fn what_can_not_be_mapped_is_refused_with_what_there_is() {
        let cases: [(&[&str], &[&str], &str); 5] = [
            (
                &["title"],
                &["colour=title"],
                "--map: there is no field `colour`; \
                 there are code, title, bin, cost, asking, bought, old, note, litres, measures, \
                 length, width, height, size and grams",
            ),
            (&["a", "b"], &["title=c"], "--map: no column has the heading `c`; the headings are `a`, `b`"),
            (&["a", "a"], &["title=a"], "--map: more than one column has the heading `a`; rename one of them"),
            (&["a", "b"], &["title=a", "note=a"], "--map: `a` is named twice; name each field and each heading once"),
            (
                &["a", "b"],
                &["title=a", "item=b"],
                "--map: `item` is named twice; name each field and each heading once",
            ),
        ];
        for (headings, maps, expected) in cases {
            assert_eq!(find(headings, maps, None).unwrap_err().to_string(), expected, "{maps:?}");
        }
        for text in ["title", "=a", " = "] {
            let expected =
                format!("`{text}` is no mapping; write it as title=\"Item name\", or title= to leave the title unread");
            assert_eq!(text.parse::<Asked>().unwrap_err().to_string(), expected);
        }
    }

    #[test]
    fn what_was_said_is_remembered_for_these_headings_in_any_order() {
        let first = find(&["What", "EUR", "price"], &["title=What", "cost=EUR", "asking="], None).unwrap();
        let (key, text) = first.to_remember().unwrap();
        assert_eq!(key, mapping_key(&BUYS, &strings(&["eur ", "PRICE", "What"])));
        assert_ne!(key, mapping_key(&BUYS, &strings(&["eur ", "PRICE"])));
        let second = find(&["eur", "price", "what"], &[], Some(&text)).unwrap();
        assert_eq!(columns(&second), [("title", "what"), ("cost", "eur")]);
        assert_eq!(second.remembered_fields().count(), 2);
        assert_eq!(second.to_remember(), None);
        // Said again, in part otherwise.
        let third = find(&["eur", "price", "what"], &["asking=price"], Some(&text)).unwrap();
        assert_eq!(columns(&third), [("title", "what"), ("cost", "eur"), ("asking", "price")]);
        assert_eq!(third.known_by("asking"), Some(KnownBy::User));
        let (_, text) = third.to_remember().unwrap();
        assert_eq!(columns(&find(&["eur", "price", "what"], &[], Some(&text)).unwrap()), columns(&third));
        // A column that was remembered for one field and is named for another.
        let fourth = find(&["eur", "price", "what"], &["asking=eur", "cost=price"], Some(&text)).unwrap();
        assert_eq!(columns(&fourth), [("title", "what"), ("cost", "price"), ("asking", "eur")]);
    }

    #[test]
    fn the_order_of_dates_is_remembered_when_said() {
        let mut mapping = find(&["title", "date"], &[], None).unwrap();
        assert_eq!((mapping.to_remember(), mapping.dates()), (None, None));
        mapping.remember_dates(DateOrder::DayFirst);
        let (_, text) = mapping.to_remember().unwrap();
        assert_eq!(find(&["title", "date"], &[], Some(&text)).unwrap().dates(), Some(DateOrder::DayFirst));
        assert_eq!(find(&["title", "date"], &[], Some("damaged")).unwrap().dates(), None);
    }
}
