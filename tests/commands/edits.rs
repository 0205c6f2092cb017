//! `item edit`, `listed`, items that wait, old codes, and `undo` of these

use serde_json::{Value, json};

use super::support::{Desk, codes};

fn item(desk: &Desk, code: &str) -> Value {
    desk.json(&format!("find {code}"))["matches"][0].clone()
}

#[test]
fn what_is_known_of_several_items_is_changed_at_once() {
    let desk = Desk::with_items();
    let edited = desk.json("item edit 4A-002C 4A-003A 4A-002C --cost 2.40 --bought 21.11.2026 --note 'box torn'");
    assert_eq!(codes(&edited, "items"), ["4A-002C", "4A-003A"]);
    for at in 0..2 {
        let members = ["cost", "bought", "note", "asking"].map(|name| edited["items"][at][name].clone());
        assert_eq!(json!(members), json!(["2.40", "2026-11-21", "box torn", null]));
    }
    desk.run("item edit 4A-002C --note none --cost none --title 'Geese, board game'").done();
    let members = ["cost", "note", "title"].map(|name| item(&desk, "4A-002C")[name].clone());
    assert_eq!(json!(members), json!([null, null, "Geese, board game"]));
    desk.run("find geese board").any_stderr().done();
    desk.run("find 12 geese").code(3).any_stderr().done();
}

#[test]
fn edits_that_make_no_sense_change_nothing() {
    let desk = Desk::with_items();
    let before = desk.dump();
    desk.run("item edit 4A-002C").refused_with(&["nothing to change was named", "--title"]).done();
    desk.run("item edit 4A-002C 4A-009X --cost 2").code(1).any_stderr().done();
    desk.run("item edit 4A-002C --cost 1,234").refused_with(&["--cost: `1,234` could be"]).done();
    desk.run("item edit 4A-002C --title ' '").refused("the title or name is empty").done();
    desk.run("item edit 4A-001F --cost 3.50").done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn items_wait_under_a_number_until_they_have_a_bin() {
    let desk = Desk::with_items();
    desk.run("item add 'Fish kettle'").stdout("#4  Fish kettle: waits for a bin\n").done();
    desk.run("item add 'Sugar tongs' --note 'one of a pair'").done();
    let waiting = desk.json("item list --state waiting");
    assert_eq!(json!([waiting["items"][0]["code"], waiting["items"][0]["number"]]), json!([null, 4]));
    desk.run("tag #4").refused_with(&["#4 waits for a bin and has no code yet; `stowmark put '#4' --in BIN`"]).done();
    let moved = desk.json("put #4 --in 4B");
    assert_eq!(moved, json!({"moved": [{"code": "4B-001J", "from": null, "to": "4B"}]}));
    assert_eq!(item(&desk, "#4")["code"], "4B-001J");
    assert_eq!(desk.json("put --waiting --in 4B")["moved"][0]["code"], "4B-002G");
    desk.run("put --waiting --in 4B").code(3).stdout("no item waits for a bin\n").done();
    desk.run("find #9").code(3).stdout("nothing found for `#9`\n").done();
}

#[test]
fn listing_gives_a_day_and_a_price() {
    let desk = Desk::with_items();
    desk.run("tag 4A-001F 4A-002C").done();
    let listed = desk.json("listed 4A-001F --on 2026-11-24 --asking 19.50");
    let members = ["status", "listed", "asking"].map(|name| listed["items"][0][name].clone());
    assert_eq!(json!(members), json!(["listed", "2026-11-24", "19.50"]));
    assert_eq!(codes(&desk.json("item list --unlisted"), "items"), ["4A-002C", "4A-003A"]);
    // The day of the first stays, and so does its price.
    desk.run("listed --all-tagged").stderr_has(&["4A-002C has no asking price"]).done();
    assert_eq!(json!([item(&desk, "4A001")["listed"], item(&desk, "4A001")["asking"]]), json!(["2026-11-24", "19.50"]));
    assert_eq!(codes(&desk.json("item list --unlisted"), "items"), ["4A-003A"]);
    desk.run("listed --all-tagged").code(3).stdout("all that have a tag are listed already\n").done();
    desk.run("item add Ladle").done();
    desk.run("listed #4").refused_with(&["#4 can't be listed: it is waiting for a bin"]).done();
}

#[test]
fn lists_are_filtered_and_sorted() {
    let desk = Desk::with_items();
    desk.run("item add Apron --cost 9").done();
    let order = |words: &str| -> Vec<String> {
        let items = desk.json(words);
        items["items"].as_array().unwrap().iter().map(|item| item["title"].as_str().unwrap()[..5].to_owned()).collect()
    };
    assert_eq!(order("item list --sort title"), ["Apron", "Board", "Coppe", "Knitt"]);
    assert_eq!(order("item list --sort title --reverse"), ["Knitt", "Coppe", "Board", "Apron"]);
    // What is not known stands last either way.
    assert_eq!(order("item list --sort cost"), ["Knitt", "Coppe", "Apron", "Board"]);
    assert_eq!(order("item list --sort cost --reverse"), ["Apron", "Coppe", "Knitt", "Board"]);
    assert_eq!(order("item list --state waiting,sold"), ["Apron"]);
    assert_eq!(order("item list --area 4 --sort entered --reverse"), ["Knitt", "Board", "Coppe"]);
    desk.run("item list --area 9").refused_with(&["there is no area 9"]).done();
    desk.run("item list --state lost").code(2).stdout("").any_stderr().done();
}

#[test]
fn old_codes_stand_for_one_item() {
    let desk = Desk::with_items();
    let told = desk.json("item alias 4A-001F 'K 117'");
    assert_eq!(told, json!({"code": "4A-001F", "old_codes": ["K 117"]}));
    desk.run("item alias 4A-001F k-117").done();
    assert_eq!(desk.json("item alias 4A-001F 5012345678900")["old_codes"], json!(["5012345678900", "K 117"]));
    let before = desk.dump();
    desk.run("item alias 4A-002C k117").refused_with(&["`k117` can't be taken", "stands for Copper jam pan"]).done();
    for own in ["4A-001F", "4B00G", "4B", "4C-017R"] {
        desk.run(&format!("item alias 4A-002C {own}")).refused_with(&["reads like a code"]).done();
    }
    desk.run("item alias 4A-002C ' - '").refused_with(&["no letters or digits"]).done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn an_entry_that_is_taken_back_keeps_its_code_for_ever() {
    let desk = Desk::with_items();
    let undone = desk.json("undo");
    assert_eq!(undone["undone"][0]["what"], "enter Knitting pattern: bobble hat");
    assert_eq!(codes(&desk.json("item list"), "items"), ["4A-001F", "4A-002C"]);
    assert_eq!(item(&desk, "4A-003A")["status"], "undone");
    desk.run("find bobble").code(3).any_stderr().done();
    desk.run("put 4A-003A --in 4B").refused("4A-003A is not there: its entry was taken back").done();
    assert_eq!(codes(&desk.json("item add Ladle --bin 4A"), "items"), ["4A-004W"]);
    // And it comes back by the number of its change.
    desk.run("undo --change 6").done();
    assert_eq!(codes(&desk.json("item list"), "items"), ["4A-001F", "4A-002C", "4A-003A", "4A-004W"]);
    desk.run("find bobble").done();
}

/// A label of what is not there would keep its entry from being taken back once it is brought back.
#[test]
fn nothing_is_printed_of_an_entry_that_is_taken_back() {
    let desk = Desk::with_items();
    desk.run("tag 4A-003A --out first.pdf").any_stderr().done();
    desk.run("run cancel 1").done();
    desk.run("undo").done();
    let (before, files) = (desk.dump(), desk.files());
    let told = "4A-003A is not there: its entry was taken back";
    desk.run("tag 4A-003A").refused(told).done();
    desk.run("tag 4A-001F 4A-003A").refused(told).done();
    desk.run("reprint 1").refused(told).done();
    assert_eq!((desk.dump(), desk.files()), (before, files));
    desk.run("undo --change 6").done();
    desk.run("tag 4A-003A").any_stderr().done();
    desk.run("check").done();
}

#[test]
fn a_change_stays_while_others_stand_on_it() {
    let desk = Desk::with_items();
    desk.run("put 4A-001F --in 4B").done();
    desk.run("item edit 4A-001F --asking 30").done();
    desk.run("tag 4A-002C").done();
    let before = desk.dump();
    let told = desk.run("undo --change 3").code(1).stdout("").any_stderr().done().stderr;
    assert!(
        told.contains("change 3 (enter Copper jam pan) stays")
            && told.contains("change 6, ")
            && told.contains("change 7, "),
        "{told}"
    );
    desk.run("undo --change 4")
        .refused_with(&["run 0001, which printed its label", "`stowmark run cancel 0001`"])
        .done();
    desk.run("undo --last 6").refused_with(&["change 4 "]).done();
    desk.run("undo --change 99").refused_with(&["there is no change 99"]).done();
    assert_eq!(desk.dump(), before);
    // The new price does not stand on the move.
    desk.run("undo --change 6").stdout("taken back: change 6, put 4A-001F into 4B\n").done();
    assert_eq!(json!([item(&desk, "4A-001F")["bin"], item(&desk, "4A-001F")["asking"]]), json!(["4A", "30.00"]));
    desk.run("undo --change 6").refused_with(&["change 6 was taken back already"]).done();
}

#[test]
fn an_import_is_taken_back_as_a_whole_and_may_come_in_again() {
    let desk = Desk::with_bins();
    desk.file("buys.csv", "title\nPan\nPot\nLid\n").run("item import buys.csv --bin 4A").done();
    assert_eq!(desk.json("undo")["undone"][0]["what"], "import 3 items of buys.csv");
    assert_eq!(desk.json("item list")["items"], json!([]));
    assert_eq!(codes(&desk.json("item import buys.csv --bin 4A"), "items"), ["4A-004W", "4A-005T", "4A-006R"]);
}

#[test]
fn with_nothing_left_to_take_back_it_says_so() {
    let desk = Desk::empty();
    desk.run("area add 4 Loft").any_stderr().done();
    desk.run("set paper letter").done();
    assert_eq!(desk.json("undo --last 2")["undone"][0]["what"], "set paper");
    assert_eq!(desk.json("area list"), json!({"areas": []}));
    desk.run("undo").refused_with(&["there is nothing to take back"]).done();
}
