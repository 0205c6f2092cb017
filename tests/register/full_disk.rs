//! A disk that fills up, by the shell's limit on the size of a file: `ulimit -f` (POSIX), with its signal ignored

use std::process::{Command, Output};

use super::support::{Desk, number};

/// Runs the program so that no file may grow beyond so many blocks; `None` where there is no such shell.
fn limited(desk: &Desk, blocks: u32, words: &[&str]) -> Option<Output> {
    let script = format!("trap '' XFSZ && ulimit -f {blocks} && exec \"$0\" \"$@\"");
    let mut shell = Command::new("sh");
    shell.args(["-c", &script, env!("CARGO_BIN_EXE_stowmark"), "--register", "register.db"]).args(words);
    shell.current_dir(desk.path("")).env_remove("STOWMARK_REGISTER").env("HOME", desk.path("home"));
    if cfg!(windows) { None } else { shell.output().ok() }
}

fn skipped() {
    println!("skipped: no shell here that limits the size of files");
}

/// A failure with a message that says what it was, and no more.
fn assert_told(output: &Output) -> String {
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{told}");
    assert!(told.starts_with("error: ") && !told.contains("panicked"), "{told}");
    assert!(output.stdout.is_empty(), "{output:?}");
    told
}

fn rows(count: usize) -> String {
    (0..count).fold(String::from("title,cost\n"), |csv, number| csv + &format!("Egg cup no {number},3.50\n"))
}

#[test]
fn an_import_that_does_not_fit_changes_nothing() {
    let desk = Desk::with_items();
    desk.file("buys.csv", rows(20_000));
    let before = desk.dump();
    for blocks in [300, 1000, 2000] {
        let words = ["item", "import", "buys.csv", "--bin", "4A"];
        let Some(output) = limited(&desk, blocks, &words) else { return skipped() };
        let told = assert_told(&output);
        assert!(told.contains("nothing was changed"), "{told}");
        desk.run("area list").done();
        assert_eq!((desk.dump(), desk.files()), (before.clone(), vec!["buys.csv".to_owned()]), "{blocks} blocks");
    }
}

/// At some limits the register can't grow, at others the file can't (a page a tag makes it the larger one); each
/// time neither is left half-way.
#[test]
fn a_run_that_does_not_fit_leaves_neither_file_nor_run() {
    let desk = Desk::with_bins();
    desk.file("buys.csv", rows(300)).run("item import buys.csv --bin 4A").done();
    let (mut fitted, mut told) = (0, String::new());
    for blocks in [40, 80, 160, 320, 400, 500, 600, 700, 800, 900, 4000] {
        let Some(output) = limited(&desk, blocks, &["tag", "--sheet", "a4-1x1", "--out", "tags.pdf"]) else {
            return skipped();
        };
        if output.status.success() {
            fitted += 1;
            break;
        }
        told += &assert_told(&output);
        assert_nothing_left(&desk);
    }
    assert_eq!(fitted, 1, "{told}");
    assert!(told.contains("tags.pdf` was not written"), "{told}");
}

fn assert_nothing_left(desk: &Desk) {
    desk.run("area list").any_stderr().done();
    assert_eq!(desk.files(), ["buys.csv"]);
    let register = desk.register();
    assert_eq!(number(&register, "SELECT (SELECT count(*) FROM run) + (SELECT count(*) FROM label)"), 0);
    assert_eq!(desk.run("item list --untagged").done().stdout.lines().count(), 301);
}

/// With `--skip-bad` the rows left out have to fit as well.
#[test]
fn bad_rows_that_can_not_be_kept_refuse_the_import() {
    let desk = Desk::with_items();
    let bad: String = (0..20_000).map(|number| format!("Egg cup no {number},-1\n")).collect();
    desk.file("buys.csv", format!("title,cost\nPan,3\n{bad}"));
    let before = desk.dump();
    let words = ["item", "import", "buys.csv", "--bin", "4A", "--skip-bad"];
    let Some(output) = limited(&desk, 1500, &words) else { return skipped() };
    assert!(assert_told(&output).contains("buys.refused.csv` was not written"));
    assert_eq!((desk.dump(), desk.files()), (before, vec!["buys.csv".to_owned()]));
}

/// A session goes on after a refusal, and what it said to be moved is what the journal has, no more and no less.
#[test]
fn a_session_on_a_full_disk_refuses_and_goes_on() {
    let desk = Desk::with_items();
    let stdin: String = (0..300).map(|turn| if turn % 2 == 0 { "4B\n4A001F\n" } else { "4C\n4A001F\n" }).collect();
    desk.file("readings.txt", stdin);
    let mut acknowledged = 0;
    for blocks in [400, 2000, 20_000] {
        let script = format!("trap '' XFSZ && ulimit -f {blocks} && exec \"$0\" \"$@\" < readings.txt");
        let mut shell = Command::new("sh");
        shell.args(["-c", &script, env!("CARGO_BIN_EXE_stowmark"), "--register", "register.db", "--json", "stow"]);
        let shell = shell.current_dir(desk.path("")).env_remove("STOWMARK_REGISTER").env("HOME", desk.path("home"));
        let (false, Ok(output)) = (cfg!(windows), shell.output()) else { return skipped() };
        let told = String::from_utf8(output.stdout).unwrap();
        assert_eq!(told.lines().count(), 600, "{blocks}: {}", String::from_utf8_lossy(&output.stderr));
        acknowledged += told.lines().filter(|line| line.contains("\"from\"")).count();
        let refused = told.lines().filter(|line| line.contains("refused")).count();
        assert!(told.lines().all(|line| !line.contains("refused") || line.contains("nothing was changed")), "{told}");
        assert_eq!(blocks < 20_000, refused > 0, "{blocks} blocks: {refused} refused");
        let moved = number(&desk.register(), "SELECT count(*) FROM journal WHERE action = 'item moved'");
        assert_eq!(moved, i64::try_from(acknowledged).unwrap(), "{blocks} blocks");
    }
    assert!(acknowledged > 0);
}
