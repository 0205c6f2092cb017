//! `item import` that takes rows

use serde_json::{Value, json};

use super::support::{Desk, codes, number};

fn import(desk: &Desk, bytes: impl AsRef<[u8]>) -> Value {
    desk.file("buys.csv", bytes).run("--json item import buys.csv --bin 4A").any_stderr().done().json()
}

fn titles(answer: &Value) -> Vec<&str> {
    answer["items"].as_array().unwrap().iter().map(|item| item["title"].as_str().unwrap()).collect()
}

#[test]
fn all_rows_come_in_with_their_codes() {
    let desk = Desk::with_bins();
    let csv = "Title,Bought,Cost,Asking\r\n\"Jam pan, 28 cm\",2026-11-21,12.50,64.00\r\nPuzzle,,,\r\n";
    let item = |code: &str, payload: &str, title: &str| {
        json!({"code": code, "payload": payload, "title": title, "bin": "4A", "area": 4, "area_name": "Loft",
            "spot": "rack 1, level 2", "cost": null, "asking": null, "bought": null, "status": "held",
            "number": 1, "note": null, "listed": null})
    };
    let mut pan = item("4A-001F", "4A001F", "Jam pan, 28 cm");
    pan["bought"] = json!("2026-11-21");
    pan["cost"] = json!("12.50");
    pan["asking"] = json!("64.00");
    let answer = import(&desk, csv);
    let mut puzzle = item("4A-002C", "4A002C", "Puzzle");
    puzzle["number"] = json!(2);
    assert_eq!(answer["items"], json!([pan, puzzle]));
    assert_eq!(answer["refused"], json!([]));
    assert_eq!(desk.json("item list")["items"], answer["items"]);
}

#[test]
fn plain_answers_name_the_first_few() {
    let desk = Desk::with_bins();
    let rows: String = (1..=12).map(|number| format!("Egg cup {number}\n")).collect();
    let answer = desk.file("buys.csv", format!("item\n{rows}")).run("item import buys.csv --bin 4A").done();
    let lines: Vec<&str> = answer.stdout.lines().collect();
    assert_eq!(lines[0], "4A-001F  Egg cup 1: in 4A, Loft, rack 1, level 2");
    assert_eq!(lines[10..], ["… and 2 more", "12 items came in; `stowmark tag` prints their tags"]);
}

/// RFC 4180 section 2: rules 1 to 7.
#[test]
fn the_rules_of_rfc_4180_hold() {
    let cases: [(&str, &str, &[&str]); 7] = [
        ("1: lines end with CRLF", "title,note\r\nPan,x\r\nPot,y\r\n", &["Pan", "Pot"]),
        ("2: but perhaps not the last", "title,note\r\nPan,x\r\nPot,y", &["Pan", "Pot"]),
        ("3: a line of headings", "note,title\r\nx,Pan\r\n", &["Pan"]),
        ("4: spaces belong to the field, but not to a title", "title,note\r\n Pan , x \r\n", &["Pan"]),
        ("5: some fields are quoted", "title,note\r\n\"Pan\",x\r\nPot,\"\"\r\n", &["Pan", "Pot"]),
        ("6: breaks and commas in quotes", "title,note\r\n\"Pan,\r\n28 cm\",x\r\n", &["Pan, 28 cm"]),
        ("7: a doubled quote", "title,note\r\n\"Pan, 12\"\"\",x\r\n", &["Pan, 12\""]),
    ];
    for (rule, csv, expected) in cases {
        assert_eq!(titles(&import(&Desk::with_bins(), csv)), expected, "{rule}");
    }
}

fn utf16(text: &str, to_bytes: fn(u16) -> [u8; 2]) -> Vec<u8> {
    text.encode_utf16().flat_map(to_bytes).collect()
}

#[test]
fn encodings_of_spreadsheets_are_read() {
    let text = "title;cost\r\nCafetière für 8;3,50\r\n";
    let marked = format!("\u{feff}{text}");
    let cases = [
        ("UTF-8", text.as_bytes().to_vec()),
        ("UTF-8 with a mark", marked.clone().into_bytes()),
        ("UTF-16 LE with a mark", utf16(&marked, u16::to_le_bytes)),
        ("UTF-16 BE with a mark", utf16(&marked, u16::to_be_bytes)),
        ("UTF-16 LE", utf16(text, u16::to_le_bytes)),
        ("UTF-16 BE", utf16(text, u16::to_be_bytes)),
        ("Windows-1252", b"title;cost\r\nCafeti\xe8re f\xfcr 8;3,50\r\n".to_vec()),
    ];
    for (name, bytes) in cases {
        let answer = import(&Desk::with_bins(), bytes);
        assert_eq!((titles(&answer), &answer["items"][0]["cost"]), (vec!["Cafetière für 8"], &json!("3.50")), "{name}");
    }
}

#[test]
fn delimiters_and_line_ends_are_recognised() {
    let cases = [
        ("commas", "title,cost\nPan,3.50\n"),
        ("semicolons", "title;cost\nPan;3,50\n"),
        ("tabs", "title\tcost\nPan\t3,50\n"),
        ("a line that names it", "sep=;\r\ntitle;cost\r\nPan;3,50\r\n"),
        ("a quoted decimal comma", "title,cost\nPan,\"3,50\"\n"),
        ("lone CR", "title;cost\rPan;3,50\r"),
        ("blank lines", "\n\ntitle,cost\n\nPan,3.50\n\n,\n"),
        ("blank columns of a spreadsheet", "title,cost,,\nPan,3.50,,\n"),
        ("other columns", "note,Asking,COST,Item\nx,,3.50,Pan\n"),
    ];
    for (name, csv) in cases {
        let answer = import(&Desk::with_bins(), csv);
        assert_eq!((titles(&answer), &answer["items"][0]["cost"]), (vec!["Pan"], &json!("3.50")), "{name}");
    }
}

/// OWASP, "CSV Injection"; CWE-1236: a guard before a formula is taken off, a bare formula is only a title.
#[test]
fn titles_like_formulas_are_titles() {
    let answer = import(&Desk::with_bins(), "title\n'=1+1\n=2+2\n'70s fondue set\n@home\n-3 board games\n");
    assert_eq!(titles(&answer), ["=1+1", "=2+2", "'70s fondue set", "@home", "-3 board games"]);
}

#[test]
fn a_file_comes_in_twice_only_when_asked() {
    let desk = Desk::with_bins();
    import(&desk, "title\nPan\nPot\n");
    let before = desk.dump();
    let why = ["`buys.csv` was imported already, on ", " (items: 2); with --again its rows come in a second time"];
    desk.run("item import buys.csv --bin 4A").refused_with(&why).done();
    desk.file("copy.csv", "title\nPan\nPot\n").run("item import copy.csv --bin 4B").refused_with(&["--again"]).done();
    assert_eq!(desk.dump(), before);
    assert_eq!(codes(&desk.json("item import buys.csv --bin 4A --again"), "items"), ["4A-003A", "4A-004W"]);
}

const MIXED: &str = "title;cost;shelf\nPan;3,50;x\nPot;1,234;y\n=Lid;-1;z\nPuzzle;;\nJigsaw;2\n";

#[test]
fn bad_rows_are_skipped_when_asked_and_kept_beside_the_file() {
    let desk = Desk::with_bins();
    let told = "not read, their headings are not known: shelf\n\
        buys.csv:3: cost: `1,234` could be thousands or decimals; write it without thousands separator, or with fewer decimals\n\
        buys.csv:4: cost: `-1` is negative; amounts are zero or more\n\
        buys.csv:6: has 2 fields, the headings have 3\n";
    let run = desk.file("buys.csv", MIXED).run("--json item import buys.csv --bin 4A --skip-bad");
    let answer = run.stderr(told).done().json();
    assert_eq!(titles(&answer), ["Pan", "Puzzle"]);
    let refused = json!([
        {"line": 3, "reason": "cost: `1,234` could be thousands or decimals; write it without thousands separator, or with fewer decimals"},
        {"line": 4, "reason": "cost: `-1` is negative; amounts are zero or more"},
        {"line": 6, "reason": "has 2 fields, the headings have 3"},
    ]);
    assert_eq!(answer["refused"], refused);
    assert_eq!(desk.files(), ["buys.csv", "buys.refused.csv"]);
    let kept = "\u{feff}title;cost;shelf;refused because\r\n\
        Pot;\"1,234\";y;\"cost: `1,234` could be thousands or decimals; write it without thousands separator, or with fewer decimals\"\r\n\
        '=Lid;-1;z;\"cost: `-1` is negative; amounts are zero or more\"\r\n\
        Jigsaw;2;\"has 2 fields, the headings have 3\"\r\n";
    assert_eq!(String::from_utf8(desk.read("buys.refused.csv")).unwrap(), kept);
}

#[test]
fn the_rows_left_out_are_mended_and_imported() {
    let desk = Desk::with_bins();
    desk.file("buys.csv", MIXED).run("item import buys.csv --bin 4A --skip-bad").any_stderr().done();
    let kept = String::from_utf8(desk.read("buys.refused.csv")).unwrap();
    desk.run("item import buys.refused.csv --bin 4A").code(1).any_stderr().done();
    let mended = kept.replace("\"1,234\"", "1234").replace(";-1;", ";1;").replace("Jigsaw;2;", "Jigsaw;2;;");
    let run = desk.file("buys.refused.csv", mended).run("--json item import buys.refused.csv --bin 4A");
    let answer = run.any_stderr().done().json();
    assert_eq!(answer["unread"], json!(["shelf"]));
    assert_eq!(titles(&answer), ["Pot", "=Lid", "Jigsaw"]);
    assert_eq!(codes(&answer, "items"), ["4A-003A", "4A-004W", "4A-005T"]);
}

#[test]
fn rows_left_out_earlier_are_not_lost() {
    let desk = Desk::with_bins();
    desk.file("buys.csv", MIXED).file("buys.refused.csv", "mine");
    desk.run("item import buys.csv --bin 4A --skip-bad").any_stderr().done();
    assert_eq!(desk.read("buys.refused.csv"), b"mine");
    assert_eq!(desk.files(), ["buys.csv", "buys.refused-2.csv", "buys.refused.csv"]);
}

#[test]
fn without_bad_rows_nothing_is_written_beside_the_file() {
    let desk = Desk::with_bins();
    desk.file("buys.csv", "title\nPan\n").run("item import buys.csv --bin 4A --skip-bad").done();
    assert_eq!(desk.files(), ["buys.csv"]);
}

#[test]
fn a_hundred_thousand_rows_come_in() {
    let desk = Desk::with_bins();
    let rows: String = (0..100_000).map(|number| format!("Egg cup no {number},2026-11-21,3.50\n")).collect();
    desk.file("buys.csv", format!("title,bought,cost\n{rows}"));
    let answer = desk.run("item import buys.csv --bin 4A").done();
    let last = "100000 items came in; `stowmark tag` prints their tags";
    assert_eq!(answer.stdout.lines().last(), Some(last));
    assert_eq!(desk.run("item list --untagged").done().stdout.lines().count(), 100_001);
    assert_eq!(number(&desk.register(), "SELECT next_serial FROM bin WHERE payload = '4A00R'"), 100_001);
    assert_eq!(codes(&desk.json("find 99999"), "matches"), ["4A-100000T"]);
}
