//! Drawings placed on the slots of pages, each with its corner on the printer's dots.

use std::sync::Arc;

use super::{Device, Sheet, Turn};
use crate::{
    label::Drawing,
    unit::{Dpi, Point, Size},
};

/// A page of labels.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// The paper as the labels lie on it upright.
    pub size: Size,
    /// The printer's resolution, on whose dots all corners lie.
    pub dpi: Dpi,
    /// Whether symbols are drawn narrower by whole dots.
    pub bar_reduction: bool,
    /// How the page as a whole is turned for the printer.
    pub turn: Turn,
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

impl Page {
    /// An upright page.
    #[must_use]
    pub fn new(size: Size, device: Device, placed: Vec<Placed>) -> Self {
        Self { size, dpi: device.dpi, bar_reduction: device.bar_reduction, turn: Turn::None, placed }
    }

    /// The page turned as a whole.
    #[must_use]
    pub fn turned(self, turn: Turn) -> Self {
        Self { turn, ..self }
    }

    /// The size of the page in the file.
    #[must_use]
    pub fn paper(&self) -> Size {
        self.turn.size(self.size)
    }

    /// Where a part of the upright page lies in the file: its top left corner and its size.
    #[must_use]
    pub fn in_file(&self, at: Point, size: Size) -> (Point, Size) {
        let corners = [at, Point { x: at.x + size.width, y: at.y + size.height }];
        let [a, b] = corners.map(|corner| self.turn.point(corner, self.size, self.dpi));
        (Point { x: a.x.min(b.x), y: a.y.min(b.y) }, self.turn.size(size))
    }
}

/// Puts drawings on as many pages as they need, slot by slot, each where the device has to draw it.
#[must_use]
pub fn lay_out(sheet: &Sheet, drawings: &[Arc<Drawing>], device: impl Into<Device>) -> Vec<Page> {
    let device = device.into();
    drawings
        .chunks(sheet.slots().max(1) as usize)
        .map(|on_page| {
            let placed = on_page.iter().zip(1..).map(|(drawing, slot)| place(sheet, drawing, slot, &device)).collect();
            Page::new(sheet.page(), device, placed)
        })
        .collect()
}

fn place(sheet: &Sheet, drawing: &Arc<Drawing>, slot: u32, device: &Device) -> Placed {
    Placed { slot, at: device.place(sheet.corner(slot)), drawing: Arc::clone(drawing) }
}
