//! Labels that reach into what a printer leaves unprinted along the paper's edges.
//!
//! Start with [`cut_at_the_edge`]. How wide that edge is, is guessed or what the user measured.

use super::{Device, Page, Paper, Sheet};
use crate::{
    label::{Drawing, Mark, TextRun},
    unit::{Dpi, Mm, Point, Size},
};

/// What rounding to dots and to a guess leaves to chance.
const TOLERANCE: Mm = Mm(0.1);

/// Labels that would be cut.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error(
    "what stands in {} of page {page} reaches {by} mm into the {edge} mm along the paper's edge that the printer leaves white; \
     leave such labels out, choose a sheet with wider margins, or say with `stowmark printer set NAME --edge MM` what your printer really leaves white",
    listed(.slots), by = by.rounded().0, edge = edge.rounded().0
)]
pub struct EdgeWarning {
    /// The page, counted from 1.
    pub page: usize,
    /// The slots, counted from 1.
    pub slots: Vec<u32>,
    /// How far the worst of them reaches into the edge.
    pub by: Mm,
    /// The edge.
    pub edge: Mm,
}

fn listed(slots: &[u32]) -> String {
    let list = slots.iter().map(u32::to_string).collect::<Vec<_>>().join(", ");
    if slots.len() == 1 { format!("slot {list}") } else { format!("slots {list}") }
}

/// The labels whose ink would be cut, page by page. A roll's printer reaches its labels' edges.
#[must_use]
pub fn cut_at_the_edge(sheet: &Sheet, pages: &[Page], device: &Device) -> Vec<EdgeWarning> {
    if sheet.paper == Paper::Roll {
        return Vec::new();
    }
    pages.iter().zip(1..).filter_map(|(page, number)| cut_on(page, number, device.edge)).collect()
}

fn cut_on(page: &Page, number: usize, edge: Mm) -> Option<EdgeWarning> {
    let reach = page.placed.iter().filter_map(|placed| {
        let by = inside_edge(&placed.drawing, placed.at, page, edge)?;
        (by > TOLERANCE).then_some((placed.slot, by))
    });
    let (slots, by): (Vec<u32>, Vec<Mm>) = reach.unzip();
    let by = by.into_iter().reduce(Mm::max)?;
    Some(EdgeWarning { page: number, slots, by, edge })
}

/// How far the ink of a drawing there reaches into the edge; below zero where it keeps clear.
fn inside_edge(drawing: &Drawing, at: Point, page: &Page, edge: Mm) -> Option<Mm> {
    let margins_of = |ink: Ink| {
        [at.x + ink.left, at.y + ink.top, page.size.width - at.x - ink.right, page.size.height - at.y - ink.bottom]
    };
    // Most labels lie clear as a whole, and the ink of all glyphs takes its time.
    let whole = margins_of(Ink::of(Point::default(), drawing.size)).into_iter().reduce(Mm::min)?;
    if whole >= edge {
        return None;
    }
    let ink = drawing.marks.iter().map(|mark| ink(mark, page.dpi)).reduce(Ink::around)?;
    margins_of(ink).into_iter().reduce(Mm::min).map(|margin| edge - margin)
}

/// The box of a mark's ink, from the label's corner.
#[derive(Debug, Clone, Copy)]
struct Ink {
    left: Mm,
    top: Mm,
    right: Mm,
    bottom: Mm,
}

impl Ink {
    fn of(at: Point, size: Size) -> Self {
        Self { left: at.x, top: at.y, right: at.x + size.width, bottom: at.y + size.height }
    }

    fn around(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }
}

fn ink(mark: &Mark, dpi: Dpi) -> Ink {
    match mark {
        Mark::Rect { at, size } => Ink::of(*at, *size),
        Mark::Symbol(placed) => {
            let at = Point { x: dpi.length(placed.left), y: dpi.length(placed.top) };
            let width = dpi.length(placed.x) * f64::from(placed.symbol.modules());
            Ink::of(at, Size { width, height: dpi.length(placed.height) })
        }
        Mark::Text(run) => text_ink(run),
    }
}

fn text_ink(run: &TextRun) -> Ink {
    let ink = run.ink();
    Ink {
        left: run.left + run.em * ink.left,
        top: run.baseline - run.em * ink.above,
        right: run.left + run.em * ink.right,
        bottom: run.baseline + run.em * ink.below,
    }
}
