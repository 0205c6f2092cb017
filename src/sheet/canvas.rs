//! Lines and words on a page, each placed by itself as a label would be, with what the printer bends undone.

use super::Device;
use crate::{
    font::{FaceId, Fonts},
    label::{Mark, text_marks},
    unit::{Dots, Mm, Point, Size},
};

/// Around words, where no outline may run.
const GAP: Mm = Mm(0.6);

/// An upright rectangle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Area {
    pub left: Mm,
    pub top: Mm,
    pub right: Mm,
    pub bottom: Mm,
}

impl Area {
    pub(super) fn new(at: Point, size: Size) -> Self {
        Self { left: at.x, top: at.y, right: at.x + size.width, bottom: at.y + size.height }
    }
}

/// Which end of a text is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Side {
    Left,
    Middle,
    Right,
}

/// The marks of a page.
pub(super) struct Canvas {
    device: Device,
    /// The corner of a block that is moved as a whole, as a label is.
    block: Option<Point>,
    pub marks: Vec<Mark>,
    /// Where no outline may run.
    pub kept_free: Vec<Area>,
}

impl Canvas {
    pub(super) fn new(device: Device) -> Self {
        Self { device, block: None, marks: Vec::new(), kept_free: Vec::new() }
    }

    /// What `draw` draws is moved with its corner, so that lines that belong together stay so.
    pub(super) fn block(&mut self, corner: Point, draw: impl FnOnce(&mut Self)) {
        self.block = Some(corner);
        draw(self);
        self.block = None;
    }

    /// Where to draw what is wanted there.
    fn placed(&self, wanted: Point) -> Point {
        let corner = self.block.unwrap_or(wanted);
        let at = self.device.correction.apply(corner);
        Point { x: at.x + wanted.x - corner.x, y: at.y + wanted.y - corner.y }
    }

    /// A thickness in whole dots, at least one.
    pub(super) fn dots_in(&self, thickness: Mm) -> Mm {
        self.device.dpi.length(self.device.dpi.dots_within(thickness).max(Dots(1)))
    }

    /// A hair of a line.
    pub(super) fn thin(&self) -> Mm {
        self.dots_in(Mm(0.1))
    }

    /// A level or upright line, its middle on the places given.
    pub(super) fn line(&mut self, from: Point, to: Point, thickness: Mm) {
        let half = thickness * 0.5;
        let is_level = (to.x - from.x) > (to.y - from.y);
        let (from, to) = (self.placed(from), self.placed(to));
        let snap = |length: Mm| self.device.dpi.snap(length);
        let (at, size) = if is_level {
            let at = Point { x: snap(from.x), y: snap(from.y - half) };
            (at, Size { width: snap(to.x) - at.x, height: thickness })
        } else {
            let at = Point { x: snap(from.x - half), y: snap(from.y) };
            (at, Size { width: thickness, height: snap(to.y) - at.y })
        };
        self.marks.push(Mark::Rect { at, size });
    }

    /// The parts of the four edges of a rectangle that run through nothing.
    pub(super) fn outline(&mut self, Area { left, top, right, bottom }: Area) {
        for y in [top, bottom] {
            let meets = |area: &Area| area.top <= y && y <= area.bottom;
            for (a, b) in self.free((left, right), |area| meets(area).then_some((area.left, area.right))) {
                self.line(Point { x: a, y }, Point { x: b, y }, self.thin());
            }
        }
        for x in [left, right] {
            let meets = |area: &Area| area.left <= x && x <= area.right;
            for (a, b) in self.free((top, bottom), |area| meets(area).then_some((area.top, area.bottom))) {
                self.line(Point { x, y: a }, Point { x, y: b }, self.thin());
            }
        }
    }

    /// The parts of a line that no area covers; `covers` gives an area's part of the line, if it meets it.
    fn free(&self, line: (Mm, Mm), covers: impl Fn(&Area) -> Option<(Mm, Mm)>) -> Vec<(Mm, Mm)> {
        self.kept_free.iter().filter_map(covers).fold(vec![line], |free, (from, to)| {
            let parts = free.into_iter().flat_map(|(a, b)| [(a, b.min(from)), (a.max(to), b)]);
            parts.filter(|(a, b)| b.0 - a.0 > 0.2).collect()
        })
    }

    /// A line of text with one of its ends or its middle there; gives the room that it takes. What no
    /// bundled face has is shown as a hollow box.
    pub(super) fn text(&mut self, (face, pt): (FaceId, f64), at: Point, side: Side, text: &str) -> Area {
        let fonts = Fonts::default();
        let em = Mm::from_inches(pt / 72.0);
        let width = em * fonts.width_em(face, text);
        let left = match side {
            Side::Left => at.x,
            Side::Middle => at.x - width * 0.5,
            Side::Right => at.x - width,
        };
        let placed = self.placed(Point { x: left, y: at.y });
        self.marks.extend(text_marks(&fonts, face, em, placed, text));
        let above = em * fonts.cap_height_em(face);
        Area { left: left - GAP, top: at.y - above - GAP, right: left + width + GAP, bottom: at.y + GAP }
    }
}
