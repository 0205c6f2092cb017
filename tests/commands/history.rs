//! `history`: of all, of an item, of a bin

use serde_json::{Value, json};

use super::support::{Desk, number};

fn texts(answer: &Value) -> Vec<String> {
    let lines = answer["history"].as_array().unwrap();
    lines.iter().map(|line| line["text"].as_str().unwrap().to_owned()).collect()
}

fn week() -> Desk {
    let desk = Desk::with_items();
    for words in [
        "listed 4A-001F --on 2026-11-22",
        "put 4A-001F --in 4C",
        "item edit 4A-001F --cost 4 --note 'lid \"dented\"'",
        "tag 4A-001F",
        "undo",
        "item alias 4A-001F 'K 117'",
    ] {
        desk.run(words).done();
    }
    desk
}

#[test]
fn an_items_history_is_told_in_words() {
    let told = week().json("history 4a001");
    assert_eq!(told["code"], "4A-001F");
    let expected = [
        "entered in 4A, `Copper jam pan`, cost 3.50, asking 24.95, bought 2026-11-21",
        "listed at 24.95, since 2026-11-22",
        "moved from 4A to 4C",
        "cost 3.50 → 4.00, note `lid \"dented\"`",
        "tag printed in run 0001",
        "taken back: cost 4.00 → 3.50, note `lid \"dented\"` → none",
        "old code `K 117` taken on",
    ];
    assert_eq!(texts(&told), expected);
    let members = ["change", "action"].map(|name| told["history"][2][name].clone());
    assert_eq!(json!(members), json!([7, "item moved"]));
    let at = told["history"][2]["at"].as_str().unwrap();
    assert!(at.ends_with('Z') && at.len() == 24, "{at}");
}

#[test]
fn a_bins_history_tells_what_came_and_what_left() {
    let desk = week();
    let expected = [
        "bin added at rack 1, level 2",
        "4A-001F entered in 4A",
        "4A-002C entered in 4A",
        "4A-003A entered in 4A",
        "4A-001F moved from 4A to 4C",
    ];
    assert_eq!(texts(&desk.json("history 4A")), expected);
    assert_eq!(texts(&desk.json("history 4C")), ["bin added at rack 1, level 2", "4A-001F moved from 4A to 4C"]);
    assert_eq!(texts(&desk.json("history 4A --last 1")), ["4A-001F moved from 4A to 4C"]);
}

#[test]
fn the_last_changes_are_told_with_what_took_them_back() {
    let told = week().json("history --last 5");
    let changes: Vec<Value> = told["changes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|change| json!([change["change"], change["what"], change["undone_by"]]))
        .collect();
    let expected = [
        json!([7, "put 4A-001F into 4C", null]),
        json!([8, "edit 4A-001F", 9]),
        json!([null, "printed: run 0001, tags, 1 label, tags-0001.pdf", null]),
        json!([9, "undo 8: edit 4A-001F", null]),
        json!([10, "take on old code K 117 for 4A-001F", null]),
    ];
    assert_eq!(changes, expected);
}

/// A zone is named by its rules as in POSIX: UTC+5 there is written `XYZ-5`.
#[cfg(unix)]
#[test]
fn times_are_shown_in_the_zone_of_the_computer() {
    let desk = Desk::with_items();
    let at = |hours: i64| {
        let sql = format!("SELECT strftime('%Y-%m-%d %H:%M', at, '{hours} hours') = ?1 FROM change WHERE id = 3");
        move |desk: &Desk, shown: &str| desk.register().query_row(&sql, [shown], |row| row.get::<_, bool>(0)).unwrap()
    };
    for (zone, hours) in [("UTC0", 0), ("XYZ-5", 5), ("XYZ8", -8)] {
        let told = desk.run("history --last 3").env("TZ", zone).done().stdout;
        let line = told.lines().find(|line| line.contains("enter Copper jam pan")).unwrap();
        let shown = line.trim().split_once("  ").unwrap().1.get(..16).unwrap().to_owned();
        assert!(at(hours)(&desk, &shown), "{zone}: {line}");
    }
}

#[test]
fn nothing_found_is_code_3() {
    let desk = week();
    assert_eq!(desk.run("--json history --from 2030-01-01").code(3).done().json(), json!({"changes": []}));
    desk.run("history 4A-001F --to 2020-01-01")
        .code(3)
        .stdout("4A-001F  Copper jam pan\nnothing is known of that time\n")
        .done();
    desk.run("history 4A-009X").refused_with(&["there is nothing with the code `4A-009X`"]).done();
    desk.run("history --from soon").refused_with(&["--from: `soon` is no date"]).done();
    desk.run("history --from 2020-01-01 --to 2099-12-31").done();
}

#[test]
fn what_waits_and_what_was_taken_back_has_a_history() {
    let desk = Desk::with_bins();
    desk.run("item add Ladle --cost 2").done();
    desk.run("put '#1' --in 4B").done();
    assert_eq!(
        texts(&desk.json("history '#1'")),
        ["entered, waits for a bin, `Ladle`, cost 2.00", "put into 4B, got the code 4B-001J"]
    );
    desk.run("undo --last 2").done();
    assert_eq!(texts(&desk.json("history '#1'")).last().unwrap(), "entry taken back");
}

#[test]
fn a_history_changes_nothing() {
    let desk = week();
    let before = desk.dump();
    for words in ["history", "history 4A-001F", "history 4A"] {
        desk.run(words).done();
    }
    assert_eq!(desk.dump(), before);
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM change"), 10);
}
