//! Why the columns of a file can't be told.
//!
//! Start with [`MappingError`]. Headings come from files, so they are shown without their control characters.

use crate::exchange::error::shown;

/// How many headings a message lists.
const LISTED: usize = 12;

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

/// The headings of a file, the first of them where they are many.
pub(super) fn list(headings: &[String]) -> String {
    let quoted: Vec<String> = headings.iter().take(LISTED).map(|heading| format!("`{}`", shown(heading))).collect();
    let more = if headings.len() > LISTED { " and more" } else { "" };
    quoted.join(", ") + more
}
