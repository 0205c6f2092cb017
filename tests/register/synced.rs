//! Each answer comes after its change is on the disk: seen in the system calls of the real program
//!
//! A killed process loses nothing that the system already holds, so that no killing shows it. `strace` does.

use std::process::{Command, Stdio};

use super::{
    support::{Desk, REGISTER},
    tools::{missing, not_allowed},
};

/// What the program writes and syncs, in this order, with the names of files; `None` without `strace`, and nothing
/// where it may not look on.
fn trace(desk: &Desk, words: &str, input: &str) -> Option<String> {
    desk.file("input", input);
    let mut strace = Command::new("strace");
    strace.args(["-f", "-y", "-s", "60", "-e", "trace=write,writev,pwrite64,pwritev,fsync,fdatasync", "-o", "trace"]);
    strace.arg(env!("CARGO_BIN_EXE_stowmark")).args(["--json", "--register", REGISTER]).args(words.split(' '));
    strace.current_dir(desk.path("")).env_remove("STOWMARK_REGISTER").env("HOME", desk.path("home"));
    let stdin = std::fs::File::open(desk.path("input")).unwrap();
    let output = strace.stdin(stdin).stdout(Stdio::piped()).stderr(Stdio::piped()).output().ok()?;
    if !desk.path("trace").exists() || desk.read("trace").is_empty() {
        return Some(String::new());
    }
    assert!(output.status.success(), "{output:?}");
    Some(String::from_utf8_lossy(&desk.read("trace")).into_owned())
}

/// The answers that a trace has, and the first one that came before what it tells was synced.
fn answers(trace: &str) -> (usize, Option<&str>) {
    let (mut answers, mut writes, mut is_synced) = (0, 0, true);
    for line in trace.lines() {
        let is_of_log = line.contains("register.db-wal>");
        let is_sync = line.contains("fsync(") || line.contains("fdatasync(");
        if line.contains(" write(1<") || line.contains(" writev(1<") {
            // Answers that tell of a change.
            if ["moved", "items", "undone", "bins"].iter().any(|word| line.contains(word)) {
                answers += 1;
                if writes == 0 || !is_synced {
                    return (answers, Some(line));
                }
                (writes, is_synced) = (0, true);
            }
        } else if is_of_log && is_sync {
            is_synced = line.contains("= 0");
        } else if is_of_log {
            writes += 1;
            is_synced = false;
        }
    }
    (answers, None)
}

#[test]
fn each_answer_comes_after_its_sync() {
    let desk = Desk::with_items();
    let signs = super::support::strings(&desk.register(), "SELECT payload FROM bin ORDER BY rank");
    let session = format!("{}\n4A001F\n4A002C\n4A003A\n{}\n4A001F\nundo\n4A002C\n", signs[2], signs[1]);
    let cases = [
        ("stow", session.as_str(), 6),
        ("put 4A-003A --in 4D", "", 1),
        ("item add Ladle --bin 4B", "", 1),
        ("item edit 4A-001F --cost 4", "", 1),
        ("undo", "", 1),
        ("bin add 4", "", 1),
    ];
    for (words, input, expected) in cases {
        let Some(trace) = trace(&desk, words, input) else { return missing("strace") };
        if trace.is_empty() {
            return not_allowed("strace may not look on here");
        }
        assert_eq!(answers(&trace), (expected, None), "{words}\n{trace}");
        // The same with one sync the less would be noticed.
        let is_sync = |line: &&str| line.contains("sync(") && line.contains("register.db-wal>");
        let without: Vec<&str> = trace.lines().filter(|line| !is_sync(line)).collect();
        let without = without.join("\n");
        assert!(answers(&without).1.is_some(), "{words}");
    }
}
