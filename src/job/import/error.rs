//! Why nothing came in, and what the user should know of what does.

use std::{
    io,
    path::{Path, PathBuf},
};

use jiff::civil::Date;

use super::LotError;
use crate::{
    exchange::{CsvError, DateOrder, DateOrderError, Mapping, MappingError, OrderProof, RefusedRow},
    output::FileError,
    register::{RegisterError, Status},
};

/// Why nothing came in.
#[derive(Debug, thiserror::Error)]
pub enum ImportError {
    /// The file can't be read.
    #[error("`{path}` can't be read; check the name and that it is closed in other programs")]
    Read {
        /// Which.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The file as a whole makes no sense.
    #[error("`{path}`: {source}")]
    File {
        /// Which.
        path: PathBuf,
        /// What is wrong.
        source: CsvError,
    },
    /// It can't be told what its columns are.
    #[error("`{path}`: {source}")]
    Columns {
        /// Which.
        path: PathBuf,
        /// Why.
        source: MappingError,
    },
    /// It can't be told which dates are meant.
    #[error("`{path}`: {source}")]
    Dates {
        /// Which.
        path: PathBuf,
        /// Why.
        source: DateOrderError,
    },
    /// Rows are wrong, and all or nothing was asked for.
    #[error("{}", refused_text(path, *good, refused))]
    Rows {
        /// The file.
        path: PathBuf,
        /// How many rows are in order.
        good: usize,
        /// The rows.
        refused: Vec<RefusedRow>,
    },
    /// Rows are wrong of a file whose items were only to be given a place.
    #[error("{}", unplaced_text(path, refused))]
    Unplaced {
        /// The file.
        path: PathBuf,
        /// The rows.
        refused: Vec<RefusedRow>,
    },
    /// A price can't be shared.
    #[error(transparent)]
    Lot(#[from] LotError),
    /// Not what was shown would be entered now.
    #[error("something changed since this was shown, so nothing was entered; look at it as it is now, then enter it")]
    NotAsShown,
    /// The file for the refused rows can't be written.
    #[error(transparent)]
    Refused(#[from] FileError),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

fn refused_text(path: &Path, good: usize, refused: &[RefusedRow]) -> String {
    let (count, rows) = rows_text(path, refused);
    let others = if good == 0 {
        "mend the file and import it again"
    } else {
        "mend the file, or take the other rows with --skip-bad"
    };
    format!("nothing was imported, {count} wrong; {others}{rows}")
}

fn unplaced_text(path: &Path, refused: &[RefusedRow]) -> String {
    let (count, rows) = rows_text(path, refused);
    format!("no place was looked for, {count} wrong; mend the file and ask again{rows}")
}

/// How many are, and each of them on a line.
fn rows_text(path: &Path, refused: &[RefusedRow]) -> (String, String) {
    let count = if refused.len() == 1 { "1 row is".to_owned() } else { format!("{} rows are", refused.len()) };
    (count, refused.iter().map(|row| format!("\n  {}", row_text(path, row))).collect())
}

/// A refused row as `FILE:LINE:COLUMN: reason`.
#[must_use]
pub fn row_text(path: &Path, row: &RefusedRow) -> String {
    let column = row.column.map(|column| format!(":{column}")).unwrap_or_default();
    format!("{}:{}{column}: {}", path.display(), row.line, row.reason)
}

/// What the user should know of how a file was read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ImportNote {
    /// Columns are read as the user said earlier.
    #[error("as you said earlier for these headings: {}; --map says otherwise", .0.join(", "))]
    Remembered(Vec<String>),
    /// Dates are read as the user said earlier.
    #[error("dates are read with {}, as you said earlier for these headings; --dates says otherwise", .0.words())]
    DatesRemembered(DateOrder),
    /// Dates are read as others of the file tell.
    #[error(
        "dates are read with {}, as `{}` on line {} can be nothing else; --dates says otherwise",
        .0.order.words(), .0.text, .0.line
    )]
    DatesTold(OrderProof),
    /// Sales without a day.
    #[error("rows without a date, the first on line {line}, count as sold today, {day}")]
    Undated {
        /// The first of them, from 1.
        line: u64,
        /// The present day.
        day: Date,
    },
    /// The bin of an item that is not on its shelf for sale any more.
    #[error("line {line}: {item} is {}, so the bin of this row was left alone", status.word())]
    BinLeft {
        /// The line of the file, from 1.
        line: u64,
        /// What it is called by.
        item: String,
        /// What has become of it.
        status: Status,
    },
}

impl ImportNote {
    pub(in crate::job) fn of_memory(mapping: &Mapping) -> Vec<Self> {
        let said = mapping.remembered_fields().map(|(field, heading)| format!("`{heading}` is {}", field.meaning));
        let said: Vec<String> = said.collect();
        if said.is_empty() { Vec::new() } else { vec![Self::Remembered(said)] }
    }
}
