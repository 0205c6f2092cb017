//! Drawings placed on the slots of pages, each with its corner on the printer's dots.

use std::sync::Arc;

use super::Sheet;
use crate::{
    label::Drawing,
    unit::{Dpi, Point, Size},
};

/// A page of labels.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// The paper.
    pub size: Size,
    /// The printer's resolution, on whose dots all corners lie.
    pub dpi: Dpi,
    /// The labels.
    pub placed: Vec<Placed>,
}

/// A label on a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Which label position, counted from 1, row by row.
    pub slot: u32,
    /// The top left corner, on the dot grid.
    pub at: Point,
    /// What is on it.
    pub drawing: Arc<Drawing>,
}

/// Puts drawings on as many pages as they need, slot by slot.
#[must_use]
pub fn lay_out(sheet: &Sheet, drawings: &[Arc<Drawing>], dpi: Dpi) -> Vec<Page> {
    drawings
        .chunks(sheet.slots().max(1) as usize)
        .map(|on_page| {
            let placed = on_page.iter().zip(1..).map(|(drawing, slot)| place(sheet, drawing, slot, dpi)).collect();
            Page { size: sheet.page(), dpi, placed }
        })
        .collect()
}

fn place(sheet: &Sheet, drawing: &Arc<Drawing>, slot: u32, dpi: Dpi) -> Placed {
    let corner = sheet.corner(slot);
    Placed { slot, at: Point { x: dpi.snap(corner.x), y: dpi.snap(corner.y) }, drawing: Arc::clone(drawing) }
}
