//! `retag`, moves before the first tag, and the listings that show old codes

use serde_json::json;

use super::support::{Desk, codes, number, strings};

/// Three tagged items, two of them listed, all of them put into 4B.
fn moved() -> Desk {
    let desk = Desk::with_items();
    desk.run("tag --no-proof").done();
    desk.run("listed 4A001F 4A002C --asking 12.50").done();
    desk.run("put 4A001F 4A002C 4A003A --in 4B").done();
    desk
}

fn sound(desk: &Desk) {
    desk.run("check").stdout("the register is sound\n").done();
}

#[test]
fn moved_items_get_codes_of_their_bins_and_keep_the_old_ones() {
    let desk = moved();
    let told = "\
was      code     title                         bin
4A-001F  4B-001J  Copper jam pan                4B
4A-002C  4B-002G  Board game, 12 geese          4B
4A-003A  4B-003D  Knitting pattern: bobble hat  4B

3 items with a new code; old codes go on resolving
  3 tags to be printed again: stowmark tag --stale
  2 listings to be corrected: stowmark export code-changes, then stowmark listed --recoded
";
    desk.run("retag --bin 4B").stdout(told).done();
    for (old, new) in [("4A001F", "4B-001J"), ("4A002C", "4B-002G"), ("4B003D", "4B-003D")] {
        let found = desk.run("--json scan").stdin(old).done().json();
        assert_eq!(found["matches"][0]["code"], new);
    }
    desk.run("retag --all").code(3).stdout("the codes show the bins already: nothing to do\n").done();
    sound(&desk);
}

#[test]
fn a_dry_run_tells_the_codes_and_changes_nothing() {
    let desk = moved();
    let before = desk.dump();
    let told = desk.json("retag --all --dry-run");
    assert_eq!((&told["dry_run"], &told["renew"]), (&json!(true), &json!({"items": 3, "tags": 3, "listings": 2})));
    let text = desk.run("retag --all --dry-run").done().stdout;
    assert!(
        text.contains("3 items would get a new code, and 3 tags and 2 listings would have to be renewed"),
        "{text}"
    );
    assert_eq!(desk.dump(), before);
    let done = desk.json("retag --all");
    assert_eq!((&done["retagged"], &done["dry_run"]), (&told["retagged"], &json!(false)));
}

#[test]
fn choices_are_by_code_bin_and_area() {
    let desk = moved();
    desk.run("area add 7 Cellar").done();
    desk.run("bin add 7").done();
    desk.run("put 4A003A --in 7A").done();
    assert_eq!(codes(&desk.json("retag --area 7 --dry-run"), "retagged"), ["7A-001D"]);
    assert_eq!(codes(&desk.json("retag 4A002C --dry-run"), "retagged"), ["4B-001J"]);
    desk.run("retag --bin 4A --dry-run").code(3).stdout("the codes show the bins already: nothing to do\n").done();
    desk.run("retag").code(2).stderr_has(&["CODE", "--bin", "--area", "--all"]).done();
    desk.run("retag 4A001F --all").code(2).stderr_has(&["cannot be used with"]).done();
    desk.run("retag 4B").refused_with(&["is a bin"]).done();
    desk.run("retag --area 9").refused_with(&["area 9"]).done();
}

/// What is sold is about to leave; an order tells of it under its code.
#[test]
fn sold_items_keep_their_codes_unless_named() {
    let desk = moved();
    desk.run("sold 4A001F --price 12").done();
    let told = desk.run("retag --all").done().stdout;
    assert!(told.ends_with("1 item that moved is sold and left as before\n"), "{told}");
    assert_eq!(desk.json("find 4A001F")["matches"][0]["code"], "4A-001F");
    assert_eq!(desk.json("retag 4A001F --dry-run")["renew"], json!({"items": 1, "tags": 1, "listings": 0}));
    let told = desk.run("retag 4A001F").done().stdout;
    assert!(told.contains("4B-003D") && told.contains("1 tag to be printed again: stowmark tag --stale"), "{told}");
    assert!(!told.contains("without a tag"), "{told}");
    desk.run("tag --stale --bin 4B --no-proof").any_stderr().done();
    sound(&desk);
}

#[test]
fn summaries_fit_the_terminal() {
    let desk = moved();
    for words in ["retag --all --dry-run", "retag --all"] {
        let told = desk.run(words).env("COLUMNS", "50").done().stdout;
        assert!(told.lines().all(|line| line.chars().count() <= 50), "{told}");
    }
}

#[test]
fn undo_gives_old_codes_back_and_serials_are_not_given_twice() {
    let desk = moved();
    desk.run("retag 4A001F").done();
    desk.run("tag --stale --fresh-sheet --no-proof").done();
    desk.run("undo").done();
    let item = &desk.json("find 4B001J")["matches"][0];
    assert_eq!((&item["code"], item.get("listing_code")), (&json!("4A-001F"), None));
    assert_eq!(desk.json("stale")["stale"][0]["reasons"], json!(["shows bin 4B, the item has code 4A-001F now"]));
    desk.run("item add Wok --bin 4B").stdout_has("4B-002G").done();
    // An item that had a code of the bin has it again.
    assert_eq!(codes(&desk.json("retag 4A001F"), "retagged"), ["4B-001J"]);
    sound(&desk);
}

#[test]
fn an_item_that_comes_back_has_its_old_code_again_and_its_listing_is_right() {
    let desk = moved();
    desk.run("retag --all").done();
    assert_eq!(desk.json("find 4B001J")["matches"][0]["listing_code"], "4A-001F");
    desk.run("put 4B001J --in 4C").done();
    desk.run("retag --bin 4C").done();
    assert_eq!(desk.json("find 4B001J")["matches"][0]["listing_code"], "4A-001F");
    desk.run("put 4B001J --in 4A").done();
    assert_eq!(codes(&desk.json("retag --bin 4A"), "retagged"), ["4A-001F"]);
    let item = &desk.json("find 4B001J")["matches"][0];
    assert_eq!((&item["code"], item.get("listing_code")), (&json!("4A-001F"), None));
    sound(&desk);
}

/// The issue: an item that moves before its tag was ever printed simply gets a code of its new bin.
#[test]
fn before_its_first_tag_an_item_gets_a_code_of_its_new_bin() {
    let desk = Desk::with_items();
    let moved = json!({"moved": [{"code": "4C-001N", "was": "4A-001F", "from": "4A", "to": "4C"}]});
    assert_eq!(desk.json("put 4A001F --in 4C"), moved);
    desk.run("put 4A001F --in 4A").stdout("4A-001F (was 4C-001N): from 4C to 4A, Loft, rack 1, level 2\n").done();
    let told = "bin 4B, Loft, rack 1, level 2, with 0 items\n\
        4B-001J  Copper jam pan: from 4A to 4B (was 4A-001F)\n\
        taken back: 4A-001F  Copper jam pan: in 4A, Loft, rack 1, level 2 again\n\
        4B-001J  Copper jam pan: from 4A to 4B (was 4A-001F)\n";
    desk.run("stow").stdin("4B\n4A001F\nundo\n4C001N\n").stdout(told).done();
    let names = strings(&desk.register(), "SELECT payload FROM name WHERE item = 1 ORDER BY payload");
    assert_eq!(names, ["4A001F", "4B001J", "4C001N"]);
    sound(&desk);
}

/// A tag, a listing and a sale show the code; a cancelled run has shown it to nobody.
#[test]
fn a_code_that_is_shown_anywhere_is_kept() {
    let desk = Desk::with_items();
    desk.run("tag 4A001F --no-proof").done();
    desk.run("listed 4A002C --asking 5").done();
    desk.run("sold 4A003A --price 5").done();
    let told = desk.json("put 4A001F 4A002C 4A003A --in 4B");
    assert_eq!(codes(&told, "moved"), ["4A-001F", "4A-002C", "4A-003A"]);
    assert_eq!(told["renew"], json!({"items": 2, "tags": 1, "listings": 1}));
    desk.run("run cancel 1").done();
    assert_eq!(codes(&desk.json("put 4A001F --in 4C"), "moved"), ["4C-001N"]);
}

#[test]
fn put_tells_the_choice_where_a_tag_hangs() {
    let desk = Desk::with_items();
    desk.run("tag 4A001F --no-proof").done();
    desk.run("listed 4A001F").done();
    let told = "4A-001F: from 4A to 4B, Loft, rack 1, level 2\n\
        its tag goes on resolving, and nothing needs printing; `stowmark retag 4A-001F` would renew 1 tag and 1 listing\n";
    desk.run("put 4A001F --in 4B").stdout(told).done();
    desk.run("put 4A001F --in 4A").stdout("4A-001F: from 4B to 4A, Loft, rack 1, level 2\n").done();
}

#[test]
fn listings_are_corrected_by_a_list_of_changes() {
    let desk = moved();
    desk.run("item edit 4A002C --title '=Geese, 12'").done();
    let nothing = "no listing shows another code than its item has\n";
    desk.run("export code-changes").code(3).stdout("").stderr(nothing).done();
    desk.run("retag --all").done();
    let lines = "4A-001F\t4B-001J\tCopper jam pan\t12.50\n4A-002C\t4B-002G\t=Geese, 12\t12.50\n";
    desk.run("export code-changes").stdout(lines).done();
    desk.run("export code-changes changes.csv").stdout("2 rows in changes.csv\n").done();
    let csv = "old code,new code,title,asking\r\n4A-001F,4B-001J,Copper jam pan,12.50\r\n\
               4A-002C,4B-002G,\"'=Geese, 12\",12.50\r\n";
    assert_eq!(String::from_utf8(desk.read("changes.csv")).unwrap(), csv);
    let json = json!({"items": [
        {"old_code": "4A-001F", "new_code": "4B-001J", "title": "Copper jam pan", "asking": "12.50"},
        {"old_code": "4A-002C", "new_code": "4B-002G", "title": "=Geese, 12", "asking": "12.50"},
    ]});
    assert_eq!(desk.json("export code-changes"), json);
    desk.run("listed 4B001J").done();
    assert_eq!(desk.json("export code-changes")["items"].as_array().unwrap().len(), 1);
    assert_eq!(codes(&desk.json("listed --recoded"), "items"), ["4B-002G"]);
    desk.run("listed --recoded").code(3).stdout("no listing shows an old code\n").done();
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM item WHERE listing_code IS NOT NULL"), 0);
    desk.run("undo").done();
    assert_eq!(desk.json("export code-changes")["items"].as_array().unwrap().len(), 1);
    sound(&desk);
}
