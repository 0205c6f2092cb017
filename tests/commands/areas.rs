//! `area add`, `area list`

use serde_json::json;

use super::support::{Desk, REGISTER};

#[test]
fn an_area_is_added_and_listed() {
    let desk = Desk::empty();
    let first = desk.run("area add 4 Loft").stderr("new register: [folder]/register.db\n");
    first.stdout("area 4 is Loft; `stowmark bin add 4` adds bins\n").done();
    assert_eq!(desk.json("area add 12 'Spare room'"), json!({"area": 12, "name": "Spare room"}));
    let both = json!({"areas": [{"area": 4, "name": "Loft"}, {"area": 12, "name": "Spare room"}]});
    assert_eq!(desk.json("area list"), both);
    desk.run("area list").stdout("area  name\n   4  Loft\n  12  Spare room\n").done();
}

#[test]
fn a_new_register_is_told_on_standard_error_only() {
    let desk = Desk::empty();
    let answer = desk.run("--json area add 4 Loft").stderr("new register: [folder]/register.db\n").done();
    assert_eq!(answer.json(), json!({"area": 4, "name": "Loft"}));
}

#[test]
fn what_is_no_area_number_is_refused() {
    let desk = Desk::with_bins();
    let before = desk.dump();
    for number in ["0", "1000", "abc", "04", "4.5", "4A", " 4", "99999999999", ""] {
        let run = desk.run("area add").args(&[number, "Shed"]);
        run.refused(&format!("`{number}` is no area number; areas are numbered 1 to 999")).done();
    }
    assert_eq!(desk.dump(), before);
}

#[test]
fn an_area_is_added_once() {
    let desk = Desk::with_bins();
    let before = desk.dump();
    desk.run("area add 4 Cellar").refused("area 4 is there already, named `Loft`").done();
    desk.run("--json area add 4 Loft").refused("area 4 is there already, named `Loft`").done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn an_area_without_a_name_is_refused() {
    let desk = Desk::with_bins();
    let before = desk.dump();
    for name in ["", "  ", "\t\u{a0}"] {
        desk.run("area add 5").args(&[name]).refused_with(&["is empty"]).done();
    }
    desk.run("area add 5").args(&["x".repeat(501)]).refused_with(&["501 characters", "at most 500"]).done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn names_of_areas_are_kept() {
    let desk = Desk::with_bins();
    let names = ["Attic, \"east\"", "Dachboden über der Küche", "Shed 🫖", "It's the cellar", &"long ".repeat(60)];
    for (number, name) in (11..).zip(names) {
        let answer = desk.run(&format!("--json area add {number}")).args(&[name]).done().json();
        assert_eq!(answer, json!({"area": number, "name": name.trim()}));
    }
}

#[test]
fn a_refused_first_command_leaves_no_register() {
    let desk = Desk::empty();
    desk.run("area add 0 Loft").code(1).any_stderr().done();
    desk.run("area add 4").args(&[""]).code(1).any_stderr().done();
    assert!(!desk.path(REGISTER).exists());
}
