//! Figures of photographs: how many of 24 tags are found in a simulated one of 60 x 45 cm and 11 megapixels, what is
//! misread, and how long it takes on all cores, from a JPEG file to texts.

#[path = "../tests/photo/prints.rs"]
mod prints;
#[path = "../tests/photo/scene.rs"]
#[allow(dead_code, reason = "tests take what is not measured here")]
mod scene;

use std::time::Instant;

use fastrand::Rng;
use image::{ExtendedColorType, codecs::jpeg::JpegEncoder};
use prints::{Prints, TAGS, printed};
use stowmark::{code::LinkBase, job::photo_codes, output::Pixels, symbol::SymbolKind};

fn main() {
    println!("tags in a photograph of 3900 x 2925 pixels, JPEG, all cores:");
    println!("  {:<12} {:>8} {:>8} {:>7} {:>8} {:>8}", "symbol", "X mm", "angle", "found", "misread", "seconds");
    let link: LinkBase = "http://192.168.1.20:4760".parse().expect("an address");
    let qr = printed(SymbolKind::Qr, "cut-a4-50x17", None);
    for angle in [Some(0.0), Some(7.0), Some(23.0), Some(45.0), Some(90.0), Some(180.0), None] {
        print_line("QR", &qr, angle);
    }
    print_line("QR", &printed(SymbolKind::Qr, "cut-a4-50x14", None), None);
    print_line("QR, a link", &printed(SymbolKind::Qr, "cut-a4-50x19", Some(&link)), None);
    let code128 = printed(SymbolKind::Code128, "cut-a4-45x17", None);
    for angle in [Some(0.0), Some(7.0), Some(90.0), None] {
        print_line("Code 128", &code128, angle);
    }
}

/// All turned by an angle, or each by its own.
fn print_line(symbol: &str, tags: &Prints, angle: Option<f64>) {
    let turn = |random: &mut Rng| angle.unwrap_or_else(|| random.f64() * 360.0);
    let file = jpeg(&tags.photograph(turn, 1));
    let start = Instant::now();
    let read = photo_codes(&file).expect("a photograph");
    let seconds = start.elapsed().as_secs_f64();
    let found = tags.says.iter().filter(|text| read.contains(text)).count();
    let angle = angle.map_or("any".to_owned(), |angle| format!("{angle}°"));
    let misread = read.len() - found;
    println!("  {symbol:<12} {:8.3} {angle:>8} {found:>4}/{TAGS} {misread:>8} {seconds:8.2}", tags.x);
}

/// With three colours, as a phone writes it.
fn jpeg(photo: &Pixels) -> Vec<u8> {
    let colours: Vec<u8> = photo.luma.iter().flat_map(|luma| [*luma; 3]).collect();
    let mut file = Vec::new();
    let encoded = JpegEncoder::new_with_quality(&mut file, 85).encode(
        &colours,
        photo.width,
        photo.height,
        ExtendedColorType::Rgb8,
    );
    encoded.expect("it can be written");
    file
}
