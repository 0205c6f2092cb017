//! A page printed to the end and cut into labels, each with what is needed to check it.

use std::sync::Arc;

use stowmark::{
    label::{Drawing, PlacedSymbol},
    output::{DocumentInfo, Pixels, pdf, rasterise},
    sheet::{Page, Placed, Sheet, lay_out, places},
    unit::Dpi,
};

use super::{
    picture::{self, Area},
    samples::Label,
};

/// A label in the pixels of the finished PDF.
pub struct Specimen<'a> {
    pub name: String,
    pub sheet: &'static Sheet,
    pub dpi: Dpi,
    pub label: &'a Label,
    pub slot: u32,
    /// The label's box on the page, its corner on the nearest pixel as the sheet's layout has it.
    pub area: Area,
    /// What is in it.
    pub picture: Pixels,
}

impl Specimen<'_> {
    pub fn drawing(&self) -> &Drawing {
        &self.label.drawn.drawing
    }

    pub fn symbol(&self) -> &PlacedSymbol {
        self.drawing().symbols().next().expect("every label has a symbol")
    }

    /// A length in whole pixels.
    pub fn pixels(&self, millimetres: f64) -> usize {
        picture::nearest_pixel(millimetres, self.dpi.get())
    }
}

pub fn info() -> DocumentInfo {
    DocumentInfo { title: "Item tags on sheet a4-3x7".into(), language: "en".into() }
}

/// The labels on as many pages as they need.
pub fn pages(sheet: &Sheet, labels: &[Label], dpi: Dpi) -> Vec<Page> {
    let drawings: Vec<Arc<Drawing>> = labels.iter().map(|label| Arc::new(label.drawn.drawing.clone())).collect();
    lay_out(sheet, &drawings, &places(sheet, &[], drawings.len()), dpi)
}

/// Prints the labels, draws each page once, and hands over the page and those labels that are asked for.
pub fn print(
    sheet: &'static Sheet,
    labels: &[Label],
    dpi: Dpi,
    is_wanted: impl Fn(u32) -> bool,
    mut look: impl FnMut(&Pixels, Vec<Specimen<'_>>),
) {
    let pages = pages(sheet, labels, dpi);
    let bytes = pdf(&pages, &info()).unwrap();
    let mut rest = labels;
    for (number, page) in (1..).zip(&pages) {
        let (on_page, after) = rest.split_at(page.placed.len());
        rest = after;
        let pixels = rasterise(&bytes, number, dpi, false).unwrap();
        let wanted = on_page.iter().zip(&page.placed).filter(|(_, placed)| is_wanted(placed.slot));
        let specimens = wanted.map(|(label, placed)| specimen(sheet, label, placed, dpi, &pixels)).collect();
        look(&pixels, specimens);
    }
}

fn specimen<'a>(sheet: &'static Sheet, label: &'a Label, placed: &Placed, dpi: Dpi, page: &Pixels) -> Specimen<'a> {
    let area = Area::of(placed.at.x, placed.at.y, sheet.label_width, sheet.label_height, dpi.get()).within(page);
    let what = if label.design.is_sign { "sign" } else { "tag" };
    let name = format!("{} slot {} {what} {} {} at {dpi}", sheet.name, placed.slot, label.design.kind, label.payload);
    Specimen { name, sheet, dpi, label, slot: placed.slot, area, picture: picture::crop(page, area) }
}

/// The box of a label by the sheet's measures.
pub fn label_area(sheet: &Sheet, slot: u32, dpi: Dpi) -> Area {
    let corner = sheet.corner(slot);
    Area::of(corner.x, corner.y, sheet.label_width, sheet.label_height, dpi.get())
}
