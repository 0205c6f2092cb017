//! Tags as this program prints them, for photographs.

use std::sync::Arc;

use fastrand::Rng;
use stowmark::{
    code::{ItemCode, LinkBase, Serial},
    font::Fonts,
    label::{Stock, SymbolChoice, Symbols, Tag},
    output::{DocumentInfo, Pixels, pdf, rasterise},
    sheet::{Placed, cut_sheet, lay_out, places},
    symbol::SymbolKind,
    unit::Dpi,
};

use super::scene::{Print, photograph};

pub const TAGS: u32 = 24;
/// Of the printer.
pub const DPI: f64 = 600.0;

/// Tags as this program prints them.
pub struct Prints {
    pub placed: Vec<Print>,
    /// What their symbols say.
    pub says: Vec<String>,
    /// The millimetres of a module.
    pub x: f64,
}

pub fn printed(kind: SymbolKind, sheet: &str, link: Option<&LinkBase>) -> Prints {
    let (sheet, dpi) = (cut_sheet(sheet).unwrap(), Dpi::new(DPI).unwrap());
    let stock = Stock { fonts: Fonts::default(), ..sheet.stock(dpi) };
    let symbols = Symbols { link, ..Symbols::from(SymbolChoice::Only(kind)) };
    let code = |serial| ItemCode { bin: "4C".parse().unwrap(), serial: Serial::new(serial).unwrap() };
    let draw = |serial| Tag::new(code(serial), "Enamel casserole, cream and green").draw(&stock, symbols).unwrap();
    let drawings: Vec<_> = (1..=TAGS).map(|serial| Arc::new(draw(serial).drawing)).collect();
    let x = dpi.length(drawings[0].symbols().next().unwrap().x).0;
    let pages = lay_out(&sheet, &drawings, &places(&sheet, &[], drawings.len()), dpi);
    assert_eq!(pages.len(), 1);
    let bytes = pdf(&pages, &DocumentInfo { title: "Item tags".into(), language: "en".into() }).unwrap();
    let page = rasterise(&bytes, 1, dpi, false).unwrap();
    let print = |placed: &Placed| {
        let [left, top] = [placed.at.x, placed.at.y].map(|at| dpi.dots_within(at).0);
        let [width, height] = [sheet.label().width, sheet.label().height].map(|side| dpi.dots_within(side).0);
        Print { pixels: page.cropped(left, top, width, height), dots_per_mm: DPI / 25.4 }
    };
    let says = (1..=TAGS).map(|serial| code(serial).payload());
    let says = says.map(|payload| link.map_or(payload.clone(), |base| base.link(&payload)));
    Prints { placed: pages[0].placed.iter().map(print).collect(), says: says.collect(), x }
}

impl Prints {
    /// Scattered over a bin's contents.
    pub fn photograph(&self, angle: impl Fn(&mut Rng) -> f64, seed: u64) -> Pixels {
        photograph(&self.placed, angle, seed)
    }
}
