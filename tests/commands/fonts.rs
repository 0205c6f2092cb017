//! `font`, and `--font` of the commands that print

use std::path::{Path, PathBuf};

use serde_json::json;

use super::support::Desk;

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fonts").join(name)
}

/// A desk with bins, a Hebrew title and a font that has its letters.
fn desk() -> Desk {
    let desk = Desk::with_bins();
    std::fs::copy(sample("hebrew.ttf"), desk.path("letters.ttf")).unwrap();
    desk.run("item add 'קומקום נחושת' --bin 4A").done();
    desk
}

#[test]
fn fonts_are_added_listed_and_forgotten() {
    let desk = desk();
    desk.run("font list")
        .stdout("no fonts; the bundled faces have Latin, Greek and Cyrillic, `stowmark font add FILE` adds others\n")
        .done();
    desk.run("font add letters.ttf")
        .stdout("Noto Sans Hebrew Regular with 28 characters stands in for what the bundled faces lack\n")
        .done();
    let listed = desk.json("font list");
    assert_eq!(listed["fonts"][0]["state"], "ready");
    assert!(
        listed["fonts"][0]["file"]
            .as_str()
            .is_some_and(|file| file.len() > "letters.ttf".len() && file.ends_with("letters.ttf"))
    );
    assert_eq!(desk.json("font remove letters.ttf")["font"], "Noto Sans Hebrew Regular");
    assert_eq!(desk.json("font list"), json!({"fonts": []}));
    assert!(desk.path("letters.ttf").exists());
}

#[test]
fn a_named_font_is_remembered_and_used() {
    let desk = desk();
    let warnings = |command: &str| desk.run(command).any_stderr().done().json()["warnings"].to_string();
    let lacking = warnings("tag --json --out a.pdf");
    assert!(lacking.contains("shown as hollow boxes"), "{lacking}");
    let with = warnings("tag --json --all --out b.pdf --font letters.ttf");
    let later = warnings("tag --json --all --out c.pdf");
    assert!(!with.contains("hollow") && !later.contains("hollow"), "{with} {later}");
    assert_eq!(desk.json("font list")["fonts"][0]["font"], "Noto Sans Hebrew Regular");
}

#[test]
fn fonts_that_can_not_be_used_are_refused_and_nothing_is_changed() {
    let desk = desk();
    std::fs::write(desk.path("broken.ttf"), "title,bought\n").unwrap();
    let before = desk.dump();
    for (command, told) in [
        ("font add broken.ttf", "is no font that can be used"),
        ("font add nothing.ttf", "can't be read; check where it is"),
        ("font remove letters.ttf", "was never added; `stowmark font list` shows all"),
        ("tag --out a.pdf --font letters.ttf --font broken.ttf", "is no font that can be used"),
    ] {
        desk.run(command).refused_with(&[told]).done();
    }
    assert_eq!(desk.dump(), before);
    assert!(!desk.path("a.pdf").exists());
}

#[test]
fn a_changed_font_is_noticed() {
    let desk = desk();
    desk.run("font add letters.ttf").done();
    std::fs::copy(sample("arabic.ttf"), desk.path("letters.ttf")).unwrap();
    assert_eq!(desk.json("font list")["fonts"][0]["state"], "changed");
    desk.run("tag --out a.pdf").refused_with(&["has changed since it was added"]).done();
    desk.run("font add letters.ttf").done();
    desk.run("tag --out a.pdf").any_stderr().done();
    std::fs::remove_file(desk.path("letters.ttf")).unwrap();
    assert_eq!(desk.json("font list")["fonts"][0]["state"], "missing");
    desk.run("font remove 'Noto Sans Arabic Regular'").done();
    desk.run("tag --all --out b.pdf").any_stderr().done();
}
