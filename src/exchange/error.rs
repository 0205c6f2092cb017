//! Why a whole file was refused, and how values are shown in messages.
//!
//! Start with [`CsvError`]. Faults of single rows are not here: they are kept with the row.

/// The longest value that a message shows, in characters.
const SHOWN_CHARS: usize = 60;

/// Why a whole file was refused.
#[derive(Debug, thiserror::Error)]
pub enum CsvError {
    /// A workbook instead of an export of it.
    #[error("this is a {0} spreadsheet file, not CSV; open it and export it as CSV")]
    Spreadsheet(&'static str),
    /// A byte order mark of UTF-32.
    #[error("the file is UTF-32, which is not read; save it as CSV UTF-8")]
    Utf32,
    /// UTF-16 with half a character at its end.
    #[error("the file is UTF-16 of `{0}` bytes, an odd number, so its end is missing; save it again as CSV UTF-8")]
    Utf16Length(usize),
    /// UTF-16 with half of a surrogate pair.
    #[error("the file is UTF-16 with broken characters (half of a surrogate pair); save it again as CSV UTF-8")]
    Utf16Surrogate,
    /// Neither UTF-8 nor UTF-16, and not plausibly Windows-1252.
    #[error("the encoding of the file is not recognised; save it as CSV UTF-8")]
    Encoding,
    /// A NUL in the text.
    #[error("the file holds NUL characters, so it is no text; save it as CSV UTF-8")]
    Nul,
    /// A quote that nothing closes, so that the rest of the file can't be told apart from its field.
    #[error(
        "line {line}, column {column}: this quote is never closed; close it, or double it if it belongs to the text"
    )]
    UnclosedQuote {
        /// The line in which it opens, from 1.
        line: u64,
        /// The character in that line at which it opens, from 1.
        column: u64,
    },
    /// A stray quote among the headings.
    #[error("line {line}, column {column}: stray quote in the heading `{heading}`; take it out")]
    HeadingQuote {
        /// Its line, from 1.
        line: u64,
        /// Its character in that line, from 1.
        column: u64,
        /// The heading as it stands in the file.
        heading: String,
    },
    /// Nothing at all, or nothing below the headings.
    #[error("no rows; the first line holds the headings, each line below it one item")]
    NoRows,
    /// The reader of the `csv` crate gave up.
    #[error("the file can't be read as CSV; save it again as CSV UTF-8")]
    Parse(#[from] csv::Error),
}

/// A value fit for a message: on one line, and not longer than a message should be.
pub(super) fn shown(value: &str) -> String {
    let mut chars = value.chars();
    let start: String = chars.by_ref().take(SHOWN_CHARS).collect();
    let more = if chars.next().is_some() { "…" } else { "" };
    one_line(&start) + more
}

/// Control characters as spaces, so that neither a line break nor an escape sequence reaches the terminal.
pub(super) fn one_line(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shown_values_are_short_and_on_one_line() {
        assert_eq!(shown("a\nb\u{1b}[2J"), "a b [2J");
        assert_eq!(shown(&"é".repeat(60)), "é".repeat(60));
        assert_eq!(shown(&"é".repeat(61)), "é".repeat(60) + "…");
    }

    #[test]
    fn the_cause_is_kept() {
        let cause = csv::Error::from(std::io::Error::other("gone"));
        let error = CsvError::from(cause);
        assert!(std::error::Error::source(&error).is_some());
    }
}
