//! What a spreadsheet does to codes: `LibreOffice` opens an exported file and saves it again.
//!
//! Needs `soffice` with Calc (Debian: libreoffice-calc). Where it is missing the tests say so and pass, unless
//! `STOWMARK_NEED_TOOLS` is set.

use std::{collections::BTreeSet, path::Path, process::Command};

use rusqlite::Connection;
use stowmark::code::{AreaNumber, BinCode, ItemCode, LETTERS, Serial};

use super::support::{Desk, REGISTER, needs};

const AREAS: [u16; 12] = [1, 2, 5, 9, 10, 12, 45, 99, 100, 123, 500, 999];
const SERIALS: [u32; 11] = [1, 2, 10, 17, 100, 365, 999, 1000, 1234, 12_345, 999_999];

/// Comma, double quote, UTF-8, from the first line.
const FILTER: &str = "44,34,76,1";

/// 1,000 codes of all shapes: short and long numbers of areas, one letter and two, serials of three to six digits.
fn codes() -> Vec<ItemCode> {
    let bins = AREAS.into_iter().flat_map(|area| (0..380).map(move |rank| (area, rank)));
    let bins = bins
        .map(|(area, rank)| BinCode::at(AreaNumber::new(area).unwrap(), rank).unwrap())
        .filter(|bin| bin.is_given());
    let serials = SERIALS.into_iter().cycle();
    let all: Vec<ItemCode> =
        bins.zip(serials).map(|(bin, serial)| ItemCode { bin, serial: Serial::new(serial).unwrap() }).collect();
    // Those of one letter, and others evenly from the rest.
    let (short, long): (Vec<_>, Vec<_>) = all.into_iter().partition(|code| code.bin.letters().len() == 1);
    let step = long.len() / (1000 - short.len());
    let long = long.into_iter().step_by(step);
    short.into_iter().chain(long).take(1000).collect()
}

fn fill(desk: &Desk, codes: &[ItemCode]) {
    let mut register = Connection::open(desk.path(REGISTER)).unwrap();
    let tx = register.transaction().unwrap();
    for (number, code) in (1_i64..).zip(codes) {
        let (area, rank) = (code.bin.area().get(), code.bin.rank());
        tx.execute("INSERT OR IGNORE INTO area (number, name) VALUES (?1, 'Loft')", [area]).unwrap();
        let bin = "INSERT INTO bin (id, area, rank, payload) VALUES (?1, ?2, ?3, ?4)";
        tx.execute(bin, (number, area, rank, code.bin.payload())).unwrap();
        let item = "INSERT INTO item (id, payload, bin, title, words, entered, state)
            VALUES (?1, ?2, ?1, ?2, '', '2026-11-21', 'held')";
        tx.execute(item, (number, code.payload())).unwrap();
    }
    tx.commit().unwrap();
}

/// By their numbers in the file format: English, German, French, Hungarian, Swedish.
const LANGUAGES: [u16; 5] = [1033, 1031, 1036, 1038, 1053];
const ENGLISH: u16 = LANGUAGES[0];

/// Opens a file in a language and saves it again in a folder, as a person would; the new file's fields.
fn through_office(desk: &Desk, file: &str, out: &str, language: u16) -> Vec<Vec<String>> {
    let home = format!("-env:UserInstallation=file://{}", desk.path("office").display());
    let save = format!("csv:Text - txt - csv (StarCalc):{FILTER}");
    let mut office = Command::new("soffice");
    office.args([home.as_str(), "--headless", "--norestore", "--convert-to", &save]);
    office
        .arg(format!("--infilter=Text - txt - csv (StarCalc):{FILTER},,{language}"))
        .arg("--outdir")
        .arg(desk.path(out));
    let answer = office.arg(desk.path(file)).output().unwrap();
    assert!(answer.status.success(), "{answer:?}");
    fields(&desk.path(out).join(file))
}

fn fields(file: &Path) -> Vec<Vec<String>> {
    let reader = csv::ReaderBuilder::new().has_headers(false).from_path(file);
    let records = reader.unwrap().into_records().map(Result::unwrap);
    records.map(|record| record.iter().map(str::to_owned).collect()).collect()
}

#[test]
fn a_thousand_codes_of_all_shapes_come_back_unchanged() {
    if !needs("soffice", "--version") {
        return;
    }
    let (desk, codes) = (Desk::bare_register(), codes());
    assert_eq!(codes.iter().collect::<BTreeSet<_>>().len(), 1000);
    let letters: BTreeSet<char> = codes.iter().map(|code| code.check()).collect();
    assert_eq!(letters.len(), LETTERS.len());
    fill(&desk, &codes);
    desk.run("export items codes.csv --columns code,bin,title").done();
    let before = fields(&desk.path("codes.csv"));
    assert_eq!(before.len(), 1001);
    for language in LANGUAGES {
        let after = through_office(&desk, "codes.csv", &format!("again-{language}"), language);
        let changed: Vec<_> = before.iter().zip(&after).filter(|(before, after)| before != after).collect();
        assert!(changed.is_empty() && after.len() == before.len(), "{language}: {changed:?}");
    }
}

/// Why no code has an E and no bin is called 4AM: the check of the check above.
#[test]
fn codes_that_are_never_given_would_not() {
    if !needs("soffice", "--version") {
        return;
    }
    let desk = Desk::empty();
    desk.file("codes.csv", "code,title\r\n4E017,Pan\r\n4F017,Pan\r\n4AM,Pan\r\n");
    let after = through_office(&desk, "codes.csv", "again", ENGLISH);
    assert_ne!(after[1][0], "4E017");
    assert_eq!(after[2][0], "4F017");
    assert_ne!(after[3][0], "4AM");
}
