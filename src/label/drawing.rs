//! A drawing: plain data in millimetres from the label's top left corner, and in dots for symbols.

use std::sync::Arc;

use crate::{
    font::{Face, GlyphInk, Ink, PlacedGlyph},
    symbol::Symbol,
    unit::{Dots, Mm, Point, Size},
};

/// What stands on one label.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The label's size.
    pub size: Size,
    /// What is on it, in no particular order: nothing overlaps.
    pub marks: Vec<Mark>,
}

impl Drawing {
    /// The symbols.
    pub fn symbols(&self) -> impl Iterator<Item = &PlacedSymbol> {
        self.marks.iter().filter_map(|mark| match mark {
            Mark::Symbol(symbol) => Some(symbol),
            _ => None,
        })
    }

    /// The runs of text.
    pub fn texts(&self) -> impl Iterator<Item = &TextRun> {
        self.marks.iter().filter_map(|mark| match mark {
            Mark::Text(text) => Some(text),
            _ => None,
        })
    }
}

/// One thing on a label.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A filled rectangle.
    Rect {
        /// Its top left corner.
        at: Point,
        /// Its size.
        size: Size,
    },
    /// A symbol.
    Symbol(PlacedSymbol),
    /// Text in one face and size.
    Text(TextRun),
}

/// A symbol on the dot grid of the label, whose corner the sheet puts on the dot grid of the page.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedSymbol {
    /// What it says: the bare code, or for a QR that is a link the whole link.
    pub text: String,
    /// The modules.
    pub symbol: Arc<Symbol>,
    /// From the label's left edge to the first dark module.
    pub left: Dots,
    /// From the label's top edge to the first dark module.
    pub top: Dots,
    /// Dots a module.
    pub x: Dots,
    /// Height of the bars of a Code 128 symbol; for QR its own.
    pub height: Dots,
}

/// A run of text in one face, as shaped glyphs.
#[derive(Debug, Clone, PartialEq)]
pub struct TextRun {
    /// The face.
    pub face: Arc<Face>,
    /// Size of the em.
    pub em: Mm,
    /// Where the pen is before the leftmost glyph.
    pub left: Mm,
    /// How far down the base line is.
    pub baseline: Mm,
    /// What the glyphs say, in the order of reading.
    pub text: String,
    /// The glyphs, left to right.
    pub glyphs: Vec<PlacedGlyph>,
}

impl TextRun {
    /// The ink of the glyphs from the pen and the base line, in ems.
    #[must_use]
    pub fn ink(&self) -> Ink {
        let (mut pen, mut ink): (i32, Option<Ink>) = (0, None);
        for glyph in &self.glyphs {
            let box_of = self.face.glyph_by_id(glyph.id).and_then(|known| known.ink);
            if let Some(found) = box_of {
                let (right, up) = (pen + i32::from(glyph.right), i32::from(glyph.up));
                let here = self.glyph_ink(found, right, up);
                ink = Some(ink.map_or(here, |ink| ink.and(here, 0.0)));
            }
            pen += glyph.advance;
        }
        ink.unwrap_or_default()
    }

    fn glyph_ink(&self, ink: GlyphInk, right: i32, up: i32) -> Ink {
        let em = |units: i32| self.face.in_em(units);
        Ink {
            left: em(right + i32::from(ink.left)),
            right: em(right + i32::from(ink.right)),
            above: em(up + i32::from(ink.top)),
            below: -em(up + i32::from(ink.bottom)),
        }
    }
}
