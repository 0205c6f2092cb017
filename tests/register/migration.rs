//! A register of the first version, brought up to date by the next command

use rusqlite::Connection;
use serde_json::json;

use super::support::{Desk, REGISTER, number, strings};

const FIRST: &str = include_str!("../../src/register/migrations/001_first.sql");

/// As the first version left it: a bin, two items, three runs, of which the second was taken back and took its number
/// with it. Three tags on a4-3x7, then 23 of which two lie on a second page; a sign on a roll.
const DATA: &str = "
    INSERT INTO area VALUES (4, 'Loft', 1);
    INSERT INTO spot VALUES (1, 4, 'rack 1', 1);
    INSERT INTO bin VALUES (1, 4, 0, '4A00R', 1, 3);
    INSERT INTO name VALUES ('4A00R', NULL, 1);
    INSERT INTO item VALUES (1, '4A001F', 1, 'Copper jam pan', 'Copper jam pan', 350, NULL, NULL, 'held'),
                            (2, '4A002C', 1, 'Board game', 'Board game', NULL, NULL, NULL, 'held');
    INSERT INTO name VALUES ('4A001F', 1, NULL), ('4A002C', 2, NULL);
    INSERT INTO run VALUES (1, '2026-11-20T10:00:00.000Z', 'tags', 'done', '/gone/1.pdf', '/gone/1', 'a', 'a4-3x7', 300.0, 1),
                           (3, '2026-11-21T10:00:00.000Z', 'tags', 'done', '/gone/3.pdf', '/gone/3', 'b', 'a4-3x7', 300.0, 2),
                           (4, '2026-11-22T10:00:00.000Z', 'signs', 'done', '/gone/4.pdf', '/gone/4', 'c', 'roll-57x32', 203.0, 1);
    WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 23)
        INSERT INTO label SELECT 3, i, 1 + (i > 21), CASE WHEN i > 21 THEN i - 21 ELSE i END, '4A001F', 'qr', 1, NULL,
            '{\"code\":\"4A-001F\",\"bin\":\"4A\",\"title\":\"Copper jam pan\"}' FROM n;
    INSERT INTO label SELECT 1, number, page, slot, payload, symbols, item, bin, said FROM label WHERE number <= 3;
    INSERT INTO label VALUES (4, 1, 1, 1, '4A00R', 'qr', NULL, 1, '{\"code\":\"4A\",\"area_name\":\"Loft\",\"spot\":null}');
    UPDATE sqlite_sequence SET seq = 6 WHERE name = 'run';
    INSERT INTO journal (at, action) VALUES ('2026-11-20T10:00:00.000Z', 'area added');
    PRAGMA application_id = 0x53544f57;
    PRAGMA user_version = 1;";

fn first_version(data: &str) -> Desk {
    let desk = Desk::empty();
    let register = Connection::open(desk.path(REGISTER)).unwrap();
    register.execute_batch(FIRST).unwrap();
    register.execute_batch(data).unwrap();
    register.close().unwrap();
    desk
}

fn assert_whole(desk: &Desk) {
    let register = desk.register();
    assert_eq!(strings(&register, "SELECT integrity_check FROM pragma_integrity_check"), ["ok"]);
    assert_eq!(number(&register, "SELECT count(*) FROM pragma_foreign_key_check"), 0);
    let tables = strings(&register, "SELECT DISTINCT \"table\" FROM pragma_foreign_key_list('label') ORDER BY 1");
    assert_eq!(tables, ["area", "bin", "item", "run", "spot"]);
    assert_eq!(number(&register, "SELECT count(*) FROM sqlite_schema WHERE name LIKE '%new_%'"), 0);
}

#[test]
fn runs_and_labels_are_kept() {
    let desk = first_version(DATA);
    let runs = desk.json("run list")["runs"].clone();
    let part =
        |at: usize| json!(["run", "kind", "labels", "pages", "sheet", "state"].map(|name| runs[at][name].clone()));
    assert_eq!(part(0), json!([1, "tags", 3, 1, "a4-3x7", "done"]));
    assert_eq!(part(1), json!([3, "tags", 23, 2, "a4-3x7", "done"]));
    assert_eq!(part(2), json!([4, "signs", 1, 1, "roll-57x32", "done"]));
    let shown = desk.json("run show 1");
    assert_eq!(shown["placed"][2]["said"]["title"], "Copper jam pan");
    assert_whole(&desk);
    // The row that was there, and the state from which the journal goes on.
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM journal WHERE change IS NULL AND subject IS NULL"), 1);
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM journal WHERE action = 'carried over'"), 5);
}

/// In the first version each run began on a fresh sheet, so the last page of the last run is the sheet in use.
#[test]
fn the_last_page_is_the_sheet_in_use() {
    let desk = first_version(DATA);
    assert_eq!(desk.json("sheet show a4-3x7")["spent"], json!([1, 2]));
    let sheets = "SELECT group_concat(DISTINCT run || ':' || coalesce(sheet_no, 'none')) FROM label";
    assert_eq!(strings(&desk.register(), sheets), ["1:1,3:2,3:3,4:none"]);
    // Numbers of runs that were taken back are not given again.
    let printed = desk.json("tag --sheet a4-3x7");
    let first = &printed["placed"][0];
    assert_eq!(json!([printed["run"], first["payload"], first["slot"]]), json!([7, "4A002C", 3]));
    assert_eq!(desk.json("reprint 3 --slots 2:1")["placed"][0]["slot"], 4);
    desk.run("run cancel 3").done();
    assert_eq!(desk.json("sheet show a4-3x7")["spent"], json!([3, 4]));
}

#[test]
fn a_register_whose_runs_were_all_taken_back_goes_on_counting() {
    let data = DATA.replace("UPDATE sqlite_sequence", "DELETE FROM label; DELETE FROM run; UPDATE sqlite_sequence");
    let desk = first_version(&data);
    assert_eq!(desk.json("tag")["run"], 7);
    assert_whole(&desk);
}

#[test]
fn a_register_that_never_printed_begins_with_run_1() {
    let desk = first_version("PRAGMA application_id = 0x53544f57; PRAGMA user_version = 1;");
    desk.run("area add 4 Loft").done();
    desk.run("bin add 4").done();
    assert_eq!(desk.json("sign")["run"], 1);
    assert_whole(&desk);
}

/// A run that a crash of the first version left half-way is settled by this one.
#[test]
fn a_run_that_was_cut_off_is_settled() {
    let desk = first_version(DATA);
    let register = Connection::open(desk.path(REGISTER)).unwrap();
    let target = desk.path("signs.pdf");
    let sql = "UPDATE run SET state = 'writing', target = ?1, temporary = ?1 WHERE id = 4";
    register.execute(sql, [target.to_str().unwrap()]).unwrap();
    register.close().unwrap();
    desk.run("area list").stderr_has(&["run 0004 was cut off before its file was in place: it was taken back"]).done();
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM run"), 2);
    assert_eq!(desk.json("sign")["labels"], 1);
}

/// The changes up to the fifth version as they were released, and one that was made then.
const TO_FIFTH: &str = concat!(
    include_str!("../../src/register/migrations/002_runs.sql"),
    include_str!("../../src/register/migrations/003_printers.sql"),
    include_str!("../../src/register/migrations/004_fonts.sql"),
    include_str!("../../src/register/migrations/005_trading.sql"),
    "INSERT INTO change (id, at, what, first_row)
        SELECT 1, '2026-11-23T10:00:00.000Z', 'edit 4A-001F', 1 + max(id) FROM journal;
     INSERT INTO journal (change, at, action, subject, key, item, bin, before, after)
        VALUES (1, '2026-11-23T10:00:00.000Z', 'item edited', 'item', 1, 1, 1, '{\"cost\":350}', '{\"cost\":400}');
     UPDATE item SET cost = 400 WHERE id = 1;
     PRAGMA user_version = 5;"
);

#[test]
fn a_register_of_the_fifth_version_goes_on() {
    let desk = first_version(DATA);
    let register = Connection::open(desk.path(REGISTER)).unwrap();
    register.execute_batch(TO_FIFTH).unwrap();
    register.close().unwrap();
    desk.run("check").done();
    assert_whole(&desk);
    // The second item has no tag, so that only the first one would need another.
    desk.run("bin add 4").done();
    desk.run("put 4A-001F --in 4B").done();
    let stale = desk.json("stale");
    assert_eq!(stale["moved"]["tags"], 1);
    // The sign was printed without the spot.
    assert_eq!(stale["stale"][0]["reasons"], json!(["spot: stands at rack 1 now"]));
    desk.run("undo --last 3").done();
    assert_eq!(desk.json("find 4A-001F")["matches"][0]["cost"], "3.50");
    desk.run("check").done();
}
