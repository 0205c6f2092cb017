use std::{sync::Arc, time::Instant};

use stowmark::{
    code::{ItemCode, Serial},
    font::Fonts,
    label::{Stock, SymbolChoice, Symbols, Tag},
    output::{DocumentInfo, pdf, rasterise},
    proof::photo::look,
    sheet::{cut_sheet, lay_out, places},
    symbol::SymbolKind,
    unit::Dpi,
};

use super::scene::{Print, photograph};

/// 24 tags, the millimetres of a module, and what they say.
fn prints(kind: SymbolKind, sheet: &str, dots: f64) -> (Vec<Print>, f64, Vec<String>) {
    let dpi = Dpi::new(dots).unwrap();
    let sheet = cut_sheet(sheet).unwrap();
    let stock = Stock { fonts: Fonts::default(), ..sheet.stock(dpi) };
    let (mut all, mut payloads, mut x) = (Vec::new(), Vec::new(), 0.0);
    for serial in 1..=24_u32 {
        let code = ItemCode { bin: "4C".parse().unwrap(), serial: Serial::new(serial).unwrap() };
        let tag = Tag::new(code, "Enamel casserole, cream and green");
        let drawn = tag.draw(&stock, Symbols::from(SymbolChoice::Only(kind))).unwrap();
        x = drawn.drawing.symbols().next().map_or(0.0, |symbol| dpi.length(symbol.x).0);
        let pages = lay_out(&sheet, &[Arc::new(drawn.drawing)], &places(&sheet, &[], 1), dpi);
        let placed = &pages[0].placed[0];
        let bytes = pdf(&pages, &DocumentInfo { title: "Item tags".into(), language: "en".into() }).unwrap();
        let page = rasterise(&bytes, 1, dpi, false).unwrap();
        let [left, top] = [placed.at.x, placed.at.y].map(|at| dpi.dots_within(at).0);
        let [width, height] = [sheet.label().width, sheet.label().height].map(|side| dpi.dots_within(side).0);
        all.push(Print { pixels: page.cropped(left, top, width, height), dots_per_mm: dots / 25.4 });
        payloads.push(code.payload());
    }
    (all, x, payloads)
}

#[test]
fn try_out() {
    let (prints, x, payloads) = prints(SymbolKind::Qr, "cut-a4-50x19", 600.0);
    println!("X {x} mm");
    for seed in 1..=3 {
        let photo = photograph(&prints, |_, random| random.f64() * 360.0, seed);
        if seed == 1 {
            std::fs::write("/tmp/photo.png", photo.png().unwrap()).unwrap();
        }
        for scale in [1.0, 0.7, 0.5, 0.4, 0.33] {
            for thorough in [false, true] {
                let start = Instant::now();
                let seen = look(&photo, SymbolKind::Qr, scale, thorough);
                let right = payloads.iter().filter(|p| seen.iter().any(|s| s.text == **p)).count();
                println!("seed {seed} scale {scale} {thorough}: {right} of {} in {:?}", seen.len(), start.elapsed());
            }
        }
    }
}
