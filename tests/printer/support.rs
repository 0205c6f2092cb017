//! Labels with nothing but a symbol, and pixels of the pages that they stand on.

use std::sync::Arc;

use stowmark::{
    label::{Drawing, Mark, PlacedSymbol},
    output::{DocumentInfo, Pixels, pdf, rasterise},
    sheet::{Device, Page, Sheet, lay_out, places},
    symbol::{Symbol, SymbolKind},
    unit::{Dots, Dpi, Size},
};

pub const CODE: &str = "4C017R";

pub fn dpi(dots: f64) -> Dpi {
    Dpi::new(dots).unwrap()
}

pub fn symbol(kind: SymbolKind) -> Arc<Symbol> {
    Arc::new(if kind == SymbolKind::Qr { Symbol::qr(CODE) } else { Symbol::code128(CODE) }.unwrap())
}

/// A label with the symbol in so many dots a module, 10 modules from its left and upper edge.
pub fn label(kind: SymbolKind, x: u32, size: Size) -> Arc<Drawing> {
    let symbol = symbol(kind);
    let height = Dots(x * if kind == SymbolKind::Qr { symbol.modules() } else { 20 });
    let placed = PlacedSymbol { symbol, left: Dots(10 * x), top: Dots(10 * x), x: Dots(x), height, text: CODE.into() };
    Arc::new(Drawing { size, marks: vec![Mark::Symbol(placed)] })
}

/// The first page as the printer's dots.
pub fn drawn(pages: &[Page], dpi: Dpi) -> Pixels {
    let info = DocumentInfo { title: "Item tags".into(), language: "en".into() };
    rasterise(&pdf(pages, &info).unwrap(), 1, dpi, false).unwrap()
}

pub fn is_dark(pixels: &Pixels, x: usize, y: usize) -> bool {
    x < pixels.width as usize && y < pixels.height as usize && pixels.luma[y * pixels.width as usize + x] < 128
}

/// The smallest part of a picture that holds all that is dark, and its corner.
pub fn dark_part(pixels: &Pixels) -> ((u32, u32), Pixels) {
    let dark = (0..pixels.height).flat_map(|y| (0..pixels.width).map(move |x| (x, y)));
    let dark: Vec<(u32, u32)> = dark.filter(|(x, y)| is_dark(pixels, *x as usize, *y as usize)).collect();
    let span = |of: fn(&(u32, u32)) -> u32| {
        let ends = (dark.iter().map(of).min().unwrap(), dark.iter().map(of).max().unwrap());
        (ends.0, ends.1 - ends.0 + 1)
    };
    let ((left, width), (top, height)) = (span(|at| at.0), span(|at| at.1));
    ((left, top), pixels.cropped(left, top, width, height))
}

/// Drawings on as many fresh sheets as they need.
pub fn laid_out(sheet: &Sheet, drawings: &[Arc<Drawing>], device: impl Into<Device>) -> Vec<Page> {
    lay_out(sheet, drawings, &places(sheet, &[], drawings.len()), device)
}
