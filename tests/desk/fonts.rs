//! Fonts of the user: sent, used, forgotten; what the command line tells of the same register.

use std::path::Path;

use stowmark::output::sha256;

use crate::{
    client::{Answer, Client},
    support::Desk,
};

const HEBREW: &str = "Noto Sans Hebrew Regular";

fn sample(name: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fonts").join(name)).unwrap()
}

/// An item of which no built-in face has the letters.
fn desk() -> Desk {
    Desk::over(&[&["area", "add", "4", "Loft"], &["bin", "add", "4"], &["item", "add", "קומקום נחושת", "--bin", "4A"]])
}

fn send(client: &Client, name: &str, bytes: &[u8]) -> Answer {
    client.post_file("/settings/fonts", &[], name, bytes)
}

/// What lies in the folder for fonts.
fn files(desk: &Desk) -> Vec<String> {
    let Ok(folder) = std::fs::read_dir(desk.path("fonts")) else { return Vec::new() };
    folder.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

#[test]
fn a_letter_that_no_font_has_leads_to_where_one_is_added() {
    let desk = desk();
    let client = desk.client();
    let lacking = client.get("/labels");
    assert!(lacking.has("No font has “") && lacking.has("href=\"/settings/fonts\""), "{}", lacking.text());
    assert!(client.get("/settings/fonts").has("No fonts of your own."));
    let added = client.follow(&send(&client, "hebrew.ttf", &sample("hebrew.ttf")));
    assert!(added.has("Noto Sans Hebrew Regular is added. Its 28 characters stand in"), "{}", added.text());
    let listed = &desk.json(&["font", "list"])["fonts"][0];
    assert_eq!((listed["font"].as_str(), listed["state"].as_str()), (Some(HEBREW), Some("ready")));
    let file = listed["file"].as_str().unwrap();
    assert!(Path::new(file).is_absolute() && added.has(file), "{file}");
    assert_eq!(std::fs::read(file).unwrap(), sample("hebrew.ttf"));
    let with = client.get("/labels");
    assert!(with.has("Print 1 tag") && !with.has("No font has"), "{}", with.text());
    desk.run(&["check"]);
}

#[test]
fn one_is_sent_twice_forgotten_and_sent_again() {
    let desk = desk();
    let client = desk.client();
    let added = client.follow(&send(&client, "hebrew.ttf", &sample("hebrew.ttf")));
    let (before, kept) = (desk.dump(), files(&desk));
    let twice = client.follow(&send(&client, "again.ttf", &sample("hebrew.ttf")));
    assert!(twice.has("Noto Sans Hebrew Regular was added before."), "{}", twice.text());
    assert_eq!((desk.dump(), files(&desk)), (before, kept.clone()));
    let file = added.field("file").unwrap();
    let removed = client.done("/settings/fonts/remove", &[("file", &file)]);
    assert!(removed.has("is not used any more. Its file stays") && removed.has("No fonts of your own."));
    assert!(client.get("/labels").has("No font has “"));
    // What has gone meanwhile is refused, and not taken for another.
    let late = client.post("/settings/fonts/remove", &[("file", &file)]);
    assert_eq!(late.status, 422);
    assert!(late.has("was never added") && !late.has("“stowmark"), "{}", late.text());
    client.follow(&send(&client, "hebrew.ttf", &sample("hebrew.ttf")));
    assert_eq!(files(&desk), kept);
    assert!(!client.get("/labels").has("No font has"));
    desk.run(&["check"]);
}

#[test]
fn what_is_no_font_is_refused_with_the_reason_and_nothing_is_left() {
    let desk = desk();
    let client = desk.client();
    let before = desk.dump();
    let forbidden = with_fs_type(sample("hebrew.ttf"), 2);
    let large = vec![0; 41_000_000];
    let cut = &sample("hebrew.ttf")[..900];
    for (name, bytes, status, told) in [
        ("list.ttf", b"title,bought\n".as_slice(), 422, "“list.ttf” is no font that can be used"),
        ("cut.ttf", cut, 422, "“cut.ttf” is no font that can be used"),
        ("kept.ttf", &forbidden, 422, "forbids to embed it"),
        ("", b"", 422, "Choose the font’s file."),
        ("large.ttf", &large, 413, "larger than 40 MB"),
    ] {
        let refused = send(&client, name, bytes);
        assert_eq!(refused.status, status, "{name}: {}", refused.text());
        // What was not read would be taken for the next request.
        assert_eq!(refused.header("connection"), (status == 413).then_some("close"), "{name}");
        assert!(refused.has(told) && refused.has("Add a font"), "{name}: {}", refused.text());
    }
    assert_eq!(client.post_file_as("/settings/fonts", &[], "other", "a.ttf", &sample("hebrew.ttf")).status, 422);
    assert_eq!(send(&desk.looker(), "hebrew.ttf", &sample("hebrew.ttf")).status, 403);
    assert_eq!(send(&desk.stranger(), "hebrew.ttf", &sample("hebrew.ttf")).status, 401);
    assert_eq!(desk.dump(), before);
    assert!(!desk.path("fonts").exists());
    assert!(!desk.looker().get("/settings/fonts").has("Add a font"));
}

/// Says in the table OS/2 what the maker allows (OpenType 1.9: `fsType` stands at byte 8; 2 allows no embedding).
fn with_fs_type(mut font: Vec<u8>, fs_type: u8) -> Vec<u8> {
    let at = (12..).step_by(16).find(|at| &font[*at..at + 4] == b"OS/2").unwrap();
    let table = u32::from_be_bytes(font[at + 8..at + 12].try_into().unwrap()) as usize;
    font[table + 8..table + 10].copy_from_slice(&[0, fs_type]);
    font
}

#[test]
fn a_file_stays_in_its_folder_whatever_it_is_called() {
    let desk = desk();
    let client = desk.client();
    let outside = || {
        let all = std::fs::read_dir(desk.path(".")).unwrap().map(|entry| entry.unwrap().file_name());
        let mut all: Vec<_> = all.filter(|name| name != "fonts").collect();
        all.sort();
        all
    };
    let before = outside();
    let digits = &sha256(&sample("hebrew.ttf"))[..16];
    for (name, file) in [
        ("../../evil.ttf", format!("evil-{digits}.ttf")),
        ("register.db", format!("register-{digits}.ttf")),
        ("<b>.exe", format!("b-{digits}.ttf")),
    ] {
        let added = client.follow(&send(&client, name, &sample("hebrew.ttf")));
        assert_eq!(files(&desk), [file]);
        client.done("/settings/fonts/remove", &[("file", &added.field("file").unwrap())]);
        std::fs::remove_dir_all(desk.path("fonts")).unwrap();
    }
    assert_eq!(outside(), before);
}

#[test]
fn a_font_that_is_not_there_any_more_keeps_labels_from_being_printed_until_it_is_removed() {
    let desk = desk();
    let client = desk.client();
    let added = client.follow(&send(&client, "hebrew.ttf", &sample("hebrew.ttf")));
    std::fs::remove_dir_all(desk.path("fonts")).unwrap();
    let missing = client.get("/settings/fonts");
    assert!(missing.has("the file is not there") && missing.has("Labels are not printed while"), "{}", missing.text());
    let refused = client.get("/labels");
    assert!(refused.has("can't be read; Settings shows the fonts"), "{}", refused.text());
    client.done("/settings/fonts/remove", &[("file", &added.field("file").unwrap())]);
    assert!(client.get("/labels").has("Print 1 tag"));
}
