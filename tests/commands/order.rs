//! `area order`, `spot order`, `spot list`, `bin edit`

use serde_json::json;

use super::support::Desk;

/// Areas 4, 7 and 12, the first with three spots.
fn desk() -> Desk {
    let desk = Desk::empty();
    desk.run("area add 4 Loft").any_stderr().done();
    desk.run("area add 7 Shed").done();
    desk.run("area add 12 Cellar").done();
    for spot in ["rack 1", "Rack 2", "under the window"] {
        desk.run(&format!("bin add 4 --count 2 --spot '{spot}'")).done();
    }
    desk
}

#[test]
fn areas_come_as_their_owner_walks() {
    let desk = desk();
    desk.run("area order 12 4").stdout("area  name\n  12  Cellar\n   4  Loft\n   7  Shed\n").done();
    let areas = json!({"areas": [
        {"area": 12, "name": "Cellar", "walk_order": 1},
        {"area": 4, "name": "Loft", "walk_order": 2},
        {"area": 7, "name": "Shed"},
    ]});
    assert_eq!(desk.json("area list"), areas);
    desk.run("area order 7").done();
    assert_eq!(desk.run("area list").done().stdout, "area  name\n   7  Shed\n   4  Loft\n  12  Cellar\n");
    desk.run("area order none").stdout("area  name\n   4  Loft\n   7  Shed\n  12  Cellar\n").done();
    desk.run("undo --last 2").done();
    assert_eq!(desk.json("area list"), areas);
}

#[test]
fn areas_are_named_once_and_are_there() {
    let desk = desk();
    let before = desk.dump();
    desk.run("area order 12 9").refused_with(&["there is no area 9"]).done();
    desk.run("area order 12 4 12")
        .refused("`12` is named twice; name each once, in the order in which you walk")
        .done();
    desk.run("area order none 4").refused_with(&["`none` is no area number"]).done();
    desk.run("area order").code(2).stdout("").any_stderr().done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn named_spots_come_first_and_the_others_stay() {
    let desk = desk();
    let table = "area    spot              bins\n4 Loft  under the window     2\n4 Loft  rack 1               2\n4 Loft  Rack 2               2\n";
    desk.run("spot order 4 ' UNDER the window'").stdout(table).done();
    desk.run("spot list").stdout(table).done();
    let spots = desk.json("spot order 4 'rack 2' 'rack 1'");
    let first = json!({"area": 4, "area_name": "Loft", "spot": "Rack 2", "walk_order": 1, "bins": 2});
    assert_eq!(spots["spots"][0], first);
    assert_eq!(spots["spots"][2]["spot"], "under the window");
    desk.run("undo").done();
    desk.run("spot list 4").stdout(table).done();
    desk.run("spot list 7").stdout("no spots; `stowmark bin add` makes them with --spot\n").done();
}

#[test]
fn a_spot_gets_another_name_that_no_other_has() {
    let desk = desk();
    let before = desk.dump();
    let taken = "area 4 has a spot `Rack 2` already; give another name";
    desk.run("spot rename 4 'rack 1' 'Rack 2'").refused(taken).done();
    desk.run("spot rename 4 'rack 1' ' '").refused_with(&["the title or name is empty"]).done();
    desk.run("spot rename 4 'rack 9' door").refused_with(&["area 4 has no spot `rack 9`"]).done();
    assert_eq!(desk.dump(), before);
    let renamed = desk.json("spot rename 4 'RACK 1' ' by the  door'");
    assert_eq!(renamed["spots"][0]["spot"], "by the door", "{renamed}");
    desk.run("spot list 4").stdout_has("by the door").done();
    desk.run("check").stdout("the register is sound\n").done();
    desk.run("undo").stdout_has("rename the spot rack 1 of area 4 to by the door").done();
    desk.run("spot list 4").stdout_has("rack 1").done();
    desk.run("check").stdout("the register is sound\n").done();
}

#[test]
fn unknown_spots_are_refused_with_those_there_are() {
    let desk = desk();
    let before = desk.dump();
    let known = "area 4 has no spot `rack 3`; there are `rack 1`, `Rack 2`, `under the window`";
    desk.run("spot order 4 'rack 1' 'rack 3'").refused(known).done();
    desk.run("spot order 4 'rack 1' 'RACK 1'").refused_with(&["`rack 1` is named twice"]).done();
    desk.run("spot order 7 'rack 1'").refused_with(&["area 7 has no spot `rack 1`; it has none yet"]).done();
    desk.run("spot order 9 'rack 1'").refused_with(&["there is no area 9"]).done();
    desk.run("spot list 9").refused_with(&["there is no area 9"]).done();
    assert_eq!(desk.dump(), before);
}

/// Two spots whose names differ in capitals only are told apart by them.
#[test]
fn spots_are_known_by_their_capitals_where_that_matters() {
    let desk = desk();
    desk.run("bin add 4 --spot 'Rack 1'").done();
    assert_eq!(desk.json("spot order 4 'Rack 1'")["spots"][0]["spot"], "Rack 1");
    desk.run("spot order 4 'RACK 1'").refused_with(&["area 4 has no spot `RACK 1`"]).done();
}

#[test]
fn bins_have_a_place_in_their_stack() {
    let desk = desk();
    desk.run("bin edit 4B --stack 1")
        .stdout("bin  items  where         stack\n4B       0  Loft, rack 1      1\n")
        .done();
    let bins = desk.json("bin edit 4A 4b --stack 2")["bins"].clone();
    assert_eq!((&bins[0]["stack"], &bins[1]["stack"]), (&json!(2), &json!(2)));
    desk.run("bin edit 4A --stack none").stdout("bin  items  where\n4A       0  Loft, rack 1\n").done();
    desk.run("undo").done();
    assert_eq!(desk.json("bin show 4A")["stack"], 2);
}

#[test]
fn bins_move_to_other_spots() {
    let desk = desk();
    desk.run("bin edit 4A --stack 2").done();
    let note = "not in a stack any more: 4A; --stack gives a place in the new one\n";
    desk.run("bin edit 4A 4B --spot 'Rack 2'").stderr(note).done();
    assert_eq!(desk.json("spot list 4")["spots"][1]["bins"], 4);
    let moved = desk.json("bin edit 4A --spot ' by the  door' --stack 1");
    assert_eq!((&moved["bins"][0]["spot"], &moved["bins"][0]["stack"]), (&json!("by the door"), &json!(1)));
    // The spot is new, and another bin has come to it before its making is taken back.
    desk.run("bin edit 4B --spot 'by the door'").done();
    let making = desk.register().query_row("SELECT max(id) - 1 FROM change", [], |row| row.get::<_, i64>(0)).unwrap();
    desk.run(&format!("undo --change {making}")).done();
    assert_eq!(desk.json("bin show 4A")["spot"], "Rack 2");
    assert_eq!(desk.json("bin show 4B")["spot"], "by the door");
    desk.run("bin edit 4A --spot none").stdout("bin  items  where\n4A       0  Loft\n").done();
}

#[test]
fn what_is_no_place_is_refused() {
    let desk = desk();
    let before = desk.dump();
    for stack in ["0", "-1", "100", "top", "1.5"] {
        desk.run("bin edit 4A").args(&[format!("--stack={stack}")]).refused_with(&["is no place in a stack"]).done();
    }
    desk.run("bin edit 4A")
        .refused("nothing to change was named; give --spot, --stack, --kind, --litres, --max-kg or --inside")
        .done();
    desk.run("bin edit 4A 9Z --stack 1").refused_with(&["there is nothing with the code `9Z`"]).done();
    assert_eq!(desk.dump(), before);
}
