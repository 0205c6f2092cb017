//! A list of things bought, exported by a spreadsheet, as checked rows.
//!
//! Start with [`read_buys`]: rows that are in order are in [`BuyList::rows`], the others in [`BuyList::refused`].
//! Whether an item is listed twice, or already in the register, is not checked.

use jiff::civil::Date;

use super::{
    CsvError,
    cells::Cells,
    decode::decode,
    headings::Layout,
    refused,
    table::{self, Line},
};
use crate::{
    register::Title,
    unit::{Currency, Money},
};

/// One thing bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BuyRow {
    /// The line of the file on which the row begins, from 1.
    pub line: u64,
    /// What it is.
    pub title: Title,
    /// When it was bought, if that is given.
    pub bought: Option<Date>,
    /// What was paid, if that is given.
    pub cost: Option<Money>,
    /// What is asked for it, if that is given.
    pub asking: Option<Money>,
}

/// A row that was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RefusedRow {
    /// The line of the file on which the row begins, from 1; that of the quote where `column` is given.
    pub line: u64,
    /// The character in that line at which a stray quote stands, from 1.
    pub column: Option<u64>,
    /// All its faults, each with its heading and value, parted by `; `.
    pub reason: String,
}

/// The rows of a buy list, in the order of the file.
#[derive(Debug, Clone)]
pub struct BuyList {
    /// Rows that are in order.
    pub rows: Vec<BuyRow>,
    /// Rows that are not.
    pub refused: Vec<RefusedRow>,
    layout: Layout,
    /// The fields of each row in `refused`.
    refused_fields: Vec<Vec<String>>,
}

/// Reads a buy list: CSV with a line of headings, in UTF-8, UTF-16 or Windows-1252, parted by comma, semicolon or
/// tab. Amounts are in the given currency.
///
/// # Errors
/// [`CsvError`] when the file as a whole can't be read: it is no text, lacks a title column or rows, or has a quote
/// that is never closed. Faults of single rows are no error; they are in [`BuyList::refused`].
pub fn read_buys(bytes: &[u8], currency: &Currency) -> Result<BuyList, CsvError> {
    let text = decode(bytes)?;
    let (layout, lines) = table::read(&text)?;
    if lines.is_empty() {
        return Err(CsvError::NoRows);
    }
    let mut list = BuyList { rows: Vec::new(), refused: Vec::new(), layout, refused_fields: Vec::new() };
    for line in lines {
        list.take(line, currency);
    }
    Ok(list)
}

impl BuyList {
    /// The refused rows as a file to mend and to read again: the headings and the delimiter of the file, a last
    /// column `refused because`, UTF-8 with a byte order mark, CRLF.
    ///
    /// Fields that a spreadsheet would take for formulas are guarded. A row with too few or too many fields has its
    /// reason right behind its last field, and is refused again until it is mended.
    #[must_use]
    pub fn refused_csv(&self) -> Vec<u8> {
        let rows = self.refused_fields.iter().zip(&self.refused);
        refused::to_csv(&self.layout, rows.map(|(fields, row)| (fields.as_slice(), row.reason.as_str())))
    }

    /// The headings of columns that were not read.
    #[must_use]
    pub fn unread(&self) -> Vec<String> {
        self.layout.unread().into_iter().map(str::to_owned).collect()
    }

    fn take(&mut self, line: Line, currency: &Currency) {
        let (number, stray, stray_fault) = (line.number, line.stray, line.stray_fault());
        let fields = self.layout.own_fields(line.fields);
        let mut cells = Cells::new(&self.layout, &fields);
        if let Some((field, fault)) = stray_fault {
            cells.note(field, &fault);
        }
        match cells.check(number, currency) {
            Ok(row) => self.rows.push(row),
            Err(reason) => {
                let (line, column) = stray.map_or((number, None), |stray| (stray.line, Some(stray.column)));
                self.refused.push(RefusedRow { line, column, reason });
                self.refused_fields.push(fields);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    fn read(text: &str) -> BuyList {
        read_buys(text.as_bytes(), &Currency::default()).unwrap()
    }

    fn refused(text: &str) -> Vec<(u64, Option<u64>, String)> {
        let list = read(text);
        assert!(list.rows.is_empty(), "{text:?}");
        list.refused.into_iter().map(|row| (row.line, row.column, row.reason)).collect()
    }

    fn titles(list: &BuyList) -> Vec<(u64, &str)> {
        list.rows.iter().map(|row| (row.line, row.title.as_str())).collect()
    }

    #[test]
    fn a_row_is_read_under_its_headings() {
        let list =
            read("note;Price;Item;Date;Paid\r\nchipped;\"1.234,50\"; Copper  pan ;21.11.2026;3,50 €\r\n;;Pot;;\r\n");
        let money = Money::from_minor;
        let pan = BuyRow {
            line: 2,
            title: Title::new("Copper pan").unwrap(),
            bought: Some(date(2026, 11, 21)),
            cost: money(350),
            asking: money(123_450),
        };
        let pot = BuyRow { line: 3, title: Title::new("Pot").unwrap(), bought: None, cost: None, asking: None };
        assert_eq!((list.rows, list.refused), (vec![pan, pot], vec![]));
    }

    #[test]
    fn files_without_rows_are_refused() {
        let message = "no rows; the first line holds the headings, each line below it one item";
        for text in [
            "",
            "\u{feff}",
            "title",
            "title;cost\r\n",
            "title;cost\n\n;\n ; \n",
            "\n\n",
            ";;\n",
            "sep=;\n",
            "sep=;\ntitle",
        ] {
            let error = read_buys(text.as_bytes(), &Currency::default()).unwrap_err();
            assert_eq!(error.to_string(), message, "{text:?}");
        }
    }

    #[test]
    fn a_file_of_titles_alone_is_fine() {
        assert_eq!(titles(&read("title\nLid\n\nLadle")), [(2, "Lid"), (4, "Ladle")]);
    }

    #[test]
    fn blank_rows_are_skipped_and_counted() {
        let list = read("sep=;\r\n;;\r\ntitle;note\r\n;\r\n\"Game\r\nof geese\";\r\n ; ;;\r\n\"\";\r\nPan;;;\r\n");
        assert_eq!(titles(&list), [(5, "Game of geese"), (9, "Pan")]);
        assert!(list.refused.is_empty());
    }

    #[test]
    fn all_faults_of_a_row_are_one_reason() {
        let cases = [
            (
                "Pan,,\"1,234\"",
                "cost: `1,234` could be thousands or decimals; write it without thousands separator, or with fewer decimals",
            ),
            (" ,,-3", "Title: the title or name is empty; cost: `-3` is negative; amounts are zero or more"),
            (
                "Pan,3/4/2026,x\u{7}",
                "Date bought: `3/4/2026` could be 3 April or 4 March; write 2026-04-03 or 2026-03-04; \
                 cost: `x ` is no amount; write it as 3.50",
            ),
            ("Pan", "has 1 field, the headings have 3"),
            ("Pan,", "has 2 fields, the headings have 3"),
            ("Pan,,3,50", "has 4 fields, the headings have 3: put a field that holds `,` in quotes"),
        ];
        for (row, reason) in cases {
            let found = refused(&format!("Title,Date bought,cost\n{row}\n"));
            assert_eq!(found, [(2, None, reason.to_owned())], "{row}");
        }
    }

    #[test]
    fn rows_with_stray_quotes_are_refused_and_the_next_one_is_read() {
        let advice = "put the field in quotes and double the quote inside";
        let cases = [
            ("12\" pan;3", 2, 3, format!("title: `12\" pan` has a stray quote; {advice}")),
            ("\"12\" pan\";3", 2, 4, format!("title: `\"12\" pan\"` has a stray quote; {advice}")),
            (
                "12\" pan;x",
                2,
                3,
                format!("title: `12\" pan` has a stray quote; {advice}; cost: `x` is no amount; write it as 3.50"),
            ),
            ("\"a\n\"b;3", 3, 1, format!("title: `\"a \"b` has a stray quote (the row begins on line 2); {advice}")),
            (
                "a;3;\"b\"c",
                2,
                7,
                format!(
                    "field 3: `\"b\"c` has a stray quote; {advice}; \
                     has 3 fields, the headings have 2: put a field that holds `;` in quotes"
                ),
            ),
        ];
        for (row, line, column, reason) in cases {
            let list = read(&format!("title;cost\n{row}\nPot;1\n"));
            assert_eq!(list.refused, [RefusedRow { line, column: Some(column), reason }], "{row:?}");
            assert_eq!(list.rows.len(), 1, "{row:?}");
        }
    }

    #[test]
    fn an_unclosed_quote_refuses_the_file() {
        let error = read_buys(b"sep=;\ntitle;cost\nPan;1\n\"Pot;2\nLid;3\n", &Currency::default()).unwrap_err();
        assert!(matches!(error, CsvError::UnclosedQuote { line: 4, column: 1 }), "{error}");
    }

    /// OWASP, "CSV Injection"; CWE-1236.
    #[test]
    fn guarded_titles_are_read_without_their_guard() {
        let list = read("title\n'=stitch chart\n''-\n'70s fondue set\n=x");
        assert_eq!(titles(&list), [(2, "=stitch chart"), (3, "'-"), (4, "'70s fondue set"), (5, "=x")]);
    }

    const FAULTY: &str = "Item;note;cost\r\n=Pan;\"a;b\";-3\r\nPot;1,5;3;50\r\nLid;3\r\n\"12\" wok\";;=1+1\r\nok;;\r\n";

    #[test]
    fn refused_rows_are_written_under_their_headings() {
        let csv = String::from_utf8(read(FAULTY).refused_csv()).unwrap();
        let expected = "\u{feff}Item;note;cost;refused because\r\n\
            '=Pan;\"a;b\";-3;\"cost: `-3` is negative; amounts are zero or more\"\r\n\
            Pot;\"1,5\";3;50;\"has 4 fields, the headings have 3: put a field that holds `;` in quotes\"\r\n\
            Lid;3;\"has 2 fields, the headings have 3\"\r\n\
            \"\"\"12\"\" wok\"\"\";;'=1+1;\"Item: `\"\"12\"\" wok\"\"` has a stray quote; \
            put the field in quotes and double the quote inside; \
            cost: `=1+1` is no amount; write it as 3.50\"\r\n";
        assert_eq!(csv, expected);
    }

    #[test]
    fn refused_rows_are_refused_again_until_mended() {
        let first = read(FAULTY);
        let second = read_buys(&first.refused_csv(), &Currency::default()).unwrap();
        let third = read_buys(&second.refused_csv(), &Currency::default()).unwrap();
        assert!(second.rows.is_empty());
        let reasons = |list: &BuyList| list.refused.iter().map(|row| row.reason.clone()).collect::<Vec<_>>();
        assert_eq!(reasons(&second)[..3], reasons(&first)[..3]);
        assert_eq!(reasons(&third), reasons(&second));
        assert_eq!(third.refused_csv(), second.refused_csv());
    }

    #[test]
    fn mended_rows_are_read() {
        let csv = String::from_utf8(read(FAULTY).refused_csv()).unwrap();
        let mended =
            csv.replace("-3", "3").replace("3;50;", "\"3,50\";").replace("Lid;3", "Lid;;3").replace("'=1+1", "1");
        let list = read(&mended);
        assert_eq!(list.refused, []);
        assert_eq!(titles(&list), [(2, "=Pan"), (3, "Pot"), (4, "Lid"), (5, "\"12\" wok\"")]);
        assert_eq!(list.rows[1].cost, Money::from_minor(350));
    }

    #[test]
    fn a_list_without_refused_rows_writes_headings_alone() {
        assert_eq!(read("title\tx\nPan\t").refused_csv(), "\u{feff}title\tx\trefused because\r\n".as_bytes());
    }

    #[test]
    fn utf16_and_windows_1252_are_read_like_utf8() {
        let utf16: Vec<u8> = "title\r\nCafetière".encode_utf16().flat_map(u16::to_le_bytes).collect();
        for bytes in [utf16.as_slice(), b"title\nCafeti\xe8re", "title\nCafetière".as_bytes()] {
            let list = read_buys(bytes, &Currency::default()).unwrap();
            assert_eq!(titles(&list), [(2, "Cafetière")]);
        }
    }
}
