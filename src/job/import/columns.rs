//! The columns of a file and what they would be, so that a user can say otherwise before anything is read.

use super::{ImportError, ImportOptions};
use crate::{
    exchange::{Asked, BUYS, CsvFile, Field, Mapping, MappingError, mapping_key},
    register::Register,
};

/// A column of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileColumn {
    /// Its heading.
    pub heading: String,
    /// The first thing that stands under it.
    pub sample: String,
    /// The field that it would be.
    pub field: Option<&'static Field>,
}

/// The columns of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileColumns {
    /// How many rows there are.
    pub rows: usize,
    /// What parts the fields.
    pub delimiter: char,
    /// From left to right.
    pub columns: Vec<FileColumn>,
    /// What can't be told of them.
    pub fault: Option<MappingError>,
}

/// What the columns of a file would be, as far as its headings and what is remembered of them tell.
///
/// # Errors
/// [`ImportError::File`]; [`ImportError::Register`].
pub fn columns_of(register: &Register, bytes: &[u8], options: &ImportOptions) -> Result<FileColumns, ImportError> {
    let path = options.file.as_path();
    let file = CsvFile::read(bytes).map_err(|source| ImportError::File { path: path.to_owned(), source })?;
    let known = register.mapping(&mapping_key(&BUYS, file.headings()))?;
    let (mapping, fault) = Mapping::guess(&BUYS, file.headings(), &options.columns, known.as_deref());
    let column = |(at, heading): (usize, &String)| FileColumn {
        heading: heading.clone(),
        sample: file.column(at).map(|(_, cell)| cell.trim()).find(|cell| !cell.is_empty()).unwrap_or_default().into(),
        field: BUYS.fields.iter().find(|field| mapping.column(field.name) == Some(at)),
    };
    let columns = file.headings().iter().enumerate().map(column).collect();
    Ok(FileColumns { rows: file.rows(), delimiter: file.delimiter(), columns, fault })
}

impl FileColumns {
    /// What the user says of them, given the name of a field for each, or nothing for one that is not read; only what
    /// differs from what they would be is said.
    #[must_use]
    pub fn asked(&self, chosen: &[&str]) -> Vec<Asked> {
        let mut asked = Vec::new();
        for (column, chosen_field) in self.columns.iter().zip(chosen) {
            let before = column.field.map_or("", |field| field.name);
            if before == *chosen_field || column.heading.is_empty() {
                continue;
            }
            if !chosen_field.is_empty() {
                asked.push(Asked { field: (*chosen_field).into(), heading: column.heading.clone() });
            }
            if !before.is_empty() && !chosen.contains(&before) {
                asked.push(Asked { field: before.into(), heading: String::new() });
            }
        }
        asked
    }
}
