//! The register as a file: where it is, and what is none

use rusqlite::Connection;

use super::support::{Desk, REGISTER, names_in, number};

/// Every command that needs a register and does not make one.
const NEEDING: [&str; 13] = [
    "area list",
    "bin list",
    "bin show 4A",
    "bin add 4",
    "item list",
    "item add Pan --bin 4A",
    "item import buys.csv --bin 4A",
    "put 4A-001F --in 4B",
    "tag",
    "sign",
    "find jam",
    "scan",
    "tag --all --out tags.pdf",
];

/// XDG Base Directory Specification: `XDG_DATA_HOME` is where a user's data files go.
#[cfg(target_os = "linux")]
#[test]
fn without_a_word_it_is_in_the_data_folder() {
    let desk = Desk::empty();
    let told = "new register: [folder]/home/data/stowmark/register.db\n";
    desk.bare("area add 4 Loft").stderr(told).done();
    desk.bare("area list").stdout("area  name\n   4  Loft\n").done();
    assert!(desk.path("home/data/stowmark/register.db").exists());
}

#[test]
fn the_variable_names_it_and_the_option_wins() {
    let desk = Desk::empty();
    let told = "new register: [folder]/named.db\n";
    desk.bare("area add 4 Loft").env("STOWMARK_REGISTER", desk.path("named.db")).stderr(told).done();
    desk.bare("area list").env("STOWMARK_REGISTER", "named.db").stdout("area  name\n   4  Loft\n").done();
    let other = desk.run("area add 5 Shed").env("STOWMARK_REGISTER", "named.db");
    other.stderr("new register: [folder]/register.db\n").done();
    desk.run("area list").env("STOWMARK_REGISTER", "named.db").stdout("area  name\n   5  Shed\n").done();
}

/// As in the XDG Base Directory Specification: a variable that is empty counts as not set.
#[cfg(target_os = "linux")]
#[test]
fn an_empty_variable_counts_as_none() {
    let desk = Desk::empty();
    let told = "new register: [folder]/home/data/stowmark/register.db\n";
    desk.bare("area add 4 Loft").env("STOWMARK_REGISTER", "").stderr(told).done();
}

#[test]
fn its_folder_is_made_with_it() {
    let desk = Desk::empty();
    let told = "new register: [folder]/stock/of/2026/register.db\n";
    desk.bare("--register stock/of/2026/register.db area add 4 Loft").stderr(told).done();
}

#[test]
fn without_a_register_nothing_is_made() {
    let desk = Desk::empty();
    desk.file("buys.csv", "title\nPan\n");
    let why = "there is no register at `[folder]/register.db` yet; `stowmark area add 1 \"NAME\"` makes one, \
        or name another with --register";
    for words in NEEDING {
        desk.run(words).refused(why).done();
        desk.bare("--register no/such/register.db")
            .args(&words.split(' ').collect::<Vec<_>>())
            .code(1)
            .any_stderr()
            .done();
    }
    assert_eq!(names_in(&desk.path("")), ["buys.csv"]);
}

/// Runs every command on a file that is no register; the file and its folder stay as they are.
fn refused(desk: &Desk, why: &str) {
    let (bytes, files) = (std::fs::read(desk.path(REGISTER)).ok(), names_in(&desk.path("")));
    for words in NEEDING.iter().chain(&["area add 4 Loft", "set paper letter"]) {
        desk.run(words).refused_with(&[why]).done();
    }
    assert_eq!((std::fs::read(desk.path(REGISTER)).ok(), names_in(&desk.path(""))), (bytes, files));
}

#[test]
fn a_text_file_is_refused() {
    let desk = Desk::empty();
    let why = "`[folder]/register.db` is no register of this program; name another file with --register";
    refused(desk.file(REGISTER, "a list of pans"), why);
    refused(desk.file(REGISTER, "pan"), why);
    refused(desk.file(REGISTER, [b"SQLite format 3\0".as_slice(), &[7; 2000]].concat()), why);
}

#[test]
fn a_database_of_another_program_is_refused() {
    let desk = Desk::empty();
    let other = Connection::open(desk.path(REGISTER)).unwrap();
    other.execute_batch("CREATE TABLE recipe (name TEXT); INSERT INTO recipe VALUES ('Plum jam')").unwrap();
    other.close().unwrap();
    refused(&desk, "`[folder]/register.db` is no register of this program; name another file with --register");
}

#[test]
fn a_register_of_a_newer_version_is_refused() {
    let desk = Desk::with_items();
    let register = Connection::open(desk.path(REGISTER)).unwrap();
    register.pragma_update(None, "user_version", 999).unwrap();
    register.close().unwrap();
    let why = "the register `[folder]/register.db` comes from a newer version of this program; \
        install that version to use it";
    refused(&desk, why);
}

#[test]
fn a_folder_is_no_register() {
    let desk = Desk::empty();
    std::fs::create_dir(desk.path(REGISTER)).unwrap();
    refused(&desk, "`[folder]/register.db` is a folder; name the register's file with --register");
}

/// An empty file may be anybody's: to look into it must not make a database of it.
#[test]
fn an_empty_file_is_left_empty_by_commands_that_make_no_register() {
    let desk = Desk::empty();
    desk.file(REGISTER, "");
    for words in NEEDING {
        desk.run(words).code(1).any_stderr().done();
        assert_eq!(desk.read(REGISTER).len(), 0, "{words}");
    }
}

/// As a start that was cut off leaves it.
#[test]
fn an_empty_file_becomes_a_register_by_the_command_that_makes_one() {
    let desk = Desk::empty();
    desk.file(REGISTER, "").run("area add 4 Loft").any_stderr().done();
    desk.run("area list").stdout("area  name\n   4  Loft\n").done();
}

#[test]
fn a_folder_that_can_not_be_made_is_refused() {
    let desk = Desk::empty();
    desk.file("notes.txt", "notes");
    let run = desk.bare("--register notes.txt/register.db area add 4 Loft");
    run.refused_with(&["notes.txt/register.db` can't be opened; check that the folder is there"]).done();
    assert_eq!(names_in(&desk.path("")), ["notes.txt"]);
}

#[test]
fn no_side_files_are_left() {
    let desk = Desk::with_items();
    desk.run("find jam").done();
    assert_eq!(desk.files(), Vec::<String>::new());
}

/// Each command that changes something tells of a register in a folder that is copied while it changes.
#[test]
fn a_synced_folder_is_warned_of() {
    let desk = Desk::empty();
    std::fs::create_dir(desk.path("My Cloud")).unwrap();
    desk.file("buys.csv", "title\nPan\n");
    let run = |words: &str| {
        desk.bare("--register").args(&["My Cloud/register.db"]).args(&words.split(' ').collect::<Vec<_>>())
    };
    let changes = [
        "area add 4 Loft",
        "bin add 4 --count 2",
        "item add Pot --bin 4A",
        "item import buys.csv --bin 4A",
        "put 4A001F --in 4B",
        "set paper letter",
        "tag",
        "sign",
    ];
    let silent: Vec<&str> = changes
        .into_iter()
        .filter(|words| !run(words).any_stderr().done().stderr.contains("in a folder that a service syncs"))
        .collect();
    assert_eq!(silent, Vec::<&str>::new(), "changes that do not warn");
    run("item list").done();
}

#[test]
fn amounts_and_dates_are_stored_in_minor_units_and_iso() {
    let desk = Desk::with_items();
    let register = desk.register();
    assert_eq!(number(&register, "SELECT cost FROM item WHERE payload = '4A001F'"), 350);
    let sql = "SELECT count(*) FROM item WHERE bought = '2026-11-21'";
    assert_eq!(number(&register, sql), 1);
}
