//! The kinds of labels beside plain tags and signs, and what becomes of their files.

use std::process::Command;

use serde_json::{Value, json};

use super::support::Desk;

/// All kinds of labels, with a title of each script that the bundled faces have.
fn desk() -> Desk {
    let desk = Desk::with_items();
    desk.run("item add 'Μπρίκι του καφέ, “μικρό”' --bin 4B --asking 12.50 --bought 2026-11-20").done();
    desk.run("item add 'Чайник эмалированный, 3 л' --bin 4B --asking 30").done();
    desk.run("area add 12 'Küche'").done();
    desk
}

const COMMANDS: [(&str, &str); 9] = [
    ("tag --all --sheet a4-2x4 --symbol both --show asking,bought,cost --note 'in the window'", "tag"),
    ("tag --all --sheet letter-3x10 --link http://192.168.1.20:8080 --symbol qr", "tag"),
    ("sign --all --read-from 5m --inside 'copper, enamel' --note 'guide weight 10.2 kg'", "sign"),
    ("sign --all --lid --sheet cut-a4-90x55", "lid"),
    ("strip 4", "strip"),
    ("area sign", "area sign"),
    ("contents 4A 4B", "contents list"),
    ("contents 4A --sheet roll-57x32 --rotate 90", "contents list"),
    ("tag --all --sheet roll-57x32 --dpi 203 --rotate 270", "tag"),
];

/// The answer of a run that may warn as well.
fn json_of(desk: &Desk, words: &str) -> Value {
    desk.run(&format!("--json {words}")).any_stderr().done().json()
}

fn number(value: &Value) -> u64 {
    value.as_u64().unwrap()
}

#[test]
fn every_kind_of_label_is_printed_and_printed_again() {
    let desk = desk();
    for (words, noun) in COMMANDS {
        let printed = json_of(&desk, words);
        assert!(number(&printed["labels"]) > 0, "{words}");
        let run = number(&printed["run"]);
        let again = json_of(&desk, &format!("reprint {run}"));
        assert_eq!(again["labels"], printed["labels"], "{words}");
        assert_eq!(again["proof"], printed["proof"], "{words}");
        let shown = json_of(&desk, &format!("run show {run}"));
        assert_eq!(shown["labels"], printed["labels"], "{words}: {noun}");
    }
}

/// [S] qpdf, Debian's package: its check of structure and streams. [S] pdftotext of poppler-utils: what a viewer finds.
#[test]
fn every_file_is_valid_and_its_text_can_be_searched() {
    if Command::new("qpdf").arg("--version").output().is_err() || Command::new("pdftotext").arg("-v").output().is_err()
    {
        assert!(std::env::var_os("STOWMARK_NEED_TOOLS").is_none(), "qpdf and pdftotext are wanted");
        println!("skipped: qpdf or pdftotext is missing");
        return;
    }
    let desk = desk();
    for (at, (words, _)) in COMMANDS.iter().enumerate() {
        let name = format!("file-{at}.pdf");
        json_of(&desk, &format!("{words} --out {name}"));
        let checked = Command::new("qpdf").arg("--check").arg(desk.path(&name)).output().unwrap();
        assert!(checked.status.success(), "{words}: {}", String::from_utf8_lossy(&checked.stdout));
    }
    let told = Command::new("pdftotext").arg(desk.path("file-0.pdf")).arg("-").output().unwrap();
    let told = String::from_utf8(told.stdout).unwrap().replace(['\n', '\u{c}'], " ");
    for title in ["Copper jam pan", "Μπρίκι του καφέ, “μικρό”", "Чайник эмалированный, 3 л"]
    {
        assert!(told.contains(title), "{title} in {told}");
    }
}

#[test]
fn what_an_item_cost_is_on_no_tag_unless_asked_for() {
    let desk = Desk::with_items();
    for (words, count) in [("tag 4A-001F --out a.pdf", 0), ("tag 4A-001F --show cost --out b.pdf", 1)] {
        json_of(&desk, &format!("{words} --sheet a4-2x4"));
        let run = json_of(&desk, "run list")["runs"].as_array().unwrap().len();
        let kept = super::support::strings(&desk.register(), "SELECT options FROM run ORDER BY id");
        assert_eq!(kept[run - 1].matches("cost").count(), count, "{words}");
    }
}

#[test]
fn both_symbols_say_what_they_should() {
    let desk = Desk::with_items();
    let printed = json_of(&desk, "tag 4A-001F --sheet a4-2x4 --symbol both --link http://loft:8080");
    let symbols = printed["placed"][0]["symbols"].as_array().unwrap();
    let said: Vec<[&Value; 2]> = symbols.iter().map(|symbol| [&symbol["kind"], &symbol["payload"]]).collect();
    assert_eq!(json!(said), json!([["code128", "4A001F"], ["qr", "HTTP://LOFT:8080/S/4A001F"]]));
    assert_eq!(printed["placed"][0]["payload"], "4A001F");
    assert!(printed["warnings"][0].as_str().unwrap().contains("lead nowhere"));
    assert_eq!(printed["proof"]["symbols"], 2);
    assert_eq!(json_of(&desk, "proof tags-0001.pdf")["faults"], json!([]));
}

#[test]
fn a_bent_printer_and_a_turned_page_are_read_back() {
    let desk = Desk::with_items();
    desk.run("printer add kitchen --dpi 600 --default").done();
    desk.run("printer set kitchen --left-edge 13.1 --top-edge 8.8 --span-x 180.5 --span-y 249 --bars thinner").done();
    let printed = json_of(&desk, "tag --all --sheet a4-3x7 --out bent.pdf");
    assert_eq!(printed["proof"]["symbols"], 3);
    assert_eq!(json_of(&desk, "proof bent.pdf")["faults"], json!([]));
    assert_eq!(json_of(&desk, "run show 1")["printer"], "kitchen");
}

#[test]
fn pictures_are_as_large_as_the_label_in_dots() {
    let desk = Desk::with_items();
    let printed = json_of(&desk, "tag --all --sheet roll-57x32 --dpi 203 --png pictures --out roll.pdf");
    assert_eq!(printed["pictures"].as_array().unwrap().len(), 3);
    let png = desk.read("pictures/roll-01.png");
    // The width and height of a PNG stand in its first chunk (ISO/IEC 15948): 57 x 32 mm at 203 dpi.
    let size = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().unwrap());
    assert!((455..=456).contains(&size(16)) && (255..=256).contains(&size(20)), "{} x {}", size(16), size(20));
    desk.run("tag --all --sheet roll-57x32 --png pictures --out roll.pdf --force").done();
}

#[test]
fn slips_are_refused_with_what_to_do() {
    let desk = Desk::with_items();
    for (words, code, part) in [
        ("tag --rotate 45", 2, "90, 180 or 270"),
        ("tag --show price", 2, "asking, bought, cost"),
        ("tag --link ftp://x", 2, "http://HOST:PORT"),
        ("sign --read-from far", 2, "3m, 250cm or 10ft"),
        ("tag --printer attic", 1, "there is no printer `attic`"),
        ("strip 9", 1, "there is no area 9"),
        ("area sign 9", 1, "there is no area 9"),
        ("contents", 2, "required"),
        ("tag --symbol both --sheet letter-4x20", 1, "the smallest that would do"),
        ("tag --font nothing.ttf", 1, "nothing.ttf"),
    ] {
        let before = desk.dump();
        desk.run(words).code(code).stderr_has(&[part]).done();
        assert_eq!(desk.dump(), before, "{words}");
    }
    desk.run("strip 4 --spot attic").code(3).any_stderr().done();
}
