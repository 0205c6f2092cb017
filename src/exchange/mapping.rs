//! Which column of a file is what: by the user's word, by what is remembered for its headings, or by the headings.
//!
//! Start with [`Mapping::find`]. Whether the cells of a column hold what they should is not looked at.

mod asked;
mod error;
mod memory;
mod needs;

use super::{
    error::shown,
    fields::{Field, FileKind, bare},
    headings::tidy,
};
pub use asked::Asked;
pub use error::MappingError;
use memory::Remembered;
pub use memory::mapping_key;
pub use needs::Partial;

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

    /// Whether a column holds amounts.
    pub(super) fn is_amount(&self, at: usize) -> bool {
        self.fields().any(|(field, _)| field.is_amount && self.column(field.name) == Some(at))
    }

    fn of(&self, field: &str) -> Option<Column> {
        let at = self.kind.fields.iter().position(|known| known.name == field)?;
        self.columns[at]
    }

    fn is_read(&self, at: usize) -> bool {
        self.columns.iter().flatten().any(|column| column.at == at)
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
}

#[cfg(test)]
mod tests;
