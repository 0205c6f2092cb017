//! The finished PDF, drawn as pixels and read back: what do its symbols really say?
//!
//! Start with [`read_back`].
//! The paper, the printer's ink and the reader are not simulated here; quiet zones are checked by
//! geometry in the tests, since a decoder forgives too much.

mod decode;

pub use decode::{Seen, decode};

use crate::{
    output::{OutputError, rasterise},
    symbol::SymbolKind,
    unit::{Dpi, Mm, Point, Size},
};

/// A label whose symbol is to be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// Page, counted from 1.
    pub page: usize,
    /// Top left corner on the page.
    pub at: Point,
    /// Size of the label.
    pub size: Size,
    /// The symbology.
    pub kind: SymbolKind,
    /// What the symbol should say.
    pub payload: String,
}

/// A symbol that was not read as it should be.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Which label.
    pub expected: Expected,
    /// What was read instead, if anything.
    pub read: Option<String>,
}

/// Reads every label of a PDF at a resolution, each cut out along its edges; gives those that don't
/// say what they should.
///
/// # Errors
/// [`OutputError`] when the PDF can't be drawn.
pub fn read_back(pdf: &[u8], labels: &[Expected], dpi: Dpi) -> Result<Vec<Fault>, OutputError> {
    let mut faults = Vec::new();
    for on_page in labels.chunk_by(|a, b| a.page == b.page) {
        let pixels = rasterise(pdf, on_page[0].page, dpi, false)?;
        for label in on_page {
            let part = pixels.cropped(
                pixel(label.at.x, dpi),
                pixel(label.at.y, dpi),
                pixel(label.size.width, dpi),
                pixel(label.size.height, dpi),
            );
            let read = decode(&part, label.kind).map(|seen| seen.text);
            if read.as_ref() != Some(&label.payload) {
                faults.push(Fault { expected: label.clone(), read });
            }
        }
    }
    Ok(faults)
}

fn pixel(length: Mm, dpi: Dpi) -> u32 {
    dpi.dots_within(dpi.snap(length)).0
}
