//! Columns that a file must have, and columns that make sense together only.
//!
//! Start with [`Partial`], which says what is left unread. Which these are stands in the kind of file.

use super::{KnownBy, Mapping, MappingError, error::list};
use crate::{
    exchange::Field,
    unit::{joined, listed},
};

/// How many headings that would be known a message lists.
const OFFERED: usize = 4;

/// Columns that are not read because others are missing that they make sense with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Partial {
    /// Their headings.
    pub headings: Vec<String>,
    /// The fields that are missing.
    pub missing: Vec<&'static str>,
}

/// `Length and Width: height is missing, all three are needed or none`
impl std::fmt::Display for Partial {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let headings: Vec<&str> = self.headings.iter().map(String::as_str).collect();
        let is = if self.missing.len() == 1 { "is" } else { "are" };
        let missing = listed(&self.missing);
        write!(f, "{}: {missing} {is} missing, all three are needed or none", listed(&headings))
    }
}

impl Mapping {
    /// Columns that make sense together only are left unread where one is missing.
    pub(super) fn drop_partial(&mut self) -> Result<(), MappingError> {
        for group in self.kind.whole {
            let is_there = |field: &&str| self.column(field).is_some();
            let (there, missing): (Vec<&str>, Vec<&str>) = group.iter().copied().partition(is_there);
            if there.is_empty() || missing.is_empty() {
                continue;
            }
            if let Some(field) = there.iter().copied().find(|field| self.known_by(field) == Some(KnownBy::User)) {
                let others: Vec<&str> = group.iter().copied().filter(|other| *other != field).collect();
                return Err(MappingError::Partial { field, others: listed(&others) });
            }
            let headings = there.iter().filter_map(|field| self.heading(field)).map(str::to_owned).collect();
            self.partial.push(Partial { headings, missing });
            for (column, field) in self.columns.iter_mut().zip(self.kind.fields) {
                *column = column.filter(|_| !group.contains(&field.name));
            }
        }
        Ok(())
    }

    /// One column at least of each group that is needed.
    pub(super) fn require_needed(&self) -> Result<(), MappingError> {
        let is_missing = |group: &&&[&str]| group.iter().all(|field| self.column(field).is_none());
        let Some(group) = self.kind.needs.iter().find(is_missing) else { return Ok(()) };
        let fields: Vec<&Field> = group.iter().filter_map(|name| self.kind.field(name)).collect();
        let Some(Field { name, wordings, .. }) = fields.first() else { return Ok(()) };
        let meanings: Vec<&str> = fields.iter().map(|field| field.meaning).collect();
        let offered = joined(wordings.get(..OFFERED).unwrap_or(wordings), "or");
        Err(MappingError::Missing {
            meaning: joined(&meanings, "or"),
            found: list(&self.headings),
            advice: format!("name one of them {offered}, or say which it is with --map {name}=\"HEADING\""),
        })
    }
}
