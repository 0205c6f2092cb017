//! What was measured on an alignment page, and the printer's errors that follow.
//!
//! Start with [`Readings::correction`]. Readings are taken by a ruler: a tenth of a millimetre at best.

use super::Correction;
use crate::unit::{Mm, Point, Size};

/// Where the top left cross belongs, from the paper's top left corner.
pub const CROSS: Point = Point { x: Mm(12.0), y: Mm(10.0) };
/// From cross to cross, across and down; it fits A4 and Letter.
pub const SPAN: Size = Size { width: Mm(180.0), height: Mm(250.0) };

/// Printers are rarely off by a third of this.
const MOST_SCALE: f64 = 0.015;
/// Beyond this both spans are off by one cause, up to [`MOST_FITTED`].
const LEAST_FITTED: f64 = 0.015;
const MOST_FITTED: f64 = 0.1;
/// How far the two factors of a fitted page may differ by the ruler alone.
const SAME_FACTOR: f64 = 0.006;
/// How far a fitted page's cross may be from where fitting alone puts it.
const FITTED_NEAR: Mm = Mm(5.0);
/// Further off, and another paper was chosen or the guides stand wrong.
const MOST_SHIFT: Mm = Mm(6.0);
/// Over the span: about a degree.
const MOST_SKEW: Mm = Mm(3.0);

/// Distances on a printed alignment page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Readings {
    /// From the paper's left edge to the top left cross.
    pub left_edge: Mm,
    /// From the paper's top edge to the top left cross.
    pub top_edge: Mm,
    /// From the top left to the top right cross.
    pub span_x: Mm,
    /// From the top left to the bottom left cross.
    pub span_y: Mm,
    /// From the paper's top edge to the top right cross; as at the left one when not measured.
    pub top_edge_right: Option<Mm>,
}

/// Why readings were refused. Nothing is remembered then.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadingError {
    /// Not above zero.
    #[error("--{option} {value} is no distance; measure from the paper's edge or from cross to cross, in millimetres")]
    NoDistance {
        /// The option.
        option: &'static str,
        /// What was given.
        value: f64,
    },
    /// Inches or centimetres.
    #[error("these readings look like {0}; give them in millimetres (cross to cross about 180 across and 250 down)")]
    OtherUnit(&'static str),
    /// Across for down.
    #[error("--span-x and --span-y look swapped; across it is about 180 mm, down about 250 mm")]
    Swapped,
    /// The viewer shrank or enlarged the page.
    #[error(
        "the page was printed at about {percent} % of its size: across {span_x} mm instead of 180, down {span_y} mm instead of 250.\n\
         The viewer or the print dialog fitted it to the page; choose \"actual size\" or 100 % there, print the page again\n\
         and measure again. Nothing is remembered. If it can't be switched off, give the readings again with --really"
    )]
    Fitted {
        /// The size in percent.
        percent: f64,
        /// What was read across.
        span_x: f64,
        /// What was read down.
        span_y: f64,
    },
    /// A span that no printer would give.
    #[error(
        "--{option} {value} should be near {nominal} mm; measure between the middles of the two crosses, and print at actual size (100 %)"
    )]
    Span {
        /// The option.
        option: &'static str,
        /// What was given.
        value: f64,
        /// What it should be near.
        nominal: f64,
    },
    /// A shift that no printer would give.
    #[error(
        "--{option} {value} should be near {nominal} mm; check that the paper chosen in the print dialog is the one in the printer, and that its guides hold the paper"
    )]
    Shift {
        /// The option.
        option: &'static str,
        /// What was given.
        value: f64,
        /// What it should be near.
        nominal: f64,
    },
    /// The paper went in askew.
    #[error(
        "--top-edge and --top-edge-right differ by {0} mm, so the paper went in askew; set its guides close, print the page again and measure again"
    )]
    Askew(f64),
}

impl Readings {
    /// The printer's errors. A page that was fitted to the paper is refused, unless that is `expected`.
    ///
    /// # Errors
    /// [`ReadingError`] when the readings make no sense for a printer.
    pub fn correction(&self, expected: bool) -> Result<Correction, ReadingError> {
        self.check_numbers()?;
        self.check_units()?;
        match self.fitted() {
            Some(fitted) if !expected => return Err(fitted),
            Some(_) => {}
            None => self.check_place()?,
        }
        self.check_skew()?;
        Ok(self.solve())
    }

    /// The errors that put the crosses where they were found.
    fn solve(&self) -> Correction {
        let (scale_x, scale_y) = self.scales();
        let skew = self.fall().0 / SPAN.width.0;
        let x = self.left_edge - CROSS.x * scale_x;
        let y = self.top_edge - CROSS.y * scale_y - CROSS.x * skew;
        Correction { shift: Point { x, y }, scale_x, scale_y, skew }
    }

    fn scales(&self) -> (f64, f64) {
        (self.span_x.0 / SPAN.width.0, self.span_y.0 / SPAN.height.0)
    }

    /// How much lower the right cross is than the left one.
    fn fall(&self) -> Mm {
        self.top_edge_right.unwrap_or(self.top_edge) - self.top_edge
    }

    fn check_numbers(&self) -> Result<(), ReadingError> {
        let given = [
            ("left-edge", self.left_edge),
            ("top-edge", self.top_edge),
            ("span-x", self.span_x),
            ("span-y", self.span_y),
            ("top-edge-right", self.top_edge_right.unwrap_or(self.top_edge)),
        ];
        match given.into_iter().find(|(_, read)| !(read.0.is_finite() && read.0 > 0.0)) {
            Some((option, read)) => Err(ReadingError::NoDistance { option, value: read.0 }),
            None => Ok(()),
        }
    }

    fn check_units(&self) -> Result<(), ReadingError> {
        let is = |x: f64, y: f64| off(x / SPAN.width.0) < 0.03 && off(y / SPAN.height.0) < 0.03;
        let (x, y) = (self.span_x.0, self.span_y.0);
        match () {
            () if is(x * 25.4, y * 25.4) => Err(ReadingError::OtherUnit("inches")),
            () if is(x * 10.0, y * 10.0) => Err(ReadingError::OtherUnit("centimetres")),
            () if is(y, x) => Err(ReadingError::Swapped),
            () => Ok(()),
        }
    }

    /// Whether both spans are off by one factor, and the cross is about where that factor puts it.
    fn fitted(&self) -> Option<ReadingError> {
        let (x, y) = self.scales();
        let factor = f64::midpoint(x, y);
        let is_one = (x - y).abs() <= SAME_FACTOR && (LEAST_FITTED..=MOST_FITTED).contains(&off(factor));
        let near = |cross: &Point| {
            off_by(self.left_edge, cross.x) <= FITTED_NEAR.0 && off_by(self.top_edge, cross.y) <= FITTED_NEAR.0
        };
        (is_one && fitted_crosses(factor).iter().any(near)).then(|| ReadingError::Fitted {
            percent: (factor * 1000.0).round() / 10.0,
            span_x: self.span_x.0,
            span_y: self.span_y.0,
        })
    }

    fn check_place(&self) -> Result<(), ReadingError> {
        let spans = [("span-x", self.span_x.0, SPAN.width.0), ("span-y", self.span_y.0, SPAN.height.0)];
        if let Some((option, value, nominal)) = spans.into_iter().find(|(_, read, span)| off(read / span) > MOST_SCALE)
        {
            return Err(ReadingError::Span { option, value, nominal });
        }
        let edges = [("left-edge", self.left_edge, CROSS.x), ("top-edge", self.top_edge, CROSS.y)];
        match edges.into_iter().find(|(_, read, cross)| off_by(*read, *cross) > MOST_SHIFT.0) {
            Some((option, read, cross)) => Err(ReadingError::Shift { option, value: read.0, nominal: cross.0 }),
            None => Ok(()),
        }
    }

    fn check_skew(&self) -> Result<(), ReadingError> {
        let fall = self.fall();
        if fall.0.abs() > MOST_SKEW.0 { Err(ReadingError::Askew(fall.rounded().0.abs())) } else { Ok(()) }
    }
}

fn off(factor: f64) -> f64 {
    (factor - 1.0).abs()
}

fn off_by(read: Mm, nominal: Mm) -> f64 {
    (read - nominal).0.abs()
}

/// Where fitting puts the cross: held at the paper's top left corner, or in the middle of A4 or Letter.
fn fitted_crosses(factor: f64) -> [Point; 3] {
    let held = |middle: Size| Point {
        x: middle.width + (CROSS.x - middle.width) * factor,
        y: middle.height + (CROSS.y - middle.height) * factor,
    };
    [held(Size::new(0.0, 0.0)), held(Size::new(105.0, 148.5)), held(Size::new(107.95, 139.7))]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(left: f64, top: f64, x: f64, y: f64, right: Option<f64>) -> Readings {
        Readings { left_edge: Mm(left), top_edge: Mm(top), span_x: Mm(x), span_y: Mm(y), top_edge_right: right.map(Mm) }
    }

    /// The crosses, put through the errors that were worked out, are where they were read.
    #[test]
    fn the_errors_explain_the_readings() {
        let cases = [
            (12.4, 9.8, 180.5, 249.0, None),
            (12.4, 9.8, 180.5, 249.0, Some(10.1)),
            (9.0, 13.5, 179.1, 251.2, Some(12.0)),
            (12.0, 10.0, 180.0, 250.0, None),
        ];
        for (left, top, x, y, right) in cases {
            let found = read(left, top, x, y, right).correction(false).unwrap();
            let cross = |across: f64, down: f64| {
                let at = found.comes_out(Point { x: CROSS.x + Mm(across), y: CROSS.y + Mm(down) });
                (at.x.rounded().0, at.y.rounded().0)
            };
            assert_eq!(cross(0.0, 0.0), (left, top));
            assert_eq!(cross(180.0, 0.0), (Mm(left + x).rounded().0, right.unwrap_or(top)));
            assert_eq!(cross(0.0, 250.0), (left, Mm(top + y).rounded().0));
        }
        assert_eq!(read(12.0, 10.0, 180.0, 250.0, None).correction(false), Ok(Correction::NONE));
    }

    /// Pages of A4 and Letter shrunk on purpose by 90 to 98.5 %, in the middle or held at the corner,
    /// by a printer that is off by up to 2 mm itself and read to half a millimetre.
    #[test]
    fn a_shrunk_page_is_found_out() {
        let half = |length: f64| (length * 2.0).round() / 2.0;
        for factor in [0.90, 0.925, 0.95, 0.967, 0.98, 0.984] {
            for middle in [(0.0, 0.0), (105.0, 148.5), (107.95, 139.7)] {
                for own in [(-2.0, 1.5), (0.0, 0.0), (1.2, -1.0)] {
                    let left = half(middle.0 + (12.0 - middle.0) * factor + own.0).max(0.5);
                    let top = half(middle.1 + (10.0 - middle.1) * factor + own.1).max(0.5);
                    let readings = read(left, top, half(180.0 * factor), half(250.0 * factor), None);
                    let refused = readings.correction(false);
                    assert!(matches!(refused, Err(ReadingError::Fitted { .. })), "{factor} {middle:?}: {refused:?}");
                    assert!(readings.correction(true).is_ok(), "{readings:?}");
                }
            }
        }
    }

    #[test]
    fn readings_that_make_no_sense_are_refused() {
        let cases = [
            (read(-1.0, 10.0, 180.0, 250.0, None), "--left-edge -1 is no distance"),
            (read(12.0, f64::NAN, 180.0, 250.0, None), "--top-edge NaN is no distance"),
            (read(12.0, 10.0, f64::INFINITY, 250.0, None), "--span-x inf is no distance"),
            (read(12.0, 10.0, 180.0, 0.0, None), "--span-y 0 is no distance"),
            (read(12.0, 10.0, 180.0, 250.0, Some(-2.0)), "--top-edge-right -2 is no distance"),
            (read(0.47, 0.39, 7.09, 9.84, None), "look like inches"),
            (read(1.2, 1.0, 18.0, 25.0, None), "look like centimetres"),
            (read(12.0, 10.0, 250.0, 180.0, None), "look swapped"),
            (read(12.0, 10.0, 150.0, 250.0, None), "--span-x 150 should be near 180 mm"),
            (read(12.0, 10.0, 180.0, 255.0, None), "--span-y 255 should be near 250 mm"),
            (read(19.0, 10.0, 180.0, 250.0, None), "--left-edge 19 should be near 12 mm"),
            (read(12.0, 1.2, 180.0, 250.0, None), "--top-edge 1.2 should be near 10 mm"),
            (read(12.0, 10.0, 180.0, 250.0, Some(14.0)), "differ by 4 mm"),
        ];
        for (readings, why) in cases {
            let refused = readings.correction(false).unwrap_err().to_string();
            assert!(refused.contains(why), "{refused}");
        }
    }
}
