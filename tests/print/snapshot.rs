//! One page of two tags as the text of its content streams, against a reference that people can read.
//!
//! A missing reference is written and fails the run once; `STOWMARK_BLESS=1` rewrites one that differs.

use std::{env, fs, path::PathBuf};

use lopdf::Document;
use stowmark::{output::pdf_uncompressed, sheet::find_sheet, symbol::SymbolKind};

use super::{
    samples::{Design, Label, dpi},
    specimen::{info, pages},
};

/// A tag with Code 128 beside one with QR.
fn two_tags() -> Vec<u8> {
    let (sheet, dpi) = (find_sheet("a4-3x7").unwrap(), dpi(300.0));
    let design = |kind| Design { is_sign: false, kind };
    let stock = sheet.stock(dpi);
    let labels = [(SymbolKind::Code128, "Copper jam pan"), (SymbolKind::Qr, "Gugelhupfform, Ø 22 cm")]
        .map(|(kind, title)| Label::new(design(kind), title, 3, &stock).unwrap());
    pdf_uncompressed(&pages(sheet, &labels, dpi), &info()).unwrap()
}

/// The page's content.
fn content_stream(bytes: &[u8]) -> String {
    let document = Document::load_mem(bytes).unwrap();
    let content = document.get_page_content(document.get_pages()[&1]);
    String::from_utf8(content).unwrap().trim_end().to_owned() + "\n"
}

fn reference() -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "tests", "refs", "two-tags.txt"].iter().collect()
}

/// The first line that differs, with its number.
fn first_difference(known: &str, found: &str) -> String {
    let same = known.lines().zip(found.lines()).take_while(|(known, found)| known == found).count();
    let line = |text: &str| text.lines().nth(same).unwrap_or("the end").to_owned();
    let (number, known, found) = (same + 1, line(known), line(found));
    format!("line {number} is `{found}`, was `{known}`")
}

#[test]
fn two_tags_are_drawn_as_in_the_reference() {
    let (found, path) = (content_stream(&two_tags()), reference());
    let Ok(known) = fs::read_to_string(&path) else {
        fs::write(&path, found).unwrap();
        panic!("tests/refs/two-tags.txt was missing and is written now; look at it and run again");
    };
    // A checkout may have turned line ends.
    let known = known.replace("\r\n", "\n");
    if known == found {
        return;
    }
    let difference = first_difference(&known, &found);
    if env::var_os("STOWMARK_BLESS").is_some_and(|value| value == "1") {
        fs::write(&path, found).unwrap();
        return;
    }
    panic!("tests/refs/two-tags.txt: {difference}; STOWMARK_BLESS=1 takes what is drawn now as the reference");
}
