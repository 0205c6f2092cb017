//! `stale`, and `--stale` of the commands that print

use serde_json::{Value, json};

use super::support::{Desk, number};

/// Three tagged items in 4A, and signs, lids, strips, lists and area signs of all.
fn desk() -> Desk {
    let desk = Desk::with_items();
    desk.run("tag --show asking --note 'mind the lid' --no-proof").done();
    desk.run("sign --inside copper --no-proof").any_stderr().done();
    desk.run("sign --lid --no-proof").any_stderr().done();
    for command in ["strip", "contents --all", "area sign"] {
        desk.run(&format!("{command} --no-proof")).any_stderr().done();
    }
    desk
}

/// Kind, code and reasons of each wrong label.
fn wrong(answer: &Value) -> Vec<(String, String, Vec<String>)> {
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let reasons = |label: &Value| label["reasons"].as_array().unwrap().iter().map(text).collect();
    let labels = answer["stale"].as_array().unwrap().iter();
    labels.map(|label| (text(&label["kind"]), text(&label["code"]), reasons(label))).collect()
}

fn one(kind: &str, code: &str, reasons: &[&str]) -> (String, String, Vec<String>) {
    (kind.to_owned(), code.to_owned(), reasons.iter().map(ToString::to_string).collect())
}

#[test]
fn nothing_is_wrong_at_first() {
    desk().run("stale").code(3).stdout("no printed label is wrong\n").done();
    Desk::with_items().run("stale").code(3).stdout("no printed label is wrong\n").done();
}

#[test]
fn each_change_makes_just_its_labels_wrong() {
    let desk = desk();
    desk.run("item edit 4A001F --title 'Jam pan'").done();
    desk.run("item edit 4A002C --asking 8 --cost 2").done();
    desk.run("put 4A003A --in 4C").done();
    desk.run("bin edit 4D --spot 'rack 2'").done();
    let expected = [
        one("strips", "", &["shows 4D, which stands elsewhere"]),
        one("contents", "4A", &["1 item left, 1 got another title since"]),
        one("tags", "4A-001F", &["title changed"]),
        one("tags", "4A-002C", &["price changed"]),
        one("contents", "4C", &["1 item came since"]),
        one("signs", "4D", &["spot: stands at rack 2 now"]),
        one("lids", "4D", &["spot: stands at rack 2 now"]),
        one("contents", "4D", &["spot: stands at rack 2 now"]),
    ];
    let mut found = wrong(&desk.json("stale"));
    let mut wanted = expected.to_vec();
    found.sort();
    wanted.sort();
    assert_eq!(found, wanted);
    let answer = desk.json("stale");
    assert_eq!(answer["moved"], json!({"items": 1, "tags": 1, "listings": 0, "command": "stowmark retag --all"}));
    let kinds: Vec<&str> =
        answer["print"].as_array().unwrap().iter().map(|one| one["kind"].as_str().unwrap()).collect();
    assert_eq!(kinds, ["tags", "signs", "lids", "strips", "contents"]);
}

/// The commands of the answer print all of it, and then nothing is wrong any more.
#[test]
fn the_commands_that_are_named_print_what_is_wrong() {
    for scope in ["", "--area 4", "--bin 4D"] {
        let desk = desk();
        desk.run("put 4A001F --in 4D").done();
        desk.run("retag --all").done();
        desk.run("bin edit 4D --spot 'rack 2'").done();
        let answer = desk.json(&format!("stale {scope}"));
        let commands = answer["print"].as_array().unwrap().clone();
        assert_eq!(commands.len(), if scope == "--bin 4D" { 4 } else { 5 }, "{answer}");
        for one in commands {
            let command = one["command"].as_str().unwrap().strip_prefix("stowmark ").unwrap();
            let told = desk.bare("--json").args(&["--register", "register.db"]);
            let words: Vec<&str> = command.split(' ').chain(["--no-proof"]).collect();
            let printed = told.args(&words).any_stderr().done().json();
            assert_eq!(printed["labels"], one["labels"], "{command}");
        }
        desk.run(&format!("stale {scope}")).code(3).done();
        desk.run(&format!("tag --stale {}", if scope.is_empty() { "--all" } else { scope }))
            .code(3)
            .stdout("no tag there is wrong; `stowmark stale` shows what is\n")
            .done();
    }
}

#[test]
fn each_label_keeps_its_look_and_options_go_before_it() {
    let desk = desk();
    desk.run("tag 4A002C --note 'for Ann' --no-proof").any_stderr().done();
    for code in ["4A001F", "4A002C"] {
        desk.run(&format!("item edit {code} --asking 9 --title Thing")).done();
    }
    let said = |run: &str| -> Vec<Value> {
        desk.json(&format!("run show {run}"))["placed"]
            .as_array()
            .unwrap()
            .iter()
            .map(|label| label["said"].clone())
            .collect()
    };
    let first = desk.run("--json tag --stale --no-proof").any_stderr().done().json()["run"].as_i64().unwrap();
    let asked = json!({"code": "4A-001F", "bin": "4A", "title": "Thing", "asking": "9.00", "note": "mind the lid"});
    let plain = json!({"code": "4A-002C", "bin": "4A", "title": "Thing", "note": "for Ann"});
    assert_eq!(said(&first.to_string()), [asked.clone(), plain.clone()]);
    // So does a reprint of it.
    desk.run(&format!("reprint {first} --no-proof")).any_stderr().done();
    assert_eq!(said(&(first + 1).to_string()), [asked, plain]);
    desk.run("stale --bin 4A").any_code().done();
    desk.run("item edit 4A001F 4A002C --title Other").done();
    desk.run("tag --stale --note new --show bought --no-proof").any_stderr().done();
    let told = said(&(first + 2).to_string());
    assert_eq!(
        told[0],
        json!({"code": "4A-001F", "bin": "4A", "title": "Other", "bought": "2026-11-21", "note": "new"})
    );
    assert_eq!(told[1], json!({"code": "4A-002C", "bin": "4A", "title": "Other", "bought": null, "note": "new"}));
}

#[test]
fn what_left_and_what_was_cancelled_does_not_count() {
    let desk = desk();
    desk.run("item edit 4A001F 4A002C 4A003A --title Thing").done();
    assert_eq!(desk.json("stale")["print"][0]["labels"], 3);
    desk.run("gone 4A001F --why broken").done();
    desk.run("sold 4A002C --price 9").done();
    assert_eq!(desk.json("stale")["print"][0]["labels"], 2, "a sold item is in its bin until it is picked");
    desk.run("picked --all").done();
    assert_eq!(desk.json("stale")["print"][0]["labels"], 1);
    desk.run("run cancel 1").done();
    let kinds: Vec<Value> =
        desk.json("stale")["print"].as_array().unwrap().iter().map(|one| one["kind"].clone()).collect();
    assert_eq!(kinds, ["contents"]);
}

/// Copies are one label, and only the last label of a thing counts.
#[test]
fn copies_and_older_labels_count_once() {
    let desk = Desk::with_items();
    desk.run("tag 4A001F --copies 5 --no-proof").done();
    desk.run("item edit 4A001F --title Thing").done();
    assert_eq!(desk.json("stale")["stale"].as_array().unwrap().len(), 1);
    desk.run("tag 4A001F --no-proof").any_stderr().done();
    desk.run("stale").code(3).done();
}

/// What versions before did not keep of a label is not compared.
#[test]
fn labels_of_older_runs_are_compared_as_far_as_they_go() {
    let desk = desk();
    let other = rusqlite::Connection::open(desk.path("register.db")).unwrap();
    let old = r#"{"bin":"4A","code":"4A-001F","title":"Copper jam pan"}"#;
    other.execute("UPDATE label SET said = ?1 WHERE item = 1", [old]).unwrap();
    other
        .execute("UPDATE label SET said = json_remove(said, '$.titles', '$.spot', '$.area_name') WHERE bin = 1", [])
        .unwrap();
    drop(other);
    desk.run("item edit 4A001F --asking 30").done();
    desk.run("stale").code(3).done();
    desk.run("item edit 4A001F --title Pan").done();
    assert_eq!(wrong(&desk.json("stale")), [one("tags", "4A-001F", &["title changed"])]);
}

#[test]
fn a_strip_of_a_spot_without_bins_is_to_be_taken_off() {
    let desk = desk();
    desk.run("bin edit 4A 4B 4C 4D 4F --spot shelf").done();
    let told = desk.run("stale").done().stdout;
    let expected = "no bin stands at this spot any more; if its strip still hangs there, take it off: Loft, rack 1, \
        level 2";
    assert!(told.replace('\n', " ").contains(expected), "{told}");
    let noted = desk.run("strip --stale").code(3).any_stderr().done().stderr;
    assert!(noted.replace('\n', " ").contains(expected), "{noted}");
    assert_eq!(desk.json("stale")["bare"], json!([{"area": 4, "area_name": "Loft", "spot": "rack 1, level 2"}]));
    // Once all else is printed, the remark alone is nothing wrong.
    for command in ["sign", "sign --lid", "contents"] {
        desk.run(&format!("{command} --stale --no-proof")).any_stderr().done();
    }
    let told = desk.run("stale").code(3).done().stdout;
    assert!(told.starts_with("no printed label is wrong\n"), "{told}");
}

#[test]
fn answers_for_people_name_labels_reasons_and_commands() {
    let desk = Desk::with_items();
    desk.run("tag --no-proof").done();
    desk.run("listed 4A001F").done();
    desk.run("put 4A001F 4A002C --in 4B").done();
    desk.run("retag 4A001F").done();
    let told = "\
label  code     title           where                      why
tag    4B-001J  Copper jam pan  4B, Loft, rack 1, level 2  shows bin 4A, the item has code 4B-001J now

1 tag is wrong; this prints it again:
  stowmark tag --stale

1 item is in another bin than its code says. Its tag goes on resolving, so that nothing needs
printing. A code of its present bin would mean 1 tag and 0 listings to renew:
  stowmark retag --all
";
    desk.run("stale").stdout(told).done();
    desk.run("stale --bin 4B --area 4").code(2).stderr_has(&["cannot be used with"]).done();
    desk.run("stale --bin 9Z").refused_with(&["`9Z`"]).done();
    desk.run("stale --area 9").refused_with(&["area 9"]).done();
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM run"), 1);
}

/// Wrong labels go on what they were printed on; options go before that.
#[test]
fn wrong_labels_are_printed_on_the_sheet_that_they_were_on() {
    let desk = Desk::with_items();
    desk.run("tag 4A001F --sheet a4-3x7 --dpi 600 --rotate 180 --copies 2 --no-proof").any_stderr().done();
    desk.run("item edit 4A001F --title Pan").done();
    let again = |words: &str| {
        let told = desk.run(&format!("--json {words} --no-proof --fresh-sheet")).any_stderr().done();
        let run = told.json()["run"].as_i64().unwrap();
        let kept = desk.json(&format!("run show {run}"));
        let options = options_of(&desk, run);
        (json!([kept["sheet"], kept["dpi"], kept["labels"], options["rotate"]]), told.stderr)
    };
    assert_eq!(again("tag --stale").0, json!(["a4-3x7", 600.0, 2, 180]));
    desk.run("stale").code(3).done();
    desk.run("item edit 4A001F --title Pot").done();
    assert_eq!(again("tag --stale --copies 1 --dpi 300 --rotate 0").0, json!(["a4-3x7", 300.0, 1, null]));
    desk.run("item edit 4A001F --title Pan").done();
    assert_eq!(again("tag --stale --paper letter").0, json!(["letter-3x10", 300.0, 1, null]));
    // Of several sheets the one of the most labels; that is said.
    desk.run("tag 4A002C 4A003A --sheet a4-2x7 --no-proof").any_stderr().done();
    desk.run("item edit 4A001F 4A002C 4A003A --title Lid").done();
    let (kept, told) = again("tag --stale");
    assert_eq!(kept, json!(["a4-2x7", 300.0, 3, null]));
    let note = "these were printed on a4-2x7 and letter-3x10, and all go on a4-2x7 now: --sheet prints them on another";
    assert!(told.contains(note), "{told}");
    desk.run("stale").code(3).done();
}

fn options_of(desk: &Desk, run: i64) -> Value {
    let register = rusqlite::Connection::open(desk.path("register.db")).unwrap();
    let kept: String = register.query_row("SELECT options FROM run WHERE id = ?1", [run], |row| row.get(0)).unwrap();
    serde_json::from_str(&kept).unwrap()
}

/// A strip tells what became of bins that left; a bin that went to another area is in no renamed one.
#[test]
fn retired_bins_and_other_areas_are_no_moves_and_no_new_names() {
    let desk = desk();
    desk.run("bin retire 4B").done();
    desk.run("bin move 4C --spot shelf").done();
    desk.run("area add 7 Cellar").done();
    desk.run("bin change-area 4D 7").done();
    let reasons = |kind: &str| -> Vec<String> {
        let found = wrong(&desk.json("stale")).into_iter().filter(|(known, ..)| known == kind);
        found.flat_map(|(.., reasons)| reasons).collect()
    };
    assert_eq!(reasons("strips"), ["shows 4C, 4D, which stand elsewhere; shows 4B, which is retired"]);
    assert_eq!(
        reasons("signs"),
        ["spot: stands at shelf now", "shows 4D, the bin is called 7A now", "spot: has none now"]
    );
}
