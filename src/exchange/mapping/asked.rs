//! What the user says that a column is.
//!
//! Start with [`Asked`], from `title=Item name`. That the column holds such things is the user's word.

use super::{Column, KnownBy, Mapping, MappingError, error::list};
use crate::exchange::{fields::bare, headings::tidy};

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

impl Mapping {
    pub(super) fn take_asked(&mut self, asked: &[Asked], settled: &mut [bool]) -> Result<(), MappingError> {
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
            self.remember_column(self.kind.fields[at].name, column.map(|at| self.headings[at].clone()));
        }
        Ok(())
    }

    /// The column of a heading: as it is written, else by its words.
    pub(super) fn named(&self, heading: &str) -> Result<usize, MappingError> {
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
}
