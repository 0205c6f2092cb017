//! Labels side by side on one page that is as large as they take, for the eye and for references.

use std::sync::Arc;

use stowmark::{
    label::{Drawing, Mark},
    output::{Pixels, pdf, rasterise},
    sheet::{Page, Placed},
    unit::{Dpi, Mm, Point, Size},
};

use super::{samples::dpi, specimen::info};

const GAP: f64 = 4.0;
const LINE: Mm = Mm(0.15);

/// A page of labels in rows, each in a thin frame if wanted.
pub fn page(rows: &[Vec<Drawing>], printer: Dpi, is_framed: bool) -> Page {
    let (mut placed, mut y, mut width) = (Vec::new(), Mm(GAP), Mm(0.0));
    for row in rows {
        let mut x = Mm(GAP);
        for drawing in row {
            let mut drawing = drawing.clone();
            if is_framed {
                drawing.marks.extend(frame(drawing.size));
            }
            let size = drawing.size;
            let at = Point { x: printer.snap(x), y: printer.snap(y) };
            placed.push(Placed { slot: 1, at, drawing: Arc::new(drawing) });
            x = x + size.width + Mm(GAP);
            width = width.max(x);
        }
        y = y + row.iter().map(|drawing| drawing.size.height).fold(Mm(0.0), Mm::max) + Mm(GAP);
    }
    Page::new(Size { width, height: y }, printer.into(), placed)
}

fn frame(size: Size) -> [Mark; 4] {
    let bar = |x: f64, y: f64, width: Mm, height: Mm| Mark::Rect {
        at: Point { x: Mm(x), y: Mm(y) },
        size: Size { width, height },
    };
    [
        bar(0.0, 0.0, size.width, LINE),
        bar(0.0, size.height.0, size.width, LINE),
        bar(0.0, 0.0, LINE, size.height),
        bar(size.width.0, 0.0, LINE, size.height),
    ]
}

/// The page as the screen shows it, in greys.
pub fn shown(page: Page, dots: f64) -> Pixels {
    let bytes = pdf(&[page], &info()).unwrap();
    rasterise(&bytes, 1, dpi(dots), true).unwrap()
}

/// A picture of half the width and height, of the means of four pixels each.
pub fn halved(picture: &Pixels) -> Pixels {
    let (width, height) = (picture.width / 2, picture.height / 2);
    let at = |x: u32, y: u32| u32::from(picture.luma[(y * picture.width + x) as usize]);
    let mean = |x: u32, y: u32| (at(x, y) + at(x + 1, y) + at(x, y + 1) + at(x + 1, y + 1)) / 4;
    let luma = (0..height).flat_map(|y| (0..width).map(move |x| (2 * x, 2 * y)));
    Pixels { width, height, luma: luma.map(|(x, y)| u8::try_from(mean(x, y)).unwrap()).collect() }
}
