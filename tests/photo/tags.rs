//! The table of floors: how many of 24 tags are read in a photograph of 60 x 45 cm, by symbol, module and angle; and
//! that nothing is read that is not there.

use stowmark::{code::LinkBase, output::Pixels, proof::read_photo, symbol::SymbolKind};

use super::prints::{DPI, Prints, TAGS, printed};

impl Prints {
    /// At least so many are read, and nothing else.
    #[track_caller]
    fn hold(&self, photo: &Pixels, what: &str, floor: usize) {
        let read = read_photo(photo);
        let wrong: Vec<_> = read.iter().filter(|text| !self.says.contains(text)).collect();
        assert!(wrong.is_empty(), "{what}: misread {wrong:?}");
        assert!(read.len() >= floor, "{what}: {} of {TAGS}, of which {floor} are promised", read.len());
    }
}

/// Modules of 13 dots: the least that whole bins are promised from is 0.55 mm.
fn qr() -> Prints {
    let prints = printed(SymbolKind::Qr, "cut-a4-50x17", None);
    assert!((prints.x - 13.0 * 25.4 / DPI).abs() < 1e-6, "{}", prints.x);
    prints
}

#[test]
fn all_qr_tags_are_read_at_any_angle() {
    let prints = qr();
    for (angle, seed) in [(7.0, 1), (23.0, 2), (45.0, 3)] {
        prints.hold(&prints.photograph(|_| angle, seed), &format!("QR at {angle}°"), 24);
    }
}

#[test]
fn all_qr_tags_are_read_by_quarters() {
    let prints = qr();
    let mut photo = prints.photograph(|_| 0.0, 4);
    for angle in [0, 90, 180] {
        prints.hold(&photo, &format!("QR at {angle}°"), 24);
        photo = photo.turned();
    }
}

#[test]
fn all_qr_tags_are_read_as_they_fell() {
    let prints = qr();
    prints.hold(&prints.photograph(|random| random.f64() * 360.0, 5), "QR as they fell", 24);
}

#[test]
fn all_qr_links_are_read() {
    let base: LinkBase = "http://192.168.1.20:4760".parse().unwrap();
    let prints = printed(SymbolKind::Qr, "cut-a4-50x19", Some(&base));
    assert!((prints.x - 13.0 * 25.4 / DPI).abs() < 1e-6, "{}", prints.x);
    prints.hold(&prints.photograph(|random| random.f64() * 360.0, 6), "links as they fell", 24);
}

/// Modules of 8 dots, 0.34 mm.
#[test]
fn code_128_is_read_upright_and_as_it_fell() {
    let prints = printed(SymbolKind::Code128, "cut-a4-45x17", None);
    assert!((prints.x - 8.0 * 25.4 / DPI).abs() < 1e-6, "{}", prints.x);
    prints.hold(&prints.photograph(|random| random.f64() * 16.0 - 8.0, 7), "Code 128 upright", 20);
    prints.hold(&prints.photograph(|random| random.f64() * 360.0, 8), "Code 128 as it fell", 20);
}
