//! `item import`: what the columns are, in which order dates are, and what is asked on a terminal

use std::process::Command;

use serde_json::{Value, json};

use super::support::{Desk, REGISTER, strings};

const OWN: &str = "Thing;What I gave;EUR;When\nPan;3,50;9;2026-11-21\n";

fn desk(csv: &str) -> Desk {
    let desk = Desk::with_bins();
    desk.file("stock.csv", csv);
    desk
}

/// Title, cost, asking and day of the items of an answer.
fn items(answer: &Value) -> Vec<Value> {
    let items = answer["items"].as_array().unwrap().iter();
    items.map(|item| json!([item["title"], item["cost"], item["asking"], item["bought"]])).collect()
}

#[test]
fn the_user_says_what_columns_are_and_it_is_remembered() {
    let desk = desk(OWN);
    let maps = "--map 'title=Thing' --map 'cost=what i gave' --map asking=EUR --map 'date bought=When'";
    let first = desk.run(&format!("--json item import stock.csv {maps}")).done().json();
    assert_eq!(items(&first), [json!(["Pan", "3.50", "9.00", "2026-11-21"])]);
    let columns = json!({"title": "Thing", "cost": "What I gave", "asking": "EUR", "bought": "When"});
    assert_eq!((&first["columns"], &first["unread"]), (&columns, &json!([])));
    // The same headings in another order and case.
    desk.file("next.csv", "when,EUR,THING,what i gave\n2026-11-22,8,Pot,2\n");
    let told = "as you said earlier for these headings: `THING` is the title, `what i gave` is the cost, \
        `EUR` is the asking price, `when` is the date bought; --map says otherwise\n";
    let next = desk.run("--json item import next.csv").stderr(told).done().json();
    assert_eq!(items(&next), [json!(["Pot", "2.00", "8.00", "2026-11-22"])]);
    assert_eq!(next["notes"], json!([told.trim_end()]));
    // Taken back with the import that said it.
    desk.run("undo --last 2").done();
    desk.run("item import next.csv").refused_with(&["no column holds the title"]).done();
}

#[test]
fn a_field_may_stay_unread() {
    let desk = desk("title,price,note\nPan,9,mine\n");
    let answer = desk.run("--json item import stock.csv --map asking= --map note=price").any_stderr().done().json();
    assert_eq!(answer["items"][0]["note"], "9");
    assert_eq!((&answer["items"][0]["asking"], &answer["unread"]), (&Value::Null, &json!(["note"])));
}

#[test]
fn what_can_not_be_mapped_is_refused_with_what_there_is() {
    let desk = desk(OWN);
    let before = desk.dump();
    let cases = [
        (
            "--map colour=EUR",
            "there is no field `colour`; there are code, title, bin, cost, asking, bought, old, note, litres, measures, length, \
             width, height, size and grams",
        ),
        ("--map title=Name", "no column has the heading `Name`; the headings are `Thing`, `What I gave`, `EUR`"),
        ("--map title", "`title` is no mapping; write it as title=\"Item name\""),
        ("--map cost=EUR --map asking=EUR", "`EUR` is named twice"),
    ];
    for (maps, why) in cases {
        desk.run(&format!("item import stock.csv {maps}")).refused_with(&[why]).done();
    }
    assert_eq!(desk.dump(), before);
}

#[test]
fn dates_that_could_be_two_are_never_guessed_in_silence() {
    let desk = desk("title,date\nPan,3/4/2026\nPot,4/4/2026\n");
    let before = desk.dump();
    let why = "`stock.csv`: line 2: `3/4/2026` could be 3 April or 4 March, and no other date of the file tells; \
        say which with --dates day-first or --dates month-first";
    desk.run("item import stock.csv").refused(why).done();
    assert_eq!(desk.dump(), before);
    for (order, day) in [("day-first", "2026-04-03"), ("month-first", "2026-03-04")] {
        let answer = desk.run(&format!("--json item import stock.csv --again --dates {order}")).done().json();
        assert_eq!((&answer["items"][0]["bought"], &answer["dates"]), (&json!(day), &json!(order)));
    }
}

#[test]
fn other_dates_of_the_file_tell_and_it_is_said() {
    let desk = desk("title,date\nPan,3/4/2026\nPot,25/11/2026\nLid,3.5.2026\n");
    let told = "dates are read with the day first, as `25/11/2026` on line 3 can be nothing else; \
        --dates says otherwise\n";
    let answer = desk.run("--json item import stock.csv").stderr(told).done().json();
    let days: Vec<&Value> = answer["items"].as_array().unwrap().iter().map(|item| &item["bought"]).collect();
    assert_eq!(days, ["2026-04-03", "2026-11-25", "2026-05-03"]);
    let why = "stock.csv:3: date: `25/11/2026` is not in the calendar with the month first";
    desk.run("item import stock.csv --again --dates month-first").refused_with(&[why]).done();
}

#[test]
fn dates_that_contradict_each_other_tell_nothing() {
    let desk = desk("title,date\nPan,3/4/2026\nPot,25/11/2026\nLid,11/25/2026\n");
    let why = "`25/11/2026` (line 3) has the day first, `11/25/2026` (line 4) the month first; mend them";
    desk.run("item import stock.csv").refused_with(&[why]).done();
}

#[test]
fn the_order_of_dates_is_remembered_only_when_asked() {
    let desk = desk("title,date\nPan,3/4/2026\n");
    desk.file("next.csv", "title,date\nPot,5/6/2026\n");
    desk.run("item import stock.csv --dates day-first").done();
    desk.run("item import next.csv").refused_with(&["--dates"]).done();
    desk.run("item import stock.csv --again --dates day-first --remember").done();
    let told = "dates are read with the day first, as you said earlier for these headings; --dates says otherwise\n";
    let answer = desk.run("--json item import next.csv").stderr(told).done().json();
    assert_eq!(answer["items"][0]["bought"], "2026-06-05");
    desk.run("item import next.csv --remember").code(2).stderr_has(&["--dates"]).done();
}

/// Runs the program on a terminal of its own, with `script` of util-linux, and types the answers.
fn on_terminal(desk: &Desk, words: &str, answers: &str) -> Option<(i32, String)> {
    use std::{io::Write, process::Stdio};
    let program = format!("{} --register {REGISTER} {words}", env!("CARGO_BIN_EXE_stowmark"));
    let mut command = Command::new("script");
    command.args(["-qec", &program, "/dev/null"]).current_dir(desk.path("")).env_remove("STOWMARK_REGISTER");
    command.env("HOME", desk.path("home")).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let child = if cfg!(target_os = "linux") { command.spawn().ok() } else { None };
    let Some(mut child) = child else {
        assert!(std::env::var_os("STOWMARK_NEED_TOOLS").is_none(), "script (util-linux) is missing");
        eprintln!("skipped: script (util-linux) is missing");
        return None;
    };
    child.stdin.take().unwrap().write_all(answers.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    Some((output.status.code().unwrap(), String::from_utf8_lossy(&output.stdout).replace("\r\n", "\n")))
}

#[test]
fn on_a_terminal_the_first_rows_are_shown_and_a_yes_is_asked_for() {
    let rows: String = (1..=7).map(|number| format!("Egg cup {number};{number},50;x\n")).collect();
    let desk = desk(&format!("Item;Paid (EUR);Shelf\n{rows}"));
    let before = desk.dump();
    for answer in ["n\n", "\n", "yesterday\n"] {
        let Some((code, told)) = on_terminal(&desk, "item import stock.csv --bin 4A", answer) else { return };
        assert_eq!((code, desk.dump()), (1, before.clone()), "{answer:?} {told}");
        assert!(told.contains("error: no `y` was given; nothing was done"), "{told}");
    }
    let (code, told) = on_terminal(&desk, "item import stock.csv --bin 4A", "y\n").unwrap();
    let shown = "stock.csv: 7 rows

field     column
title     `Item`
cost      `Paid (EUR)`
not read  `Shelf`

New, the first 5 of 7:
title      bin  cost
Egg cup 1  4A   1.50
Egg cup 2  4A   2.50
Egg cup 3  4A   3.50
Egg cup 4  4A   4.50
Egg cup 5  4A   5.50

7 items new.
Go ahead? [y/N] ";
    assert!(told.contains(shown), "{told}");
    assert!(told.contains("7 items came in"), "{told}");
    assert_eq!((code, strings(&desk.register(), "SELECT title FROM item").len()), (0, 7));
    let (code, told) = on_terminal(&desk, "item import stock.csv --again --yes", "").unwrap();
    assert_eq!((code, told.contains("Go ahead?")), (0, false), "{told}");
}

#[test]
fn on_a_terminal_the_order_of_dates_is_asked_for() {
    let desk = desk("title,date\nPan,3/4/2026\n");
    let Some((code, told)) = on_terminal(&desk, "item import stock.csv", "2\ny\n") else { return };
    assert_eq!(code, 0, "{told}");
    let asked = "`3/4/2026` (line 2): is that 3 April or 4 March? No other date of the file tells.\n\
        1 for 3 April, 2 for 4 March: ";
    assert!(told.contains(asked), "{told}");
    assert!(told.contains("bought  `date`   the month first"), "{told}");
    assert_eq!(strings(&desk.register(), "SELECT bought FROM item"), ["2026-03-04"]);
    let (code, _) = on_terminal(&desk, "item import stock.csv --again", "3\n").unwrap();
    assert_eq!((code, strings(&desk.register(), "SELECT bought FROM item").len()), (1, 1));
}
