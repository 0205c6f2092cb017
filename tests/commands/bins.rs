//! `bin add`, `bin list`, `bin show`

use serde_json::{Value, json};

use super::support::{Desk, codes};

fn bin(code: &str, payload: &str, spot: Option<&str>) -> Value {
    json!({"code": code, "payload": payload, "area": 4, "area_name": "Loft", "spot": spot, "items": 0})
}

/// Check letters from the project's own rule, modulus 19 and radix 2 of ISO/IEC 7064's form.
const FIVE: [(&str, &str); 5] = [("4A", "4A00R"), ("4B", "4B00G"), ("4C", "4C00V"), ("4D", "4D00K"), ("4F", "4F00A")];

#[test]
fn bins_get_the_next_letters_without_e() {
    let desk = Desk::empty();
    desk.run("area add 4 Loft").any_stderr().done();
    let five = json!({"bins": FIVE.map(|(code, payload)| bin(code, payload, Some("rack 1, level 2")))});
    assert_eq!(desk.json("bin add 4 --count 5 --spot 'rack 1, level 2'"), five);
    assert_eq!(desk.json("bin list"), five);
    assert_eq!(desk.json("bin list --area 4"), five);
    assert_eq!(codes(&desk.json("bin add 4"), "bins"), ["4G"]);
}

#[test]
fn a_bin_without_a_spot_has_none() {
    let desk = Desk::empty();
    desk.run("area add 4 Loft").any_stderr().done();
    assert_eq!(desk.json("bin add 4"), json!({"bins": [bin("4A", "4A00R", None)]}));
    desk.run("bin list").stdout("bin  items  where\n4A       0  Loft\n").done();
}

#[test]
fn bins_are_listed_by_area() {
    let desk = Desk::with_bins();
    desk.run("area add 12 Attic").done();
    desk.run("bin add 12 --count 2").done();
    assert_eq!(codes(&desk.json("bin list --area 12"), "bins"), ["12A", "12B"]);
    assert_eq!(codes(&desk.json("bin list"), "bins"), ["4A", "4B", "4C", "4D", "4F", "12A", "12B"]);
    let unknown = "there is no area 9; `stowmark area list` shows all, `stowmark area add 9 \"NAME\"` makes it";
    desk.run("bin list --area 9").refused(unknown).done();
    desk.run("bin list --area nine").refused("`nine` is no area number; areas are numbered 1 to 999").done();
}

#[test]
fn a_bin_is_shown_with_its_contents() {
    let desk = Desk::with_items();
    let shown = desk.json("bin show 4A");
    assert_eq!(shown["items"], 3);
    assert_eq!(codes(&shown, "contents"), ["4A-001F", "4A-002C", "4A-003A"]);
    assert_eq!(shown["contents"][0], desk.json("item list")["items"][0]);
    let empty = json!({"code": "4B", "payload": "4B00G", "area": 4, "area_name": "Loft",
        "spot": "rack 1, level 2", "items": 0, "contents": []});
    assert_eq!(desk.json("bin show 4B"), empty);
    desk.run("bin show 4B").stdout("bin 4B: Loft, rack 1, level 2, 0 items\n").done();
}

#[test]
fn a_bin_is_named_as_people_and_readers_name_it() {
    let desk = Desk::with_bins();
    for name in ["4C", "4c", "4C00V", "4c-00v", "4C00", "]C04C00V"] {
        assert_eq!(desk.json(&format!("bin show {name}"))["code"], "4C", "{name}");
    }
}

#[test]
fn what_is_no_bin_is_refused() {
    let desk = Desk::with_items();
    let find = "; `stowmark find WORDS` looks for titles";
    let cases = [
        ("4E", "there is nothing with the code `4E`; did you mean 4A or 4B or 4C or 4D or 4F?"),
        ("99X", &format!("there is nothing with the code `99X`{find}")),
        ("tub", &format!("there is nothing with the code `tub`{find}")),
        ("4A-001F", "`4A-001F` is an item; give the code of a bin, such as 4A"),
    ];
    for (code, why) in cases {
        desk.run(&format!("bin show {code}")).refused(why).done();
    }
}

#[test]
fn an_area_holds_374_bins_and_more_are_refused_whole() {
    let desk = Desk::with_bins();
    let before = desk.dump();
    for count in ["0", "375", "many", ""] {
        desk.run("bin add 4 --count").args(&[count]).code(2).stdout("").stderr_has(&["--count"]).done();
    }
    desk.run("bin add 4 --count 370").refused("area 4 has all of its 374 bins; add another area").done();
    assert_eq!(desk.dump(), before);
    assert_eq!(codes(&desk.json("bin add 4 --count 369"), "bins").last().unwrap(), "4XX");
    desk.run("bin add 4").refused("area 4 has all of its 374 bins; add another area").done();
}

#[test]
fn letters_go_on_in_pairs_after_x() {
    let desk = Desk::with_bins();
    let added = codes(&desk.json("bin add 4 --count 17"), "bins");
    assert_eq!(added[10..], ["4T", "4V", "4W", "4X", "4AA", "4AB", "4AC"]);
    // 4AM is a time of day to a spreadsheet.
    assert_eq!(codes(&desk.json("bin add 4 --count 7"), "bins")[4..], ["4AJ", "4AK", "4AN"]);
}

#[test]
fn bins_of_an_area_that_is_not_there_are_refused() {
    let desk = Desk::with_bins();
    let before = desk.dump();
    let unknown = "there is no area 9; `stowmark area list` shows all, `stowmark area add 9 \"NAME\"` makes it";
    desk.run("bin add 9 --spot 'rack 1'").refused(unknown).done();
    desk.run("bin add 04").refused("`04` is no area number; areas are numbered 1 to 999").done();
    desk.run("bin add 4 --spot ''").refused_with(&["is empty"]).done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn names_of_spots_are_kept() {
    let desk = Desk::with_bins();
    for spot in ["shelf \"B\"", "Regal für Töpfe", "by the 🪟", "=rack", &"deep ".repeat(60)] {
        let added = desk.run("bin add 4 --json --spot").args(&[spot]).done().json();
        assert_eq!(added["bins"][0]["spot"], spot.trim());
    }
}
