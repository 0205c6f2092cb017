//! A print run that a crash cut off at each of its points: at the next start there is the finished file and its run, or
//! neither, and the user is told

use rusqlite::Connection;
use serde_json::{Value, json};

use super::support::{Desk, REGISTER, number};

/// Three items printed as run 1 into `tags.pdf`, and the run's row as if its end had never been written.
fn cut_off() -> Desk {
    let desk = Desk::with_items();
    desk.run("tag --out tags.pdf").done();
    unfinish(&desk);
    desk
}

fn unfinish(desk: &Desk) {
    let register = Connection::open(desk.path(REGISTER)).unwrap();
    register.execute("UPDATE run SET state = 'writing' WHERE id = (SELECT max(id) FROM run)", []).unwrap();
    register.close().unwrap();
}

/// The temporary file that the last run noted.
fn temporary(desk: &Desk) -> String {
    let sql = "SELECT temporary FROM run ORDER BY id DESC LIMIT 1";
    let path: String = desk.register().query_row(sql, [], |row| row.get(0)).unwrap();
    std::path::Path::new(&path).file_name().unwrap().to_string_lossy().into_owned()
}

const TAKEN_BACK: &str = "run 0001 was cut off before its file was in place: it was taken back, print again \
    ([folder]/tags.pdf)\n";
const FINISHED: &str = "run 0001 was cut off, but its file is whole: it counts as printed ([folder]/tags.pdf)\n";

/// The next start tells; the one after it has nothing left to tell.
fn assert_settled(desk: &Desk, told: &str, files: &[&str], runs: i64) {
    let start = desk.run("--json item list --untagged").stderr(told).done().json();
    let untagged = if runs == 0 { desk.json("item list")["items"].clone() } else { json!([]) };
    assert_eq!(start["items"], untagged);
    assert_eq!(desk.files(), files);
    let register = desk.register();
    assert_eq!(number(&register, "SELECT count(*) FROM run WHERE state = 'done'"), runs);
    assert_eq!(number(&register, "SELECT count(*) FROM run"), runs);
    assert_eq!(number(&register, "SELECT count(*) FROM label"), 3 * runs);
    desk.run("item list").done();
}

#[test]
fn begun_without_a_file() {
    let desk = cut_off();
    std::fs::remove_file(desk.path("tags.pdf")).unwrap();
    assert_settled(&desk, TAKEN_BACK, &[], 0);
}

#[test]
fn with_its_temporary_file_written() {
    let desk = cut_off();
    std::fs::rename(desk.path("tags.pdf"), desk.path(&temporary(&desk))).unwrap();
    assert_settled(&desk, TAKEN_BACK, &[], 0);
}

#[test]
fn with_its_temporary_file_half_written() {
    let desk = cut_off();
    let half = desk.read("tags.pdf")[..700].to_vec();
    std::fs::remove_file(desk.path("tags.pdf")).unwrap();
    desk.file(&temporary(&desk), half);
    assert_settled(&desk, TAKEN_BACK, &[], 0);
}

#[test]
fn with_its_file_in_place() {
    assert_settled(&cut_off(), FINISHED, &["tags.pdf"], 1);
}

/// Bytes that the program did not write may be the user's: they are not removed, but they are no run.
#[test]
fn with_other_bytes_in_its_place() {
    let desk = cut_off();
    let half = desk.read("tags.pdf")[..700].to_vec();
    desk.file("tags.pdf", &half);
    assert_settled(&desk, TAKEN_BACK, &["tags.pdf"], 0);
    assert_eq!(desk.read("tags.pdf"), half);
}

/// The file that was to be replaced is still there, whole.
#[test]
fn before_it_replaced_an_older_file() {
    let desk = Desk::with_items();
    desk.file("tags.pdf", "older").run("tag --out tags.pdf --force").done();
    unfinish(&desk);
    std::fs::rename(desk.path("tags.pdf"), desk.path(&temporary(&desk))).unwrap();
    desk.file("tags.pdf", "older");
    assert_settled(&desk, TAKEN_BACK, &["tags.pdf"], 0);
    assert_eq!(desk.read("tags.pdf"), b"older");
}

#[test]
fn what_was_taken_back_is_printed_by_the_next_run() {
    let desk = cut_off();
    std::fs::remove_file(desk.path("tags.pdf")).unwrap();
    let printed = desk.run("--json tag").stderr(TAKEN_BACK).done().json();
    assert_eq!(
        (&printed["labels"], &printed["run"], &printed["file"]),
        (&json!(3), &json!(2), &json!("tags-0002.pdf"))
    );
}

#[test]
fn what_was_finished_is_not_printed_again() {
    let desk = cut_off();
    desk.run("item add Ladle --bin 4B").stderr(FINISHED).done();
    let printed = desk.json("tag");
    assert_eq!((&printed["labels"], &printed["placed"][0]["payload"]), (&json!(1), &json!("4B001J")));
}

#[test]
fn settling_is_in_the_journal() {
    let desk = cut_off();
    std::fs::remove_file(desk.path("tags.pdf")).unwrap();
    desk.run("area list").stderr(TAKEN_BACK).done();
    let sql = "SELECT json_array(action, before ->> 'run', before ->> 'kind', before ->> 'labels')
        FROM journal ORDER BY id DESC LIMIT 1";
    let last: String = desk.register().query_row(sql, [], |row| row.get(0)).unwrap();
    assert_eq!(serde_json::from_str::<Value>(&last).unwrap(), json!(["run taken back", 1, "tags", 3]));
}

#[test]
fn several_runs_are_settled_at_once() {
    let desk = Desk::with_items();
    desk.run("tag --out tags.pdf").done();
    desk.run("sign --out signs.pdf").done();
    let register = Connection::open(desk.path(REGISTER)).unwrap();
    register.execute("UPDATE run SET state = 'writing'", []).unwrap();
    register.close().unwrap();
    std::fs::remove_file(desk.path("signs.pdf")).unwrap();
    let told = format!("{FINISHED}{}", TAKEN_BACK.replace("0001", "0002").replace("tags", "signs"));
    desk.run("area list").stderr(&told).done();
    assert_eq!(number(&desk.register(), "SELECT sum(id) FROM run"), 1);
}

/// A drive that is not there tells nothing: the run stays as it is until somebody can look.
#[test]
fn a_file_that_can_not_be_looked_at_stays_open() {
    let desk = Desk::with_items();
    std::fs::create_dir(desk.path("drive")).unwrap();
    desk.run("tag --out drive/tags.pdf").done();
    unfinish(&desk);
    std::fs::rename(desk.path("drive"), desk.path("away")).unwrap();
    for _ in 0..2 {
        desk.run("area list").stderr_has(&["run 0001 was cut off, and its file can't be looked at now"]).done();
    }
    std::fs::rename(desk.path("away"), desk.path("drive")).unwrap();
    desk.run("area list").stderr_has(&["its file is whole: it counts as printed"]).done();
    desk.run("tag").code(3).done();
}

/// The next run goes where the one that was taken back would have gone, also on a sheet that was described by hand.
#[test]
fn a_run_that_is_taken_back_frees_its_slots() {
    let desk = Desk::with_items();
    desk.run("tag 4A-001F --sheet a4-3x7 --out one.pdf").done();
    desk.run("tag --sheet a4-3x7 --from 9 --out tags.pdf").any_stderr().done();
    unfinish(&desk);
    std::fs::remove_file(desk.path("tags.pdf")).unwrap();
    desk.run("area list").any_stderr().done();
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM spent"), 0);
    assert_eq!(desk.json("sheet show a4-3x7")["spent"], json!([1]));
    assert_eq!(desk.json("tag --sheet a4-3x7")["placed"][0]["slot"], 2);
}

/// Nobody can tell whether a run that can't be settled came out of the printer: it is neither cancelled nor printed
/// again, and its slots count as spent.
#[test]
fn a_run_that_stays_open_keeps_its_slots() {
    let desk = Desk::with_items();
    std::fs::create_dir(desk.path("drive")).unwrap();
    desk.run("tag --out drive/tags.pdf").done();
    unfinish(&desk);
    std::fs::rename(desk.path("drive"), desk.path("away")).unwrap();
    for words in ["run cancel 1", "reprint 1"] {
        desk.run(words).refused_with(&["run 0001 was cut off and is not settled yet"]).done();
    }
    let printed = desk.run("--json tag 4A-001F").any_stderr().done().json();
    assert_eq!(printed["placed"][0]["slot"], 4);
}
