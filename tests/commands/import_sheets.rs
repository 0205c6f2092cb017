//! `item import` of files that `LibreOffice` made, and of the trouble that such files bring

use serde_json::{Value, json};

use super::support::Desk;

/// A file of `tests/sheets`, made by `LibreOffice`; how stands beside it.
fn sheet(name: &str) -> Vec<u8> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sheets").join(name);
    std::fs::read(path).unwrap()
}

fn desk() -> Desk {
    let desk = Desk::with_bins();
    desk.run("set currency EUR").any_stderr().done();
    desk
}

fn import(desk: &Desk, bytes: impl AsRef<[u8]>) -> Value {
    desk.file("stock.csv", bytes).run("--json item import stock.csv").any_stderr().done().json()
}

/// What matters of the items, in the words of `make.py`: bin, title, old codes, cost, asking, bought, note.
fn items(desk: &Desk, answer: &Value) -> Vec<Value> {
    let items = answer["items"].as_array().unwrap().iter().map(|item| {
        let number = format!("#{}", item["number"]);
        let old = desk.run("--json find").args(&[&number]).done().json()["matches"][0]["old_codes"].clone();
        json!([item["bin"], item["title"], old, item["cost"], item["asking"], item["bought"], item["note"]])
    });
    items.collect()
}

/// `STOCK` of `tests/sheets/make.py`.
fn stock() -> Vec<Value> {
    let none = Value::Null;
    vec![
        json!(["4A", "Copper jam pan, 28 cm", ["K 117"], "12.50", "64.00", "2026-11-21", "lid says \"Grand-mère\""]),
        json!(["4A", "Cafetière für 8 Tassen", ["00451", "4012345678901"], "3.00", "1234.50", "2026-03-04", none]),
        json!(["4B", "Knitting pattern: bobble hat, 5\"", none, "0.00", "4.95", none, "two lines in one cell"]),
        json!([none, "Board game; 12 geese", none, none, none, "2026-01-31", "100% complete – naïve box"]),
        json!(["4A", "=SUM of all parts", ["-7"], "1.00", "20.00", "2026-12-01", "@home"]),
        json!(["4A", "'70s fondue set", none, "1000.00", "2345.67", "2026-02-28", "+1 fork"]),
    ]
}

#[test]
fn one_sheet_comes_in_the_same_however_it_was_exported() {
    let names = [
        "comma.csv",
        "all-quoted.csv",
        "semicolon.csv",
        "tab.csv",
        "utf16.csv",
        "windows-1252.csv",
        "english.csv",
        "month-first.csv",
    ];
    for name in names {
        let desk = desk();
        let answer = import(&desk, sheet(name));
        assert_eq!(items(&desk, &answer), stock(), "{name}");
        assert_eq!(answer["unread"], json!(["Shelf"]), "{name}");
    }
}

#[test]
fn signs_of_all_scripts_come_in() {
    for name in ["signs-utf8.csv", "signs-utf16.csv"] {
        let desk = desk();
        let answer = import(&desk, sheet(name));
        let none = Value::Null;
        let expected = [
            json!([none, "Teapot 🫖 with cosy", none, "2.00", "9.00", "2026-11-21", "日本の急須"]),
            json!([none, "Łyżka wazowa", none, "2.00", "9.00", "2026-11-21", "Ω"]),
        ];
        assert_eq!(items(&desk, &answer), expected, "{name}");
    }
}

/// Spreadsheets of other makers put a mark before UTF-8, and end lines with CRLF.
#[test]
fn a_mark_and_other_line_ends_change_nothing() {
    let text = String::from_utf8(sheet("semicolon.csv")).unwrap();
    // The line break within a cell stays.
    let crlf = format!("\u{feff}{}", text.replace('\n', "\r\n"));
    let desk = desk();
    let answer = import(&desk, crlf);
    assert_eq!(items(&desk, &answer), stock());
}

#[test]
fn empty_rows_at_the_end_are_nothing_and_a_row_of_totals_is_refused() {
    let desk = desk();
    let rows = "title;cost;asking\nPan;3,50;9\nPot;4;10\n;;\n;;\n";
    assert_eq!(import(&desk, rows)["items"].as_array().unwrap().len(), 2);
    let before = desk.dump();
    desk.file("totals.csv", format!("{rows};7,50;19\n"));
    let why = "\n  totals.csv:6: title: the title or name is empty\n";
    desk.run("item import totals.csv").refused_with(&["1 row is wrong", why]).done();
    assert_eq!(desk.dump(), before);
}
