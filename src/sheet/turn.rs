//! Pages turned as a whole, for printers that feed their labels another way round.
//!
//! Start with [`Turn`]. What lies on a printer's dots lies on them after turning too: the page moves by
//! less than a dot for it.

use crate::unit::{Dpi, Point, Size};

/// How a page is turned, clockwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Turn {
    /// Upright.
    #[default]
    None,
    /// By 90 degrees: its left edge is on top.
    Right,
    /// By 180 degrees: upside down.
    Half,
    /// By 270 degrees: its right edge is on top.
    Left,
}

impl Turn {
    /// By so many degrees clockwise; none for anything but 0, 90, 180 and 270.
    #[must_use]
    pub fn by_degrees(degrees: u16) -> Option<Self> {
        match degrees {
            0 => Some(Self::None),
            90 => Some(Self::Right),
            180 => Some(Self::Half),
            270 => Some(Self::Left),
            _ => None,
        }
    }

    /// So many degrees clockwise.
    #[must_use]
    pub fn degrees(self) -> u16 {
        match self {
            Self::None => 0,
            Self::Right => 90,
            Self::Half => 180,
            Self::Left => 270,
        }
    }

    /// The size of what was `size` before.
    #[must_use]
    pub fn size(self, size: Size) -> Size {
        match self {
            Self::None | Self::Half => size,
            Self::Right | Self::Left => Size { width: size.height, height: size.width },
        }
    }

    /// Where a point of an upright page of this size comes to lie, from the top left corner.
    #[must_use]
    pub fn point(self, at: Point, page: Size, dpi: Dpi) -> Point {
        let (right, down) = whole_dots(page, dpi);
        match self {
            Self::None => at,
            Self::Right => Point { x: down - at.y, y: at.x },
            Self::Half => Point { x: right - at.x, y: down - at.y },
            Self::Left => Point { x: at.y, y: right - at.x },
        }
    }

    /// The same as the matrix of a PDF, whose places are counted upwards from the bottom left, in points.
    #[must_use]
    pub fn matrix(self, page: Size, dpi: Dpi) -> [f64; 6] {
        let (right, down) = whole_dots(page, dpi);
        let (right, down) = (right.to_pt(), down.to_pt());
        let (width, height) = (page.width.to_pt(), page.height.to_pt());
        match self {
            Self::None => [1.0, 0.0, 0.0, 1.0, 0.0, 0.0],
            Self::Right => [0.0, -1.0, 1.0, 0.0, down - height, width],
            Self::Half => [-1.0, 0.0, 0.0, -1.0, right, 2.0 * height - down],
            Self::Left => [0.0, 1.0, -1.0, 0.0, height, width - right],
        }
    }
}

/// The right and the lower edge of the last whole dots of a page.
fn whole_dots(page: Size, dpi: Dpi) -> (crate::unit::Mm, crate::unit::Mm) {
    (dpi.length(dpi.dots_within(page.width)), dpi.length(dpi.dots_within(page.height)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::Mm;

    const TURNS: [Turn; 4] = [Turn::None, Turn::Right, Turn::Half, Turn::Left];

    #[test]
    fn the_matrix_and_the_point_agree_and_dots_stay_dots() {
        for dpi in [203.0, 300.0, 600.0].map(|dots| Dpi::new(dots).unwrap()) {
            let page = Size::new(57.0, 32.0);
            let at = Point { x: dpi.snap(Mm(11.0)), y: dpi.snap(Mm(4.0)) };
            for turn in TURNS {
                let point = turn.point(at, page, dpi);
                let m = turn.matrix(page, dpi);
                let (x, y) = (at.x.to_pt(), (page.height - at.y).to_pt());
                let in_file = (m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]);
                let expected = (point.x.to_pt(), (turn.size(page).height - point.y).to_pt());
                assert!((in_file.0 - expected.0).abs() < 1e-9 && (in_file.1 - expected.1).abs() < 1e-9, "{turn:?}");
                for length in [point.x, point.y] {
                    assert!((dpi.snap(length) - length).0.abs() < 1e-9, "{turn:?}");
                }
            }
        }
    }

    #[test]
    fn turning_right_puts_the_left_edge_on_top() {
        let (page, dpi) = (Size::new(50.8, 25.4), Dpi::DEFAULT);
        let point = Turn::Right.point(Point { x: Mm(1.0), y: Mm(2.0) }, page, dpi);
        assert!((point.x.0 - 23.4).abs() < 1e-9 && (point.y.0 - 1.0).abs() < 1e-9);
        assert_eq!(Turn::by_degrees(90), Some(Turn::Right));
        assert_eq!(Turn::by_degrees(45), None);
    }
}
