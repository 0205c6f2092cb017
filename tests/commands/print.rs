//! `tag` and `sign` that print

use serde_json::{Value, json};

use super::support::{Desk, codes};

fn payloads(answer: &Value) -> Vec<&str> {
    answer["placed"].as_array().unwrap().iter().map(|label| label["payload"].as_str().unwrap()).collect()
}

fn is_pdf(bytes: &[u8]) -> bool {
    bytes.starts_with(b"%PDF-") && bytes.trim_ascii_end().ends_with(b"%%EOF")
}

#[test]
fn tags_are_answered_with_their_places() {
    let desk = Desk::with_items();
    let printed = desk.run("--json tag 4A-001F --symbol code128 --out tags.pdf").any_stderr().done().json();
    let members = json!({"run": 1, "file": "tags.pdf", "sheet": "a4-5x13", "labels": 1, "pages": 1});
    for (name, value) in members.as_object().unwrap() {
        assert_eq!(&printed[name], value, "{name}");
    }
    let symbol = json!({"kind": "code128", "x_dimension_mm": 0.254, "payload": "4A001F"});
    let placed = json!([{"payload": "4A001F", "symbols": [symbol], "page": 1, "slot": 1, "left_mm": 4.75, "top_mm": 10.7, "width_mm": 38.1, "height_mm": 21.2}]);
    assert_eq!(printed["placed"], placed);
    assert!(printed["warnings"].is_array());
    assert!(is_pdf(&desk.read("tags.pdf")));
}

#[test]
fn signs_are_answered_with_their_places() {
    let desk = Desk::with_bins();
    let printed = desk.json("sign --out signs.pdf");
    let rest = json!([printed["run"], printed["file"], printed["sheet"], printed["labels"], printed["warnings"]]);
    assert_eq!(rest, json!([1, "signs.pdf", "a4-2x4", 5, []]));
    assert_eq!(payloads(&printed), ["4A00R", "4B00G", "4C00V", "4D00K", "4F00A"]);
    let symbol = json!({"kind": "code128", "x_dimension_mm": 0.593, "payload": "4B00G"});
    let second = json!({"payload": "4B00G", "symbols": [symbol], "page": 1, "slot": 2, "left_mm": 106.25, "top_mm": 13.1, "width_mm": 99.1, "height_mm": 67.7});
    assert_eq!(printed["placed"][1], second);
    assert!(is_pdf(&desk.read("signs.pdf")));
}

#[test]
fn plain_answers_name_the_file() {
    let desk = Desk::with_items();
    let told = "3 tags on 1 page of a4-5x13: tags-0001.pdf\n\
        all 3 symbols were read back from the file; estimated A for QR at 0.59 mm (no verifier's grade)\nprint it at actual size (100 %), not fitted to the page\n";
    desk.run("tag").stdout(told).done();
    let told = "1 sign on 1 page of a4-2x4: signs-0002.pdf\n\
        its symbol was read back from the file; estimated A for Code 128 at 0.59 mm (no verifier's grade)\nprint it at actual size (100 %), not fitted to the page\n";
    desk.run("sign 4A").stdout(told).done();
}

#[test]
fn files_are_named_by_the_run_in_the_current_folder() {
    let desk = Desk::with_items();
    let files = ["tag", "sign", "tag --all", "sign --all"].map(|words| {
        let printed = desk.json(words);
        (printed["run"].as_i64().unwrap(), printed["file"].as_str().unwrap().to_owned())
    });
    let names = ["tags-0001.pdf", "signs-0002.pdf", "tags-0003.pdf", "signs-0004.pdf"];
    assert_eq!(files, [1, 2, 3, 4].map(|run| (run, names[usize::try_from(run).unwrap() - 1].to_owned())));
    let mut sorted = names;
    sorted.sort_unstable();
    assert_eq!(desk.files(), sorted);
}

#[test]
fn without_a_choice_only_what_has_no_label_yet_is_printed() {
    let desk = Desk::with_items();
    assert_eq!(payloads(&desk.json("tag 4A-002C")), ["4A002C"]);
    assert_eq!(payloads(&desk.json("tag")), ["4A001F", "4A003A"]);
    desk.run("item add Ladle --bin 4B").done();
    assert_eq!(payloads(&desk.json("tag")), ["4B001J"]);
    assert_eq!(payloads(&desk.json("sign 4C")), ["4C00V"]);
    assert_eq!(payloads(&desk.json("sign")), ["4A00R", "4B00G", "4D00K", "4F00A"]);
    assert_eq!(desk.json("item list --untagged"), json!({"items": []}));
}

#[test]
fn a_choice_prints_again() {
    let desk = Desk::with_items();
    desk.run("item add Ladle --bin 4B").done();
    desk.run("area add 12 Attic").done();
    desk.run("bin add 12").done();
    let cases: [(&str, &[&str]); 8] = [
        ("tag --all", &["4A001F", "4A002C", "4A003A", "4B001J"]),
        ("tag --all --out again.pdf", &["4A001F", "4A002C", "4A003A", "4B001J"]),
        ("tag --bin 4A", &["4A001F", "4A002C", "4A003A"]),
        ("tag --bin 4B00G", &["4B001J"]),
        ("tag 4b-001 4A003A", &["4A003A", "4B001J"]),
        ("sign --area 12", &["12A00R"]),
        ("sign --all", &["4A00R", "4B00G", "4C00V", "4D00K", "4F00A", "12A00R"]),
        ("sign 4f 4A00R", &["4A00R", "4F00A"]),
    ];
    for (words, expected) in cases {
        assert_eq!(payloads(&desk.json(words)), expected, "{words}");
    }
}

#[test]
fn a_moved_item_keeps_its_tag() {
    let desk = Desk::with_items();
    desk.run("tag").done();
    desk.run("put 4A-001F --in 4C").done();
    assert_eq!(desk.json("item list --untagged"), json!({"items": []}));
    assert_eq!(payloads(&desk.json("tag --bin 4C")), ["4A001F"]);
}

#[test]
fn copies_are_labels_of_their_own() {
    let desk = Desk::with_items();
    let printed = desk.json("tag 4A-001F 4A-002C --copies 3");
    assert_eq!(printed["labels"], 6);
    assert_eq!(payloads(&printed), ["4A001F", "4A001F", "4A001F", "4A002C", "4A002C", "4A002C"]);
    let slots: Vec<u64> = (0..6).map(|at| printed["placed"][at]["slot"].as_u64().unwrap()).collect();
    assert_eq!(slots, [1, 2, 3, 4, 5, 6]);
    let many = desk.json("sign 4A --copies 9");
    assert_eq!((&many["pages"], &many["placed"][8]["page"]), (&json!(2), &json!(2)));
}

#[test]
fn sheets_and_papers_are_chosen_by_name() {
    let desk = Desk::with_items();
    let cases = [
        ("tag --all --sheet a4-3x7", "a4-3x7"),
        ("tag --all --sheet A4-3X7", "a4-3x7"),
        ("tag --all --sheet roll-57x32", "roll-57x32"),
        ("tag --all --paper letter", "letter-3x10"),
        ("tag --all --paper Letter", "letter-3x10"),
        ("tag --all --paper a4", "a4-5x13"),
        ("sign --all --paper letter", "letter-2x3"),
        ("sign --all --sheet roll-4x6in", "roll-4x6in"),
    ];
    for (words, sheet) in cases {
        assert_eq!(desk.run(words).args(&["--json"]).any_stderr().done().json()["sheet"], sheet, "{words}");
    }
}

#[test]
fn symbols_are_chosen_by_name() {
    let desk = Desk::with_items();
    let cases = [
        ("tag --all --symbol qr", "qr"),
        ("tag --all --symbol code128", "code128"),
        ("tag --all --symbol auto", "qr"),
        ("tag --all --symbol auto --sheet a4-2x7", "code128"),
        ("sign --all --symbol qr", "qr"),
        ("sign --all --symbol code128", "code128"),
    ];
    for (words, kind) in cases {
        let printed = desk.run(words).args(&["--json"]).any_stderr().done().json();
        assert_eq!(printed["placed"][0]["symbols"][0]["kind"], kind, "{words}");
    }
}

/// Unsnapped modules read badly: each is a whole number of the printer's dots, 25.4 mm to the inch.
#[test]
fn modules_are_whole_dots_at_every_resolution() {
    let desk = Desk::with_items();
    for dpi in ["203", "203.2", "300", "360", "600", "1200"] {
        let printed = desk.run("--json tag --all --dpi").args(&[dpi]).any_stderr().done().json();
        let module = printed["placed"][0]["symbols"][0]["x_dimension_mm"].as_f64().unwrap();
        let dots = module * dpi.parse::<f64>().unwrap() / 25.4;
        assert!((dots - dots.round()).abs() < 0.05, "{dots} dots at {dpi}");
        assert!(module >= 0.25, "{module} mm at {dpi}");
    }
}

#[test]
fn the_same_labels_are_the_same_bytes() {
    let (one, other) = (Desk::with_items(), Desk::with_items());
    one.run("tag --out one.pdf").done();
    other.run("sign --out before.pdf").done();
    other.run("tag --out another-name.pdf").done();
    assert!(one.read("one.pdf") == other.read("another-name.pdf"), "clock, file name or path in the file");
}

#[test]
fn a_file_is_replaced_when_asked() {
    let desk = Desk::with_items();
    desk.file("tags.pdf", "an older file").run("tag --out tags.pdf --force").done();
    assert!(is_pdf(&desk.read("tags.pdf")));
    assert_eq!(desk.files(), ["tags.pdf"]);
}

#[test]
fn what_does_not_fit_or_has_no_glyph_is_warned_of() {
    let desk = Desk::with_bins();
    desk.run("item add --bin 4A").args(&["Tea pot 🫖"]).done();
    desk.run("item add --bin 4A").args(&["very long ".repeat(30)]).done();
    let run =
        desk.run("--json tag --sheet a4-3x7").stderr_has(&["warning: ", "`🫖` of 4A-001F", "4A-002C is shortened"]);
    let warnings = run.done().json()["warnings"].to_string();
    assert!(warnings.contains("4A-001F") && warnings.contains("4A-002C"), "{warnings}");
}

#[test]
fn every_kind_of_title_is_printed() {
    let desk = Desk::with_bins();
    let titles = ["\"12\" \\ pan (a) <b> %", "Ærø, Łódź, İzmir", "=1+1", "Сковорода 茶", "\u{202e}egg cup", "x"];
    for title in titles {
        desk.run("item add --bin 4A").args(&[title]).done();
    }
    let printed = desk.run("--json tag").any_stderr().done().json();
    assert_eq!(printed["labels"], titles.len());
    assert!(is_pdf(&desk.read("tags-0001.pdf")));
}

#[test]
fn an_empty_bin_has_its_sign_and_no_tags() {
    let desk = Desk::with_bins();
    assert_eq!(desk.json("sign 4B")["labels"], 1);
    assert_eq!(codes(&desk.json("bin show 4B"), "contents"), Vec::<String>::new());
}
