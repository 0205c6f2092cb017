//! `put`

use serde_json::json;

use super::support::Desk;

#[test]
fn an_old_tag_finds_the_new_place() {
    let desk = Desk::with_tags();
    let moved = json!([{"code": "4A-001F", "from": "4A", "to": "4C"}]);
    assert_eq!(desk.json("put 4A-001F --in 4C")["moved"], moved);
    let found = desk.run("--json scan").stdin("4A001F\n").done().json();
    assert_eq!((&found["matches"][0]["bin"], &found["matches"][0]["code"]), (&json!("4C"), &json!("4A-001F")));
    desk.run("put 4A-001F --in 4D").stdout_has("4A-001F: from 4C to 4D, Loft, rack 1, level 2\n").done();
}

#[test]
fn several_items_are_put_at_once() {
    let desk = Desk::with_tags();
    let both = json!([{"code": "4A-003A", "from": "4A", "to": "4B"}, {"code": "4A-001F", "from": "4A", "to": "4B"}]);
    assert_eq!(desk.json("put 4a003 4A001F --in 4b")["moved"], both);
    assert_eq!(desk.json("bin show 4A")["items"], 1);
    assert_eq!(desk.json("bin show 4B")["items"], 2);
}

#[test]
fn what_is_there_already_is_left_out() {
    let desk = Desk::with_tags();
    let before = desk.dump();
    assert_eq!(desk.json("put 4A-001F --in 4A"), json!({"moved": []}));
    desk.run("put 4A-001F --in 4A").stdout("all of them are in 4A already\n").done();
    assert_eq!(desk.dump(), before);
    let one = json!([{"code": "4A-002C", "from": "4A", "to": "4C"}]);
    desk.run("put 4A-001F --in 4C").done();
    assert_eq!(desk.json("put 4A-001F 4A-002C 4A-002C --in 4C")["moved"], one);
}

#[test]
fn all_or_none_are_put() {
    let desk = Desk::with_tags();
    let before = desk.dump();
    let cases = [
        ("4A-001F 4A-999X --in 4C", "there is nothing with the code `4A-999X`"),
        ("4A-001F 4A-002A --in 4C", "did you mean 4A-002C"),
        ("4A-001F 4B --in 4C", "`4B` is a bin; give the code of an item, such as 4A-001F"),
        ("4A-001F --in 9C", "there is nothing with the code `9C`"),
        ("4A-001F --in 4A-002C", "`4A-002C` is an item; give the code of a bin, such as 4A"),
    ];
    for (words, why) in cases {
        desk.run(&format!("put {words}")).refused_with(&[why]).done();
    }
    assert_eq!(desk.dump(), before);
}

#[test]
fn items_and_bin_must_be_named() {
    let desk = Desk::with_tags();
    desk.run("put --in 4C").code(2).stdout("").stderr_has(&["ITEM"]).done();
    desk.run("put 4A-001F").code(2).stdout("").stderr_has(&["--in <BIN>"]).done();
}
