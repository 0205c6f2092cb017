//! `scan`

use std::{
    io::{BufRead, BufReader, Write},
    process::ChildStdout,
    sync::mpsc::{Receiver, channel},
    thread::spawn,
    time::Duration,
};

use serde_json::{Value, json};

use super::support::{Desk, codes};

fn scan(desk: &Desk, stdin: &[u8]) -> Vec<Value> {
    desk.run("--json scan").stdin(stdin).done().json_lines()
}

#[test]
fn every_line_has_one_line_of_the_answer_of_find() {
    let desk = Desk::with_items();
    let answers = scan(&desk, b"4A001F\n\nspinning wheel\n4A00R\njam pan");
    assert_eq!(answers.len(), 5);
    let found = desk.run("--json find 4A001F").done().json();
    assert_eq!(answers[0], found);
    assert_eq!(answers[1], json!({"query": "", "matches": [], "near": []}));
    assert_eq!(answers[2]["matches"], json!([]));
    assert_eq!(answers[3]["matches"][0]["kind"], "bin");
    assert_eq!(codes(&answers[4], "matches"), ["4A-001F"]);
}

/// Readers end a reading with LF, CR, CRLF or a tab (common practice), and may prefix it (ISO/IEC 15424).
#[test]
fn readings_arrive_as_readers_send_them() {
    let desk = Desk::with_items();
    let arrivals = [
        "4A001F\n",
        "4A001F\r\n",
        "4A001F\r",
        "4A001F\t",
        "4A001F",
        "4a-001f\n",
        "]C04A001F\n",
        "]Q14A001F\r",
        "http://192.0.2.7/s/4A001F\n",
    ];
    for arrival in arrivals {
        let answers = scan(&desk, arrival.as_bytes());
        assert_eq!(answers.len(), 1, "{arrival:?}");
        assert_eq!(codes(&answers[0], "matches"), ["4A-001F"], "{arrival:?}");
    }
}

#[test]
fn a_layout_is_undone_and_named() {
    let desk = Desk::with_items();
    let answers = scan(&desk, "'Qàà&F\n".as_bytes());
    assert_eq!((codes(&answers[0], "matches"), &answers[0]["repaired"]), (vec!["4A-001F".into()], &json!("French")));
}

#[test]
fn a_missing_check_letter_is_not_taken() {
    let desk = Desk::with_items();
    let answers = scan(&desk, b"4A001\n4A001F\n");
    assert_eq!((&answers[0]["matches"], &answers[0]["near"][0]), (&json!([]), &json!("4A-001F")));
    assert_eq!(codes(&answers[1], "matches"), ["4A-001F"]);
}

#[test]
fn what_is_no_text_is_answered_too() {
    let answers = scan(&Desk::with_items(), b"\xff\xfe\0\n4A001F\n");
    assert_eq!((&answers[0]["matches"], codes(&answers[1], "matches")), (&json!([]), vec!["4A-001F".to_owned()]));
}

/// CWE-150: what a symbol carries is not ours; an escape sequence in it must not reach the terminal.
#[test]
fn control_characters_of_a_reading_are_not_repeated() {
    let told = Desk::with_items().run("scan").stdin("\u{1b}[2J\u{7}4A001\n4A001F\n").done().stdout;
    assert!(!told.chars().any(|c| c.is_control() && c != '\n'), "{told:?}");
}

#[test]
fn plain_answers_are_lines() {
    let desk = Desk::with_items();
    let told = "4A-001F  Copper jam pan: in 4A, Loft, rack 1, level 2\n\
        nothing found for `4A001`; did you mean 4A-001F or 4A?\n";
    desk.run("scan").stdin("4A001F\n4A001\n").stdout(told).done();
}

#[test]
fn something_found_is_code_0() {
    Desk::with_items().run("--json scan").stdin("spinning wheel\n4A001F\n").code(0).done();
}

/// The issue: `scan` exits with 3 when nothing at all was found, and the JSON is printed all the same.
#[test]
fn nothing_found_at_all_is_code_3() {
    let desk = Desk::with_items();
    let answer = desk.run("--json scan").stdin("spinning wheel\n9Z999F\n").code(3).done();
    assert_eq!(answer.json_lines().len(), 2);
}

/// Each answer is there before the next line is sent.
#[test]
fn answers_are_flushed_at_once() {
    let desk = Desk::with_items();
    let mut child = desk.run("--json scan").spawn();
    let (mut input, answers) = (child.stdin.take().unwrap(), lines(child.stdout.take().unwrap()));
    for (sent, code) in [("4A001F\n", "4A-001F"), ("4A002C\r", "4A-002C"), ("4A003A\t", "4A-003A")] {
        input.write_all(sent.as_bytes()).unwrap();
        let answer = answers.recv_timeout(Duration::from_mins(1)).expect("an answer before the next line");
        assert_eq!(codes(&serde_json::from_str(&answer).unwrap(), "matches"), [code]);
    }
    drop(input);
    assert!(child.wait().unwrap().success());
}

/// Read by a thread, so that a missing answer fails the test instead of holding it up.
fn lines(stdout: ChildStdout) -> Receiver<String> {
    let (sender, receiver) = channel();
    spawn(move || BufReader::new(stdout).lines().map_while(Result::ok).try_for_each(|line| sender.send(line)));
    receiver
}

/// A move that another program makes while the session is open shows in the next answer.
#[test]
fn a_session_sees_what_others_change() {
    let desk = Desk::with_items();
    let mut child = desk.run("--json scan").spawn();
    let (mut input, answers) = (child.stdin.take().unwrap(), lines(child.stdout.take().unwrap()));
    for bin in ["4A", "4C"] {
        desk.run("put 4A001F --in").args(&[bin]).done();
        input.write_all(b"4A001F\n").unwrap();
        let answer = answers.recv_timeout(Duration::from_mins(1)).expect("an answer before the next line");
        assert_eq!(serde_json::from_str::<Value>(&answer).unwrap()["matches"][0]["bin"], bin);
    }
    drop(input);
    assert!(child.wait().unwrap().success());
}
