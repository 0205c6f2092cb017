//! What pages are printed on: a printer's dots, its errors of place and how they are undone.
//!
//! Start with [`Device`]; a bare resolution is a device that prints true.
//! Only places are corrected. A label's content is never scaled or turned, since symbols stand on whole dots.

use crate::unit::{Dpi, Mm, Point};

/// Most office printers leave about this much of the paper's edge unprinted (common practice).
pub const USUAL_EDGE: Mm = Mm(4.2);

/// What pages are printed on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Device {
    /// Its resolution.
    pub dpi: Dpi,
    /// Its errors of place.
    pub correction: Correction,
    /// Whether symbols are drawn narrower by whole dots, since its ink spreads.
    pub bar_reduction: bool,
    /// What it leaves unprinted along the paper's edges.
    pub edge: Mm,
}

impl From<Dpi> for Device {
    /// A device that prints true.
    fn from(dpi: Dpi) -> Self {
        Self { dpi, correction: Correction::NONE, bar_reduction: false, edge: USUAL_EDGE }
    }
}

impl Device {
    /// Where on its dots to print what is wanted at a place of the paper.
    #[must_use]
    pub fn place(&self, wanted: Point) -> Point {
        let Point { x, y } = self.correction.apply(wanted);
        Point { x: self.dpi.snap(x), y: self.dpi.snap(y) }
    }
}

/// A printer's errors of place, and their undoing. What is drawn at `x`, `y` comes out at
/// `shift.x + scale_x * x`, `shift.y + scale_y * y + skew * x`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correction {
    /// How far the page's top left corner comes out to the right of the paper's, and below it.
    pub shift: Point,
    /// How many millimetres across come out for one; above 1 the print is too wide.
    pub scale_x: f64,
    /// How many millimetres down come out for one.
    pub scale_y: f64,
    /// How many millimetres lower each millimetre to the right comes out.
    pub skew: f64,
}

impl Default for Correction {
    fn default() -> Self {
        Self::NONE
    }
}

impl Correction {
    /// Of a printer that prints true.
    pub const NONE: Self = Self { shift: Point { x: Mm::ZERO, y: Mm::ZERO }, scale_x: 1.0, scale_y: 1.0, skew: 0.0 };

    /// Where to draw what is wanted at a place of the paper.
    #[must_use]
    pub fn apply(&self, wanted: Point) -> Point {
        let x = (wanted.x.0 - self.shift.x.0) / self.scale_x;
        let y = (wanted.y.0 - self.shift.y.0 - self.skew * x) / self.scale_y;
        Point { x: Mm(x), y: Mm(y) }
    }

    /// Where on the paper comes out what is drawn at a place.
    #[must_use]
    pub fn comes_out(&self, drawn: Point) -> Point {
        let x = self.shift.x + drawn.x * self.scale_x;
        let y = self.shift.y + drawn.y * self.scale_y + drawn.x * self.skew;
        Point { x, y }
    }

    /// Both errors together, where `left` was still found on a page that this one had corrected.
    #[must_use]
    pub fn refined(&self, left: &Self) -> Self {
        Self {
            shift: left.comes_out(self.shift),
            scale_x: left.scale_x * self.scale_x,
            scale_y: left.scale_y * self.scale_y,
            skew: left.scale_y * self.skew + left.skew * self.scale_x,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: f64, y: f64) -> Point {
        Point { x: Mm(x), y: Mm(y) }
    }

    fn near(a: Point, b: Point) -> bool {
        (a.x.0 - b.x.0).abs() < 1e-9 && (a.y.0 - b.y.0).abs() < 1e-9
    }

    const BENT: Correction =
        Correction { shift: Point { x: Mm(0.4), y: Mm(-0.7) }, scale_x: 1.003, scale_y: 0.996, skew: 0.002 };

    /// By hand: 100 mm to the right come out at 0.4 + 100.3, 50 mm down at -0.7 + 49.8 + 0.2.
    #[test]
    fn what_is_drawn_comes_out_shifted_scaled_and_skewed() {
        assert!(near(BENT.comes_out(at(100.0, 50.0)), at(100.7, 49.3)));
    }

    #[test]
    fn what_is_wanted_comes_out_there() {
        for wanted in [at(0.0, 0.0), at(7.2, 15.15), at(139.2, 243.75), at(210.0, 297.0)] {
            assert!(near(BENT.comes_out(BENT.apply(wanted)), wanted));
        }
    }

    #[test]
    fn a_true_printer_changes_nothing() {
        assert_eq!(Correction::NONE.apply(at(7.2, 15.15)), at(7.2, 15.15));
    }

    /// The printer bends as `truth`; `BENT` was its first measuring, and what is left is measured again.
    #[test]
    fn what_is_left_is_added() {
        let truth = Correction { shift: at(0.6, -0.5), scale_x: 1.0045, scale_y: 0.9942, skew: 0.0031 };
        let left_at = |wanted| truth.comes_out(BENT.apply(wanted));
        let (origin, across, down) = (left_at(at(0.0, 0.0)), left_at(at(1.0, 0.0)), left_at(at(0.0, 1.0)));
        let left = Correction {
            shift: origin,
            scale_x: across.x.0 - origin.x.0,
            scale_y: down.y.0 - origin.y.0,
            skew: across.y.0 - origin.y.0,
        };
        let both = BENT.refined(&left);
        for wanted in [at(0.0, 0.0), at(12.0, 10.0), at(192.0, 260.0)] {
            assert!(near(truth.comes_out(both.apply(wanted)), wanted), "{both:?}");
        }
    }
}
