//! Two programs at once on one register

use std::{collections::BTreeSet, thread::scope};

use rusqlite::Connection;
use stowmark::{
    job::{LabelJob, Look, PrintWish, prepare, print_options},
    register::{Access, ItemFilter, LabelOf, NewLabel, NewRun, Register, RunKind},
};

use super::support::{Desk, REGISTER, codes, number, strings};

#[test]
fn items_added_by_two_get_distinct_codes_without_a_gap() {
    let desk = Desk::with_bins();
    scope(|threads| {
        for name in ["Egg cup", "Ladle"] {
            let desk = &desk;
            threads.spawn(move || (0..20).for_each(|_| drop(desk.run(&format!("item add '{name}' --bin 4A")).done())));
        }
    });
    let listed = codes(&desk.json("item list"), "items");
    let distinct: BTreeSet<&String> = listed.iter().collect();
    assert_eq!((listed.len(), distinct.len()), (40, 40));
    let serials: BTreeSet<i64> = listed.iter().map(|code| code[3..6].parse().unwrap()).collect();
    assert_eq!(serials.into_iter().collect::<Vec<_>>(), (1..=40).collect::<Vec<_>>());
}

#[test]
fn bins_added_by_two_get_distinct_codes() {
    let desk = Desk::with_bins();
    scope(|threads| {
        for spot in ["left", "right"] {
            let desk = &desk;
            threads.spawn(move || (0..5).for_each(|_| drop(desk.run(&format!("bin add 4 --spot {spot}")).done())));
        }
    });
    let listed = codes(&desk.json("bin list"), "bins");
    assert_eq!(listed.last().map(String::as_str), Some("4S"));
    assert_eq!(listed.iter().collect::<BTreeSet<_>>().len(), 15);
}

#[test]
fn two_runs_are_both_done() {
    let desk = Desk::with_items();
    scope(|threads| {
        for name in ["one.pdf", "other.pdf"] {
            let desk = &desk;
            threads.spawn(move || desk.run(&format!("tag --all --out {name}")).any_stderr().done());
        }
    });
    assert_eq!(desk.files(), ["one.pdf", "other.pdf"]);
    assert_eq!(strings(&desk.register(), "SELECT state FROM run"), ["done", "done"]);
}

/// The names of the files follow from the runs, so neither may take the other's.
#[test]
fn two_runs_without_a_file_name_get_files_of_their_own() {
    let desk = Desk::with_items();
    scope(|threads| {
        for _ in 0..2 {
            let desk = &desk;
            threads.spawn(move || (0..3).for_each(|_| drop(desk.run("tag --all").any_stderr().done())));
        }
    });
    let names: Vec<String> = (1..=6).map(|run| format!("tags-{run:04}.pdf")).collect();
    assert_eq!(desk.files(), names);
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM run WHERE state = 'done'"), 6);
    // Six runs of three labels each on one sheet of 65: no slot is given twice, none is passed over.
    let slots = "SELECT max(slot) * 100 + count(DISTINCT slot) FROM label WHERE sheet_no = 1";
    assert_eq!(number(&desk.register(), slots), 1818);
}

#[test]
fn a_register_made_by_several_at_once_has_what_each_added() {
    for round in 0..5 {
        let desk = Desk::empty();
        scope(|threads| {
            for area in 1..=6 {
                let desk = &desk;
                threads.spawn(move || desk.run(&format!("area add {area} 'Room {area}'")).any_stderr().done());
            }
        });
        assert_eq!(number(&desk.register(), "SELECT count(*) FROM area"), 6, "round {round}");
    }
}

/// The other program keeps its change open for longer than anyone waits.
#[test]
fn a_register_that_another_program_keeps_is_told() {
    let desk = Desk::with_items();
    let other = Connection::open(desk.path(REGISTER)).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    desk.run("find jam").done();
    let why = "another program is writing to the register; nothing was changed. Try again when it is done";
    desk.run("item add Pan --bin 4A").refused_with(&[why]).done();
    other.execute_batch("ROLLBACK").unwrap();
    desk.run("item add Pan --bin 4A").done();
}

/// A session and an import at the same time: both go through, each with all of its own.
#[test]
fn a_session_and_an_import_both_succeed() {
    let desk = Desk::with_bins();
    let rows = |word: &str, count: usize| -> String {
        (1..=count).fold("title,cost\n".to_owned(), |csv, number| csv + &format!("{word} no {number},1.01\n"))
    };
    desk.file("stock.csv", rows("Egg cup", 50)).run("item import stock.csv --bin 4A").done();
    desk.file("buys.csv", rows("Ladle", 4000));
    let register = desk.register();
    let signs = strings(&register, "SELECT payload FROM bin ORDER BY rank");
    let items = strings(&register, "SELECT payload FROM item ORDER BY id");
    let mut readings = String::new();
    for round in 0..6 {
        readings.extend([signs[1 + round % 2].as_str(), "\n"]);
        readings.extend(items.iter().flat_map(|item| [item.as_str(), "\n"]));
    }
    let lines = scope(|threads| {
        let session = threads.spawn(|| desk.run("--json stow").stdin(&readings).done().json_lines());
        for _ in 0..2 {
            desk.run("item import buys.csv --bin 4A --again").done();
        }
        session.join().unwrap()
    });
    let moved = lines.iter().filter(|line| !line["moved"][0].is_null()).count();
    assert_eq!((moved, lines.len()), (300, 306));
    let sum = |sql: &str| number(&register, sql);
    assert_eq!(sum("SELECT count(*) FROM journal WHERE action = 'item moved'"), 300);
    assert_eq!(sum("SELECT count(*) FROM item JOIN bin ON bin.id = item.bin WHERE item.id <= 50 AND bin.rank = 2"), 50);
    assert_eq!(
        sum("SELECT count(*) * 1000000 + sum(cost) FROM item JOIN bin ON bin.id = item.bin WHERE bin.rank = 0"),
        8_000_808_000
    );
    assert_eq!(sum("SELECT next_serial FROM bin WHERE rank = 0"), 8051);
    desk.run("check").done();
}

/// POSIX, fcntl: all locks of a process on a file end when it closes any descriptor of that file. Those of the first
/// register tell other programs that it is in use.
#[cfg(target_os = "linux")]
#[test]
fn a_register_that_is_opened_twice_stays_locked_when_one_is_closed() {
    use std::os::unix::fs::MetadataExt;
    let desk = Desk::with_items();
    let path = desk.path(REGISTER);
    let own = format!(":{} ", path.metadata().unwrap().ino());
    let is_locked = || std::fs::read_to_string("/proc/locks").is_ok_and(|locks| locks.contains(&own));
    let first = Register::open(&path, Access::Existing).unwrap();
    if !is_locked() {
        println!("skipped: this system does not tell its locks");
        return;
    }
    Register::open(&path, Access::Existing).unwrap().close().unwrap();
    assert!(is_locked());
    first.close().unwrap();
    assert!(!is_locked());
}

/// Two programs that edit other fields of one item: neither writes the other's away.
#[test]
fn edits_of_different_fields_both_survive() {
    let desk = Desk::with_items();
    scope(|threads| {
        for (option, value) in [("--cost", "7."), ("--note", "no "), ("--asking", "9.")] {
            let desk = &desk;
            threads.spawn(move || {
                for number in 10..30 {
                    desk.run(&format!("item edit 4A-001F {option} '{value}{number}'")).done();
                }
            });
        }
    });
    let item = &desk.json("find 4A-001F")["matches"][0];
    assert_eq!((&item["cost"], &item["note"], &item["asking"]), (&"7.29".into(), &"no 29".into(), &"9.29".into()));
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM journal WHERE action = 'item edited'"), 60);
    desk.run("check").done();
}

fn last_item(register: &Register) -> LabelJob {
    let items = register.items(&ItemFilter::stowed()).unwrap();
    LabelJob::tag(items.last().unwrap().clone()).unwrap()
}

/// An entry is taken back between the drawing of its tag and the writing of the file.
#[test]
fn what_is_taken_back_meanwhile_is_not_printed() {
    let desk = Desk::with_items();
    let mut register = Register::open(&desk.path(REGISTER), Access::Existing).unwrap();
    let options = print_options(&register, RunKind::Tags, Look::default(), None, &PrintWish::default()).unwrap();
    let prepared = prepare(&register, RunKind::Tags, vec![last_item(&register)], options).unwrap().unwrap();
    desk.run("undo").done();
    let refused = prepared.commit(&mut register).unwrap_err();
    assert_eq!(refused.to_string(), "4A-003A is not there: its entry was taken back");
    register.close().unwrap();
    assert_eq!((desk.files(), number(&desk.register(), "SELECT count(*) FROM run")), (vec![], 0));
    desk.run("check").done();
}

/// And between the record of the run and its file.
#[test]
fn what_is_about_to_be_printed_is_not_taken_back() {
    let desk = Desk::with_items();
    let mut register = Register::open(&desk.path(REGISTER), Access::Existing).unwrap();
    let LabelJob::Tag(code, item) = last_item(&register) else { unreachable!() };
    let label = NewLabel {
        page: 1,
        slot: 1,
        sheet_no: None,
        payload: code.payload(),
        symbols: "qr".into(),
        of: LabelOf::Item(&item),
        said: serde_json::json!({}),
        look: None,
    };
    let run = NewRun {
        kind: RunKind::Tags,
        sheet: "a4-3x7",
        dpi: 600.0,
        printer: None,
        options: &serde_json::json!({}),
        pages: 1,
        sha256: "",
        labels: &[label],
        spent: &[],
    };
    let lock = register.lock_runs().unwrap();
    let id = register.begin_run(&lock, &run, &desk.path("t.pdf"), &desk.path("t.pdf.part")).unwrap();
    desk.run("undo").refused_with(&["run 0001, which printed its label"]).done();
    register.take_back_run(id).unwrap();
    drop(lock);
    desk.run("undo").done();
    register.close().unwrap();
}
