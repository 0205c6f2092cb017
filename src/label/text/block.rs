//! Text that has been broken into lines, as it takes up room and as it is drawn.
//!
//! Start with [`Block::marks`]. A line whose letters are higher or hang lower than most takes the room that it needs;
//! whether there is that much is not asked.

use super::{ASCENT_EM, BETWEEN_EM, DESCENT_EM, SLACK, marks::marks, number};
use crate::{
    font::{Direction, FaceId, Fonts, Shaped},
    label::Mark,
    unit::{Mm, Point, Size},
};

/// A line of text as shaped.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::label) struct Line {
    /// What it says, in the order of reading.
    pub text: String,
    shaped: Shaped,
}

impl Line {
    pub(super) fn new(fonts: &Fonts, text: &str, face: FaceId, direction: Direction) -> Self {
        Self { text: text.to_owned(), shaped: fonts.shape(face, text, direction) }
    }

    /// How far its ink reaches out to the left of its pen, in ems, as that of a j does.
    fn out_em(&self) -> f64 {
        (-self.shaped.ink.left).max(0.0)
    }

    /// All of its width, in ems.
    pub(super) fn width_em(&self) -> f64 {
        self.shaped.width_em.max(self.shaped.ink.right) + self.out_em()
    }

    fn above_em(&self) -> f64 {
        self.shaped.ink.above.max(ASCENT_EM)
    }

    fn below_em(&self) -> f64 {
        self.shaped.ink.below.max(DESCENT_EM)
    }
}

/// Text that has been broken into lines.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::label) struct Block {
    pub em: Mm,
    pub lines: Vec<Line>,
    pub shortened: bool,
    pub(super) cap_em: f64,
}

impl Block {
    /// Height from the top of the first line to the lowest descender; nothing for no lines.
    pub(in crate::label) fn height(&self) -> Mm {
        let lines: f64 = self.lines.iter().map(|line| line.above_em() + line.below_em()).sum();
        self.em * (lines + BETWEEN_EM * number(self.lines.len().saturating_sub(1)))
    }

    /// Whether it has room there.
    pub(super) fn fits(&self, room: Size) -> bool {
        let is_wide = |line: &Line| line.width_em() * self.em.0 > room.width.0 + SLACK;
        self.height().0 <= room.height.0 + SLACK && !self.lines.iter().any(is_wide)
    }

    /// Its first lines, so many of them.
    pub(in crate::label) fn first(&self, count: usize) -> Self {
        Self { lines: self.lines.iter().take(count).cloned().collect(), ..*self }
    }

    /// The marks of the block with its top left corner there.
    pub(in crate::label) fn marks(&self, at: Point) -> Vec<Mark> {
        let (mut marks, mut top) = (Vec::new(), at.y);
        for line in &self.lines {
            marks.extend(self.line_marks(line, Point { x: at.x, y: top + self.em * line.above_em() }));
            top = top + self.em * (line.above_em() + line.below_em() + BETWEEN_EM);
        }
        marks
    }

    /// The marks of the first line with its base line beginning there.
    pub(in crate::label) fn marks_on(&self, baseline: Point) -> Vec<Mark> {
        self.lines.first().map(|line| self.line_marks(line, baseline)).unwrap_or_default()
    }

    fn line_marks(&self, line: &Line, at: Point) -> Vec<Mark> {
        let pen = Point { x: at.x + self.em * line.out_em(), y: at.y };
        marks(&line.shaped, self.em, self.cap_em, pen)
    }
}
