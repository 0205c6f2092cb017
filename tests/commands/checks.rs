//! `check`: each kind of damage is found, and nothing in a register that is whole

use rusqlite::Connection;
use serde_json::{Value, json};

use super::support::{Desk, REGISTER, names_in};

/// A bin, items in several states, an old label, a print, a change that was taken back, a sale, a cost of its own.
fn desk() -> Desk {
    let desk = Desk::with_items();
    for words in [
        "item add 'Fish kettle' --old 'K 117' --cost 8",
        "put '#4' --in 4B",
        "listed 4A-001F",
        "put 4A-001F --in 4C",
        "item edit 4A-002C --cost 2",
        "undo",
        "set paper letter",
        "tag --out tags.pdf",
    ] {
        desk.run(words).any_stderr().done();
    }
    desk
}

/// Does it behind the program's back, without foreign keys.
fn damage(desk: &Desk, sql: &str) {
    let register = Connection::open(desk.path(REGISTER)).unwrap();
    register.pragma_update(None, "foreign_keys", false).unwrap();
    register.pragma_update(None, "ignore_check_constraints", true).unwrap();
    register.execute_batch(sql).unwrap_or_else(|fault| panic!("{sql}: {fault}"));
    register.close().unwrap();
}

#[track_caller]
fn problems(desk: &Desk) -> Vec<Value> {
    let answer = desk.run("--json check").code(1).done().json();
    assert_eq!(answer["ok"], false);
    let problems = answer["problems"].as_array().unwrap().clone();
    assert!(!problems.is_empty());
    for problem in &problems {
        for member in ["kind", "where", "what", "try"] {
            assert!(problem[member].is_string(), "{problem}");
        }
    }
    problems
}

#[test]
fn a_register_that_is_whole_is_sound() {
    let desk = desk();
    let before = desk.dump();
    assert_eq!(desk.json("check"), json!({"ok": true, "problems": []}));
    desk.run("check").stdout("the register is sound\n").done();
    assert_eq!(desk.dump(), before);
}

const NO_JOURNAL_GUARDS: &str = "DROP TRIGGER journal_keeps_rows; DROP TRIGGER journal_loses_nothing;";

/// What was done, and the kind and the place that must be among what is found.
const DAMAGE: [(&str, &str, &str); 34] = [
    ("UPDATE item SET bin = 99 WHERE id = 1", "item-bin", "4A-001F"),
    ("UPDATE bin SET state = 'undone' WHERE payload = '4C00V'", "item-bin", "4A-001F"),
    ("UPDATE item SET bin = NULL WHERE id = 2", "item-state", "4A-002C"),
    ("UPDATE item SET state = 'lost' WHERE id = 2", "item-state", "4A-002C"),
    ("UPDATE item SET state = 'sold' WHERE id = 2", "sale-missing", "4A-002C"),
    ("INSERT INTO sale (item, day, price) VALUES (2, '2026-11-20', 500)", "sale-state", "4A-002C"),
    ("INSERT INTO sale (item, day, price) VALUES (2, '2026-11-20', 500)", "journal-missing", "sale 1"),
    (
        "INSERT INTO sale (item, day, price) VALUES (2, '2026-11-20', 500); INSERT INTO refund VALUES (1, 1, '2026-11-21', 501, 0)",
        "refund",
        "4A-002C",
    ),
    ("UPDATE name SET item = 2 WHERE payload = '4A001F'", "code-name", "4A-001F"),
    ("DELETE FROM name WHERE payload = '4A001F'", "code-name", "4A-001F"),
    ("DELETE FROM name WHERE payload = '4C00V'", "code-name", "4C"),
    (
        "UPDATE item SET payload = '4A001G' WHERE id = 1; UPDATE name SET payload = '4A001G' WHERE item = 1",
        "code",
        "4A001G",
    ),
    ("UPDATE name SET payload = '4A00S' WHERE payload = '4A00R'", "code", "4A00S"),
    ("UPDATE bin SET next_serial = 3 WHERE payload = '4A00R'", "serial", "4A"),
    ("UPDATE area SET next_rank = 2", "rank", "4C"),
    ("UPDATE bin SET rank = 17 WHERE payload = '4C00V'", "code", "4C"),
    ("INSERT INTO area (number, name) VALUES (5, 'Shed'); UPDATE spot SET area = 5", "bin-spot", "4A"),
    ("UPDATE bin SET stack = -1 WHERE payload = '4C00V'", "bin-state", "4C"),
    ("UPDATE item SET title = 'Copper jam pot' WHERE id = 1", "words", "4A-001F"),
    ("UPDATE item SET cost = 351 WHERE id = 1", "journal-differs", "4A-001F"),
    ("UPDATE setting SET value = 'a4'", "journal-differs", "setting paper"),
    ("UPDATE item SET cost = -1 WHERE id = 1", "amount", "4A-001F"),
    ("UPDATE item SET bought = '2026-02-30' WHERE id = 1", "day", "4A-001F"),
    ("INSERT INTO expense (day, amount, what) VALUES ('soon', 3, 'boxes')", "day", "expense 1"),
    ("DELETE FROM item WHERE id = 3; DELETE FROM name WHERE item = 3", "row-missing", "item 3"),
    ("DELETE FROM item WHERE id = 3; DELETE FROM name WHERE item = 3", "reference", "label"),
    ("UPDATE label SET payload = '4A009X' WHERE item = 1", "label-code", "run 1, label 4"),
    ("DELETE FROM run", "label-run", "run 1, label 1"),
    ("UPDATE name SET old = 'K 118' WHERE old = 'K 117'", "old-code", "K 118"),
    (
        "INSERT INTO item_words (item_words, rowid, words) VALUES ('delete', 1, 'Copper jam pan')",
        "words-index",
        "item_words",
    ),
    ("UPDATE change SET undone_by = NULL WHERE undone_by IS NOT NULL", "undo-mark", "change 9"),
    ("DELETE FROM journal WHERE action = 'item moved' AND item = 1", "journal-differs", "4A-001F"),
    ("DELETE FROM journal WHERE action = 'item moved' AND item = 1", "change-empty", "change 7"),
    ("DELETE FROM journal WHERE item = 2", "journal-missing", "4A-002C"),
];

#[test]
fn damage_on_purpose_is_found() {
    let whole = desk();
    whole.run("backup whole.db").done();
    let bytes = whole.read("whole.db");
    for (sql, kind, at) in DAMAGE {
        let desk = Desk::empty();
        desk.file(REGISTER, &bytes);
        damage(&desk, &format!("{NO_JOURNAL_GUARDS} {sql}"));
        let found = problems(&desk);
        let hit = found.iter().any(|problem| problem["kind"] == kind && problem["where"].as_str() == Some(at));
        assert!(hit, "{sql}: no {kind} at {at} in {found:#?}");
    }
}

/// The database keeps codes apart itself; here it is told not to.
#[test]
fn two_items_with_one_code_are_found() {
    let desk = desk();
    damage(
        &desk,
        "PRAGMA writable_schema = ON;
         UPDATE sqlite_schema SET sql = replace(sql, 'payload  TEXT UNIQUE', 'payload  TEXT') WHERE name = 'item';
         DELETE FROM sqlite_schema WHERE name = 'sqlite_autoindex_item_1';
         PRAGMA writable_schema = RESET;",
    );
    damage(&desk, "UPDATE item SET payload = '4A001F' WHERE id = 2");
    let found = problems(&desk);
    assert!(found.iter().any(|problem| problem["kind"] == "code-twice" && problem["where"] == "4A-001F"), "{found:#?}");
}

/// SQLite file format: pages of 4096 bytes, the first of which has the structure. Bytes are flipped in the pages behind.
#[test]
fn flipped_bytes_are_found() {
    let desk = desk();
    desk.run("backup whole.db").done();
    let whole = desk.read("whole.db");
    let mut found = 0;
    let pages = whole.len() / 4096;
    for page in (1..pages).step_by(3) {
        let mut bytes = whole.clone();
        // The header of the page, and its middle.
        for at in [0, 3, 5, 2048] {
            bytes[page * 4096 + at] ^= 0x5a;
        }
        desk.file(REGISTER, &bytes);
        let answer = desk.run("--json check").any_code().any_stderr().done();
        assert!(!answer.stderr.contains("panicked"), "{}", answer.stderr);
        found += i32::from(answer.code == 1);
    }
    let tried = (1..pages).step_by(3).count();
    // A page that is free has nothing in it to be found.
    assert!(tried > 15 && found as usize >= tried - 1, "{found} of {tried}");
}

#[test]
fn a_person_is_told_what_and_where_and_what_to_try() {
    let desk = desk();
    damage(&desk, "UPDATE bin SET next_serial = 3 WHERE payload = '4A00R'");
    let told = "4A: its next item would get a code that was given already [serial]
  try: restore a backup before anything else is entered: a code would be given twice
1 problem found\n";
    desk.run("check").code(1).stdout(told).done();
}

#[test]
fn of_many_problems_the_first_are_told() {
    let desk = Desk::with_bins();
    let rows: String = (0..60).map(|number| format!("Egg cup no {number}\n")).collect();
    desk.file("buys.csv", format!("title\n{rows}")).run("item import buys.csv --bin 4A").done();
    damage(&desk, "UPDATE item SET cost = 1");
    let found = problems(&desk);
    assert_eq!(found.len(), 21);
    assert_eq!(found[20]["what"], "40 more of this kind");
}

#[test]
fn a_check_leaves_nothing_behind() {
    let desk = desk();
    let files = names_in(&desk.path(""));
    let bytes = desk.read(REGISTER);
    desk.run("check").done();
    assert_eq!((names_in(&desk.path("")), desk.read(REGISTER) == bytes), (files, true));
}
