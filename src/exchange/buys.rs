//! A list of items from a spreadsheet, as checked rows: things bought, stock with labels from before, or what this
//! program exported.
//!
//! Start with [`read_buys`]. Whether an item is listed twice, and what only the register knows of codes and bins, is
//! not checked.

use jiff::civil::Date;

use super::{
    DateOrder, Mapping, Rows,
    cells::Cells,
    date::parse_date_in,
    fields::{Field, FileKind},
    table::CsvFile,
};
use crate::{
    register::{Bulk, Title},
    unit::{Currency, Measures, Money, Volume, Weight},
};

/// One row of it. Of a field without a column there is nothing either.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BuyRow {
    /// The code of an item that is in the register.
    pub code: Option<String>,
    /// What it is; given where there is no code.
    pub title: Option<Title>,
    /// When it was bought.
    pub bought: Option<Date>,
    /// What was paid.
    pub cost: Option<Money>,
    /// What is asked for it.
    pub asking: Option<Money>,
    /// The bin that it is in.
    pub bin: Option<String>,
    /// What labels from before say.
    pub old: Vec<String>,
    /// A note.
    pub note: Option<Title>,
    /// How big and heavy it is; the name of its size as it is written.
    pub bulk: Bulk,
}

/// What the columns of a list of items can mean.
pub static BUYS: FileKind = FileKind {
    name: "items",
    fields: &[
        Field { name: "code", meaning: "the code", wordings: &["code"], is_amount: false },
        Field {
            name: "title",
            meaning: "the title",
            wordings: &[
                "title",
                "item",
                "description",
                "name",
                "item name",
                "item title",
                "item description",
                "product",
                "product name",
                "article",
            ],
            is_amount: false,
        },
        Field {
            name: "bin",
            meaning: "the bin",
            wordings: &["bin", "tub", "box", "bin code", "tub code", "box code", "tote", "crate", "drawer"],
            is_amount: false,
        },
        Field {
            name: "cost",
            meaning: "the cost",
            wordings: &[
                "cost",
                "paid",
                "price paid",
                "purchase price",
                "cost price",
                "bought for",
                "buying price",
                "purchase cost",
            ],
            is_amount: true,
        },
        Field {
            name: "asking",
            meaning: "the asking price",
            wordings: &["asking", "asking price", "list price", "price", "listing price", "price asked", "listed at"],
            is_amount: true,
        },
        Field {
            name: "bought",
            meaning: "the date bought",
            wordings: &[
                "bought",
                "date",
                "date bought",
                "bought date",
                "bought on",
                "purchase date",
                "date of purchase",
                "date purchased",
                "purchased",
                "purchased on",
            ],
            is_amount: false,
        },
        Field {
            name: "old",
            meaning: "the old code",
            wordings: &[
                "old code",
                "old number",
                "sku",
                "barcode",
                "old codes",
                "old label",
                "old sku",
                "stock code",
                "stock number",
                "stock no",
                "bar code",
                "item code",
                "item number",
                "item no",
                "inventory number",
                "ean",
                "upc",
                "gtin",
            ],
            is_amount: false,
        },
        Field {
            name: "note",
            meaning: "the note",
            wordings: &["note", "notes", "remark", "remarks", "comment", "comments"],
            is_amount: false,
        },
        Field {
            name: "litres",
            meaning: "the litres",
            wordings: &["litres", "liters", "litre", "liter", "volume in litres"],
            is_amount: true,
        },
        Field {
            name: "measures",
            meaning: "the outer measures",
            wordings: &["measures", "measurements", "dimensions", "outer measures"],
            is_amount: false,
        },
        Field { name: "length", meaning: "the length", wordings: &["length", "length cm"], is_amount: true },
        Field { name: "width", meaning: "the width", wordings: &["width", "width cm"], is_amount: true },
        Field { name: "height", meaning: "the height", wordings: &["height", "height cm"], is_amount: true },
        Field {
            name: "size",
            meaning: "the name of the size",
            wordings: &["size", "item size", "size name"],
            is_amount: false,
        },
        Field {
            name: "grams",
            meaning: "the grams",
            wordings: &["grams", "gram", "weight in grams", "weight g"],
            is_amount: true,
        },
    ],
    needs: &[&["title", "code"]],
    whole: &[&["length", "width", "height"]],
};

/// Parts several labels from before in one cell.
const OLD_CODES_PARTED_BY: [char; 3] = [';', '\n', '\r'];

/// Reads a list of items. Amounts are in the given currency, dates that could be two in the given order.
#[must_use]
pub fn read_buys(file: CsvFile, mapping: Mapping, currency: &Currency, dates: Option<DateOrder>) -> Rows<BuyRow> {
    Rows::read(file, mapping, |cells| read_row(cells, currency, dates))
}

fn read_row(cells: &mut Cells<'_>, currency: &Currency, dates: Option<DateOrder>) -> Option<BuyRow> {
    let code = cells.text("code");
    let title = cells.needed("title", Title::new);
    if title.is_none() && code.is_none() && !cells.has("title") {
        cells.fault("code", "the cell is empty, and there is no title for a new item");
        return None;
    }
    Some(BuyRow {
        code,
        title,
        bought: cells.given("bought", |text| parse_date_in(text, dates)),
        cost: cells.given("cost", |text| currency.parse(text)),
        asking: cells.given("asking", |text| currency.parse(text)),
        bin: cells.text("bin"),
        old: cells.text("old").map(|text| old_codes(&text)).unwrap_or_default(),
        note: cells.given("note", Title::new),
        bulk: bulk(cells),
    })
}

fn bulk(cells: &mut Cells<'_>) -> Bulk {
    Bulk {
        volume: cells.given_in("litres", Volume::parse_in),
        measures: measures(cells),
        size: cells.text("size"),
        weight: cells.given_in("grams", Weight::parse_grams_in),
    }
}

/// From one cell, or from three of which all or none are filled.
fn measures(cells: &mut Cells<'_>) -> Option<Measures> {
    let unit = cells.unit("measures").filter(|unit| !is_order_of_sides(unit));
    let whole = cells.given("measures", |text| Measures::parse_in(text, unit.as_deref()));
    let filled: Vec<&str> = SIDES.into_iter().filter(|side| cells.text(side).is_some()).collect();
    match filled.as_slice() {
        [] => whole,
        [..] if filled.len() < SIDES.len() => {
            cells.fault(filled[0], "length, width and height go together; give all three or none");
            None
        }
        [..] if cells.text("measures").is_some() => {
            cells.fault("measures", "they stand under length, width and height as well; give them once");
            None
        }
        [..] => sides(cells),
    }
}

/// `L x W x H` in brackets is no unit.
fn is_order_of_sides(words: &str) -> bool {
    words.chars().all(|letter| " lwhdbx×*/".contains(letter))
}

const SIDES: [&str; 3] = ["length", "width", "height"];

fn sides(cells: &mut Cells<'_>) -> Option<Measures> {
    let [length, width, height] = SIDES.map(|side| cells.given_in(side, Measures::parse_side));
    Measures::from_mm([length?, width?, height?])
}

/// Labels that are parted by `;` or stand on lines of their own; commas may be part of one.
fn old_codes(cell: &str) -> Vec<String> {
    cell.split(OLD_CODES_PARTED_BY).map(str::trim).filter(|code| !code.is_empty()).map(str::to_owned).collect()
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;
    use crate::exchange::{CsvError, RefusedRow};

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
    fn a_row_is_read_under_its_headings() {
        let list = read(
            "note;Price;Item;Date;Paid;Tub;SKU;shelf\r\n\
             chipped;\"1.234,50\"; Copper  pan ;21.11.2026;3,50 €;4c;K 1; x\r\n;;Pot;;;;;\r\n",
        );
        let money = Money::from_minor;
        let title = |text: &str| Some(Title::new(text).unwrap());
        let pan = BuyRow {
            code: None,
            title: title("Copper pan"),
            bought: Some(date(2026, 11, 21)),
            cost: money(350),
            asking: money(123_450),
            bin: Some("4c".into()),
            old: vec!["K 1".into()],
            note: title("chipped"),
            bulk: Bulk::default(),
        };
        let pot = BuyRow { title: title("Pot"), ..BuyRow::default() };
        assert_eq!((list.good[0].line, &list.good[0].value), (2, &pan));
        assert_eq!((list.good[1].line, &list.good[1].value), (3, &pot));
        assert_eq!((list.good.len(), list.refused.len(), list.mapping.unread()), (2, 0, vec!["shelf".to_owned()]));
    }

    #[test]
    fn old_codes_are_parted_by_semicolons_and_lines() {
        let list = read("title,old code\nPan,\"K 1; K,2\n;'=3\"\nPot,'-7\n");
        let old: Vec<&[String]> = list.good.iter().map(|row| row.value.old.as_slice()).collect();
        assert_eq!(old, [&["K 1", "K,2", "'=3"] as &[&str], &["-7"]]);
    }

    #[test]
    fn a_code_may_stand_for_the_title() {
        let list = read("code,asking\n4A-001F,3\n,4\n");
        assert_eq!((list.good[0].value.code.as_deref(), list.good.len()), (Some("4A-001F"), 1));
        assert_eq!(list.refused[0].reason, "code: the cell is empty, and there is no title for a new item");
        let list = read("code,title\n4A-001F,\n");
        assert_eq!(list.refused[0].reason, "title: the title or name is empty");
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
        let mended =
            csv.replace("-3", "3").replace("3;50;", "\"3,50\";").replace("Lid;3", "Lid;;3").replace("'=1+1", "1");
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
}
