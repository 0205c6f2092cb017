//! `tag` and `sign` that print nothing: no file, no run

use serde_json::json;

use super::support::{Desk, codes};

/// Neither the register nor the folder changes.
fn refused(desk: &Desk, cases: &[(&str, &str)]) {
    let (before, files) = (desk.dump(), desk.files());
    for (words, why) in cases {
        desk.run(words).refused_with(&[why]).done();
    }
    assert_eq!((desk.dump(), desk.files()), (before, files));
}

#[test]
fn what_has_its_label_is_not_printed_again() {
    let desk = Desk::with_items();
    desk.run("tag --out tags.pdf").done();
    desk.run("sign --out signs.pdf").done();
    let (before, files) = (desk.dump(), desk.files());
    for (words, why) in [
        ("tag", "no item waits for a tag; --all, --bin or codes print tags again\n"),
        ("tag --bin 4B", "there are no items in 4B\n"),
        ("sign", "no bin waits for a sign; --all, --area or codes print signs again\n"),
    ] {
        desk.run(words).code(3).stdout(why).done();
    }
    assert_eq!((desk.dump(), desk.files()), (before, files));
}

/// The issue: `tag` and `sign` exit with 3 when there is nothing to print (no file then); with `--json` the document
/// is printed all the same.
#[test]
fn nothing_to_print_is_code_3() {
    let desk = Desk::with_items();
    desk.run("tag --out tags.pdf").done();
    let answer = desk.run("--json tag").any_stderr().code(3).done().json();
    assert_eq!((&answer["labels"], &answer["placed"]), (&json!(0), &json!([])));
    assert_eq!(desk.files(), ["tags.pdf"]);
}

#[test]
fn an_existing_file_is_kept() {
    let desk = Desk::with_items();
    desk.file("mine.pdf", "mine").file("tags-0001.pdf", "mine too");
    let why = "there already; give another name with --out, or --force to replace it";
    refused(&desk, &[("tag --out mine.pdf", why), ("tag", why), ("sign --out mine.pdf", why)]);
    assert_eq!((desk.read("mine.pdf"), desk.read("tags-0001.pdf")), (b"mine".to_vec(), b"mine too".to_vec()));
    assert_eq!(desk.json("item list --untagged"), desk.json("item list"));
}

/// Not even when files are to be replaced.
#[test]
fn the_register_is_never_replaced() {
    let desk = Desk::with_items();
    let before = desk.dump();
    for words in ["tag --out register.db", "tag --all --force --out register.db"] {
        desk.run(words).code(1).stdout("").any_stderr().done();
        assert_eq!(desk.dump(), before);
    }
}

#[test]
fn a_refusal_costs_no_run() {
    let desk = Desk::with_items();
    desk.file("mine.pdf", "mine").run("tag --out mine.pdf").code(1).any_stderr().done();
    let first = desk.json("tag");
    assert_eq!((&first["run"], &first["file"]), (&json!(1), &json!("tags-0001.pdf")));
}

#[test]
fn a_folder_that_is_not_there_is_refused() {
    let desk = Desk::with_items();
    let check = "could not be written; check that the folder is there and may be written to";
    refused(&desk, &[("tag --out no/tags.pdf", check), ("sign --out no/folder/signs.pdf", check)]);
}

#[test]
fn a_folder_is_no_file() {
    let desk = Desk::with_items();
    std::fs::create_dir(desk.path("out.pdf")).unwrap();
    refused(&desk, &[("tag --out out.pdf", "out.pdf"), ("tag --out out.pdf --force", "out.pdf")]);
}

/// Where the temporary file can't be made: the run is begun by then, and has to be taken back.
#[test]
fn a_run_whose_file_fails_is_taken_back() {
    for out in ["notes.txt/tags.pdf", &format!("{}.pdf", "t".repeat(250))] {
        let desk = Desk::with_items();
        desk.file("notes.txt", "notes");
        desk.run("tag --out").args(&[out]).refused_with(&["could not be written"]).done();
        assert_eq!(desk.files(), ["notes.txt"]);
        assert_eq!(desk.json("item list --untagged"), desk.json("item list"));
        let next = desk.json("tag");
        assert_eq!(next["file"], format!("tags-{:04}.pdf", next["run"].as_i64().unwrap()));
    }
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_to_is_refused() {
    use std::os::unix::fs::PermissionsExt;

    let desk = Desk::with_items();
    let folder = desk.path("locked");
    std::fs::create_dir(&folder).unwrap();
    std::fs::set_permissions(&folder, std::fs::Permissions::from_mode(0o555)).unwrap();
    if std::fs::File::create(folder.join("probe")).is_ok() {
        println!("skipped: this user may write into any folder");
        return;
    }
    desk.run("tag --out locked/tags.pdf").refused_with(&["could not be written", "may be written to"]).done();
    assert_eq!(desk.json("item list --untagged"), desk.json("item list"));
    assert_eq!(super::support::names_in(&folder), Vec::<String>::new());
}

#[test]
fn codes_that_are_not_there_print_nothing_at_all() {
    let desk = Desk::with_items();
    let cases = [
        ("tag 4A-001F 4A-999X", "there is nothing with the code `4A-999X`"),
        ("tag 4A-001A", "did you mean 4A-001F"),
        ("tag 4A", "`4A` is a bin; give the code of an item"),
        ("tag --bin 9Z", "there is nothing with the code `9Z`"),
        ("sign 4A 4Z", "there is nothing with the code `4Z`"),
        ("sign 4A-001F", "`4A-001F` is an item; give the code of a bin"),
        ("sign --area 9", "there is no area 9"),
        ("sign --area x", "`x` is no area number"),
    ];
    refused(&desk, &cases);
}

#[test]
fn sheets_and_resolutions_that_are_not_known_are_refused_with_a_hint() {
    let desk = Desk::with_items();
    let cases = [
        ("tag --sheet a4-3x9", "there is no sheet `a4-3x9`; did you mean `a4-3x"),
        ("tag --sheet leter-3x10", "did you mean `letter-3x10`?"),
        ("tag --sheet shoe-box", "`stowmark sheet list` shows all"),
        ("tag --paper a5", "`a5` is no paper; there are a4 and letter"),
        ("tag --dpi 20", "`20` is no printer resolution"),
        ("tag --dpi fine", "`fine` is no printer resolution"),
        ("tag --dpi -300", "printer resolution"),
    ];
    refused(&desk, &cases[..6]);
    desk.run(cases[6].0).code(2).any_stderr().done();
}

#[test]
fn options_that_contradict_are_usage_errors() {
    let desk = Desk::with_items();
    let before = desk.dump();
    let words = [
        "tag 4A-001F --all",
        "tag --all --bin 4A",
        "sign 4A --area 4",
        "tag --sheet a4-3x7 --paper letter",
        "tag --copies 0",
        "tag --copies 501",
        "tag --symbol dots",
    ];
    for words in words {
        desk.run(words).code(2).stdout("").stderr_has(&["error: "]).done();
    }
    assert_eq!(desk.dump(), before);
}

/// A double-letter bin and a serial of four digits: nine characters, too many bars for a label of 38.1 mm.
#[test]
fn a_symbol_that_can_not_be_read_is_refused_with_the_smallest_label_that_would_do() {
    let desk = Desk::empty();
    desk.run("area add 12 Attic").any_stderr().done();
    desk.run("bin add 12 --count 25").done();
    let rows: String = (1..=1000).map(|number| format!("Egg cup {number}\n")).collect();
    desk.file("buys.csv", format!("title\n{rows}")).run("item import buys.csv --bin 12AA").done();
    let why = "a Code 128 symbol of `12AA1000G` can't be printed scannably on a label of 38.1 x 21.2 mm at 300 dpi; \
        it needs 39.12 x 10.04 mm; the smallest that would do is --sheet a4-4x10 (45.7 x 25.4 mm), or --symbol qr";
    desk.run("tag 12AA1000 --symbol code128 --sheet a4-5x13").refused(why).done();
    desk.run("tag --all --symbol code128").code(1).any_stderr().done();
    assert_eq!(codes(&desk.json("item list --untagged"), "items").len(), 1000);
    desk.run("tag 12AA1000 --symbol code128 --sheet a4-4x10").any_stderr().done();
    desk.run("tag 12AA1000 --symbol qr").done();
}

/// Whatever is no plain file is nobody's to replace, `--force` or not.
#[cfg(unix)]
#[test]
fn links_devices_and_nameless_files_are_left_alone() {
    use std::os::unix::ffi::OsStrExt;
    let desk = Desk::with_items();
    desk.file("mine.txt", "mine");
    std::os::unix::fs::symlink(desk.path("mine.txt"), desk.path("link.pdf")).unwrap();
    desk.run("tag --force --out link.pdf").refused_with(&["is no plain file"]).done();
    assert_eq!(desk.read("mine.txt"), b"mine");
    desk.run("tag --force --out register.db.lock").refused_with(&["is the register"]).done();
    let nameless = std::ffi::OsStr::from_bytes(b"t\xff.pdf");
    desk.run("tag --out").args(&[nameless]).refused_with(&["no Unicode text"]).done();
    assert_eq!(desk.json("item list --untagged"), desk.json("item list"));
}
