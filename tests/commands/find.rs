//! `find`

use serde_json::{Value, json};

use super::support::{Desk, codes};

fn find(desk: &Desk, what: &str) -> Value {
    desk.run("--json find").args(&[what]).done().json()
}

fn nothing(desk: &Desk, what: &str) -> Value {
    desk.run("--json find").args(&[what]).code(3).done().json()
}

#[test]
fn one_code_is_found_however_it_is_typed() {
    let desk = Desk::with_items();
    let arrivals = [
        "4A001F",
        "4a001f",
        "4A-001F",
        "4a-001",
        "4A001",
        " 4A 001 F ",
        "4A–001F",
        "]C04A001F",
        "]Q14a001f",
        "4A001F\t",
        "HTTP://192.0.2.7:8080/S/4A001F",
        "https://host/s/4a-001f/?x=1",
    ];
    for typed in arrivals {
        let found = find(&desk, typed);
        assert_eq!(found["query"], typed);
        assert_eq!(codes(&found, "matches"), ["4A-001F"], "{typed}");
        assert_eq!(found["near"], json!([]), "{typed}");
    }
}

#[test]
fn the_answer_has_all_of_the_item() {
    let desk = Desk::with_items();
    let mut item = desk.json("item list")["items"][0].clone();
    item["kind"] = json!("item");
    assert_eq!(find(&desk, "4a001f"), json!({"query": "4a001f", "matches": [item], "near": []}));
    desk.run("find 4a001f").stdout("4A-001F  Copper jam pan: in 4A, Loft, rack 1, level 2\n").done();
}

#[test]
fn the_answer_has_all_of_the_bin() {
    let desk = Desk::with_items();
    let bin = json!({"kind": "bin", "code": "4A", "payload": "4A00R", "area": 4, "area_name": "Loft",
        "spot": "rack 1, level 2", "items": 3});
    for typed in ["4A", "4a", "4A00R", "4a-00r", "4A00"] {
        assert_eq!(find(&desk, typed), json!({"query": typed, "matches": [bin], "near": []}), "{typed}");
    }
    desk.run("find 4A").stdout("4A  bin with 3 items: Loft, rack 1, level 2\n").done();
}

#[test]
fn a_wrong_check_letter_finds_nothing_and_names_the_code() {
    let desk = Desk::with_items();
    for typed in ["4A001A", "4a-001x", "4A-001R"] {
        let answer = nothing(&desk, typed);
        assert_eq!((&answer["query"], &answer["matches"]), (&json!(typed), &json!([])));
        assert_eq!(answer["near"][0], "4A-001F", "{typed}");
    }
    assert_eq!(nothing(&desk, "4A001A")["near"], json!(["4A-001F", "4A-003A"]));
    let run = desk.run("find 4A001A").code(3);
    run.stdout("nothing found for `4A001A`; did you mean 4A-001F or 4A-003A?\n").done();
}

/// What the register of [`Desk::with_items`] holds.
const KNOWN: [&str; 8] = ["4A", "4B", "4C", "4D", "4F", "4A-001F", "4A-002C", "4A-003A"];

#[test]
fn only_codes_of_the_register_are_near() {
    let desk = Desk::with_items();
    for typed in ["4A004W", "7F240F", "4B00R"] {
        let near = nothing(&desk, typed)["near"].clone();
        assert!(near.as_array().unwrap().iter().all(|code| KNOWN.contains(&code.as_str().unwrap())), "{near}");
    }
    assert_eq!(nothing(&desk, "7F240F")["near"], json!([]));
    assert_eq!(nothing(&desk, "spinning wheel"), json!({"query": "spinning wheel", "matches": [], "near": []}));
}

#[test]
fn words_find_titles_by_their_beginnings() {
    let desk = Desk::with_items();
    let cases: [(&str, &[&str]); 8] = [
        ("jam", &["4A-001F"]),
        ("JAM PAN", &["4A-001F"]),
        ("pan copp", &["4A-001F"]),
        ("gees", &["4A-002C"]),
        ("12 board", &["4A-002C"]),
        ("bobble-hat", &["4A-003A"]),
        ("pattern: \"hat\"", &["4A-003A"]),
        ("p", &["4A-003A", "4A-001F"]),
    ];
    for (words, found) in cases {
        assert_eq!(codes(&find(&desk, words), "matches"), found, "{words}");
    }
    for words in ["am pan", "jam geese", "🫖", "", "***", "jam OR geese", "NOT"] {
        assert_eq!(nothing(&desk, words)["matches"], json!([]), "{words}");
    }
}

/// Kitchenware is sold by its measures: digits and letters of the code alphabet, but no codes.
#[test]
fn measures_are_words() {
    let desk = Desk::with_bins();
    for title in ["Crêpe pan, iron, 24 cm", "Puzzle, 5 x 100 pieces"] {
        desk.run("item add --bin 4A").args(&[title]).done();
    }
    for (words, code) in [("iron 24 cm", "4A-001F"), ("24 cm", "4A-001F"), ("5 x 100", "4A-002C")] {
        assert_eq!(codes(&find(&desk, words), "matches"), [code], "{words}");
    }
}

#[test]
fn several_words_may_be_several_arguments() {
    let desk = Desk::with_items();
    let found = desk.run("--json find jam pan").done().json();
    assert_eq!((&found["query"], codes(&found, "matches")), (&json!("jam pan"), vec!["4A-001F".to_owned()]));
}

#[test]
fn accents_do_not_matter() {
    let desk = Desk::with_bins();
    for title in ["Crêpière, émail", "Smørrebrød board", "Große Tortenplatte", "Πλεκτό καπέλο"] {
        desk.run("item add --bin 4A").args(&[title]).done();
    }
    let cases = [
        ("crepiere", "4A-001F"),
        ("CRÊPIÈRE", "4A-001F"),
        ("crép", "4A-001F"),
        ("emai", "4A-001F"),
        ("SMØRREBRØD", "4A-002C"),
        ("smorreb", "4A-002C"),
        ("πλεκτο", "4A-004W"),
        ("große", "4A-003A"),
        ("grosse", "4A-003A"),
    ];
    for (word, code) in cases {
        assert_eq!(codes(&find(&desk, word), "matches"), [code], "{word}");
    }
}

/// Unicode: `e` and a combining circumflex are the same text as `ê`; file names of some systems arrive that way.
#[test]
fn decomposed_accents_are_found_like_composed_ones() {
    let desk = Desk::with_bins();
    desk.run("item add 'Crêpe pan' --bin 4A").done();
    for word in ["Crêpe", "Cre\u{302}pe"] {
        assert_eq!(codes(&find(&desk, word), "matches"), ["4A-001F"], "{word:?}");
    }
}

#[test]
fn a_limit_cuts_and_says_so() {
    let desk = Desk::with_items();
    let cut = desk.run("--json find --limit 1 p").done().json();
    assert_eq!((codes(&cut, "matches").len(), &cut["more"]), (1, &json!(true)));
    assert_eq!(find(&desk, "p").get("more"), None);
    let told = "4A-003A  Knitting pattern: bobble hat: in 4A, Loft, rack 1, level 2\n\
        … and more; add a word, or raise --limit\n";
    desk.run("find --limit 1 p").stdout(told).done();
    desk.run("find --limit 0 p").code(2).stderr_has(&["--limit"]).done();
}

#[test]
fn fifty_are_found_unless_told() {
    let desk = Desk::with_bins();
    let rows: String = (1..=51).map(|number| format!("Egg cup {number}\n")).collect();
    desk.file("buys.csv", format!("title\n{rows}")).run("item import buys.csv --bin 4A").done();
    let found = find(&desk, "egg");
    assert_eq!((codes(&found, "matches").len(), &found["more"]), (50, &json!(true)));
    let all = desk.run("--json find --limit 51 egg").done().json();
    assert_eq!((codes(&all, "matches").len(), all.get("more")), (51, None));
}

/// French layout of Debian's xkb-data 2.35.1: `'` for 4, `Q` for A, `à` for 0, `&` for 1.
#[test]
fn a_misfit_keyboard_layout_is_undone_and_named() {
    let desk = Desk::with_items();
    let found = find(&desk, "'Qàà&F");
    assert_eq!((codes(&found, "matches"), &found["repaired"]), (vec!["4A-001F".to_owned()], &json!("French")));
    let told = "4A-001F  Copper jam pan: in 4A, Loft, rack 1, level 2\n\
        read `'Qàà&F` as typed on a French keyboard; set the reader to that layout to be sure\n";
    desk.run("find").args(&["'Qàà&F"]).stdout(told).done();
    assert_eq!(find(&desk, "4A001F").get("repaired"), None);
}

#[test]
fn a_layout_is_not_undone_towards_an_unknown_code() {
    let desk = Desk::with_items();
    let answer = nothing(&desk, "'Cà&èR");
    assert_eq!((&answer["matches"], answer.get("repaired")), (&json!([]), None));
}

#[test]
fn options_may_stand_behind_the_words() {
    let desk = Desk::with_items();
    assert_eq!(desk.run("find jam --json").done().json(), find(&desk, "jam"));
    let cut = desk.run("find p --limit 1 --json").done().json();
    assert_eq!((codes(&cut, "matches").len(), &cut["more"]), (1, &json!(true)));
}

#[test]
fn words_that_begin_like_options_are_found() {
    let desk = Desk::with_bins();
    desk.run("item add").args(&["--bin", "4A", "--", "-20 freezer bags"]).done();
    assert_eq!(codes(&find(&desk, "-20"), "matches"), ["4A-001F"]);
}

#[test]
fn something_must_be_asked() {
    Desk::with_items().run("find").code(2).stdout("").stderr_has(&["WHAT"]).done();
}

/// Measures have a code's shape.
#[test]
fn measures_are_words_of_titles() {
    let desk = Desk::with_bins();
    desk.run("item add 'Baking tray, 4x100 mm, 24 cm wide' --bin 4A").done();
    for words in ["4x100", "24 cm"] {
        assert_eq!(codes(&desk.run("--json find").args(&[words]).done().json(), "matches"), ["4A-001F"], "{words}");
    }
}

#[test]
fn look_alikes_and_left_out_zeros_are_suggested_and_never_taken() {
    let desk = Desk::with_items();
    for typed in ["4A-OO1F", "4a-oo1", "4A-00IF", "4A-1"] {
        let answer = desk.run("--json find").args(&[typed]).code(3).done().json();
        assert_eq!(answer["near"][0], "4A-001F", "{typed}");
    }
}
