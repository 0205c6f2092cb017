//! The program killed at any moment: the next start works, and finds all of a change or nothing of it

use std::{
    process::Child,
    thread::sleep,
    time::{Duration, Instant},
};

use rusqlite::Connection;

use super::support::{Desk, REGISTER, number, strings};

/// A register that a killed program left is whole, after any command has looked into it.
fn assert_whole(desk: &Desk) {
    let register = Connection::open(desk.path(REGISTER)).unwrap();
    assert_eq!(strings(&register, "SELECT integrity_check FROM pragma_integrity_check"), ["ok"]);
    assert_eq!(number(&register, "SELECT count(*) FROM pragma_foreign_key_check"), 0);
    // SQLite documentation, FTS5 "integrity-check" command: fails when the index and the titles differ.
    register.execute("INSERT INTO item_words (item_words, rank) VALUES ('integrity-check', 1)", []).unwrap();
    register.close().unwrap();
}

/// Kills the program after a while, unless it has ended by then.
fn kill_after(mut child: Child, wait: Duration) {
    sleep(wait);
    kill(&mut child);
}

fn kill(child: &mut Child) {
    child.kill().unwrap();
    child.wait().unwrap();
}

/// Kills the program as soon as a file with this end of its name shows, or lets it end.
fn kill_at_sight(desk: &Desk, mut child: Child, end: &str) {
    let is_there = || desk.files().iter().any(|name| name.ends_with(end));
    while child.try_wait().unwrap().is_none() && !is_there() {
        std::thread::yield_now();
    }
    kill(&mut child);
}

/// So many moments, evenly spread over the time that one whole run takes here.
fn moments(whole: Duration, count: u32) -> impl Iterator<Item = Duration> {
    (0..count).map(move |at| whole * (2 * at + 1) / (2 * count))
}

fn rows(count: usize) -> String {
    (0..count).fold(String::from("title,cost\n"), |csv, number| csv + &format!("Egg cup no {number},3.50\n"))
}

#[test]
fn while_printing_there_is_the_file_and_its_run_or_neither() {
    let desk = Desk::with_bins();
    desk.file("buys.csv", rows(2000)).run("item import buys.csv --bin 4A").done();
    let start = Instant::now();
    desk.run("tag --all --out whole.pdf").done();
    let whole = desk.read("whole.pdf");
    for wait in moments(start.elapsed(), 9) {
        kill_after(desk.run("tag --all --fresh-sheet --out tags.pdf").spawn(), wait);
        assert_all_or_nothing(&desk, &whole);
    }
    // The temporary file, and then the file in its place before its run is marked done.
    for end in [".part", "tags.pdf", ".part", "tags.pdf", ".part", "tags.pdf"] {
        kill_at_sight(&desk, desk.run("tag --all --fresh-sheet --out tags.pdf").spawn(), end);
        assert_all_or_nothing(&desk, &whole);
    }
}

fn assert_all_or_nothing(desk: &Desk, whole: &[u8]) {
    desk.run("area list").any_stderr().done();
    let sql = "SELECT count(*) FROM run WHERE target LIKE '%tags.pdf' AND state = 'done'";
    let (runs, path) = (number(&desk.register(), sql), desk.path("tags.pdf"));
    assert_eq!(runs > 0, path.exists());
    assert!(runs == 0 || desk.read("tags.pdf") == whole, "a file of other bytes");
    assert!(!desk.files().iter().any(|name| name.contains(".part")), "{:?}", desk.files());
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM run WHERE state <> 'done'"), 0);
    assert_whole(desk);
    forget(desk);
}

/// So that the next round begins as this one did.
fn forget(desk: &Desk) {
    let _ = std::fs::remove_file(desk.path("tags.pdf"));
    let register = Connection::open(desk.path(REGISTER)).unwrap();
    let runs = "(SELECT id FROM run WHERE target LIKE '%tags.pdf')";
    register.execute(&format!("DELETE FROM label WHERE run IN {runs}"), []).unwrap();
    register.execute(&format!("DELETE FROM run WHERE id IN {runs}"), []).unwrap();
    register.close().unwrap();
}

#[test]
fn while_importing_all_rows_come_in_or_none() {
    let desk = Desk::with_bins();
    desk.file("buys.csv", rows(20_000));
    let start = Instant::now();
    desk.run("item import buys.csv --bin 4B").done();
    let mut expected = 20_000;
    for wait in moments(start.elapsed(), 15) {
        kill_after(desk.run("item import buys.csv --bin 4A --again").spawn(), wait);
        desk.run("area list").any_stderr().done();
        let items = number(&desk.register(), "SELECT count(*) FROM item");
        assert!(items == expected || items == expected + 20_000, "{items} items after {expected}");
        assert_eq!(number(&desk.register(), "SELECT sum(items) FROM import"), items);
        assert_eq!(number(&desk.register(), "SELECT count(*) FROM journal WHERE action = 'item added'"), items);
        assert_eq!(number(&desk.register(), "SELECT sum(next_serial - 1) FROM bin"), items);
        expected = items;
    }
    assert_whole(&desk);
}

/// A start that is cut off must never be in the way of the next one.
#[test]
fn while_making_the_register_the_next_start_makes_it() {
    let desk = Desk::empty();
    let start = Instant::now();
    desk.bare("--register whole.db area add 4 Loft").any_stderr().done();
    for wait in moments(start.elapsed(), 15) {
        kill_after(desk.run("area add 4 Loft").spawn(), wait);
        let next = desk.run("area add 5 Shed").any_stderr().done();
        assert!(next.stdout.starts_with("area 5 is Shed"));
        assert_whole(&desk);
        for name in desk.files().iter().filter(|name| name.starts_with(REGISTER)) {
            std::fs::remove_file(desk.path(name)).unwrap();
        }
        std::fs::remove_file(desk.path(REGISTER)).unwrap();
    }
}
