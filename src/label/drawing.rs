//! A drawing: plain data in millimetres from the label's top left corner, and in dots for symbols.

use std::sync::Arc;

use crate::{
    font::FaceId,
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

/// A run of text in one face.
#[derive(Debug, Clone, PartialEq)]
pub struct TextRun {
    /// The face.
    pub face: FaceId,
    /// Size of the em.
    pub em: Mm,
    /// Where the first character begins.
    pub left: Mm,
    /// How far down the base line is.
    pub baseline: Mm,
    /// The characters, all of which the face has.
    pub text: String,
}
