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

/// Puts drawings on pages, each in its place; places come page by page.
#[must_use]
pub fn lay_out(sheet: &Sheet, drawings: &[Arc<Drawing>], places: &[SlotOnPage], dpi: Dpi) -> Vec<Page> {
    let labels: Vec<_> = places.iter().zip(drawings).collect();
    let on_one_page = labels.chunk_by(|(a, _), (b, _)| a.page == b.page);
    on_one_page
        .map(|on_page| {
            let place = |(at, drawing): &(&SlotOnPage, &Arc<Drawing>)| place(sheet, drawing, at.slot, dpi);
            let cut_marks = sheet.cut_marks();
            Page { size: sheet.page(), dpi, placed: on_page.iter().map(place).collect(), cut_marks }
        })
        .collect()
}

fn place(sheet: &Sheet, drawing: &Arc<Drawing>, slot: u32, dpi: Dpi) -> Placed {
    let corner = sheet.corner(slot);
    Placed { slot, at: Point { x: dpi.snap(corner.x), y: dpi.snap(corner.y) }, drawing: Arc::clone(drawing) }
}
