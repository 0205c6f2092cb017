//! A register on a disk that may not be written to, or that is full: what it knows can be asked for, and nothing is lost

use std::process::Output;

use rusqlite::Connection;
use serde_json::{Value, json};

use super::{
    support::{Desk, REGISTER, number},
    tools::{in_own_mounts, not_allowed},
};

/// What only asks.
const QUESTIONS: [&str; 9] = [
    "item list",
    "item list --untagged",
    "bin list",
    "bin show 4A",
    "find jam",
    "find 4A-001F",
    "history 4A-001F",
    "area list",
    "set",
];

/// What changes something.
const CHANGES: [&str; 6] = [
    "put 4A-001F --in 4C",
    "item add Ladle --bin 4B",
    "area add 5 Shed",
    "undo",
    "set paper letter",
    "item edit 4A-001F --cost 2",
];

const NO_MOUNTS: &str = "no mounts of one's own are allowed here (unshare, mount)";
const READ_ONLY: &str = "mount --bind disk disk && mount -o remount,ro,bind disk";

fn desk() -> Desk {
    let desk = Desk::with_items();
    desk.run("item edit 4A-002C --cost 2").done();
    std::fs::create_dir(desk.path("disk")).unwrap();
    std::fs::copy(desk.path(REGISTER), desk.path("disk/register.db")).unwrap();
    desk
}

fn program(words: &str) -> String {
    format!("\"$STOWMARK\" --json --register disk/register.db {words}")
}

/// Runs a command after the disk was made what it is.
fn on(desk: &Desk, disk: &str, words: &str) -> Option<Output> {
    let output = in_own_mounts(&desk.path(""), &format!("{disk}\n{}", program(words)));
    if output.is_none() {
        not_allowed(NO_MOUNTS);
    }
    output
}

fn told(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[track_caller]
fn answer(output: &Output) -> Value {
    assert!(output.status.success(), "{output:?}");
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn a_register_on_a_disk_for_reading_only_answers() {
    let desk = desk();
    let bytes = desk.read("disk/register.db");
    for words in QUESTIONS {
        let Some(output) = on(&desk, READ_ONLY, words) else { return };
        assert_eq!(answer(&output), desk.json(words), "{words}");
        assert_eq!(told(&output), "", "{words}");
    }
    for words in CHANGES {
        let Some(output) = on(&desk, READ_ONLY, words) else { return };
        assert_eq!(output.status.code(), Some(1), "{words}: {output:?}");
        let why = "the register may not be written to; check the rights of the file and its folder";
        assert!(told(&output).contains(why) && output.stdout.is_empty(), "{words}: {}", told(&output));
    }
    let checked = on(&desk, READ_ONLY, "check").unwrap();
    assert_eq!((&answer(&checked)["ok"], answer(&checked)["skipped"].as_array().unwrap().len()), (&json!(true), 1));
    let copied = on(&desk, READ_ONLY, "backup copy.db").unwrap();
    assert!(copied.status.success(), "{copied:?}");
    assert_eq!(desk.read("disk/register.db"), bytes);
}

/// Only the file may not be written to, as on a share with rights of its own.
#[test]
fn a_file_for_reading_only_in_a_folder_that_may_be_written_to_answers() {
    let desk = desk();
    let disk = "mount --bind disk/register.db disk/register.db && mount -o remount,ro,bind disk/register.db";
    for words in QUESTIONS {
        let Some(output) = on(&desk, disk, words) else { return };
        assert_eq!(answer(&output), desk.json(words), "{words}");
    }
    for words in CHANGES {
        let Some(output) = on(&desk, disk, words) else { return };
        assert_eq!(output.status.code(), Some(1), "{words}: {output:?}");
        assert!(told(&output).contains("may not be written to"), "{words}: {}", told(&output));
    }
}

/// A program was killed, and then its disk came back for reading only: what it had said to be saved lies in the log.
#[test]
fn a_log_that_is_not_folded_in_is_read_or_told_and_never_passed_over() {
    let desk = desk();
    let other = Connection::open(desk.path(REGISTER)).unwrap();
    assert_eq!(number(&other, "SELECT count(*) FROM item"), 3);
    desk.run("item add 'Last ladle' --bin 4B").done();
    for end in ["", "-wal", "-shm"] {
        std::fs::copy(desk.path(&format!("{REGISTER}{end}")), desk.path(&format!("disk/{REGISTER}{end}"))).unwrap();
    }
    drop(other);
    let Some(output) = on(&desk, READ_ONLY, "find ladle") else { return };
    assert_eq!(answer(&output)["matches"][0]["title"], "Last ladle");
    std::fs::remove_file(desk.path("disk/register.db-shm")).unwrap();
    let Some(output) = on(&desk, READ_ONLY, "find ladle") else { return };
    let why = "its last changes still lie in a file beside it that ends in -wal";
    assert!(output.status.code() == Some(1) && told(&output).contains(why), "{output:?}");
}

/// 1 MB, filled to its last byte.
const FULL: &str =
    "mkdir saved && cp disk/* saved && mount -t tmpfs -o size=1m none disk && cp saved/* disk && rm -r saved
    dd if=/dev/zero of=disk/fill bs=1k 2>/dev/null || true";

#[test]
fn a_register_on_a_full_disk_answers_and_loses_nothing() {
    let desk = desk();
    for words in QUESTIONS {
        let Some(output) = on(&desk, FULL, words) else { return };
        assert_eq!(answer(&output), desk.json(words), "{words}");
    }
    for words in CHANGES {
        let script = format!("{FULL}\n{} || code=$?; cp disk/register.db after.db; exit ${{code:-0}}", program(words));
        let Some(output) = in_own_mounts(&desk.path(""), &script) else { return };
        assert_eq!(output.status.code(), Some(1), "{words}: {output:?}");
        assert!(told(&output).starts_with("error: "), "{words}: {}", told(&output));
        assert!(
            ["the disk is full", "may not be written to"].iter().any(|why| told(&output).contains(why)),
            "{}",
            told(&output)
        );
        assert_eq!(desk.read("after.db"), desk.read("disk/register.db"), "{words}");
    }
}

/// A session on a disk that fills up: what was acknowledged is there afterwards, and what was refused is not.
#[test]
fn a_session_on_a_disk_that_fills_up_keeps_what_it_acknowledged() {
    let desk = desk();
    let signs = super::support::strings(&desk.register(), "SELECT payload FROM bin ORDER BY rank");
    let readings: String = (0..400).map(|at| format!("{}\n4A001F\n", signs[1 + at % 3])).collect();
    desk.file("readings", readings);
    let script = format!(
        "mkdir saved && cp disk/* saved && mount -t tmpfs -o size=900k none disk && cp saved/* disk && rm -r saved
        code=0; {} <readings >answers || code=$?; cp disk/register.db* . && rm -f register.db-shm; exit $code",
        program("stow")
    );
    let Some(output) = in_own_mounts(&desk.path(""), &script) else {
        return not_allowed(NO_MOUNTS);
    };
    let answers = String::from_utf8(desk.read("answers")).unwrap();
    let moves = answers.lines().filter(|line| line.contains(r#""moved":[{"#)).count();
    let there = number(&desk.register(), "SELECT count(*) FROM journal WHERE action = 'item moved'");
    println!("{moves} moves acknowledged; exit {:?}, {}", output.status.code(), told(&output));
    assert_eq!(usize::try_from(there).unwrap(), moves);
    desk.run("check").done();
}
