//! A file as headings and rows of fields.
//!
//! Start with [`CsvFile::read`]. What the columns mean is told by a `Mapping`; blank rows are left out.

use csv::{ReaderBuilder, StringRecord};

use super::{
    CsvError,
    decode::decode,
    delimiter::Delimited,
    error::shown,
    headings::Headings,
    quotes::{self, Row, Stray},
};

/// The fields of one row and where they come from.
#[derive(Debug)]
pub(super) struct Line {
    /// The line on which the row begins, from 1.
    pub(super) number: u64,
    /// Its first quote out of place.
    pub(super) stray: Option<Stray>,
    /// The field with that quote, from 0, and what is wrong with it.
    pub(super) fault: Option<(usize, String)>,
    /// Without their quotes, except for fields whose quotes are out of place.
    pub(super) fields: Vec<String>,
}

/// A CSV file with a line of headings.
#[derive(Debug)]
pub struct CsvFile {
    pub(super) headings: Headings,
    pub(super) lines: Vec<Line>,
}

impl CsvFile {
    /// Reads CSV with a line of headings, in UTF-8, UTF-16 or Windows-1252, parted by comma, semicolon or tab.
    ///
    /// # Errors
    /// [`CsvError`] when the file as a whole can't be read: it is no text, lacks rows, or has a quote that is never
    /// closed.
    pub fn read(bytes: &[u8]) -> Result<Self, CsvError> {
        let file = read(&decode(bytes)?)?;
        if file.lines.is_empty() { Err(CsvError::NoRows) } else { Ok(file) }
    }

    /// The headings, from left to right.
    #[must_use]
    pub fn headings(&self) -> &[String] {
        &self.headings.names
    }

    /// How many rows there are.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.lines.len()
    }

    /// What parts the fields.
    #[must_use]
    pub fn delimiter(&self) -> char {
        char::from(self.headings.delimiter)
    }

    /// The cells of a column, each with the line on which its row begins.
    pub fn column(&self, at: usize) -> impl Iterator<Item = (u64, &str)> {
        self.lines.iter().filter_map(move |line| line.fields.get(at).map(|field| (line.number, field.as_str())))
    }
}

impl Line {
    fn new(text: &str, delimiter: u8, row: &Row, record: &StringRecord) -> Self {
        let fields = match row.stray {
            None => record.iter().map(str::to_owned).collect(),
            Some(_) => faithful(&quotes::raw_fields(&text[row.span.clone()], delimiter), record),
        };
        Self { number: row.line, stray: row.stray, fault: None, fields }
    }

    /// Without what does not belong to the row; a quote out of place is noted before its field may go.
    fn tidied(mut self, headings: &Headings) -> Self {
        self.fault = self.stray_fault();
        self.fields = headings.own_fields(self.fields);
        self
    }

    fn stray_fault(&self) -> Option<(usize, String)> {
        let Stray { line, field, .. } = self.stray?;
        let value = self.fields.get(field).map_or_else(String::new, |value| shown(value));
        let begins = if line == self.number { "" } else { &format!(" (the row begins on line {})", self.number) };
        let advice = "put the field in quotes and double the quote inside";
        Some((field, format!("`{value}` has a stray quote{begins}; {advice}")))
    }

    fn is_blank(&self) -> bool {
        self.stray.is_none() && self.fields.iter().all(|field| field.trim().is_empty())
    }
}

/// The `csv` crate drops or keeps quotes that are out of place; the owner should find them all again.
fn faithful(raw: &[&str], record: &StringRecord) -> Vec<String> {
    let is_quoted = |raw: &str, field: &str| raw == format!("\"{}\"", field.replace('"', "\"\""));
    let pairs = raw.iter().zip(record);
    pairs.map(|(raw, field)| if is_quoted(raw, field) { field } else { raw }.to_owned()).collect()
}

fn read(text: &str) -> Result<CsvFile, CsvError> {
    let source = Delimited::find(text);
    let lines = read_lines(&source)?;
    let mut lines = lines.into_iter().filter(|line| !line.is_blank());
    let first = lines.next().ok_or(CsvError::NoRows)?;
    if let Some(stray) = first.stray {
        return Err(heading_quote(&first, stray));
    }
    let headings = Headings::new(&first.fields, source.delimiter);
    let lines = lines.map(|line| line.tidied(&headings)).collect();
    Ok(CsvFile { headings, lines })
}

fn heading_quote(headings: &Line, stray: Stray) -> CsvError {
    let heading = headings.fields.get(stray.field).map_or_else(String::new, |heading| shown(heading));
    CsvError::HeadingQuote { line: stray.line, column: stray.column, heading }
}

fn read_lines(source: &Delimited) -> Result<Vec<Line>, CsvError> {
    let Delimited { text, delimiter, first_line } = *source;
    let rows = quotes::rows(text, delimiter, first_line)?;
    let mut reader =
        ReaderBuilder::new().has_headers(false).flexible(true).delimiter(delimiter).from_reader(text.as_bytes());
    let (mut record, mut lines) = (StringRecord::new(), Vec::with_capacity(rows.len()));
    // One record is filled again and again: each clone of it would be as wide as the widest row.
    for row in &rows {
        reader.read_record(&mut record)?;
        lines.push(Line::new(text, delimiter, row, &record));
    }
    Ok(lines)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fields(text: &str) -> Vec<Vec<String>> {
        read_lines(&Delimited::find(text)).unwrap().into_iter().map(|line| line.fields).collect()
    }

    /// The numbered rules of RFC 4180 section 2; rule 3 (headings) shows in every test of `buys`.
    #[test]
    fn the_rules_of_rfc_4180_hold() {
        let cases: [(&str, &str, &[&[&str]]); 7] = [
            ("1: lines end with CRLF", "aaa,bbb\r\nzzz,yyy\r\n", &[&["aaa", "bbb"], &["zzz", "yyy"]]),
            ("2: but perhaps not the last", "aaa,bbb\r\nzzz,yyy", &[&["aaa", "bbb"], &["zzz", "yyy"]]),
            ("4: spaces belong to the field", "aaa, bbb ,ccc", &[&["aaa", " bbb ", "ccc"]]),
            ("4: a comma ends no row", "aaa,bbb,", &[&["aaa", "bbb", ""]]),
            ("5: some fields are quoted", "\"aaa\",bbb,\"\"\r\n", &[&["aaa", "bbb", ""]]),
            ("6: breaks and commas in quotes", "\"aaa\",\"b\r\nb,b\",ccc\r\nz", &[&["aaa", "b\r\nb,b", "ccc"], &["z"]]),
            ("7: a doubled quote", "\"aaa\",\"b\"\"bb\",\"ccc\"", &[&["aaa", "b\"bb", "ccc"]]),
        ];
        for (rule, text, expected) in cases {
            assert_eq!(fields(text), expected, "{rule}");
        }
    }

    /// Compares where rows begin and how many fields they have, over all texts of the characters that matter.
    #[test]
    fn the_pass_and_the_csv_crate_never_get_out_of_step() {
        let mut texts = vec![String::new()];
        for _ in 0..6 {
            let longer = texts.iter().flat_map(|text| ["a", "\"", ",", "\r", "\n"].map(|c| format!("{text}{c}")));
            texts = longer.collect();
            for text in &texts {
                assert_in_step(text);
            }
        }
    }

    fn assert_in_step(text: &str) {
        let Ok(rows) = quotes::rows(text, b',', 1) else { return };
        let mut reader = ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
        let records: Vec<StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), records.len(), "{text:?}");
        let mut end = 0;
        for (row, record) in rows.iter().zip(&records) {
            // The crate notes where it begins to look for a row: behind the last one, before empty lines.
            let seen = usize::try_from(record.position().unwrap().byte()).unwrap();
            assert!((end..=row.span.start).contains(&seen), "{text:?} {row:?} {seen}");
            assert_eq!(quotes::raw_fields(&text[row.span.clone()], b',').len(), record.len(), "{text:?}");
            end = row.span.end + 1;
        }
    }

    #[test]
    fn fields_with_stray_quotes_keep_all_they_had() {
        assert_eq!(fields("\"12\" pan\",\"a,b\",x\"y"), [["\"12\" pan\"", "a,b", "x\"y"]]);
    }

    #[test]
    fn a_stray_quote_in_the_headings_refuses_the_file() {
        let message = read("title,12\" pan\nPan,1").unwrap_err().to_string();
        assert_eq!(message, "line 1, column 9: stray quote in the heading `12\" pan`; take it out");
    }
}
