//! `stow`

use rusqlite::Connection;
use serde_json::{Value, json};

use super::support::{Desk, REGISTER, number, strings};

fn stow(desk: &Desk, stdin: impl AsRef<[u8]>) -> Vec<Value> {
    desk.run("--json stow").stdin(stdin).done().json_lines()
}

/// Three items with tags in 4A, one that waits, and one with a label from before.
fn desk() -> Desk {
    let desk = Desk::with_tags();
    desk.run("item add 'Enamel ladle'").done();
    desk.run("item alias 4A003A 'No. 7/b'").done();
    desk
}

fn moved(code: &str, from: impl Into<Value>, to: &str) -> Value {
    json!({ "moved": [{ "code": code, "from": from.into(), "to": to }] })
}

/// The reason of a refusal, which must name what was read.
#[track_caller]
fn reason(answer: &Value, read: &str) -> String {
    assert_eq!(answer["refused"]["read"], read, "{answer}");
    answer["refused"]["reason"].as_str().unwrap().to_owned()
}

/// The lines that the issue asks for, to the letter.
#[test]
fn a_bin_then_its_items_then_another_bin() {
    let desk = desk();
    let bins = desk.json("bin list");
    let sign = bins["bins"][1]["payload"].as_str().unwrap();
    let expected = r#"{"bin":"4C"}
{"moved":[{"code":"4A-001F","from":"4A","to":"4C"}]}
{"moved":[]}
{"bin":"4B"}
{"moved":[{"code":"4A-002C","from":"4A","to":"4B"}]}
{"undone":[{"code":"4A-002C","from":"4A","to":"4B"}]}
{"refused":{"read":"4A-002","reason":"its check letter is missing or wrong, so it may be misread (meant may be 4A-002C or 4A); scan it again"}}
"#;
    let stdin = format!("4C00V\n4A001F\n4A001F\n{sign}\n4A002C\nundo\n4A-002\n");
    desk.run("--json stow").stdin(stdin).stdout(expected).done();
}

#[test]
fn a_session_may_begin_with_a_bin() {
    let desk = desk();
    let told = desk.run("--json stow --in 4c").stdin("4A001F").done().json_lines();
    assert_eq!(told, [moved("4A-001F", "4A", "4C")]);
    desk.run("stow --in 9Z").refused_with(&["`9Z`"]).done();
    desk.run("stow --in 4A001F").refused_with(&["is an item"]).done();
}

/// Readers end a reading with LF, CR, CRLF or a tab (common practice), and may prefix it (ISO/IEC 15424).
#[test]
fn readings_arrive_as_readers_send_them() {
    for arrival in [
        "4C\n4A001F\n",
        "4C\r\n4A001F\r\n",
        "4C\r4A001F\r",
        "4C\t4A001F\t",
        "4C\n4A001F",
        "]C04C00V\n]C04A001F\n",
        "]Q14c00v\r]Q14a-001f\r",
        "HTTP://192.0.2.7:8080/S/4C00V\nHTTP://192.0.2.7:8080/S/4A001F\n",
    ] {
        let expected = [json!({ "bin": "4C" }), moved("4A-001F", "4A", "4C")];
        assert_eq!(stow(&desk(), arrival), expected, "{arrival:?}");
    }
}

/// The French layout of xkb-data, as in CHECK-VALUES.md: A arrives as Q, and digits as `à & é " ' (`.
#[test]
fn a_layout_is_undone_and_named() {
    let told = stow(&desk(), "4C\n'Qàà&F\n");
    assert_eq!((&told[1]["moved"][0]["code"], &told[1]["repaired"]), (&json!("4A-001F"), &json!("French")));
}

#[test]
fn what_stands_for_nothing_is_refused_and_the_session_goes_on() {
    let desk = desk();
    let told = stow(&desk, b"4A001F\n4C\n4A001\n4A001C\nteapot\n\n\xff\0\x1b[2J\n4A001F\n");
    assert!(reason(&told[0], "4A001F").contains("no bin was read yet"), "{}", told[0]);
    assert_eq!(told[1], json!({ "bin": "4C" }));
    for (at, read) in [(2, "4A001"), (3, "4A001C")] {
        let why = reason(&told[at], read);
        assert!(why.contains("check letter is missing or wrong") && why.contains("4A-001F"), "{why}");
    }
    assert!(reason(&told[4], "teapot").contains("does not know it"));
    assert!(reason(&told[5], "").contains("nothing was read"));
    assert!(reason(&told[6], "\u{fffd}\0\u{1b}[2J").contains("does not know it"));
    assert_eq!(told[7..], [moved("4A-001F", "4A", "4C")]);
}

#[test]
fn a_line_of_a_megabyte_is_refused_and_not_kept() {
    let long = [b"4C\n".to_vec(), vec![b'4'; 1 << 20], b"\n4A001F\n".to_vec()].concat();
    let told = desk().run("--json stow").stdin(long).done();
    assert!(told.stdout.len() < 20_000, "{}", told.stdout.len());
    let told = told.json_lines();
    assert!(told[1]["refused"]["reason"].as_str().unwrap().contains("longer than any symbol"));
    assert_eq!((told.len(), &told[2]), (3, &moved("4A-001F", "4A", "4C")));
}

#[test]
fn an_item_that_waits_gets_its_code_by_number_or_old_label() {
    let desk = desk();
    assert_eq!(stow(&desk, "4C\n#4\n")[1], moved("4C-001N", None::<&str>, "4C"));
    for label in ["no 7/B", "no. 7/B", "]C1No. 7/b"] {
        let told = stow(&desk, format!("4C\n{label}\nundo\n"));
        let is_known = told[1] == moved("4A-003A", "4A", "4C");
        assert_eq!(is_known, label != "no 7/B", "{label}: {told:?}");
    }
}

/// A reading that could be two things is neither.
#[test]
fn an_old_label_that_reads_like_another_layout_is_refused() {
    let desk = desk();
    desk.run("item alias 4A002C").args(&["4A'001F"]).done();
    let told = stow(&desk, "4C\n4A'001F\n4A-001F\n");
    let why = reason(&told[1], "4A'001F");
    assert!(why.contains("4A-001F") && why.contains("4A-002C by its old code"), "{why}");
    assert_eq!(told[2], moved("4A-001F", "4A", "4C"));
}

#[test]
fn what_has_left_is_refused_and_what_was_gone_is_back() {
    let desk = desk();
    let other = Connection::open(desk.path(REGISTER)).unwrap();
    let picked = "UPDATE item SET state = 'picked', bin = NULL WHERE payload = '4A001F'";
    let gone = "UPDATE item SET state = 'gone', gone = '2026-11-20', bin = NULL WHERE payload = '4A002C'";
    other.execute_batch(&format!("{picked}; {gone}")).unwrap();
    drop(other);
    desk.run("item add 'Mistyped' --bin 4A").stdout("4A-004W  Mistyped: in 4A, Loft, rack 1, level 2\n").done();
    desk.run("undo").done();
    let told = stow(&desk, "4C\n4A001F\n4A004W\n4A002C\n");
    assert!(reason(&told[1], "4A001F").contains("sold and picked"), "{}", told[1]);
    assert!(reason(&told[2], "4A004W").contains("its entry was taken back"), "{}", told[2]);
    assert_eq!(told[3], moved("4A-002C", None::<&str>, "4C"));
    let item = &desk.json("find 4A002C")["matches"][0];
    assert_eq!((&item["bin"], &item["status"], &item["tag_shows"]), (&json!("4C"), &json!("held"), &json!("4A")));
}

#[test]
fn a_bin_that_was_taken_back_is_refused() {
    let desk = desk();
    let added = desk.json("bin add 4");
    let bin = added["bins"][0]["code"].as_str().unwrap().to_owned();
    desk.run("undo").done();
    let told = stow(&desk, format!("{bin}\n4A001F\n"));
    assert!(reason(&told[0], &bin).contains("was taken back"), "{}", told[0]);
    assert!(reason(&told[1], "4A001F").contains("no bin was read yet"), "{}", told[1]);
}

#[test]
fn undo_walks_back_through_the_session_and_no_further() {
    let desk = desk();
    desk.run("put 4A003A --in 4B").done();
    let before = desk.json("item list");
    let told = stow(&desk, "4C\n4A001F\n4A002C\n4A002C\nundo\n Undo \nUNDO\n");
    assert_eq!(told[4]["undone"][0]["code"], "4A-002C");
    assert_eq!(told[5]["undone"][0]["code"], "4A-001F");
    assert!(reason(&told[6], "UNDO").contains("nothing of this session is left"));
    assert_eq!(desk.json("item list"), before);
}

#[test]
fn undo_leaves_what_others_have_built_on() {
    let desk = desk();
    let mut talk = desk.run("--json stow").talk();
    assert_eq!(talk.say("4C\n"), json!({ "bin": "4C" }));
    assert_eq!(talk.say("4A001F\n"), moved("4A-001F", "4A", "4C"));
    desk.run("put 4A001F --in 4D").done();
    let why = reason(&talk.say("undo\n"), "undo");
    assert!(why.contains("put 4A-001F into 4D"), "{why}");
    desk.run("undo --last 2").done();
    assert!(reason(&talk.say("undo\n"), "undo").contains("taken back already"));
    assert!(reason(&talk.say("undo\n"), "undo").contains("nothing of this session is left"));
    talk.end();
}

/// Each answer is there before the next reading is sent, and what it says is on disk by then.
#[test]
fn answers_come_one_by_one_and_are_durable() {
    let desk = desk();
    let mut talk = desk.run("--json stow").talk();
    talk.say("4C\t");
    for (sent, code) in [("4A001F\n", "4A-001F"), ("4A002C\r", "4A-002C"), ("4A003A\t", "4A-003A")] {
        assert_eq!(talk.say(sent), moved(code, "4A", "4C"));
        let payload = code.replace('-', "");
        let sql = format!(
            "SELECT count(*) FROM item JOIN bin ON bin.id = bin WHERE item.payload = '{payload}' AND bin.payload LIKE '4C%'"
        );
        assert_eq!(number(&desk.register(), &sql), 1, "{code}");
    }
    talk.end();
}

/// Two sessions on one register take turns with the same items: the last one to say where an item is is right.
#[test]
fn two_sessions_at_once_lose_nothing() {
    let desk = desk();
    let (mut one, mut other) = (desk.run("--json stow --in 4B").talk(), desk.run("--json stow --in 4C").talk());
    for code in ["4A001F", "4A002C", "4A003A"] {
        let name = code.replacen("4A", "4A-", 1);
        assert_eq!(one.say(&format!("{code}\n")), moved(&name, "4A", "4B"));
        assert_eq!(other.say(&format!("{code}\n")), moved(&name, "4B", "4C"));
        assert_eq!(one.say(&format!("{code}\n")), moved(&name, "4C", "4B"));
    }
    // The last move of `one` stands on the last of `other`, which may not be taken back.
    assert!(other.say("undo\n")["refused"]["reason"].as_str().unwrap().contains("put 4A-003A into 4B"));
    assert_eq!(one.say("undo\n")["undone"][0]["code"], "4A-003A");
    one.end();
    other.end();
    let bins = strings(
        &desk.register(),
        "SELECT substr(bin.payload, 1, 2) FROM item JOIN bin ON bin.id = item.bin ORDER BY item.id",
    );
    assert_eq!(bins, ["4B", "4B", "4C"]);
}

#[test]
fn a_register_that_can_not_be_written_is_a_refusal_and_the_session_goes_on() {
    let desk = desk();
    let mut talk = desk.run("--json stow --in 4C").talk();
    let other = Connection::open(desk.path(REGISTER)).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let why = reason(&talk.say("4A001F\n"), "4A001F");
    assert!(why.contains("another program is writing"), "{why}");
    other.execute_batch("ROLLBACK").unwrap();
    assert_eq!(talk.say("4A001F\n"), moved("4A-001F", "4A", "4C"));
    talk.end();
}

#[test]
fn plain_answers_are_lines() {
    let told = "bin 4C, Loft, rack 1, level 2, with 0 items\n\
        4A-001F  Copper jam pan: from 4A to 4C (its code names 4A)\n\
        4A-001F  Copper jam pan: in 4C already (its code names 4A)\n\
        refused `x[2J`: the register does not know it; `stowmark find WORDS` looks for titles\n\
        taken back: 4A-001F  Copper jam pan: in 4A, Loft, rack 1, level 2 again\n\
        4C-001N  Enamel ladle: into 4C\n";
    let stdin = "4C\n4A001F\n\n4A001F\nx[2J\x07\nundo\n#4\n";
    desk().run("stow").stdin(stdin).stdout(told).done();
}

/// CWE-150: what a symbol carries is not ours; an escape sequence in it must not reach the terminal.
#[test]
fn control_characters_of_a_reading_are_not_repeated() {
    let told = desk().run("stow").stdin("\u{1b}[2J\u{7}4A001\n\u{9b}2J\n").done().stdout;
    assert!(!told.chars().any(|c| c.is_control() && c != '\n'), "{told:?}");
}

/// How many readings there are in bytes: told by taking the ends of readers away in their order, not by going through
/// the bytes as the program does.
fn readings(bytes: &[u8]) -> usize {
    let text: String = bytes.iter().map(|byte| char::from(*byte)).collect();
    let ends = ["\t\r\n", "\t\r", "\t\n", "\r\n", "\t", "\r", "\n"];
    let text = ends.iter().fold(text, |text, end| text.replace(end, "│"));
    text.matches('│').count() + usize::from(!text.is_empty() && !text.ends_with('│'))
}

/// The issue: exactly one line for each line read.
#[test]
fn each_reading_has_one_line_of_answer() {
    let parts: [&[u8]; 16] = [
        b"4C",
        b"4A00R",
        b"4A001F",
        b"4A002C",
        b"#4",
        b"undo",
        b"\n",
        b"\n",
        b"\r",
        b"\r\n",
        b"\t",
        b"\xff",
        b"\0",
        b" ",
        b"]C0",
        b"{\"bin\"",
    ];
    let desk = desk();
    for seed in 0..12 {
        let mut random = fastrand::Rng::with_seed(seed);
        let stdin: Vec<u8> = (0..120).flat_map(|_| parts[random.usize(..parts.len())].to_vec()).collect();
        let told = stow(&desk, &stdin);
        assert_eq!(told.len(), readings(&stdin), "seed {seed}: {:?}", String::from_utf8_lossy(&stdin));
        for answer in told {
            let members: Vec<&String> = answer.as_object().unwrap().keys().collect();
            assert!(matches!(members[0].as_str(), "bin" | "moved" | "undone" | "refused"), "{answer}");
        }
    }
}

#[test]
fn nothing_read_is_no_failure() {
    desk().run("stow").stdout("").done();
    desk().run("--json stow").stdin("x").code(0).done();
}
