//! One row of a buy list, field by field.
//!
//! Start with [`Cells::check`], after noting what is already known to be wrong.
//! Fields under headings without a meaning are not looked at.

use super::{
    BuyRow,
    date::parse_date,
    error::{one_line, shown},
    guard::unguard,
    headings::{HEADINGS_HAVE, Layout},
};
use crate::{register::Title, unit::Currency};

/// The fields of one row under their headings, and the faults found so far.
pub(super) struct Cells<'a> {
    layout: &'a Layout,
    fields: &'a [String],
    faults: Vec<String>,
}

impl<'a> Cells<'a> {
    /// Nothing is checked yet.
    pub(super) fn new(layout: &'a Layout, fields: &'a [String]) -> Self {
        Self { layout, fields, faults: Vec::new() }
    }

    /// Adds a fault under the heading of its column.
    pub(super) fn note(&mut self, column: usize, fault: &str) {
        let heading = self.layout.headings.get(column).filter(|heading| !heading.is_empty());
        let heading = heading.map_or_else(|| format!("field {}", column + 1), |heading| shown(heading));
        self.faults.push(format!("{heading}: {fault}"));
    }

    /// The row, or all its faults as one reason.
    pub(super) fn check(mut self, line: u64, currency: &Currency) -> Result<BuyRow, String> {
        let row = if self.fields.len() == self.layout.headings.len() {
            self.read_row(line, currency)
        } else {
            self.faults.push(self.count_fault());
            None
        };
        row.filter(|_| self.faults.is_empty()).ok_or_else(|| one_line(&self.faults.join("; ")))
    }

    fn read_row(&mut self, line: u64, currency: &Currency) -> Option<BuyRow> {
        let columns = &self.layout.columns;
        let title = self.read(columns.title, Title::new);
        let bought = self.read_given(columns.bought, parse_date);
        let cost = self.read_given(columns.cost, |text| currency.parse(text));
        let asking = self.read_given(columns.asking, |text| currency.parse(text));
        Some(BuyRow { line, title: title?, bought, cost, asking })
    }

    /// `None` where there is no such column, or nothing in it.
    fn read_given<T, E: ToString>(&mut self, column: Option<usize>, parse: impl Fn(&str) -> Result<T, E>) -> Option<T> {
        let column = column.filter(|column| !self.fields[*column].trim().is_empty())?;
        self.read(column, parse)
    }

    fn read<T, E: ToString>(&mut self, column: usize, parse: impl Fn(&str) -> Result<T, E>) -> Option<T> {
        match parse(&unguard(&self.fields[column])) {
            Ok(value) => Some(value),
            Err(fault) => {
                self.note(column, &fault.to_string());
                None
            }
        }
    }

    fn count_fault(&self) -> String {
        let (count, expected) = (self.fields.len(), self.layout.headings.len());
        let plural = if count == 1 { "" } else { "s" };
        let advice = if count > expected { self.quote_advice() } else { String::new() };
        format!("has {count} field{plural}{HEADINGS_HAVE}{expected}{advice}")
    }

    /// A decimal comma is the usual cause of a field too many.
    fn quote_advice(&self) -> String {
        let delimiter = char::from(self.layout.delimiter);
        let name = if delimiter == '\t' { "a tab".to_owned() } else { format!("`{delimiter}`") };
        format!(": put a field that holds {name} in quotes")
    }
}
