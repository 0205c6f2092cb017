//! `item import` that takes nothing: the register stays as it was, to the next serial

use serde_json::json;

use super::support::{Desk, codes};

/// Imports the bytes, expects the parts on standard error, and nothing changed.
fn refused(bytes: impl AsRef<[u8]>, parts: &[&str]) {
    let desk = Desk::with_items();
    desk.file("buys.csv", bytes);
    let (before, items) = (desk.dump(), desk.json("item list"));
    desk.run("item import buys.csv --bin 4A").refused_with(parts).done();
    assert_eq!((desk.dump(), desk.json("item list")), (before, items));
    assert_eq!(desk.files(), ["buys.csv"]);
    assert_eq!(codes(&desk.json("item add Pan --bin 4A"), "items"), ["4A-004W"]);
}

#[test]
fn a_file_without_a_title_column_is_refused() {
    refused(
        "What,Cost\nPan,3\n",
        &["error: `buys.csv`: no column holds the title or the code, the headings are `What`, `Cost`; name one of \
           them title, item, description or name, or say which it is with --map title=\"HEADING\"\n"],
    );
    refused("Pan,3\nPot,4\n", &["no column holds the title or the code, the headings are `Pan`, `3`"]);
}

#[test]
fn columns_that_mean_the_same_are_refused() {
    refused(
        "Item,Title\nPan,Pan\n",
        &["the columns `Item` and `Title` both mean the title; say which it is with --map"],
    );
}

#[test]
fn ragged_rows_are_refused_with_their_lines() {
    let told = [
        "error: nothing was imported, 2 rows are wrong; mend the file, or take the other rows with --skip-bad\n",
        "\n  buys.csv:2: has 3 fields, the headings have 2: put a field that holds `,` in quotes\n",
        "\n  buys.csv:4: has 1 field, the headings have 2\n",
    ];
    refused("title,cost\nPan,3,50\nPot,4\nLid\n", &told);
}

/// RFC 4180 section 2, rules 5 to 7.
#[test]
fn quotes_out_of_place_are_refused_with_line_and_column() {
    let advice = "put the field in quotes and double the quote inside\n";
    let cases = [
        ("title,cost\nPan,\"3\nPot,4\n", "`buys.csv`: line 2, column 5: this quote is never closed".to_owned()),
        ("title,cost\nPan,3\n\"Pot,4\nLid,5\n", "`buys.csv`: line 3, column 1: this quote is never closed".to_owned()),
        ("title,cost\n12\" pan,3\n", format!("\n  buys.csv:2:3: title: `12\" pan` has a stray quote; {advice}")),
        ("title,cost\nPan,\"3\"0\n", "\n  buys.csv:2:7: cost: `\"3\"0` has a stray quote; ".to_owned()),
        (
            "title,cost\nPot,4\n\"12\" pan\",3\n",
            format!("\n  buys.csv:3:4: title: `\"12\" pan\"` has a stray quote; {advice}"),
        ),
        ("ti\"tle,cost\nPan,3\n", "line 1, column 3: stray quote in the heading `ti\"tle`; take it out\n".to_owned()),
    ];
    for (csv, told) in cases {
        refused(csv, &[&told]);
    }
}

#[test]
fn all_bad_rows_are_listed() {
    let csv =
        "title;bought;cost;asking\nPan;soon;3,50;\n;;;\nPot;;-1;\nLid;;1,234;\nLadle;13/13/2026;;x\n;;1;\nok;;;\n";
    let told = "error: nothing was imported, 5 rows are wrong; mend the file, or take the other rows with --skip-bad
  buys.csv:2: bought: `soon` is no date; write it as year-month-day, such as 2026-11-21
  buys.csv:4: cost: `-1` is negative; amounts are zero or more
  buys.csv:5: cost: `1,234` could be thousands or decimals; write it without thousands separator, or with fewer decimals
  buys.csv:6: bought: `13/13/2026` is not in the calendar; write it as year-month-day, such as 2026-11-21; \
asking: `x` is no amount; write it as 3.50
  buys.csv:7: title: the title or name is empty\n";
    refused(csv, &[told]);
}

#[test]
fn lines_are_those_of_a_text_editor() {
    let csv = "title,cost\r\n\"Pan,\r\n28 cm\",3\r\n\r\nPot,x\r\n";
    refused(csv, &["\n  buys.csv:5: cost: `x` is no amount; write it as 3.50\n"]);
}

#[test]
fn what_is_no_csv_is_refused_by_name() {
    let cases: [(&[u8], &str); 8] = [
        (b"", "no rows; the first line holds the headings, each line below it one item"),
        (b"title,cost\n", "no rows; the first line holds the headings, each line below it one item"),
        (b"PK\x03\x04\x14\0\x06\0", "this is a zipped spreadsheet file, not CSV; open it and export it as CSV"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "this is a binary spreadsheet file, not CSV; open it and export it as CSV"),
        (b"\x7f\x00\x01\x02title\nPan\n", "NUL characters, so it is no text"),
        (b"title\nPan\x81\xff\n", "the encoding of the file is not recognised; save it as CSV UTF-8"),
        (b"\xff\xfe\0\0t\0\0\0", "the file is UTF-32, which is not read; save it as CSV UTF-8"),
        (b"\xff\xfet\0i", "an odd number"),
    ];
    for (bytes, why) in cases {
        refused(bytes, &["error: `buys.csv`: ", why]);
    }
}

#[test]
fn files_that_can_not_be_read_are_refused() {
    let desk = Desk::with_items();
    std::fs::create_dir(desk.path("folder")).unwrap();
    let before = desk.dump();
    for name in ["nowhere.csv", "folder"] {
        let why = format!("`{name}` can't be read; check the name");
        desk.run(&format!("item import {name} --bin 4A")).refused_with(&[&why]).done();
    }
    assert_eq!(desk.dump(), before);
}

#[test]
fn a_bin_that_is_not_there_is_refused() {
    let desk = Desk::with_items();
    desk.file("buys.csv", "title\nPan\n");
    let before = desk.dump();
    desk.run("item import buys.csv --bin 9Z").refused_with(&["there is nothing with the code `9Z`"]).done();
    desk.run("item import buys.csv --bin 4A001").refused_with(&["`4A001` is an item"]).done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn json_has_the_refused_rows() {
    let desk = Desk::with_items();
    let run = desk.file("buys.csv", "title,cost\n12\" pan,3\nPot,-4\n").run("--json item import buys.csv --bin 4A");
    let answer = run.code(1).any_stderr().done().json();
    assert_eq!(answer["items"], json!([]));
    let stray = "title: `12\" pan` has a stray quote; put the field in quotes and double the quote inside";
    let refused = json!([
        {"line": 2, "column": 3, "reason": stray},
        {"line": 3, "reason": "cost: `-4` is negative; amounts are zero or more"},
    ]);
    assert_eq!(answer["refused"], refused);
}

#[test]
fn bad_rows_alone_are_refused_even_with_skip_bad() {
    let desk = Desk::with_items();
    let before = desk.dump();
    let run = desk.file("buys.csv", "title,cost\nPan,-3\n").run("item import buys.csv --bin 4A --skip-bad");
    run.refused_with(&["nothing was imported", "buys.csv:2: cost: `-3` is negative"]).done();
    assert_eq!((desk.dump(), desk.files()), (before, vec!["buys.csv".to_owned()]));
}

/// The same file again: its bad rows are not written a second time either.
#[test]
fn a_refused_import_leaves_nothing_beside_the_file() {
    let desk = Desk::with_items();
    desk.file("buys.csv", "title,cost\nPan,3\nPot,-4\n");
    desk.run("item import buys.csv --bin 4A --skip-bad").any_stderr().done();
    let (before, files) = (desk.dump(), desk.files());
    desk.run("item import buys.csv --bin 4A --skip-bad").refused_with(&["was imported already"]).done();
    assert_eq!((desk.dump(), desk.files()), (before, files));
}

#[test]
fn a_hundred_bad_rows_are_all_told() {
    let desk = Desk::with_items();
    let rows: String = (0..100).map(|number| format!("Pan {number},-1\n")).collect();
    let run = desk.file("buys.csv", format!("title,cost\n{rows}")).run("item import buys.csv --bin 4A");
    let answer = run.refused_with(&["100 rows are wrong"]).done();
    assert_eq!(answer.stderr.lines().filter(|line| line.starts_with("  buys.csv:")).count(), 100);
}
