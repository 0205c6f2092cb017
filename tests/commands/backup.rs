//! `backup`, the daily backups, `restore`

use rusqlite::Connection;
use serde_json::{Value, json};

use super::support::{Desk, REGISTER, names_in, number};

const DAILY: &str = "register.db-backups";

fn today() -> String {
    jiff::ZonedDateTime::now().date().to_string()
}

fn daily(desk: &Desk) -> Vec<String> {
    if desk.path(DAILY).exists() { names_in(&desk.path(DAILY)) } else { Vec::new() }
}

fn titles(desk: &Desk) -> Vec<String> {
    super::support::strings(&desk.register(), "SELECT title FROM item ORDER BY id")
}

#[test]
fn a_backup_is_a_register_of_its_own() {
    let desk = Desk::with_items();
    let made = desk.json("backup copy.db");
    assert_eq!(made["bytes"], desk.read("copy.db").len());
    let copy = desk.bare("--register copy.db --json item list").done().json();
    assert_eq!(copy, desk.json("item list"));
    assert_eq!(desk.bare("--register copy.db --json check").done().json(), json!({"ok": true, "problems": []}));
    assert_eq!(desk.files().into_iter().filter(|name| !name.starts_with("copy.db")).count(), 0);
}

#[test]
fn a_backup_replaces_nothing_unasked() {
    let desk = Desk::with_items();
    desk.file("copy.db", "something");
    desk.run("backup copy.db")
        .refused("`[folder]/copy.db` is there already; give another name, or --force to replace it")
        .done();
    assert_eq!(desk.read("copy.db"), b"something");
    desk.run("backup copy.db --force").done();
    assert!(desk.read("copy.db").starts_with(b"SQLite format 3"));
    for own in [REGISTER, "register.db-wal", "register.db.lock"] {
        desk.run(&format!("backup {own} --force")).refused_with(&["is the register; give another name"]).done();
    }
    desk.run("backup no/such/copy.db").refused_with(&["no/such/copy.db` could not be written"]).done();
    std::fs::create_dir(desk.path("drive")).unwrap();
    desk.run("backup drive --force").refused_with(&["drive` is a folder"]).done();
    desk.run("item list").done();
}

/// What another program has not ended yet is not in it; all that was committed is.
#[test]
fn a_backup_is_made_while_others_work() {
    let desk = Desk::with_items();
    let other = Connection::open(desk.path(REGISTER)).unwrap();
    other.execute_batch("BEGIN IMMEDIATE; UPDATE item SET title = 'half' WHERE id = 1").unwrap();
    desk.run("backup copy.db").done();
    other.execute_batch("ROLLBACK").unwrap();
    let copy = Connection::open(desk.path("copy.db")).unwrap();
    assert_eq!(number(&copy, "SELECT count(*) FROM item WHERE title = 'half'"), 0);
    assert_eq!(number(&copy, "SELECT count(*) FROM item"), 3);
}

#[test]
fn the_first_change_of_a_day_makes_its_backup() {
    let desk = Desk::with_items();
    let name = format!("register-{}.db", today());
    assert_eq!(daily(&desk), [name.clone()]);
    // It is of the first command that changed something.
    let copy = Connection::open(desk.path(DAILY).join(&name)).unwrap();
    assert_eq!(number(&copy, "SELECT count(*) FROM bin"), 0);
    drop(copy);
    let listed = desk.json("backup list");
    assert_eq!((&listed["backups"][0]["day"], listed["backups"].as_array().unwrap().len()), (&json!(today()), 1));
}

#[test]
fn what_changes_nothing_makes_no_backup() {
    let desk = Desk::with_items();
    std::fs::remove_dir_all(desk.path(DAILY)).unwrap();
    for words in ["item list", "find jam", "bin list", "check", "history", "backup copy.db"] {
        desk.run(words).done();
    }
    desk.run("item add Pan --bin 9A").code(1).any_stderr().done();
    desk.run("put 4A-001F --in 4A").done();
    assert_eq!(daily(&desk), Vec::<String>::new());
    assert_eq!(desk.run("--json backup list").code(3).done().json(), json!({"backups": []}));
    desk.run("put 4A-001F --in 4B").done();
    assert_eq!(daily(&desk).len(), 1);
}

#[test]
fn the_last_14_are_kept_and_other_files_left_alone() {
    let desk = Desk::with_items();
    let own: Vec<String> = (1..=20).map(|day| format!("register-2026-01-{day:02}.db")).collect();
    let others = ["register-2026-01-01.db.old", "notes.txt", "stock-2026-01-01.db", ".register-2020-01-01.db.99.part"];
    for name in own.iter().map(String::as_str).chain(others) {
        desk.file(&format!("{DAILY}/{name}"), "x");
    }
    std::fs::remove_file(desk.path(DAILY).join(format!("register-{}.db", today()))).unwrap();
    desk.run("put 4A-001F --in 4B").done();
    let mut expected: Vec<String> = own[7..].to_vec();
    expected.extend([format!("register-{}.db", today()), "notes.txt".into(), others[0].into(), others[2].into()]);
    expected.sort();
    assert_eq!(daily(&desk), expected);
    assert_eq!(desk.json("backup list")["backups"].as_array().unwrap().len(), 14);
}

#[test]
fn daily_backups_can_be_turned_off() {
    let desk = Desk::empty();
    desk.run("set backups off").any_stderr().done();
    desk.run("area add 4 Loft").done();
    assert_eq!(daily(&desk), Vec::<String>::new());
    desk.run("set backups maybe").refused("`maybe` is neither on nor off").done();
    desk.run("set backups on").done();
    assert_eq!(daily(&desk).len(), 1);
}

/// What was asked for is done, whatever comes of the backup.
#[test]
fn a_daily_backup_that_fails_is_only_told() {
    let desk = Desk::empty();
    desk.file(DAILY, "in the way");
    let answer = desk.run("area add 4 Loft").any_stderr().done();
    assert!(answer.stderr.contains("today's backup was not made: "), "{}", answer.stderr);
    assert_eq!(desk.json("area list")["areas"][0]["area"], 4);
}

fn replaced(answer: &Value) -> String {
    let path = answer["replaced"].as_str().unwrap();
    path.rsplit('/').next().unwrap().to_owned()
}

#[test]
fn a_backup_is_put_back_and_the_replaced_one_kept() {
    let desk = Desk::with_items();
    desk.run("backup copy.db").done();
    let before = desk.dump();
    desk.run("item add Ladle --bin 4B").done();
    let answer = desk.json("restore copy.db");
    assert_eq!(desk.dump(), before);
    let kept = replaced(&answer);
    assert!(kept.starts_with("register-replaced-20") && kept.ends_with(".db") && kept.len() == 37, "{kept}");
    let old = desk.bare("--json item list --register").args(&[&kept]).done().json();
    assert_eq!(old["items"].as_array().unwrap().len(), 4);
    // A second one within the minute does not take its name.
    let again = replaced(&desk.json("restore copy.db"));
    assert_ne!(again, kept);
    desk.run("check").done();
    assert!(!desk.files().iter().any(|name| name.contains("restoring")), "{:?}", desk.files());
}

#[test]
fn a_missing_register_is_put_back() {
    let desk = Desk::with_items();
    let before = desk.dump();
    desk.run("backup copy.db").done();
    std::fs::remove_file(desk.path(REGISTER)).unwrap();
    assert_eq!(desk.json("restore copy.db")["replaced"], Value::Null);
    assert_eq!(desk.dump(), before);
    let told = desk.bare("--register new/place/stock.db restore copy.db").done().stdout;
    assert!(told.starts_with("restored: [folder]/new/place/stock.db is now as in copy.db"), "{told}");
    desk.bare("--register new/place/stock.db check").done();
}

#[test]
fn a_damaged_register_is_replaced_and_kept_as_it_is() {
    let desk = Desk::with_items();
    let before = desk.dump();
    desk.run("backup copy.db").done();
    let whole = desk.read("copy.db");
    let mut no_header = whole.clone();
    no_header[..40].fill(0);
    let mut no_schema = whole.clone();
    no_schema[100..4096].fill(0x77);
    let mut bad_pages = whole.clone();
    let end = bad_pages.len();
    bad_pages[8192..end - 8192].fill(0x33);
    for damaged in [no_header, no_schema, bad_pages, whole[..5000].to_vec(), b"pan".to_vec()] {
        desk.file(REGISTER, &damaged);
        let kept = replaced(&desk.json("restore copy.db"));
        assert_eq!(desk.read(&kept), damaged);
        assert_eq!(desk.dump(), before);
    }
}

/// The log of a register that is gone must not be taken for one of the new.
#[test]
fn a_log_that_was_left_behind_is_put_aside() {
    let desk = Desk::with_items();
    desk.run("backup copy.db").done();
    let before = desk.dump();
    // Another connection keeps the log from being folded in.
    let other = Connection::open(desk.path(REGISTER)).unwrap();
    assert_eq!(number(&other, "SELECT count(*) FROM item"), 3);
    desk.run("item add Ladle --bin 4B").done();
    let log = desk.read("register.db-wal");
    drop(other);
    assert!(log.len() > 4096);
    std::fs::remove_file(desk.path(REGISTER)).unwrap();
    desk.file("register.db-wal", &log);
    desk.run("restore copy.db").done();
    assert_eq!(desk.dump(), before);
    desk.run("check").done();
}

#[test]
fn what_is_no_sound_backup_is_not_put_back() {
    let desk = Desk::with_items();
    let before = desk.dump();
    desk.file("notes.txt", "notes about pans").file("empty.db", "");
    desk.run("restore notes.txt").refused_with(&["`[folder]/notes.txt` is no register of this program"]).done();
    desk.run("restore empty.db").refused_with(&["`[folder]/empty.db` is no register of this program"]).done();
    desk.run("restore none.db").refused_with(&["there is no backup `[folder]/none.db`"]).done();
    std::fs::create_dir(desk.path("drive")).unwrap();
    desk.run("restore drive").refused_with(&["is a folder"]).done();
    desk.run("restore register.db").refused_with(&["`register.db` is the register"]).done();
    let other = Connection::open(desk.path("recipes.db")).unwrap();
    other.execute_batch("CREATE TABLE recipe (name TEXT); INSERT INTO recipe VALUES ('Plum jam')").unwrap();
    other.close().unwrap();
    desk.run("restore recipes.db").refused_with(&["`[folder]/recipes.db` is no register of this program"]).done();
    desk.run("backup newer.db").done();
    let newer = Connection::open(desk.path("newer.db")).unwrap();
    newer.pragma_update(None, "user_version", 999).unwrap();
    newer.close().unwrap();
    desk.run("restore newer.db").refused_with(&["`[folder]/newer.db` comes from a newer version"]).done();
    assert_eq!(desk.dump(), before);
    assert!(!desk.files().iter().any(|name| name.contains("restoring") || name.contains("replaced")));
}

#[test]
fn a_backup_with_faults_is_put_back_only_by_force() {
    let desk = Desk::with_items();
    desk.run("backup copy.db").done();
    let copy = Connection::open(desk.path("copy.db")).unwrap();
    copy.execute_batch("UPDATE item SET cost = 351 WHERE id = 1").unwrap();
    copy.close().unwrap();
    let before = desk.dump();
    let bytes = desk.read("copy.db");
    let why = ["`copy.db` is not sound", "4A-001F: it is not what the journal", "with --force"];
    desk.run("restore copy.db").refused_with(&why).done();
    assert_eq!(desk.dump(), before);
    desk.run("restore copy.db --force").done();
    assert_eq!(number(&desk.register(), "SELECT cost FROM item WHERE id = 1"), 351);
    assert_eq!(desk.read("copy.db"), bytes);
}

/// The database of another program may be worth more than any register.
#[test]
fn a_database_of_another_program_is_never_replaced() {
    let desk = Desk::with_items();
    desk.run("backup copy.db").done();
    let other = Connection::open(desk.path("recipes.db")).unwrap();
    other.execute_batch("CREATE TABLE recipe (name TEXT); INSERT INTO recipe VALUES ('Plum jam')").unwrap();
    other.close().unwrap();
    let bytes = desk.read("recipes.db");
    desk.bare("--register recipes.db restore copy.db").refused_with(&["is no register of this program"]).done();
    assert_eq!(desk.read("recipes.db"), bytes);
}

#[test]
fn a_register_that_is_in_use_is_not_replaced() {
    let desk = Desk::with_items();
    desk.run("backup copy.db").done();
    desk.run("item add Ladle --bin 4B").done();
    let other = Connection::open(desk.path(REGISTER)).unwrap();
    assert_eq!(number(&other, "SELECT count(*) FROM item"), 4);
    let why = "another program has the register `[folder]/register.db` open; end it and try again";
    desk.run("restore copy.db").refused(why).done();
    drop(other);
    assert_eq!(titles(&desk).len(), 4);
    desk.run("restore copy.db").done();
    assert_eq!(titles(&desk).len(), 3);
}

/// As a stick with a lock has them.
#[test]
fn a_backup_that_may_only_be_read_is_put_back() {
    let desk = Desk::with_items();
    desk.run("backup copy.db").done();
    let mut rights = desk.path("copy.db").metadata().unwrap().permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(desk.path("copy.db"), rights).unwrap();
    std::fs::remove_file(desk.path(REGISTER)).unwrap();
    desk.run("restore copy.db").done();
    desk.run("item add Ladle --bin 4B").done();
}
