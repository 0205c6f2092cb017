//! One row of a file, field by field.
//!
//! Start with [`Cells::needed`] and [`Cells::given`]; what can't be read is noted under its heading.
//! Fields under headings without a meaning are not looked at.

use super::{
    error::{one_line, shown},
    guard::unguard,
    headings::{HEADINGS_HAVE, Headings},
    mapping::Mapping,
};
use crate::unit::count;

/// The fields of one row under their headings, and the faults found so far.
#[derive(Debug)]
pub struct Cells<'a> {
    headings: &'a Headings,
    mapping: &'a Mapping,
    fields: &'a [String],
    faults: Vec<String>,
}

impl<'a> Cells<'a> {
    /// Nothing is checked yet.
    pub(super) fn new(headings: &'a Headings, mapping: &'a Mapping, fields: &'a [String]) -> Self {
        Self { headings, mapping, fields, faults: Vec::new() }
    }

    /// Whether the file has a column for this field.
    #[must_use]
    pub fn has(&self, field: &str) -> bool {
        self.mapping.column(field).is_some()
    }

    /// The text of a field; `None` where there is no such column, or nothing in it.
    #[must_use]
    pub fn text(&self, field: &str) -> Option<String> {
        let text = unguard(self.fields.get(self.mapping.column(field)?)?);
        let text = text.trim();
        (!text.is_empty()).then(|| text.to_owned())
    }

    /// The unit that stands in brackets in the heading of a field.
    #[must_use]
    pub fn unit(&self, field: &str) -> Option<String> {
        let (_, unit) = self.mapping.heading(field)?.split_once(['(', '['])?;
        Some(unit.trim_end_matches([')', ']']).trim().to_lowercase())
    }

    /// What is read from a field; a fault is noted. `None` where there is no such column, or nothing in it.
    pub fn given<T, E: ToString>(&mut self, field: &str, parse: impl FnOnce(&str) -> Result<T, E>) -> Option<T> {
        let column = self.mapping.column(field)?;
        if self.fields.get(column)?.trim().is_empty() { None } else { self.read(column, parse) }
    }

    /// What is read from a field whose heading may name a unit.
    pub fn given_in<T, E: ToString>(
        &mut self,
        field: &str,
        parse: impl FnOnce(&str, Option<&str>) -> Result<T, E>,
    ) -> Option<T> {
        let unit = self.unit(field);
        self.given(field, |text| parse(text, unit.as_deref()))
    }

    /// What is read from a field, also an empty one; a fault is noted. `None` where there is no such column.
    pub fn needed<T, E: ToString>(&mut self, field: &str, parse: impl FnOnce(&str) -> Result<T, E>) -> Option<T> {
        let column = self.mapping.column(field)?;
        self.read(column, parse)
    }

    /// Notes a fault of a field.
    pub fn fault(&mut self, field: &str, fault: &str) {
        match self.mapping.column(field) {
            Some(column) => self.note(column, fault),
            None => self.faults.push(format!("{field}: {fault}")),
        }
    }

    /// Adds a fault under the heading of its column.
    pub(super) fn note(&mut self, column: usize, fault: &str) {
        let heading = self.headings.names.get(column).filter(|heading| !heading.is_empty());
        let heading = heading.map_or_else(|| format!("field {}", column + 1), |heading| shown(heading));
        self.faults.push(format!("{heading}: {fault}"));
    }

    /// Whether the row has as many fields as there are headings; it is a fault otherwise.
    pub(super) fn is_whole(&mut self) -> bool {
        let is_whole = self.fields.len() == self.headings.names.len();
        if !is_whole {
            self.faults.push(self.count_fault());
        }
        is_whole
    }

    /// All the faults as one reason; `None` when there are none.
    pub(super) fn reason(&self) -> Option<String> {
        (!self.faults.is_empty()).then(|| one_line(&self.faults.join("; ")))
    }

    fn read<T, E: ToString>(&mut self, column: usize, parse: impl FnOnce(&str) -> Result<T, E>) -> Option<T> {
        match parse(&unguard(self.fields.get(column)?)) {
            Ok(value) => Some(value),
            Err(fault) => {
                self.note(column, &fault.to_string());
                None
            }
        }
    }

    fn count_fault(&self) -> String {
        let (found, expected) = (self.fields.len(), self.headings.names.len());
        let advice = if found > expected { self.quote_advice() } else { String::new() };
        format!("has {}{HEADINGS_HAVE}{expected}{advice}", count(found as u64, "field"))
    }

    /// A decimal comma is the usual cause of a field too many.
    fn quote_advice(&self) -> String {
        let delimiter = char::from(self.headings.delimiter);
        let name = if delimiter == '\t' { "a tab".to_owned() } else { format!("`{delimiter}`") };
        format!(": put a field that holds {name} in quotes")
    }
}
