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
    /// Thin lines outside of the labels, to cut by.
    pub cut_marks: Vec<CutMark>,
}

/// A thin line to cut by, as a filled rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutMark {
    /// The top left corner on the page.
    pub at: Point,
    /// How long and how wide.
    pub size: Size,
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
    /// An upright page without cut marks.
    #[must_use]
    pub fn new(size: Size, device: Device, placed: Vec<Placed>) -> Self {
        let (dpi, bar_reduction) = (device.dpi, device.bar_reduction);
        Self { size, dpi, bar_reduction, turn: Turn::None, placed, cut_marks: Vec::new() }
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

/// A label position in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct SlotOnPage {
    /// The page, counted from 1.
    pub page: usize,
    /// The slot on it, counted from 1, row by row.
    pub slot: u32,
}

/// The positions of so many labels: first these free slots of the sheet in use, then fresh sheets as
/// many as it takes.
#[must_use]
pub fn places(sheet: &Sheet, free: &[u32], count: usize) -> Vec<SlotOnPage> {
    let on_page = |page| move |slot| SlotOnPage { page, slot };
    let first = free.iter().copied().map(on_page(1));
    let fresh = if free.is_empty() { 1 } else { 2 };
    let fresh = (fresh..).flat_map(|page| (1..=sheet.slots().max(1)).map(on_page(page)));
    first.chain(fresh).take(count).collect()
}

/// Puts drawings on pages, each in its place as the device has to draw it; places come page by page.
#[must_use]
pub fn lay_out(
    sheet: &Sheet,
    drawings: &[Arc<Drawing>],
    places: &[SlotOnPage],
    device: impl Into<Device>,
) -> Vec<Page> {
    let device = device.into();
    let labels: Vec<_> = places.iter().zip(drawings).collect();
    let on_one_page = labels.chunk_by(|(a, _), (b, _)| a.page == b.page);
    let cut_marks = sheet.cut_marks().into_iter().map(|mark| CutMark { at: device.place(mark.at), ..mark });
    let cut_marks: Vec<CutMark> = cut_marks.collect();
    on_one_page
        .map(|on_page| {
            let place = |(at, drawing): &(&SlotOnPage, &Arc<Drawing>)| place(sheet, drawing, at.slot, &device);
            let page = Page::new(sheet.page(), device, on_page.iter().map(place).collect());
            Page { cut_marks: cut_marks.clone(), ..page }
        })
        .collect()
}

fn place(sheet: &Sheet, drawing: &Arc<Drawing>, slot: u32, device: &Device) -> Placed {
    Placed { slot, at: device.place(sheet.corner(slot)), drawing: Arc::clone(drawing) }
}
