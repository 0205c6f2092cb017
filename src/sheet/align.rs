//! The page by which a printer's errors of place are measured: rulers, crosses, a sheet's outlines, and
//! in words what to measure.
//!
//! Start with [`alignment_page`]. Every mark of it is placed as a label is, so that a page for a printer
//! whose errors are known shows what is left of them.

use std::sync::Arc;

use super::{
    CROSS, Device, Page, Placed, SPAN, Sheet,
    align_words::Words,
    canvas::{Area, Canvas, Side},
};
use crate::{
    font::FaceId,
    label::Drawing,
    unit::{Mm, Point, Size},
};

/// From the middle of a cross to its ends.
const ARM: Mm = Mm(2.5);
/// Where the lines of a ruler begin, from the paper's edge that it runs along.
const RULER: Mm = Mm(4.9);
/// The length of a ruler's longest lines.
const LONGEST_LINE: Mm = Mm(2.6);
/// What must be free right of the right crosses and below the lower ones.
const BEYOND: Mm = Mm(8.0);

/// Why there is no alignment page.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AlignError {
    /// The crosses have no place on it.
    #[error(
        "`{sheet}` has pages of {page}, too small for an alignment page; give an A4 or Letter sheet with --sheet. \
         On a roll printer the place of labels is set on the printer itself"
    )]
    TooSmall {
        /// The sheet.
        sheet: String,
        /// Its page.
        page: Size,
    },
}

/// A page for measuring a printer of this name, with the outlines of a sheet's labels.
///
/// # Errors
/// [`AlignError::TooSmall`] on rolls and small paper.
pub fn alignment_page(printer: &str, sheet: &Sheet, device: &Device) -> Result<Page, AlignError> {
    let size = sheet.page();
    if size.width < CROSS.x + SPAN.width + BEYOND || size.height < CROSS.y + SPAN.height + BEYOND {
        return Err(AlignError::TooSmall { sheet: sheet.name.clone(), page: size });
    }
    let mut canvas = Canvas::new(*device);
    rulers(&mut canvas, size);
    crosses(&mut canvas);
    Words { printer, sheet, device }.draw(&mut canvas, size.width);
    for slot in 1..=sheet.slots() {
        canvas.outline(Area::new(sheet.corner(slot), sheet.label()));
    }
    let drawing = Arc::new(Drawing { size, marks: canvas.marks });
    Ok(Page::new(size, *device, vec![Placed { slot: 1, at: Point::default(), drawing }]))
}

fn rulers(canvas: &mut Canvas, page: Size) {
    for along in millimetres(page.width) {
        ruler_line(canvas, along, |along, out| Point { x: along, y: out });
        if is_numbered(along, CROSS.x, SPAN.width) {
            number(canvas, along, Point { x: along, y: RULER + Mm(4.9) }, Side::Middle);
        }
    }
    for along in millimetres(page.height) {
        ruler_line(canvas, along, |along, out| Point { x: out, y: along });
        if is_numbered(along, CROSS.y, SPAN.height) {
            number(canvas, along, Point { x: RULER + Mm(3.2), y: along + Mm(0.72) }, Side::Left);
        }
    }
}

/// The whole millimetres within a length, but for its ends and for where both rulers meet.
fn millimetres(length: Mm) -> impl Iterator<Item = Mm> {
    let is_corner = |along: &Mm| (RULER..RULER + LONGEST_LINE).contains(along);
    (1..1000_u32)
        .map(|number| Mm(f64::from(number)))
        .take_while(move |along| *along < length)
        .filter(move |along| !is_corner(along))
}

/// Every tenth but where a cross stands.
fn is_numbered(along: Mm, first: Mm, span: Mm) -> bool {
    let is_near = |cross: Mm| (along - cross).0.abs() < 5.0;
    along.0 % 10.0 == 0.0 && !is_near(first) && !is_near(first + span)
}

/// A line of a ruler, longer at each fifth and tenth.
fn ruler_line(canvas: &mut Canvas, along: Mm, at: impl Fn(Mm, Mm) -> Point) {
    let length = match along.0 {
        along if along % 10.0 == 0.0 => LONGEST_LINE,
        along if along % 5.0 == 0.0 => Mm(1.9),
        _ => Mm(1.2),
    };
    canvas.line(at(along, RULER), at(along, RULER + length), canvas.thin());
}

fn number(canvas: &mut Canvas, number: Mm, at: Point, side: Side) {
    let area = canvas.text((FaceId::Regular, 6.0), at, side, &number.0.to_string());
    canvas.kept_free.push(area);
}

/// A cross at each corner, named so that the words can speak of it.
fn crosses(canvas: &mut Canvas) {
    let (right, bottom) = (CROSS.x + SPAN.width, CROSS.y + SPAN.height);
    let thick = canvas.dots_in(Mm(0.2));
    for (name, x, y) in [("A", CROSS.x, CROSS.y), ("B", right, CROSS.y), ("C", CROSS.x, bottom), ("D", right, bottom)] {
        canvas.line(Point { x: x - ARM, y }, Point { x: x + ARM, y }, thick);
        canvas.line(Point { x, y: y - ARM }, Point { x, y: y + ARM }, thick);
        let at = Point { x: x + Mm(3.2), y: y + Mm(5.4) };
        let letter = canvas.text((FaceId::Bold, 11.0), at, Side::Left, name);
        let around = ARM + Mm(0.8);
        canvas.kept_free.push(Area { left: x - around, top: y - around, ..letter });
    }
}
