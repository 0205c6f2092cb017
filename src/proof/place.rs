//! Where in an upright picture of pure black and white a symbol lies, and whether each of its pixels is right.
//!
//! A decoder forgives much: bars that are a dot off, a smudged module, a quiet zone that is too narrow. So a symbol
//! that was read is compared with the very pixels that its modules should have.

use super::{Seen, Wrong};
use crate::{
    output::Pixels,
    symbol::{Matrix, Symbol, least_bar_height},
    unit::{Dots, Dpi},
};

/// From a symbol's edge to the centre of a finder pattern, in modules.
const FINDER: f64 = 3.5;
/// From the first bar to the middle of the start character, and the same at both ends together, in modules; the
/// reader leaves the closing bar out of the stop character.
const START: f64 = 5.5;
const ENDS: f64 = 13.0;
/// The reader's points are this exact, in pixels.
const SLACK: i64 = 2;

/// The box of a symbol's modules without quiet zones, in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
    /// Pixels a module.
    pub x: f64,
}

impl Place {
    /// From the points that the reader gives, to about a pixel; `None` unless the symbol stands upright.
    pub(super) fn roughly(picture: &Pixels, seen: &Seen, symbol: &Symbol) -> Option<Self> {
        let points: Vec<(f64, f64)> = seen.points.iter().map(|(x, y)| (f64::from(*x), f64::from(*y))).collect();
        match (symbol, points.as_slice()) {
            (Symbol::Matrix(matrix), [_, _, _, ..]) => square(picture, &points, matrix),
            (Symbol::Linear(_), [first, last, ..]) => {
                let modules = f64::from(symbol.modules());
                let x = (last.0 - first.0) / (modules - ENDS);
                let left = first.0 - START * x;
                let (top, height) = bar(picture, left + x, first.1).filter(|_| x >= 1.0)?;
                Some(Self { left, top, width: x * modules, height, x })
            }
            _ => None,
        }
    }

    /// The same as seen from a corner that lies so much farther to the left and above.
    pub(super) fn moved(self, right: u32, down: u32) -> Self {
        Self { left: self.left + f64::from(right), top: self.top + f64::from(down), ..self }
    }

    /// The place to the pixel.
    ///
    /// # Errors
    /// [`Wrong::Modules`] when some pixel is not as its module, or when bars are too low.
    pub(super) fn exactly(self, picture: &Pixels, symbol: &Symbol, dpi: Dpi) -> Result<Self, Wrong> {
        let (x, height) = (nearest(self.x).max(1), nearest(self.height));
        let reach = || -SLACK..=SLACK;
        let corners = reach().flat_map(|down| reach().map(move |across| (across, down)));
        let grids = corners.flat_map(|(across, down)| {
            let down = if matches!(symbol, Symbol::Linear(_)) { 0 } else { down };
            let (left, top) = (nearest(self.left) + across, nearest(self.top) + down);
            cuts(x).iter().map(move |cut| Grid { symbol, left, top, x, height, cut: *cut })
        });
        let found = grids.into_iter().find(|grid| grid.is_in(picture)).ok_or(Wrong::Modules)?;
        let place = found.place();
        let is_high = dpi.length(dots(place.height)).0 >= least_bar_height(dpi.length(dots(place.width)), dpi).0 - 1e-6;
        if matches!(symbol, Symbol::Matrix(_)) || is_high { Ok(place) } else { Err(Wrong::Modules) }
    }

    /// The white around the symbol in modules, up to what its quiet zone needs. Beyond the picture's edge nothing is
    /// known and nothing counted against it.
    pub(super) fn quiet(&self, picture: &Pixels, symbol: &Symbol) -> f64 {
        let needed = f64::from(symbol.quiet_modules());
        let (left, top) = (nearest(self.left), nearest(self.top));
        let (right, bottom) = (nearest(self.left + self.width), nearest(self.top + self.height));
        let is_white = |off: i64| {
            let rows = if matches!(symbol, Symbol::Linear(_)) { top..bottom } else { top - off..bottom + off };
            let columns = || left - off..right + off;
            let mut beside = rows.map(|y| [(left - off, y), (right + off - 1, y)]).flat_map(<[_; 2]>::into_iter);
            let mut over = columns().flat_map(|x| [(x, top - off), (x, bottom + off - 1)]);
            let is_light = |(x, y)| !is_dark(picture, x, y);
            beside.all(is_light) && (matches!(symbol, Symbol::Linear(_)) || over.all(is_light))
        };
        // A place that is known roughly may be a pixel off.
        let first = if self.is_whole() { 1 } else { 2 };
        let dark = (first..=nearest(needed * self.x)).find(|off| !is_white(*off));
        dark.map_or(needed, |off| real(off - 1) / self.x)
    }

    /// Whether it lies on whole pixels.
    pub(super) fn is_whole(&self) -> bool {
        [self.left, self.top, self.width, self.height, self.x].iter().all(|length| length.fract() == 0.0)
    }

    /// The symbol cut out with its quiet zones, and where in that it begins. Of high bars a part will do: at a tilt of
    /// 5 degrees a line crosses them within 9 % of their width.
    pub(super) fn cut(&self, picture: &Pixels, symbol: &Symbol) -> (Pixels, (f64, f64)) {
        let quiet = nearest((f64::from(symbol.quiet_modules()) * self.x).ceil());
        let (left, width) = (nearest(self.left) - quiet, nearest(self.width) + 2 * quiet);
        let (top, height) = match symbol {
            Symbol::Matrix(_) => (nearest(self.top) - quiet, nearest(self.height) + 2 * quiet),
            Symbol::Linear(_) => {
                let part = self.height.min(self.width * 0.2);
                (nearest(self.top + (self.height - part) / 2.0), nearest(part))
            }
        };
        let luma = (top..top + height).flat_map(|y| (left..left + width).map(move |x| (x, y)));
        let luma = luma.map(|(x, y)| if is_dark(picture, x, y) { 0 } else { 255 }).collect();
        let side = |side: i64| u32::try_from(side).unwrap_or_default();
        let pixels = Pixels { width: side(width), height: side(height), luma };
        (pixels, (self.left - real(left), self.top - real(top)))
    }
}

/// The reader gives the centres of the finder patterns or the corners of the symbol, as it found it: whichever shows
/// the right modules.
fn square(picture: &Pixels, points: &[(f64, f64)], matrix: &Matrix) -> Option<Place> {
    let modules = f64::from(u32::try_from(matrix.side()).ok()?);
    let least = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).fold(f64::MAX, f64::min);
    let (left, top) = (least(|point| point.0), least(|point| point.1));
    let across = points.iter().map(|point| point.0).fold(f64::MIN, f64::max) - left;
    let place = |inside: f64| {
        let x = across / (modules - 2.0 * inside);
        Place { left: left - inside * x, top: top - inside * x, width: x * modules, height: x * modules, x }
    };
    [0.0, FINDER].map(place).into_iter().find(|place| place.x >= 1.0 && shows(picture, place, matrix))
}

/// Whether the middles of nine modules in ten are right: half of them are in any other place.
fn shows(picture: &Pixels, place: &Place, matrix: &Matrix) -> bool {
    let side = matrix.side();
    let middle = |at: usize, from: f64| {
        let modules = f64::from(u32::try_from(at).unwrap_or(u32::MAX)) + 0.5;
        nearest((from + modules * place.x).floor())
    };
    let is_right = |at: &usize| {
        let (column, row) = (at % side, at / side);
        is_dark(picture, middle(column, place.left), middle(row, place.top)) == matrix.is_dark(column, row)
    };
    (0..side * side).filter(is_right).count() * 10 >= side * side * 9
}

/// Dots that a printer with spreading ink is spared at the left and upper, and at the right and lower edges of all
/// that is dark.
fn cuts(x: i64) -> &'static [(i64, i64)] {
    match x {
        ..3 => &[(0, 0)],
        3..6 => &[(0, 0), (0, 1)],
        6.. => &[(0, 0), (1, 1)],
    }
}

/// The pixels that a symbol should have.
#[derive(Clone, Copy)]
struct Grid<'a> {
    symbol: &'a Symbol,
    left: i64,
    top: i64,
    /// Pixels a module.
    x: i64,
    /// Of bars.
    height: i64,
    cut: (i64, i64),
}

impl Grid<'_> {
    fn width(&self) -> i64 {
        i64::from(self.symbol.modules()) * self.x
    }

    fn height(&self) -> i64 {
        if matches!(self.symbol, Symbol::Linear(_)) { self.height } else { self.width() }
    }

    /// Whether each pixel is as its module, and bars begin and end together.
    fn is_in(&self, picture: &Pixels) -> bool {
        let (width, height) = (self.width(), self.height());
        let is_right = |x: i64, y: i64| is_dark(picture, self.left + x, self.top + y) == self.is_dark(x, y);
        let row = |y: i64| (0..width).all(|x| is_right(x, y));
        let is_white = |y: i64| (0..width).all(|x| !is_dark(picture, self.left + x, self.top + y));
        (0..height).all(row) && (matches!(self.symbol, Symbol::Matrix(_)) || is_white(-1) && is_white(height))
    }

    /// Dark is what is dark on all four sides, as far as it is cut.
    fn is_dark(&self, x: i64, y: i64) -> bool {
        let (before, after) = self.cut;
        let module = |at: i64| usize::try_from(at.div_euclid(self.x)).unwrap_or(usize::MAX);
        let across = [x - before, x + after].map(module);
        match self.symbol {
            Symbol::Linear(linear) => across.iter().all(|at| linear.modules().get(*at) == Some(&true)),
            Symbol::Matrix(matrix) => {
                let down = [y - before, y + after].map(module);
                down.iter().all(|row| across.iter().all(|column| matrix.is_dark(*column, *row)))
            }
        }
    }

    fn place(&self) -> Place {
        let [left, top, width, height, x] = [self.left, self.top, self.width(), self.height(), self.x].map(real);
        Place { left, top, width, height, x }
    }
}

/// The top and the height of the bar at a point.
fn bar(picture: &Pixels, x: f64, y: f64) -> Option<(f64, f64)> {
    let (x, y) = (nearest(x.floor()), nearest(y));
    let up = (0..=y).rev().take_while(|row| is_dark(picture, x, *row)).last()?;
    let down = (y..i64::from(picture.height)).take_while(|row| is_dark(picture, x, *row)).last()?;
    Some((real(up), real(down + 1 - up)))
}

/// Outside of the picture there is paper.
fn is_dark(picture: &Pixels, x: i64, y: i64) -> bool {
    let inside = |at: i64, side: u32| u32::try_from(at).ok().filter(|at| *at < side);
    let at = inside(x, picture.width).zip(inside(y, picture.height));
    at.is_some_and(|(x, y)| picture.luma[(y * picture.width + x) as usize] < 128)
}

#[expect(clippy::cast_possible_truncation, reason = "places in a picture")]
fn nearest(length: f64) -> i64 {
    length.round() as i64
}

#[expect(clippy::cast_precision_loss, reason = "places in a picture")]
fn real(pixels: i64) -> f64 {
    pixels as f64
}

fn dots(pixels: f64) -> Dots {
    Dots(u32::try_from(nearest(pixels)).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::proof::decode;

    /// A symbol with its quiet zones and a margin of 5 pixels, drawn with this cut.
    fn drawn(symbol: &Symbol, x: i64, cut: (i64, i64)) -> Pixels {
        let quiet = i64::from(symbol.quiet_modules()) * x + 5;
        let grid = Grid { symbol, left: quiet, top: quiet, x, height: 150, cut };
        let (width, height) = (grid.width() + 2 * quiet, grid.height() + 2 * quiet);
        let luma = (0..width * height).map(|at| (at % width - quiet, at / width - quiet));
        let inside = |y: i64| (0..grid.height()).contains(&y);
        let luma = luma.map(|(x, y)| if inside(y) && grid.is_dark(x, y) { 0 } else { 255 }).collect();
        Pixels { width: u32::try_from(width).unwrap(), height: u32::try_from(height).unwrap(), luma }
    }

    fn check(picture: &Pixels, symbol: &Symbol) -> Result<Place, Wrong> {
        let seen = decode(picture, symbol.kind()).ok_or(Wrong::Unread)?;
        Place::roughly(picture, &seen, symbol).ok_or(Wrong::Unread)?.exactly(picture, symbol, Dpi::DEFAULT)
    }

    fn symbols() -> [Symbol; 3] {
        [
            Symbol::code128("4A001F").unwrap(),
            Symbol::qr("4A001F").unwrap(),
            Symbol::qr("HTTP://10.0.0.7:8080/S/4A001F").unwrap(),
        ]
    }

    #[test]
    fn symbols_are_found_to_the_pixel() {
        for symbol in symbols() {
            for (x, cut) in [(2, (0, 0)), (3, (0, 0)), (3, (0, 1)), (5, (0, 1)), (6, (0, 0)), (6, (1, 1)), (9, (1, 1))]
            {
                let picture = drawn(&symbol, x, cut);
                let quiet = real(i64::from(symbol.quiet_modules()) * x + 5);
                let place = check(&picture, &symbol).unwrap();
                assert_eq!(
                    (place.left, place.top, place.x),
                    (quiet, quiet, real(x)),
                    "{:?} {x} {cut:?}",
                    symbol.kind()
                );
                let needed = f64::from(symbol.quiet_modules());
                assert!((place.quiet(&picture, &symbol) - needed).abs() < 1e-9);
            }
        }
    }

    /// Readers forgive each of these.
    #[test]
    fn one_pixel_that_is_wrong_is_found() {
        for symbol in symbols() {
            let clean = drawn(&symbol, 4, (0, 0));
            let quiet = i64::from(symbol.quiet_modules()) * 4 + 5;
            let side = (i64::from(symbol.modules()) * 4).min(if symbol.quiet_modules() == 10 { 150 } else { 500 });
            for (x, y) in [(0, 0), (side - 1, side - 1), (41, 37), (3, side / 2)] {
                let mut picture = clean.clone();
                let at = usize::try_from((quiet + y) * i64::from(clean.width) + quiet + x).unwrap();
                picture.luma[at] = 255 - picture.luma[at];
                assert_eq!(check(&picture, &symbol), Err(Wrong::Modules), "{:?} {x} {y}", symbol.kind());
            }
        }
    }

    #[test]
    fn a_dark_pixel_in_the_quiet_zone_is_found() {
        for symbol in symbols() {
            let mut picture = drawn(&symbol, 4, (0, 0));
            let needed = symbol.quiet_modules();
            let row = if needed == 10 { picture.height / 2 } else { 5 + needed * 4 + 2 };
            // 5 pixels of margin, then a module and a half of the quiet zone.
            picture.luma[(row * picture.width + 5 + 6) as usize] = 0;
            let place = check(&picture, &symbol).unwrap();
            let free = f64::from(needed) - 7.0 / 4.0;
            assert!((place.quiet(&picture, &symbol) - free).abs() < 1e-9, "{}", place.quiet(&picture, &symbol));
        }
    }

    #[test]
    fn bars_that_are_too_low_are_found() {
        let symbol = Symbol::code128("4A001F").unwrap();
        let mut picture = drawn(&symbol, 4, (0, 0));
        let from = (45 + 50) * picture.width as usize;
        picture.luma[from..].fill(255);
        assert_eq!(check(&picture, &symbol), Err(Wrong::Modules));
    }
}
