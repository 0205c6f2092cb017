//! Part-used sheets: on which slots `tag` and `sign` print

use serde_json::{Value, json};

use super::support::{Desk, number};

/// Page and slot of each label.
pub fn places(answer: &Value) -> Vec<(u64, u64)> {
    let labels = answer["placed"].as_array().unwrap().iter();
    labels.map(|label| (label["page"].as_u64().unwrap(), label["slot"].as_u64().unwrap())).collect()
}

/// All on one page.
fn slots(answer: &Value) -> Vec<u64> {
    assert_eq!(answer["pages"], 1);
    places(answer).into_iter().map(|(_, slot)| slot).collect()
}

#[test]
fn the_next_run_goes_on_where_the_last_one_ended() {
    let desk = Desk::with_items();
    assert_eq!(slots(&desk.json("tag 4A-001F --sheet a4-3x7 --copies 4")), [1, 2, 3, 4]);
    assert_eq!(slots(&desk.json("tag 4A-002C --sheet a4-3x7")), [5]);
    // Each sheet name has a sheet in use of its own.
    assert_eq!(slots(&desk.json("tag 4A-002C --sheet a4-3x8")), [1]);
    let across = desk.json("tag 4A-002C --sheet a4-3x7 --copies 18");
    assert_eq!((places(&across)[15], places(&across)[16], places(&across)[17]), ((1, 21), (2, 1), (2, 2)));
    let state = json!({"part_used": true, "slots": (6..=21).collect::<Vec<_>>(), "fresh_sheets": 1,
        "free_after": (3..=21).collect::<Vec<_>>(), "caution": null});
    assert_eq!(across["sheet_state"], state);
    assert_eq!(slots(&desk.json("tag 4A-002C --sheet a4-3x7")), [3]);
}

#[test]
fn a_full_sheet_is_followed_by_a_fresh_one() {
    let desk = Desk::with_items();
    desk.run("tag 4A-001F --sheet a4-3x7 --copies 21").done();
    let next = desk.run("--json tag 4A-001F --sheet a4-3x7").done().json();
    assert_eq!((slots(&next), &next["sheet_state"]["part_used"]), (vec![1], &json!(false)));
    // A sheet of one label is never part-used.
    for _ in 0..2 {
        desk.run("sign 4A --sheet a4-1x1").done();
    }
}

#[test]
fn the_slots_are_told_before_and_the_caution_once() {
    let desk = Desk::with_items();
    desk.run("tag 4A-001F --sheet a4-3x7 --copies 13").done();
    let caution = "a part-used sheet goes through a printer a few times at most: after that labels come loose and stick \
        inside (common practice; see the packet)\n";
    let told = format!("sheet in use: slots 14 to 20 of a4-3x7 (--fresh-sheet begins a new one)\n{caution}");
    desk.run("tag 4A-001F --sheet a4-3x7 --copies 7").stderr(&told).done();
    let told = "sheet in use: slot 21 of a4-3x7, then a fresh sheet (--fresh-sheet begins a new one)\n";
    desk.run("tag 4A-001F --sheet a4-3x7 --copies 3").stderr(told).done();
    let told = "sheet in use: slots 3 to 21 of a4-3x7, then 2 fresh sheets (--fresh-sheet begins a new one)\n";
    desk.run("tag 4A-001F --sheet a4-3x7 --copies 50").stderr(told).done();
}

#[test]
fn with_json_the_caution_is_in_the_answer() {
    let desk = Desk::with_items();
    let cautions = [1, 2, 3].map(|_| desk.json("tag 4A-001F")["sheet_state"]["caution"].is_string());
    assert_eq!(cautions, [false, true, false]);
}

/// Nothing is told and nothing remembered of a run that fails.
#[test]
fn a_refused_run_takes_no_slots() {
    let desk = Desk::with_items();
    desk.run("tag 4A-001F --out tags.pdf").done();
    let before = desk.dump();
    desk.run("tag 4A-001F --out tags.pdf").refused_with(&["there already"]).done();
    assert_eq!(desk.dump(), before);
    assert_eq!(slots(&desk.json("tag 4A-001F")), [2]);
}

#[test]
fn the_sheet_in_the_printer_can_be_described() {
    let desk = Desk::with_items();
    desk.run("tag 4A-001F --sheet a4-3x7 --copies 5").done();
    assert_eq!(slots(&desk.json("tag 4A-001F --sheet a4-3x7 --from 14 --copies 2")), [14, 15]);
    // It is the sheet in use from then on.
    assert_eq!(slots(&desk.json("tag 4A-001F --sheet a4-3x7")), [16]);
    assert_eq!(slots(&desk.json("tag 4A-001F --sheet a4-3x7 --skip 1,3-5 --copies 3")), [2, 6, 7]);
    assert_eq!(desk.json("sheet show a4-3x7")["spent"], json!([1, 2, 3, 4, 5, 6, 7]));
    assert_eq!(slots(&desk.json("tag 4A-001F --sheet a4-3x7 --from 3 --skip 4,6-7 --copies 3")), [3, 5, 8]);
    assert_eq!(slots(&desk.json("tag 4A-001F --sheet a4-3x7 --fresh-sheet")), [1]);
    assert_eq!(slots(&desk.json("tag 4A-001F --sheet a4-3x7 --from 1")), [1]);
    assert_eq!(slots(&desk.json("tag 4A-001F --sheet a4-3x7")), [2]);
    let across = desk.json("tag 4A-001F --sheet a4-3x7 --from 21 --copies 2");
    assert_eq!(places(&across), [(1, 21), (2, 1)]);
    assert_eq!(across["sheet_state"]["fresh_sheets"], 1);
}

#[test]
fn slots_that_make_no_sense_are_refused() {
    let desk = Desk::with_items();
    let before = desk.dump();
    let cases = [
        ("--from 22", "there is no slot 22 on a4-3x7; its slots are 1 to 21"),
        ("--from 0", "there is no slot 0 on a4-3x7; its slots are 1 to 21"),
        ("--skip 3,22", "there is no slot 22 on a4-3x7"),
        ("--skip 0", "`0` is no slot; write slots as 3,7-9"),
        ("--skip 9-7", "`9-7` runs backwards; write the lower slot first"),
        ("--skip ''", "the list of slots is empty"),
        ("--skip 3,", "`` is no slot"),
        ("--skip 3;4", "`3;4` is no slot"),
        ("--skip 2:4", "`2:4` is no slot; write slots as 3,7-9"),
        ("--skip 1-21", "no slot of a4-3x7 would be left to print on"),
        ("--from 8 --skip 8-21", "no slot of a4-3x7 would be left to print on"),
    ];
    for (words, why) in cases {
        desk.run(&format!("tag --sheet a4-3x7 {words}")).refused_with(&[why]).done();
    }
    for words in ["--from 2", "--skip 1", "--fresh-sheet"] {
        let why = "no slots are remembered of roll-57x32, so --from, --skip and --fresh-sheet make no sense on it";
        desk.run(&format!("tag --sheet roll-57x32 {words}")).refused(why).done();
    }
    for words in ["--from x", "--from -1", "--from", "--from 2 --fresh-sheet", "--skip 2 --fresh-sheet"] {
        desk.run(&format!("tag {words}")).code(2).stdout("").any_stderr().done();
    }
    assert_eq!((desk.dump(), desk.files()), (before, vec![]));
}

#[test]
fn rolls_have_no_slots_to_remember() {
    let desk = Desk::with_items();
    for _ in 0..2 {
        let printed = desk.json("tag --all --sheet roll-57x32");
        assert_eq!((places(&printed), &printed["sheet_state"]), (vec![(1, 1), (2, 1), (3, 1)], &json!(null)));
    }
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM label WHERE sheet_no IS NOT NULL"), 0);
}

#[test]
fn the_sheet_in_use_is_shown_as_a_grid() {
    let desk = Desk::with_items();
    desk.run("tag --sheet a4-2x8 --skip 6").any_stderr().done();
    let told = "sheet a4-2x8: 2 x 8 labels of 99.1 x 33.9 mm on a4, 4.65 mm from the left and 12.9 mm from the top, \
        101.6 x 33.9 mm from label to label\n\n  ## ##\n  ##  4\n   5 ##\n   7  8\n   9 10\n  11 12\n  13 14\n  15 16\n\n\
        spent: 1 to 3, 6\nfree: 4, 5, 7 to 16\n";
    desk.run("sheet show a4-2x8").stdout(told).done();
    let fresh = desk.run("sheet show a4-3x7").done().stdout;
    assert!(fresh.ends_with("no sheet is part-used; the next run begins on a fresh one\n"), "{fresh}");
    let roll = desk.run("sheet show roll-57x32").done().stdout;
    assert_eq!(roll, "sheet roll-57x32: a roll of 57 x 32 mm labels\nno slots are remembered of it\n");
}
