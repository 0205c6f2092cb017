//! What is in the file: a journal of every change, and how the database is set up

use rusqlite::Connection;
use serde_json::{Value, json};

use super::support::{Desk, number, strings};

/// Action, item, bin, before and after of each row.
fn journal(register: &Connection) -> Vec<Value> {
    let sql = "SELECT json_array(action, item, bin, json(before), json(after)) FROM journal ORDER BY id";
    strings(register, sql).iter().map(|row| serde_json::from_str(row).unwrap()).collect()
}

#[test]
fn every_change_is_a_row() {
    let desk = Desk::empty();
    let changes = [
        "area add 4 Loft",
        "bin add 4 --count 2 --spot shelf",
        "item add Pan --bin 4A --cost 3.50 --bought 2026-11-21",
        "put 4A-001F --in 4B",
        "tag --out tags.pdf",
        "sign --out signs.pdf",
        "set paper letter",
        "set paper a4",
        "run cancel 2",
        "sheet add jars --paper a4 --grid 2x4 --label 90x60 --left 10 --top 20",
        "sheet remove jars",
    ];
    for words in changes {
        desk.run(words).any_stderr().done();
    }
    let entered = strings(&desk.register(), "SELECT entered FROM item").remove(0);
    let item = json!({"payload": "4A001F", "bin": 1, "title": "Pan", "cost": 350, "bought": "2026-11-21",
        "entered": entered, "state": "held"});
    let bin =
        |payload: &str, rank: i64| json!({"payload": payload, "area": 4, "rank": rank, "spot": 1, "state": "live"});
    let run = |number: i64, kind: &str, sheet: &str, labels: i64| {
        let file = std::path::absolute(desk.path(&format!("{kind}.pdf"))).unwrap();
        json!({"run": number, "kind": kind, "file": file.to_str().unwrap(), "sheet": sheet, "labels": labels})
    };
    let sheet = json!({"sheet": "jars", "paper": "a4", "grid": "2x4", "label": [90.0, 60.0], "corner": [10.0, 20.0],
        "pitch": [90.0, 60.0]});
    let expected = [
        json!(["area added", null, null, null, {"name": "Loft"}]),
        json!(["spot added", null, null, null, {"area": 4, "name": "shelf", "walk_order": 1}]),
        json!(["bin added", null, 1, null, bin("4A00R", 0)]),
        json!(["bin added", null, 2, null, bin("4B00G", 1)]),
        json!(["item added", 1, 1, null, item]),
        json!(["item moved", 1, 2, {"bin": 1, "payload": "4A001F"}, {"bin": 2, "payload": "4B001J"}]),
        json!(["run printed", null, null, null, run(1, "tags", "a4-5x13", 1)]),
        json!(["run printed", null, null, null, run(2, "signs", "a4-2x4", 2)]),
        json!(["setting changed", null, null, null, {"value": "letter"}]),
        json!(["setting changed", null, null, {"value": "letter"}, {"value": "a4"}]),
        json!(["run cancelled", null, null, run(2, "signs", "a4-2x4", 2), null]),
        json!(["sheet added", null, null, null, sheet]),
        json!(["sheet removed", null, null, sheet, null]),
    ];
    assert_eq!(journal(&desk.register()), expected);
}

/// ISO 8601, in UTC.
#[test]
fn rows_have_their_instant() {
    let desk = Desk::with_items();
    let register = desk.register();
    let sql = "SELECT count(*) FROM journal WHERE at NOT GLOB '20[0-9][0-9]-[01][0-9]-[0-3][0-9]T[0-2][0-9]:*Z'";
    assert_eq!(number(&register, sql), 0);
    assert_eq!(number(&register, "SELECT count(*) FROM journal"), 10);
}

#[test]
fn an_items_history_can_be_told() {
    let desk = Desk::with_items();
    for words in ["tag 4A-002C", "put 4A-002C --in 4B", "put 4A-002C --in 4A"] {
        desk.run(words).done();
    }
    let register = desk.register();
    let moves = strings(&register, "SELECT action || ' ' || coalesce(before, '') FROM journal WHERE item = 2");
    assert_eq!(moves, ["item added ", "item moved {\"bin\":1}", "item moved {\"bin\":2}"]);
    let said = strings(&register, "SELECT said FROM label WHERE item = 2");
    let said: Value = serde_json::from_str(&said[0]).unwrap();
    assert_eq!(said, json!({"code": "4A-002C", "bin": "4A", "title": "Board game, 12 geese"}));
}

#[test]
fn an_import_is_a_row_an_item() {
    let desk = Desk::with_bins();
    desk.file("buys.csv", "title\nPan\nPot\n").run("item import buys.csv --bin 4A").done();
    let register = desk.register();
    let sql = "SELECT json_extract(after, '$.title') FROM journal WHERE action = 'item added' ORDER BY id";
    assert_eq!(strings(&register, sql), ["Pan", "Pot"]);
    assert_eq!(number(&register, "SELECT items FROM import WHERE file = 'buys.csv'"), 2);
}

#[test]
fn what_was_refused_is_no_row() {
    let desk = Desk::with_items();
    let before = journal(&desk.register());
    for words in ["area add 4 Loft", "bin add 9", "item add '' --bin 4A", "put 9Z --in 4A", "tag 9Z", "set x y"] {
        desk.run(words).code(1).any_stderr().done();
    }
    assert_eq!(journal(&desk.register()), before);
}

#[test]
fn the_journal_can_be_neither_changed_nor_cut() {
    let desk = Desk::with_items();
    let register = Connection::open(desk.path(super::support::REGISTER)).unwrap();
    for sql in ["UPDATE journal SET action = 'x'", "DELETE FROM journal"] {
        assert!(register.execute(sql, []).unwrap_err().to_string().contains("append-only"), "{sql}");
    }
}

/// `SQLite` documentation: WAL is kept in the file, as is `application_id`; STRICT tables hold what they declare.
#[test]
fn the_database_is_set_up_for_safe_keeping() {
    let desk = Desk::with_items();
    desk.run("tag").done();
    let register = desk.register();
    assert_eq!(strings(&register, "SELECT journal_mode FROM pragma_journal_mode"), ["wal"]);
    let application: i64 = register.pragma_query_value(None, "application_id", |row| row.get(0)).unwrap();
    assert_eq!(application, i64::from(u32::from_be_bytes(*b"STOW")));
    assert_eq!(number(&register, "SELECT user_version >= 1 FROM pragma_user_version"), 1);
    let loose = "SELECT name FROM pragma_table_list
        WHERE schema = 'main' AND type = 'table' AND NOT strict AND name NOT LIKE 'sqlite_%'";
    assert_eq!(strings(&register, loose), Vec::<String>::new());
    assert_eq!(number(&register, "SELECT count(*) FROM pragma_foreign_key_check"), 0);
    assert!(number(&register, "SELECT count(*) FROM pragma_foreign_key_list('label')") >= 3);
    assert_eq!(strings(&register, "SELECT integrity_check FROM pragma_integrity_check"), ["ok"]);
}
