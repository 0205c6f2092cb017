//! Shaped letters as marks of a drawing, with a hollow box for each that no face has.
//!
//! Start with [`text_marks`]. Whether there is room for them is not looked at.

use crate::{
    font::{Direction, FaceId, Fonts, MISSING_EM, Part, Run, Shaped},
    label::{Mark, TextRun},
    unit::{Mm, Point, Size},
};

/// The side of a hollow box's stroke, in ems.
const STROKE_EM: f64 = 0.05;

/// The marks of one line from a pen and base line on, with a hollow box for each letter that no face has.
#[must_use]
pub fn text_marks(fonts: &Fonts, face: FaceId, em: Mm, at: Point, text: &str) -> Vec<Mark> {
    marks(&fonts.shape(face, text, Direction::of(text)), em, fonts.cap_height_em(face), at)
}

pub(super) fn marks(shaped: &Shaped, em: Mm, cap_em: f64, at: Point) -> Vec<Mark> {
    let mark = |part: &Part| match part {
        Part::Run(run) => text_mark(run, em, at).into_iter().collect::<Vec<Mark>>(),
        Part::Missing { at_em } => hollow_box(Point { x: at.x + em * *at_em, y: at.y }, em, cap_em).into(),
    };
    shaped.parts.iter().flat_map(mark).collect()
}

fn text_mark(run: &Run, em: Mm, at: Point) -> Option<Mark> {
    let Run { face, scale, at_em, text, glyphs } = run.clone();
    let is_blank = text.trim().is_empty();
    let (em, left) = (em * scale, at.x + em * at_em);
    (!is_blank).then_some(Mark::Text(TextRun { face, em, left, baseline: at.y, text, glyphs }))
}

/// Four thin bars around the place of a letter that can't be shown.
fn hollow_box(pen: Point, em: Mm, cap_em: f64) -> [Mark; 4] {
    let (stroke, height) = (em * STROKE_EM, em * cap_em);
    let (left, top) = (pen.x + stroke, pen.y - height);
    let width = em * MISSING_EM - stroke * 2.0;
    let bar = |x: Mm, y: Mm, width: Mm, height: Mm| Mark::Rect { at: Point { x, y }, size: Size { width, height } };
    [
        bar(left, top, width, stroke),
        bar(left, pen.y - stroke, width, stroke),
        bar(left, top + stroke, stroke, height - stroke * 2.0),
        bar(left + width - stroke, top + stroke, stroke, height - stroke * 2.0),
    ]
}

/// The characters of a text that no face has, each once, parted by spaces.
pub(in crate::label) fn missing(fonts: &Fonts, text: &str, face: FaceId) -> String {
    fonts.missing(face, text).iter().map(char::to_string).collect::<Vec<String>>().join(" ")
}
