//! Rows that are refused and mended, with a list of items as the file.

use super::*;
use crate::{
    exchange::{BUYS, BuyRow, CsvError, read_buys},
    unit::{Currency, Money},
};

fn read(text: &str) -> Rows<BuyRow> {
    read_bytes(text.as_bytes())
}

fn read_bytes(bytes: &[u8]) -> Rows<BuyRow> {
    let file = CsvFile::read(bytes).unwrap();
    let mapping = Mapping::find(&BUYS, file.headings(), &[], None).unwrap();
    read_buys(file, mapping, &Currency::default(), None)
}

fn refused(text: &str) -> Vec<(u64, Option<u64>, String)> {
    let list = read(text);
    assert!(list.good.is_empty(), "{text:?}");
    list.refused.into_iter().map(|row| (row.line, row.column, row.reason)).collect()
}

fn titles(list: &Rows<BuyRow>) -> Vec<(u64, &str)> {
    list.good.iter().map(|row| (row.line, row.value.title.as_ref().unwrap().as_str())).collect()
}

#[test]
fn files_without_rows_are_refused() {
    let message = "no rows; the first line holds the headings, each line below it one item";
    for text in
        ["", "\u{feff}", "title", "title;cost\r\n", "title;cost\n\n;\n ; \n", "\n\n", ";;\n", "sep=;\n", "sep=;\ntitle"]
    {
        let error = CsvFile::read(text.as_bytes()).unwrap_err();
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
        assert_eq!(list.good.len(), 1, "{row:?}");
    }
}

#[test]
fn an_unclosed_quote_refuses_the_file() {
    let error = CsvFile::read(b"sep=;\ntitle;cost\nPan;1\n\"Pot;2\nLid;3\n").unwrap_err();
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
    let second = read_bytes(&first.refused_csv());
    let third = read_bytes(&second.refused_csv());
    assert!(second.good.is_empty());
    let reasons = |list: &Rows<BuyRow>| list.refused.iter().map(|row| row.reason.clone()).collect::<Vec<_>>();
    assert_eq!(reasons(&second)[..3], reasons(&first)[..3]);
    assert_eq!(reasons(&third), reasons(&second));
    assert_eq!(third.refused_csv(), second.refused_csv());
}

#[test]
fn mended_rows_are_read() {
    let csv = String::from_utf8(read(FAULTY).refused_csv()).unwrap();
    let mended = csv.replace("-3", "3").replace("3;50;", "\"3,50\";").replace("Lid;3", "Lid;;3").replace("'=1+1", "1");
    let list = read(&mended);
    assert_eq!(list.refused, []);
    assert_eq!(titles(&list), [(2, "=Pan"), (3, "Pot"), (4, "Lid"), (5, "\"12\" wok\"")]);
    assert_eq!(list.good[1].value.cost, Money::from_minor(350));
}

#[test]
fn a_list_without_refused_rows_writes_headings_alone() {
    assert_eq!(read("title\tx\nPan\t").refused_csv(), "\u{feff}title\tx\trefused because\r\n".as_bytes());
}

#[test]
fn utf16_and_windows_1252_are_read_like_utf8() {
    let utf16: Vec<u8> = "title\r\nCafetière".encode_utf16().flat_map(u16::to_le_bytes).collect();
    for bytes in [utf16.as_slice(), b"title\nCafeti\xe8re", "title\nCafetière".as_bytes()] {
        let list = read_bytes(bytes);
        assert_eq!(titles(&list), [(2, "Cafetière")]);
    }
}
