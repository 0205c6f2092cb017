//! A scan is answered when it is on the disk: what the desk writes, syncs and sends, by `strace`.

use std::{
    io::{BufRead, BufReader},
    process::{Child, Command, Stdio},
};

use crate::{
    scanner::Scanner,
    support::{Desk, needs},
};

const CALLS: &str = "trace=write,writev,sendto,sendmsg,pwrite64,fsync,fdatasync";

/// `strace` of a desk; `None` where the system does not let it.
fn attached(desk: &Desk) -> Option<Child> {
    let mut strace = Command::new("strace");
    strace.args(["-f", "-y", "-s", "40", "-e", CALLS, "-o", "trace", "-p", &desk.pid().to_string()]);
    let mut child = strace.current_dir(desk.path("")).stderr(Stdio::piped()).spawn().ok()?;
    let mut line = String::new();
    BufReader::new(child.stderr.as_mut()?).read_line(&mut line).ok()?;
    if line.contains("attached") {
        return Some(child);
    }
    assert!(std::env::var_os("STOWMARK_NEED_TOOLS").is_none(), "strace does not attach: {line}");
    println!("skipped: strace does not attach here: {line}");
    let _ = child.wait();
    None
}

/// Ends `strace`, as it asks for, so that it writes what it has seen.
fn trace(desk: &Desk, mut strace: Child) -> String {
    Command::new("kill").args(["-INT", &strace.id().to_string()]).status().unwrap();
    strace.wait().unwrap();
    std::fs::read_to_string(desk.path("trace")).unwrap()
}

#[test]
fn no_scan_is_answered_before_it_is_synced() {
    if !needs("strace") {
        return;
    }
    let desk = Desk::with_items();
    let mut stow = Scanner::open(&desk.client(), "stow", "/stow?bin=4C");
    let Some(strace) = attached(&desk) else { return };
    for item in ["4A001F", "4A002C", "4A003A"] {
        stow.scan(item).is("good", &["Stowed"]);
    }
    let trace = trace(&desk, strace);
    let (mut is_dirty, mut answers) = (false, 0);
    for line in trace.lines() {
        let syncs = line.contains("fdatasync") || line.contains("fsync");
        if line.contains("pwrite64") && line.contains("register.db-wal>") {
            is_dirty = true;
        } else if syncs && line.ends_with("= 0") {
            is_dirty = false;
        } else if line.contains("HTTP/1.1 200") {
            assert!(!is_dirty, "{line}\nin\n{trace}");
            answers += 1;
        }
    }
    assert_eq!(answers, 3, "{trace}");
    assert!(trace.matches("register.db-wal>").count() >= 6, "{trace}");
}
