//! `restore` killed at any moment: the old register is there, or the new one, and it is whole

use std::{
    thread::sleep,
    time::{Duration, Instant},
};

use serde_json::json;

use super::support::{Desk, REGISTER};

fn rows(word: &str, count: usize) -> String {
    (0..count).fold(String::from("title,cost\n"), |csv, number| csv + &format!("{word} no {number},3.50\n"))
}

/// A register of 400 egg cups, and the backup of one with 600 ladles besides.
fn desk() -> (Desk, Vec<String>, Vec<String>) {
    let desk = Desk::with_bins();
    desk.file("cups.csv", rows("Egg cup", 400)).run("item import cups.csv --bin 4A").done();
    let old = desk.dump();
    desk.run("backup old.db").done();
    desk.file("ladles.csv", rows("Ladle", 600)).run("item import ladles.csv --bin 4B").done();
    desk.run("backup new.db").done();
    let new = desk.dump();
    desk.run("restore old.db").done();
    (desk, old, new)
}

fn kill_after(desk: &Desk, wait: Duration) {
    let mut child = desk.run("restore new.db").spawn();
    sleep(wait);
    child.kill().unwrap();
    child.wait().unwrap();
}

#[test]
fn killed_it_leaves_the_old_register_or_the_new_one() {
    let (desk, old, new) = desk();
    let start = Instant::now();
    desk.run("restore new.db").done();
    let whole = start.elapsed();
    assert_eq!(desk.dump(), new);
    let mut outcomes = [0, 0];
    for at in 0..25 {
        desk.run("restore old.db").done();
        kill_after(&desk, whole * (2 * at + 1) / 50);
        assert_eq!(desk.json("check"), json!({"ok": true, "problems": []}));
        let present = desk.dump();
        assert!(present == old || present == new, "neither the old register nor the new one");
        outcomes[usize::from(present == new)] += 1;
    }
    println!("old {}, new {}", outcomes[0], outcomes[1]);
    assert!(outcomes[0] > 0, "never killed in time");
    desk.run("restore old.db").done();
    assert!(!desk.files().iter().any(|name| name.contains("restoring")), "{:?}", desk.files());
}

/// A damaged register can't be overwritten in one transaction: it is replaced by one renaming.
#[test]
fn killed_over_a_damaged_register_it_leaves_that_one_or_the_new_one() {
    let (desk, _, new) = desk();
    let mut damaged = desk.read("old.db");
    damaged[..200].fill(0);
    for at in 0..15_u32 {
        desk.file(REGISTER, &damaged);
        kill_after(&desk, Duration::from_millis(12) * at);
        if desk.read(REGISTER) != damaged {
            assert_eq!(desk.dump(), new);
        }
    }
    desk.run("restore new.db").done();
    assert_eq!(desk.dump(), new);
}
