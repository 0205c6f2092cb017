//! `undo`: whole commands at a time, and what stays because other things stand on it

use serde_json::{Value, json};

use super::support::{Desk, number, strings};

fn title(desk: &Desk) -> String {
    strings(&desk.register(), "SELECT title FROM item WHERE id = 1").remove(0)
}

/// What the program notes for itself is nothing that a user did.
#[test]
fn undo_passes_over_what_was_told_about_part_used_sheets() {
    let desk = Desk::with_items();
    desk.run("item edit 4A001F --title Pan").done();
    for _ in 0..2 {
        desk.run("tag 4A001F --sheet a4-3x7 --no-proof").any_stderr().done();
    }
    assert!(desk.json("history --last 1")["changes"][0]["what"].as_str().unwrap().contains("part-used"));
    desk.run("undo").stdout_has("edit 4A-001F").done();
    desk.run("check").stdout("the register is sound\n").done();
}

#[test]
fn the_last_changes_are_taken_back() {
    let desk = Desk::with_items();
    desk.run("put 4A-001F --in 4C").done();
    desk.run("item edit 4A-002C --cost 2").done();
    let undone = desk.json("undo --last 2");
    let numbers: Vec<&Value> = undone["undone"].as_array().unwrap().iter().map(|change| &change["change"]).collect();
    assert_eq!(numbers, [7, 6]);
    assert_eq!(undone["undone"][1]["what"], "put 4A-001F into 4C");
    desk.run("undo").stdout("taken back: change 5, enter Knitting pattern: bobble hat\n").done();
    desk.run("check").done();
}

#[test]
fn nothing_to_take_back_is_told() {
    let desk = Desk::empty();
    desk.run("set paper letter").any_stderr().done();
    desk.run("undo").done();
    desk.run("undo").refused("there is nothing to take back; `stowmark history` shows what happened").done();
    desk.run("undo --change 1").refused_with(&["change 1 was taken back already"]).done();
    desk.run("undo --change 77").refused_with(&["there is no change 77"]).done();
    desk.run("undo --change 0").refused_with(&["there is no change 0"]).done();
    desk.run("undo --last 0").code(2).any_stderr().done();
}

#[test]
fn what_stands_on_a_change_is_named() {
    let desk = Desk::with_items();
    desk.run("put 4A-001F --in 4C").done();
    let before = desk.dump();
    let told = ["change 3 (enter Copper jam pan) stays", "change 6, ", "put 4A-001F into 4C"];
    desk.run("undo --change 3").refused_with(&told).done();
    let told = ["change 2 (add 5 bins to area 4) stays", "enter Copper jam pan", "put 4A-001F into 4C"];
    desk.run("undo --change 2").refused_with(&told).done();
    desk.run("undo --change 1").refused_with(&["area 4 stays: its bins have had codes"]).done();
    assert_eq!(desk.dump(), before);
}

/// Two edits, there and back again: brought back in the wrong order the second would end in the first one's title.
#[test]
fn what_took_an_earlier_change_back_stands_on_what_is_brought_back() {
    let desk = Desk::with_items();
    for words in ["item edit 4A-001F --title Pot", "item edit 4A-001F --title 'Copper jam pan'"] {
        desk.run(words).done();
    }
    desk.run("undo").done();
    desk.run("undo").done();
    assert_eq!(title(&desk), "Copper jam pan");
    // 8 took 7 back, and 9 took 6 back.
    desk.run("undo --change 8").refused_with(&["change 8 (undo 7", "change 9", "undo 6"]).done();
    desk.run("undo --change 9").done();
    assert_eq!(title(&desk), "Pot");
    desk.run("undo --change 8").done();
    assert_eq!(title(&desk), "Copper jam pan");
    desk.run("check").done();
}

/// What came back is an entry as any other: what was done to it since stands on it.
#[test]
fn what_was_brought_back_and_changed_since_stays() {
    let desk = Desk::with_items();
    desk.run("bin add 4").done();
    desk.run("undo --last 2").done();
    // 7 took the bin back, and 8 the last item.
    desk.run("undo --change 7").done();
    desk.run("undo --change 8").done();
    desk.run("bin move 4G --spot shelf").done();
    desk.run("item edit 4A-003A --cost 3").done();
    desk.run("undo --change 9").refused_with(&["take these back first", "edit 4G"]).done();
    desk.run("undo --change 10").refused_with(&["take these back first", "edit 4A-003A"]).done();
    desk.run("check").done();
}

/// Taken back, brought back, taken back: whichever of them counts is marked.
#[test]
fn a_chain_of_undoing_keeps_its_marks() {
    let desk = Desk::with_items();
    let marks = || strings(&desk.register(), "SELECT id || '<' || undone_by FROM change WHERE undone_by IS NOT NULL");
    desk.run("put 4A-001F --in 4C").done();
    desk.run("undo").done();
    assert_eq!(marks(), ["6<7"]);
    desk.run("undo --change 7").done();
    assert_eq!(marks(), ["7<8"]);
    desk.run("undo --change 8").done();
    assert_eq!(marks(), ["6<7", "8<9"]);
    desk.run("undo --change 6").refused_with(&["change 6 was taken back already"]).done();
    desk.run("undo --change 9").done();
    assert_eq!(marks(), ["7<8", "9<10"]);
    // It counts again, and goes as the last one.
    desk.run("undo").stdout("taken back: change 6, put 4A-001F into 4C\n").done();
    desk.run("check").done();
}

/// Else an item would be in a bin that is not there.
#[test]
fn an_item_does_not_come_back_into_a_bin_that_was_taken_back() {
    let desk = Desk::with_items();
    desk.run("bin add 4").done();
    desk.run("put 4A-001F --in 4G").done();
    desk.run("undo").done();
    desk.run("undo").done();
    let before = desk.dump();
    desk.run("undo --change 8").refused_with(&["change 8 (undo 7", "change 9", "undo 6: add a bin to area 4"]).done();
    assert_eq!(desk.dump(), before);
    desk.run("undo --change 9").done();
    desk.run("undo --change 8").done();
    assert_eq!(desk.json("bin show 4G")["items"], 1);
    desk.run("check").done();
}

#[test]
fn an_old_code_that_stands_for_something_else_by_now_does_not_come_back() {
    let desk = Desk::with_items();
    desk.run("item alias 4A-001F 'K 117'").done();
    desk.run("undo").done();
    desk.run("item alias 4A-002C 'K-117'").done();
    desk.run("undo --change 7").refused_with(&["change 8", "take on old code K-117 for 4A-002C"]).done();
    desk.run("undo").done();
    desk.run("undo --change 7").done();
    assert_eq!(number(&desk.register(), "SELECT item FROM name WHERE old IS NOT NULL"), 1);
}

#[test]
fn an_entry_with_an_old_code_goes_with_it_and_comes_back_with_it() {
    let desk = Desk::with_bins();
    desk.run("item add Pan --bin 4A --old 'K 117'").done();
    desk.run("undo").done();
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM name WHERE old IS NOT NULL"), 0);
    desk.run("find pan").code(3).any_stderr().done();
    desk.run("undo --change 4").done();
    assert_eq!(strings(&desk.register(), "SELECT payload FROM name WHERE old IS NOT NULL"), ["K117"]);
    desk.run("check").done();
}

/// A spot that another bin has come to since stays where it is.
#[test]
fn a_spot_that_others_use_stays() {
    let desk = Desk::with_bins();
    desk.run("bin add 4 --spot shelf").done();
    desk.run("bin add 4 --spot shelf").done();
    desk.run("undo --change 3").done();
    let bins = desk.json("bin list")["bins"].as_array().unwrap().clone();
    assert_eq!((bins.len(), &bins[5]["spot"]), (6, &json!("shelf")));
    desk.run("undo --change 4").done();
    desk.run("check").done();
}

/// Amounts are kept in the smallest unit: 350 is 3.50 with two decimals, and 350 with none.
#[test]
fn a_currency_that_amounts_are_in_stays() {
    let desk = Desk::with_bins();
    desk.run("set currency JPY").done();
    desk.run("item add Pan --bin 4A --cost 350").done();
    desk.run("undo --change 3").refused_with(&["the currency stays: there are amounts already"]).done();
    desk.run("undo").done();
    desk.run("undo").refused_with(&["the currency stays"]).done();
    desk.run("set currency EUR").refused_with(&["amounts are in 0 decimals already"]).done();
    let other = Desk::with_bins();
    other.run("set currency EUR").done();
    other.run("item add Pan --bin 4A --cost 3.50").done();
    other.run("undo --change 3").done();
    assert_eq!(other.json("item list")["items"][0]["cost"], "3.50");
}

#[test]
fn what_was_printed_stays() {
    let desk = Desk::with_items();
    desk.run("item add Ladle").done();
    desk.run("put '#4' --in 4B").done();
    desk.run("tag 4B-001J").done();
    let why = ["run 0001, which printed its label: `stowmark run cancel 0001` if nothing came out"];
    desk.run("undo").refused_with(&why).done();
    desk.run("run cancel 1").done();
    desk.run("undo").done();
    assert_eq!(desk.json("find '#4'")["matches"][0]["status"], "waiting");
    desk.run("check").done();
}

#[test]
fn an_area_whose_sign_was_printed_stays() {
    let desk = Desk::with_items();
    desk.run("area add 5 Shed").done();
    desk.run("area sign 5").any_stderr().done();
    let change = number(&desk.register(), "SELECT max(id) FROM change");
    desk.run("run cancel 1").done();
    let why = "area 5 stays: its label is on record with run 0001";
    desk.run(&format!("undo --change {change}")).refused(why).done();
}

#[test]
fn an_import_is_taken_back_as_a_whole_and_may_come_in_again() {
    let desk = Desk::with_items();
    let state = || strings(&desk.register(), "SELECT payload || title FROM item WHERE state <> 'undone'");
    let before = state();
    let rows: String = (0..2000).map(|number| format!("Egg cup no {number},1\n")).collect();
    desk.file("buys.csv", format!("title,cost\n{rows}")).run("item import buys.csv --bin 4B").done();
    desk.run("put 4B-100 --in 4C").done();
    desk.run("undo --change 6").refused_with(&["change 7", "into 4C"]).done();
    desk.run("undo --last 2").done();
    assert_eq!(state(), before);
    desk.run("find egg").code(3).any_stderr().done();
    let again = desk.json("item import buys.csv --bin 4B");
    // No serial is given twice.
    assert!(again["items"][0]["code"].as_str().unwrap().starts_with("4B-2001"), "{}", again["items"][0]);
    desk.run("check").done();
}
