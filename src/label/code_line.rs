//! A code as it stands on a label, measured by its ink: round letters reach beyond the height of
//! capitals, and a Q hangs below the line.

use super::{Mark, text};
use crate::{
    font::{FaceId, Fonts, Ink},
    unit::{Mm, Point, Size},
};

/// A code in its faces, left to right. Its size is told by the height of its capitals.
pub(super) struct CodeLine<'a> {
    fonts: &'a Fonts,
    parts: &'a [(FaceId, String)],
    ink: Ink,
}

impl<'a> CodeLine<'a> {
    pub(super) fn new(fonts: &'a Fonts, parts: &'a [(FaceId, String)]) -> Self {
        let (mut pen, mut ink): (f64, Option<Ink>) = (0.0, None);
        for (face, part) in parts {
            let here = fonts.ink(*face, part);
            ink = Some(ink.map_or(here, |ink| ink.and(here, pen)));
            pen += fonts.width_em(*face, part);
        }
        Self { fonts, parts, ink: ink.unwrap_or_default() }
    }

    /// Size of the ink at this height of capitals.
    pub(super) fn size(&self, cap: Mm) -> Size {
        let em = self.em(cap);
        Size { width: em * (self.ink.right - self.ink.left), height: em * (self.ink.above + self.ink.below) }
    }

    /// The height of capitals at which the ink is as large as the room lets it.
    pub(super) fn cap_within(&self, room: Size) -> Mm {
        let one = self.size(Mm(1.0));
        Mm((room.width.0 / one.width.0).min(room.height.0 / one.height.0))
    }

    /// The marks with the top left corner of the ink there.
    pub(super) fn marks(&self, cap: Mm, at: Point) -> Vec<Mark> {
        let em = self.em(cap);
        let mut pen = Point { x: at.x - em * self.ink.left, y: at.y + self.ascent(cap) };
        let mut marks = Vec::new();
        for (face, part) in self.parts {
            marks.extend(text::text_marks(self.fonts, *face, em, pen, part));
            pen.x = pen.x + em * self.fonts.width_em(*face, part);
        }
        marks
    }

    /// From the top of the ink to the base line.
    pub(super) fn ascent(&self, cap: Mm) -> Mm {
        self.em(cap) * self.ink.above
    }

    fn em(&self, cap: Mm) -> Mm {
        cap * (1.0 / self.fonts.cap_height_em(FaceId::Bold))
    }
}
