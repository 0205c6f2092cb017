//! `proof`

use lopdf::{Document, Object};
use serde_json::json;

use super::support::{Desk, number};

const ESTIMATE: &str = "Letters are estimates from simulated prints, no verifier's grade.\n";

/// The content of the first page, changed as wanted.
fn damaged(pdf: &[u8], change: impl Fn(&str) -> String) -> Vec<u8> {
    let mut document = Document::load_mem(pdf).unwrap();
    let page = document.page_iter().next().unwrap();
    let content = document.get_page_contents(page)[0];
    let stream = document.get_object_mut(content).and_then(Object::as_stream_mut).unwrap();
    stream.decompress().unwrap();
    let content = change(std::str::from_utf8(&stream.content).unwrap());
    stream.set_plain_content(content.into_bytes());
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    bytes
}

/// Puts a changed file in the place of a run's, as if the run had printed it.
fn swap(desk: &Desk, name: &str, change: impl Fn(&str) -> String) {
    put(desk, name, &damaged(&desk.read(name), change));
}

fn put(desk: &Desk, name: &str, bytes: &[u8]) {
    let sha256 = stowmark::output::sha256(bytes);
    desk.file(name, bytes);
    let register = rusqlite::Connection::open(desk.path("register.db")).unwrap();
    register.execute("UPDATE run SET sha256 = ?1", [sha256]).unwrap();
}

#[test]
fn a_run_says_what_it_should() {
    let desk = Desk::with_items();
    desk.run("tag --symbol code128").any_stderr().done();
    let told = desk.run("proof tags-0001.pdf").done().stdout;
    let start = "run 0001: 3 symbols on 1 page, drawn at 300 dpi\nevery one says what it should, and each of its dots is in its place\n\n";
    assert!(told.starts_with(start) && told.ends_with(ESTIMATE), "{told}");
    assert!(told.contains("Code 128  0.254 mm       3  3 of 3"), "{told}");
}

#[test]
fn every_kind_of_symbol_has_its_figures() {
    let desk = Desk::with_items();
    desk.run("tag --symbol code128").any_stderr().done();
    desk.run("tag --all --symbol qr --fresh-sheet").any_stderr().done();
    let linear = desk.json("proof tags-0001.pdf");
    assert_eq!(
        (&linear["file"], &linear["run"], &linear["symbols"], &linear["faults"], &linear["estimate"]),
        (&json!("tags-0001.pdf"), &json!(1), &json!(3), &json!([]), &json!(true))
    );
    let [kind] = linear["kinds"].as_array().unwrap().as_slice() else { panic!("{linear}") };
    assert_eq!((&kind["kind"], &kind["x_dimension_mm"], &kind["read"]), (&json!("code128"), &json!(0.254), &json!(3)));
    assert_eq!(kind["figures"]["quiet_zone_modules"], 10.0);
    for figure in ["modulation", "decodability", "defects"] {
        assert!((0.0..=1.0).contains(&kind["figures"][figure].as_f64().unwrap()), "{kind}");
    }
    let matrix = desk.json("proof tags-0002.pdf");
    let kind = &matrix["kinds"][0];
    assert_eq!(
        (&kind["kind"], &kind["letter"], &kind["figures"]["quiet_zone_modules"]),
        (&json!("qr"), &json!("A"), &json!(4.0))
    );
    assert_eq!(kind["figures"]["unused_error_correction"], 1.0);
}

#[test]
fn nothing_is_changed() {
    let desk = Desk::with_items();
    desk.run("tag").done();
    let before = desk.dump();
    desk.run("proof tags-0001.pdf").done();
    assert_eq!((desk.dump(), desk.files()), (before, vec!["tags-0001.pdf".to_owned()]));
}

/// Bars of the first label that are gone: a symbol that can't be read.
#[test]
fn a_symbol_that_can_not_be_read_is_found() {
    let desk = Desk::with_items();
    desk.run("tag --symbol code128").any_stderr().done();
    // The first 20 bars of the first symbol become dots.
    swap(&desk, "tags-0001.pdf", |content| {
        let short = |(at, line): (usize, &str)| match line.strip_suffix(" re") {
            Some(bar) if at < 20 => format!("{} 1 1 re\n", bar.split(' ').take(2).collect::<Vec<_>>().join(" ")),
            _ => format!("{line}\n"),
        };
        content.lines().enumerate().map(short).collect()
    });
    let run = desk.run("proof tags-0001.pdf").code(1);
    let told = run
        .stderr("error: 1 of 3 symbols of `tags-0001.pdf` are not as they should be; print those labels again\n")
        .done();
    assert!(
        told.stdout.contains("page 1, slot 1: the Code 128 of `4A001F` can't be read\n2 of 3 are as they should be\n"),
        "{}",
        told.stdout
    );
}

/// Two symbols that have changed places: each can be read, and says the wrong thing.
#[test]
fn symbols_that_changed_places_are_found() {
    let desk = Desk::with_items();
    desk.run("tag --symbol code128").any_stderr().done();
    swap(&desk, "tags-0001.pdf", |content| {
        let parts: Vec<&str> = content.split_inclusive("f Q\n").collect();
        let head = |part: &str| part.split_inclusive('\n').next().unwrap().to_owned();
        let (first, second) = (head(parts[0]), head(parts[1]));
        let swapped = [parts[0].replacen(&first, &second, 1), parts[1].replacen(&second, &first, 1)];
        swapped.into_iter().chain(parts[2..].iter().map(ToString::to_string)).collect()
    });
    let told = desk.run("--json proof tags-0001.pdf").code(1).any_stderr().done().json();
    let fault = |at: usize| (&told["faults"][at]["slot"], &told["faults"][at]["payload"], &told["faults"][at]["read"]);
    assert_eq!(fault(0), (&json!(1), &json!("4A001F"), &json!("4A002C")));
    assert_eq!(fault(1), (&json!(2), &json!("4A002C"), &json!("4A001F")));
    assert_eq!(told["faults"].as_array().unwrap().len(), 2);
}

/// The lines of a content with something done to the first bar, told as its line and its place and size.
fn at_first_bar(content: &str, work: impl Fn([f64; 4]) -> String) -> String {
    let mut lines: Vec<String> = content.lines().map(|line| format!("{line}\n")).collect();
    let first = lines.iter().position(|line| line.ends_with(" re\n")).unwrap();
    let numbers: Vec<f64> = lines[first].split(' ').filter_map(|word| word.parse().ok()).collect();
    lines[first] = work(numbers.try_into().unwrap());
    lines.concat()
}

/// A decoder forgives all of these, in units of a hundredth of a module.
#[test]
fn what_a_reader_forgives_is_found() {
    let narrow_bar: fn([f64; 4]) -> String = |[x, y, width, height]| format!("{x} {y} {} {height} re\n", width - 34.0);
    let low_bar: fn([f64; 4]) -> String = |[x, y, width, height]| format!("{x} {y} {width} {} re\n", height - 200.0);
    let speck: fn([f64; 4]) -> String =
        |[x, y, width, height]| format!("{x} {y} {width} {height} re\n-400 200 60 60 re\n");
    let cases =
        [(narrow_bar, "are damaged"), (low_bar, "are damaged"), (speck, "something dark stands in its quiet zone")];
    for (work, reason) in cases {
        let desk = Desk::with_items();
        desk.run("tag 4A-001F --symbol code128").any_stderr().done();
        swap(&desk, "tags-0001.pdf", |content| at_first_bar(content, work));
        let told = desk.run("proof tags-0001.pdf").code(1).any_stderr().done().stdout;
        assert!(told.starts_with("run 0001") && told.contains("4A001F` can be read, but"), "{told}");
        assert!(told.contains(reason), "{told}");
    }
}

#[test]
fn another_resolution_is_looked_at_as_well() {
    let desk = Desk::with_items();
    desk.run("tag").done();
    let told = desk.run("proof tags-0001.pdf --dpi 203").done().stdout;
    assert!(told.contains("drawn at 203 dpi\nevery one says what it should\n"), "{told}");
    let told = desk.run("proof tags-0001.pdf --dpi 600").done().stdout;
    assert!(told.contains("drawn at 600 dpi\nevery one says what it should, and each of its dots"), "{told}");
    desk.run("proof tags-0001.pdf --dpi fine").refused_with(&["`fine` is no printer resolution"]).done();
}

#[test]
fn a_file_of_no_run_is_searched_for_symbols() {
    let desk = Desk::with_items();
    desk.run("tag --symbol qr").done();
    // One byte more: the same labels, but no file that a run wrote.
    desk.file("other.pdf", [desk.read("tags-0001.pdf"), b"\n".to_vec()].concat());
    let told = "no run of this register printed this file; 3 symbols on 1 page, drawn at 300 dpi\n\
        page 1: QR `4A001F`, known as 4A-001F\npage 1: QR `4A002C`, known as 4A-002C\npage 1: QR `4A003A`, known as 4A-003A\n";
    desk.run("proof other.pdf").stdout(told).done();
    let stranger = Desk::with_bins();
    stranger.file("other.pdf", desk.read("other.pdf"));
    let told = stranger.json("proof other.pdf");
    assert_eq!((&told["run"], &told["symbols"], &told["kinds"]), (&json!(null), &json!(3), &json!([])));
    let found = json!({"page": 1, "kind": "qr", "payload": "4A001F", "known": false, "code": null});
    assert_eq!(told["found"][0], found);
}

#[test]
fn a_file_without_symbols_is_nothing_found() {
    let desk = Desk::with_items();
    desk.run("tag").done();
    desk.file("blank.pdf", damaged(&desk.read("tags-0001.pdf"), |_| "\n".into()));
    let told = "no run of this register printed this file; 0 symbols on 1 page, drawn at 300 dpi\n";
    desk.run("proof blank.pdf").code(3).stdout(told).done();
}

#[test]
fn what_is_no_pdf_is_refused() {
    let desk = Desk::with_items();
    desk.run("tag").done();
    let whole = desk.read("tags-0001.pdf");
    let files: [(&str, &[u8]); 4] = [
        ("empty.pdf", b""),
        ("words.pdf", b"a list of kettles"),
        ("head.pdf", b"%PDF-1.7\n"),
        ("picture.png", &[0x89, b'P', b'N', b'G', 13, 10]),
    ];
    for (name, bytes) in files {
        desk.file(name, bytes);
        desk.run(&format!("proof {name}"))
            .refused_with(&[&format!("`{name}` can't be drawn; name a PDF that was printed to")])
            .done();
    }
    desk.run("proof nowhere.pdf").refused_with(&["`nowhere.pdf` can't be read"]).done();
    desk.run("proof home/..").refused_with(&["can't be read"]).done();
    // Cut off anywhere, a file is refused, or searched as far as it goes.
    for part in 1..8 {
        desk.file("cut.pdf", &whole[..whole.len() * part / 8]);
        let code = desk.run("proof cut.pdf").any_code().any_stderr().done().code;
        assert!([0, 1, 3].contains(&code), "{part}: {code}");
    }
}

#[test]
fn a_cancelled_run_can_be_looked_at() {
    let desk = Desk::with_items();
    desk.run("tag").done();
    desk.run("run cancel 1").any_stderr().done();
    assert_eq!(desk.json("proof tags-0001.pdf")["run"], 1);
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM run"), 1);
}

/// As a printer's correction shifts labels: by 48 dots of 0.24 pt, 4 mm to the right and down.
#[test]
fn labels_that_were_shifted_for_their_printer_are_found() {
    let desk = Desk::with_items();
    desk.run("tag --symbol qr").done();
    let mut document = Document::load_mem(&desk.read("tags-0001.pdf")).unwrap();
    let page = document.get_pages()[&1];
    let content = [b"1 0 0 1 11.52 -11.52 cm\n".to_vec(), document.get_page_content(page)].concat();
    document.change_page_content(page, content).unwrap();
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    put(&desk, "tags-0001.pdf", &bytes);
    let told = desk.run("proof tags-0001.pdf").done().stdout;
    assert!(told.contains("every one says what it should, and each of its dots is in its place"), "{told}");
}

/// A good copy beside a damaged one does not stand for it.
#[test]
fn each_copy_is_looked_at() {
    let desk = Desk::with_items();
    desk.run("tag 4A-001F --copies 3 --symbol qr").done();
    swap(&desk, "tags-0001.pdf", |content| {
        let parts: Vec<&str> = content.split_inclusive("f Q\n").collect();
        [parts[0], parts[2]].concat()
    });
    let told = desk.run("proof tags-0001.pdf").code(1).any_stderr().done().stdout;
    assert!(told.contains("page 1, slot 2: the QR of `4A001F` can't be read\n2 of 3"), "{told}");
}

/// As for a printer that feeds its labels another way round; at 254 dpi the label is whole dots.
#[test]
fn labels_that_were_turned_for_their_printer_are_found() {
    for symbol in ["code128", "qr"] {
        for degrees in [90, 180, 270] {
            let desk = Desk::with_items();
            desk.run(&format!("tag --sheet roll-57x32 --dpi 254 --symbol {symbol} --out tags.pdf")).any_stderr().done();
            let mut document = Document::load_mem(&desk.read("tags.pdf")).unwrap();
            for page in document.get_pages().into_values() {
                document.get_dictionary_mut(page).unwrap().set("Rotate", Object::Integer(degrees));
            }
            let mut bytes = Vec::new();
            document.save_to(&mut bytes).unwrap();
            put(&desk, "tags.pdf", &bytes);
            let told = desk.run("proof tags.pdf").done().stdout;
            assert!(
                told.contains("3 symbols on 3 pages, drawn at 254 dpi\nevery one says"),
                "{symbol} {degrees}: {told}"
            );
        }
    }
}
