//! A pass over the text that finds where rows begin and end, and which quotes are not as RFC 4180 wants them.
//!
//! Start with [`rows`]. The `csv` crate reads on over such quotes without complaint, so this pass takes the extent of
//! each row just as it does. What the fields say is not looked at.

use std::ops::Range;

use super::CsvError;

/// One row that is not an empty line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    /// Its bytes in the text, without the end of the line.
    pub(super) span: Range<usize>,
    /// The line on which it begins, from 1.
    pub(super) line: u64,
    /// Its first quote out of place.
    pub(super) stray: Option<Stray>,
}

/// A quote inside a field that is not quoted, or one that closes a field too early.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stray {
    /// Its line, from 1.
    pub(super) line: u64,
    /// Its character in that line, from 1.
    pub(super) column: u64,
    /// The field that holds it, from 0.
    pub(super) field: usize,
}

/// All rows of a text whose first line has this number.
pub(super) fn rows(text: &str, delimiter: u8, first_line: u64) -> Result<Vec<Row>, CsvError> {
    let mut pass = Pass::new(text, first_line);
    let mut state = State::Start;
    for (at, byte) in text.bytes().enumerate() {
        let (next, event) = state.step(byte, delimiter);
        pass.count_line(byte, at);
        pass.note(event, at);
        state = next;
    }
    if state == State::Quoted {
        return Err(pass.unclosed());
    }
    pass.end_row(text.len());
    Ok(pass.rows)
}

/// The fields of one row as they stand in the text, quotes and all.
pub(super) fn raw_fields(row: &str, delimiter: u8) -> Vec<&str> {
    let (mut state, mut start, mut fields) = (State::Start, 0, Vec::new());
    for (at, byte) in row.bytes().enumerate() {
        let (next, event) = state.step(byte, delimiter);
        if event == Event::FieldEnd {
            fields.push(&row[start..at]);
            start = at + 1;
        }
        state = next;
    }
    fields.push(&row[start..]);
    fields
}

/// Where in a field the pass is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    Start,
    Plain,
    Quoted,
    /// Behind a quote that closes the field, unless another one follows.
    Closed,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Event {
    None,
    Open,
    StrayHere,
    StrayBefore,
    FieldEnd,
    RowEnd,
}

impl State {
    fn step(self, byte: u8, delimiter: u8) -> (Self, Event) {
        match (self, byte) {
            (Self::Quoted, b'"') => (Self::Closed, Event::None),
            (Self::Quoted, _) | (Self::Closed, b'"') => (Self::Quoted, Event::None),
            (_, b'\r' | b'\n') => (Self::Start, Event::RowEnd),
            _ if byte == delimiter => (Self::Start, Event::FieldEnd),
            (Self::Start, b'"') => (Self::Quoted, Event::Open),
            (Self::Plain, b'"') => (Self::Plain, Event::StrayHere),
            (Self::Closed, _) => (Self::Plain, Event::StrayBefore),
            (Self::Start | Self::Plain, _) => (Self::Plain, Event::None),
        }
    }
}

struct Pass<'a> {
    text: &'a str,
    line: u64,
    line_start: usize,
    field: usize,
    /// Line, start of that line and byte of the last quote that opened a field.
    opened: (u64, usize, usize),
    row: Row,
    rows: Vec<Row>,
}

impl<'a> Pass<'a> {
    fn new(text: &'a str, line: u64) -> Self {
        let row = Row { span: 0..0, line, stray: None };
        Self { text, line, line_start: 0, field: 0, opened: (line, 0, 0), row, rows: Vec::new() }
    }

    /// CRLF, LF and a lone CR end a line, inside of quotes too.
    fn count_line(&mut self, byte: u8, at: usize) {
        let is_crlf = byte == b'\r' && self.text.as_bytes().get(at + 1) == Some(&b'\n');
        if matches!(byte, b'\r' | b'\n') && !is_crlf {
            self.line += 1;
            self.line_start = at + 1;
        }
    }

    fn note(&mut self, event: Event, at: usize) {
        match event {
            Event::None => {}
            Event::Open => self.opened = (self.line, self.line_start, at),
            Event::StrayHere => self.stray(at),
            Event::StrayBefore => self.stray(at - 1),
            Event::FieldEnd => self.field += 1,
            Event::RowEnd => self.end_row(at),
        }
    }

    fn stray(&mut self, at: usize) {
        if self.row.stray.is_none() {
            let column = self.column(self.line_start, at);
            self.row.stray = Some(Stray { line: self.line, column, field: self.field });
        }
    }

    fn end_row(&mut self, at: usize) {
        let next = Row { span: at + 1..at + 1, line: self.line, stray: None };
        let row = std::mem::replace(&mut self.row, next);
        self.field = 0;
        if row.span.start < at {
            self.rows.push(Row { span: row.span.start..at, ..row });
        }
    }

    fn unclosed(&self) -> CsvError {
        let (line, line_start, at) = self.opened;
        CsvError::UnclosedQuote { line, column: self.column(line_start, at) }
    }

    fn column(&self, line_start: usize, at: usize) -> u64 {
        self.text[line_start..at].chars().map(|_| 1).sum::<u64>() + 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &str) -> Vec<u64> {
        rows(text, b',', 1).unwrap().iter().map(|row| row.line).collect()
    }

    fn stray(text: &str) -> Option<(u64, u64, usize)> {
        let found = rows(text, b',', 1).unwrap();
        found.iter().find_map(|row| row.stray).map(|stray| (stray.line, stray.column, stray.field))
    }

    #[test]
    fn lines_are_those_of_a_text_editor() {
        let cases: [(&str, &[u64]); 8] = [
            ("a\nb\nc", &[1, 2, 3]),
            ("a\r\nb\r\nc\r\n", &[1, 2, 3]),
            ("a\rb\rc\r", &[1, 2, 3]),
            ("a\n\n\r\n\rb", &[1, 5]),
            ("a\n\rb", &[1, 3]),
            ("\"x\ny\r\nz\rw\",1\nb", &[1, 5]),
            ("\r\n\r\na", &[3]),
            ("", &[]),
        ];
        for (text, expected) in cases {
            assert_eq!(lines(text), expected, "{text:?}");
        }
        assert_eq!(rows("a\nb", b',', 2).unwrap()[1].line, 3);
    }

    /// RFC 4180 section 2, rules 5 to 7.
    #[test]
    fn quotes_as_the_rfc_wants_them_are_not_stray() {
        for text in
            ["\"aaa\",\"b\r\nbb\",\"c,c\"\r\n", "\"a\"\"b\"", "\"\"", "\"\"\"\"", "\"\",\"\"\n", "a,\"\"\"b\"\"\"\r"]
        {
            assert_eq!(stray(text), None, "{text:?}");
        }
    }

    #[test]
    fn stray_quotes_are_found_with_their_place() {
        let cases = [
            ("12\" pan,3", (1, 3, 0)),
            ("a,b\né\u{301}é,12\" pan", (2, 7, 1)),
            ("\"12\" pan\",3", (1, 4, 0)),
            ("\"12\"\" pan\" ,3", (1, 10, 0)),
            ("a, \"b\"", (1, 4, 1)),
            ("x,\"a\nb\"c", (2, 2, 1)),
            ("\"a\n\"b\"c", (2, 1, 0)),
        ];
        for (text, place) in cases {
            assert_eq!(stray(text), Some(place), "{text:?}");
        }
    }

    #[test]
    fn an_unclosed_quote_is_reported_where_it_opens() {
        let cases = [
            ("a,\"b\n\n\nc", "line 1, column 3"),
            ("\"a\r\nb\",é,\"c\rd", "line 2, column 6"),
            ("\"", "line 1, column 1"),
            ("\"\"\"", "line 1, column 1"),
        ];
        for (text, place) in cases {
            let message = rows(text, b',', 1).unwrap_err().to_string();
            let rest = ": this quote is never closed; close it, or double it if it belongs to the text";
            assert_eq!(message, format!("{place}{rest}"), "{text:?}");
        }
    }

    #[test]
    fn raw_fields_keep_their_quotes() {
        assert_eq!(raw_fields("\"12\" pan\";\"a;b\";;c", b';'), ["\"12\" pan\"", "\"a;b\"", "", "c"]);
        assert_eq!(raw_fields("", b';'), [""]);
    }
}
