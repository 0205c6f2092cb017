//! Rows of cells on their way out, as CSV or as JSON.
//!
//! Start with [`RowWriter::begin`], hand in rows, and [`RowWriter::end`] it. What stands in a row is decided by
//! [`Column`]s; that rows have as many cells as there are names is theirs to see to.

use std::io::{self, Write};

use csv::{Terminator, WriterBuilder};
use jiff::civil::Date;
use serde::{Serialize, Serializer};
use serde_json::Value;

use super::guard::guard;
use crate::unit::{Balance, Currency, Money};

/// What parts the fields of a line.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Separator {
    /// As RFC 4180 has it.
    #[default]
    Comma,
    /// As spreadsheets have it where the comma is the decimal sign.
    Semicolon,
    /// For pasting.
    Tab,
}

impl Separator {
    fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
        }
    }
}

/// How rows are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowFormat {
    /// RFC 4180 with a line of headings, in UTF-8.
    Csv {
        /// What parts the fields.
        separator: Separator,
        /// Whether a byte order mark comes first, for spreadsheets that take UTF-8 for something else without one.
        mark: bool,
    },
    /// One document with a list of objects; amounts are strings, dates ISO 8601.
    Json {
        /// The name of the list.
        name: &'static str,
        /// Whether each object begins on a line of its own.
        lines: bool,
    },
    /// Lines to paste: no headings, tabs between cells, nothing quoted or guarded. For words on one line.
    Lines,
}

/// What stands in a row under a heading.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Words.
    Text(Option<String>),
    /// Several texts: parted by `; ` in CSV, a list in JSON.
    Texts(Vec<String>),
    /// An amount.
    Amount(Option<Money>),
    /// A sum of money that may be below zero.
    Balance(Option<Balance>),
    /// A number.
    Number(Option<i64>),
    /// A number in tenths.
    Tenths(Option<i64>),
    /// A number with decimals.
    Decimal(Option<f64>),
    /// A day.
    Day(Option<Date>),
}

impl Cell {
    /// What has words, from what shows as some.
    pub(super) fn text(value: Option<&(impl ToString + ?Sized)>) -> Self {
        Self::Text(value.map(ToString::to_string))
    }

    /// As a field of CSV: words are guarded, numbers and amounts need no guard.
    fn field(&self, currency: &Currency) -> String {
        let plain = self.plain(currency);
        if matches!(self, Self::Text(_) | Self::Texts(_)) { guard(&plain).into_owned() } else { plain }
    }

    fn plain(&self, currency: &Currency) -> String {
        match self {
            Self::Text(text) => text.clone().unwrap_or_default(),
            Self::Texts(texts) => texts.join("; "),
            Self::Amount(money) => money.map(|money| currency.format(money)).unwrap_or_default(),
            Self::Balance(sum) => sum.map(|sum| currency.format_balance(sum)).unwrap_or_default(),
            Self::Number(number) => number.map(|number| number.to_string()).unwrap_or_default(),
            Self::Tenths(tenths) => tenths.map(tenths_text).unwrap_or_default(),
            Self::Decimal(number) => number.map(|number| number.to_string()).unwrap_or_default(),
            Self::Day(day) => day.map(|day| day.to_string()).unwrap_or_default(),
        }
    }

    fn json(&self, currency: &Currency) -> Value {
        match self {
            Self::Text(text) => Value::from(text.clone()),
            Self::Texts(texts) => Value::from(texts.clone()),
            Self::Amount(money) => Value::from(money.map(|money| currency.format(money))),
            Self::Balance(sum) => Value::from(sum.map(|sum| currency.format_balance(sum))),
            Self::Number(number) => Value::from(*number),
            Self::Tenths(tenths) => Value::from(tenths.and_then(|tenths| tenths_text(tenths).parse::<f64>().ok())),
            Self::Decimal(number) => Value::from(*number),
            Self::Day(day) => Value::from(day.map(|day| day.to_string())),
        }
    }
}

/// `12.5`, `-0.3`
#[must_use]
pub fn tenths_text(tenths: i64) -> String {
    let sign = if tenths < 0 { "-" } else { "" };
    format!("{sign}{}.{}", tenths.unsigned_abs() / 10, tenths.unsigned_abs() % 10)
}

/// A heading, and how its cell follows from a record.
#[derive(Debug)]
pub struct Column<R> {
    /// The heading; in JSON with `_` for its spaces.
    pub name: &'static str,
    /// What stands below it.
    pub cell: fn(&R) -> Cell,
}

/// A record as a JSON object of its columns, in their order.
pub struct RowJson<'a, R: 'static> {
    columns: &'a [&'static Column<R>],
    record: &'a R,
    currency: &'a Currency,
}

impl<'a, R> RowJson<'a, R> {
    /// A record with its amounts in the register's currency.
    #[must_use]
    pub fn new(columns: &'a [&'static Column<R>], record: &'a R, currency: &'a Currency) -> Self {
        Self { columns, record, currency }
    }
}

impl<R> Serialize for RowJson<'_, R> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let cell = |column: &Column<R>| (column.cell)(self.record).json(self.currency);
        serializer.collect_map(self.columns.iter().map(|column| (column.name.replace(' ', "_"), cell(column))))
    }
}

/// Writes rows. Nothing is gathered; what is written wants a buffer.
pub struct RowWriter<'w, R: 'static> {
    columns: Vec<&'static Column<R>>,
    currency: Currency,
    form: Form<'w>,
}

enum Form<'w> {
    Csv(Box<csv::Writer<&'w mut dyn Write>>),
    Json { out: &'w mut dyn Write, line: &'static str, rows: usize },
    Lines(&'w mut dyn Write),
}

impl<'w, R> RowWriter<'w, R> {
    /// Writes what comes before the rows.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn begin(
        out: &'w mut dyn Write,
        format: RowFormat,
        columns: Vec<&'static Column<R>>,
        currency: Currency,
    ) -> io::Result<Self> {
        let form = match format {
            RowFormat::Csv { separator, mark } => {
                out.write_all(if mark { "\u{feff}" } else { "" }.as_bytes())?;
                let mut writer =
                    WriterBuilder::new().delimiter(separator.byte()).terminator(Terminator::CRLF).from_writer(out);
                writer.write_record(columns.iter().map(|column| column.name))?;
                Form::Csv(Box::new(writer))
            }
            RowFormat::Json { name, lines } => {
                write!(out, "{{{}:[", Value::from(name))?;
                Form::Json { out, line: if lines { "\n" } else { "" }, rows: 0 }
            }
            RowFormat::Lines => Form::Lines(out),
        };
        Ok(Self { columns, currency, form })
    }

    /// Writes a row.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn row(&mut self, record: &R) -> io::Result<()> {
        let cells = self.columns.iter().map(|column| (column.name, (column.cell)(record)));
        match &mut self.form {
            Form::Csv(writer) => Ok(writer.write_record(cells.map(|(_, cell)| cell.field(&self.currency)))?),
            Form::Lines(out) => {
                let fields: Vec<String> = cells.map(|(_, cell)| cell.plain(&self.currency)).collect();
                writeln!(out, "{}", fields.join("\t"))
            }
            Form::Json { out, line, rows } => {
                write!(out, "{}{line}", if *rows == 0 { "" } else { "," })?;
                *rows += 1;
                Ok(serde_json::to_writer(out, &RowJson::new(&self.columns, record, &self.currency))?)
            }
        }
    }

    /// Writes what comes after the rows.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn end(self) -> io::Result<()> {
        match self.form {
            Form::Csv(mut writer) => writer.flush(),
            Form::Json { out, line, rows } => writeln!(out, "{}]}}", if rows == 0 { "" } else { line }),
            Form::Lines(_) => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Pair(&'static str, i64);

    static COLUMNS: [Column<Pair>; 3] = [
        Column { name: "title", cell: |pair| Cell::text(Some(pair.0)) },
        Column { name: "for it", cell: |pair| Cell::Amount(Money::from_minor(pair.1)) },
        Column { name: "olds", cell: |pair| Cell::Texts(pair.0.split(' ').map(str::to_owned).collect()) },
    ];

    fn written(format: RowFormat, rows: &[Pair]) -> String {
        let mut out = Vec::new();
        let mut writer = RowWriter::begin(&mut out, format, COLUMNS.iter().collect(), Currency::default()).unwrap();
        for row in rows {
            writer.row(row).unwrap();
        }
        writer.end().unwrap();
        String::from_utf8(out).unwrap()
    }

    /// RFC 4180, section 2; OWASP, "CSV Injection" (CWE-1236) for the guard.
    #[test]
    fn csv_is_quoted_and_guarded() {
        let rows = [Pair("Game, \"geese\"", 123_450), Pair("=1+1", -1), Pair("-", 5)];
        let csv = RowFormat::Csv { separator: Separator::Comma, mark: false };
        let expected = "title,for it,olds\r\n\"Game, \"\"geese\"\"\",1234.50,\"Game,; \"\"geese\"\"\"\r\n\
                        '=1+1,,'=1+1\r\n'-,0.05,'-\r\n";
        assert_eq!(written(csv, &rows), expected);
        let csv = RowFormat::Csv { separator: Separator::Semicolon, mark: true };
        assert_eq!(written(csv, &[Pair("a, b", 1)]), "\u{feff}title;for it;olds\r\na, b;0.01;\"a,; b\"\r\n");
    }

    #[test]
    fn json_is_one_document() {
        let rows = [Pair("Game \"x\"", 350), Pair("=1", -1)];
        let document: Value =
            serde_json::from_str(&written(RowFormat::Json { name: "pairs", lines: true }, &rows)).unwrap();
        let expected = serde_json::json!({"pairs": [
            {"title": "Game \"x\"", "for_it": "3.50", "olds": ["Game", "\"x\""]},
            {"title": "=1", "for_it": null, "olds": ["=1"]},
        ]});
        assert_eq!(document, expected);
        assert_eq!(written(RowFormat::Json { name: "pairs", lines: true }, &[]), "{\"pairs\":[]}\n");
        let line = "{\"pairs\":[{\"title\":\"a\",\"for_it\":\"0.01\",\"olds\":[\"a\"]}]}\n";
        assert_eq!(written(RowFormat::Json { name: "pairs", lines: false }, &[Pair("a", 1)]), line);
    }
}
