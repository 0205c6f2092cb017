//! Estimated figures of a QR symbol from its picture.
//!
//! Start with [`matrix_figures`]. Formulas are those of ISO/IEC 15415 as public reader manuals quote them; how
//! modulation and error correction play together is from memory. Symbol contrast hangs on ink and paper, which a file
//! does not know. Grid and axial non-uniformity are left out as well: every module has been found on its dots.

use super::{
    codewords::Codewords,
    letter::{Letter, Scale},
};
use crate::{output::Pixels, symbol::Matrix};

/// ISO/IEC 15415.
const MODULATION: [f64; 4] = [0.50, 0.40, 0.30, 0.20];
const UNUSED: Scale = Scale::AtLeast([0.62, 0.50, 0.37, 0.25]);
/// The width of the opening through which a module is seen, by that of the module (common practice: 0.5 to 0.8).
const SPOT: f64 = 0.8;

/// The figures of a QR symbol.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MatrixFigures {
    /// How far the module nearest to the threshold between dark and light keeps from it, by half the symbol contrast;
    /// below 0 on the wrong side.
    pub modulation: f64,
    /// The share of the error correction that is not needed; below 0 when it does not suffice.
    pub unused_error_correction: f64,
    /// That of the worst figure, where a few weak modules are forgiven as far as error correction could mend them.
    pub letter: Letter,
}

/// Samples an upright symbol whose first module begins at `left`, `top`; `module` is the width of one, all in pixels.
#[must_use]
pub fn matrix_figures(picture: &Pixels, matrix: &Matrix, (left, top): (f64, f64), module: f64) -> MatrixFigures {
    let side = matrix.side();
    let centre = |at: usize, from: f64| from + (length(at) + 0.5) * module;
    let light = |at: usize| seen(picture, centre(at % side, left), centre(at / side, top), module * SPOT / 2.0);
    figures(&(0..side * side).map(light).collect::<Vec<_>>(), matrix)
}

/// The figures from the reflectance of each module, 0 to 1, row by row.
fn figures(light: &[f64], matrix: &Matrix) -> MatrixFigures {
    let modulations = modulations(light, matrix);
    let modulation = modulations.iter().copied().fold(f64::MAX, f64::min);
    let Some(codewords) = Codewords::of(matrix.side()) else {
        let letter = Scale::AtLeast(MODULATION).letter(modulation);
        return MatrixFigures { modulation, unused_error_correction: 1.0, letter };
    };
    let side = matrix.side();
    let of_modules = |modules: &Vec<(usize, usize)>| {
        modules.iter().map(|(column, row)| modulations[row * side + column]).fold(f64::MAX, f64::min)
    };
    let weakest: Vec<f64> = codewords.modules.iter().map(of_modules).collect();
    let unused = codewords.unused(|at| weakest[at] <= 0.0);
    let letter = Letter::worst([overlaid(&codewords, &weakest), UNUSED.letter(unused), pattern(&modulations, matrix)]);
    MatrixFigures { modulation, unused_error_correction: unused, letter }
}

/// `MOD = 2 |R - GT| / SC`, less than 0 where the module is on the wrong side (ISO/IEC 15415).
fn modulations(light: &[f64], matrix: &Matrix) -> Vec<f64> {
    let most = light.iter().copied().fold(f64::MIN, f64::max);
    let least = light.iter().copied().fold(f64::MAX, f64::min);
    let (contrast, threshold) = ((most - least).max(f64::EPSILON), f64::midpoint(most, least));
    let side = matrix.side();
    let of = |(at, light): (usize, &f64)| {
        let above = 2.0 * (light - threshold) / contrast;
        if matrix.is_dark(at % side, at / side) { -above } else { above }
    };
    light.iter().enumerate().map(of).collect()
}

/// At each letter the codewords with a weaker module are taken for errors, and the letter of the error correction that
/// is left then caps it; the best of these counts (ISO/IEC 15415, from memory).
fn overlaid(codewords: &Codewords, weakest: &[f64]) -> Letter {
    let steps = Letter::ALL.into_iter().zip(MODULATION);
    let capped = |(letter, step): (Letter, f64)| letter.max(UNUSED.letter(codewords.unused(|at| weakest[at] < step)));
    steps.map(capped).min().unwrap_or(Letter::F)
}

/// Error correction does not mend the finder patterns: a module of theirs on the wrong side is an F. A plain form of
/// ISO/IEC 15415's fixed pattern damage.
fn pattern(modulations: &[f64], matrix: &Matrix) -> Letter {
    let side = matrix.side();
    let is_finder = |column: usize, row: usize| {
        let ends = [column, row].map(|at| (at < 7, at >= side - 7));
        matches!(ends, [(true, _), (true, _) | (_, true)] | [(_, true), (true, _)])
    };
    let is_lost = |(at, modulation): (usize, &f64)| is_finder(at % side, at / side) && *modulation <= 0.0;
    if modulations.iter().enumerate().any(is_lost) { Letter::F } else { Letter::A }
}

/// The mean reflectance in a round opening.
fn seen(picture: &Pixels, x: f64, y: f64, radius: f64) -> f64 {
    let (width, height) = (picture.width as usize, picture.height as usize);
    let rows = whole(y - radius)..=whole(y + radius).min(height.saturating_sub(1));
    let (mut sum, mut count) = (0.0, 0_u32);
    for row in rows {
        for column in whole(x - radius)..=whole(x + radius).min(width.saturating_sub(1)) {
            let (off_x, off_y) = (length(column) + 0.5 - x, length(row) + 0.5 - y);
            if off_x * off_x + off_y * off_y <= radius * radius {
                sum += f64::from(picture.luma[row * width + column]);
                count += 1;
            }
        }
    }
    if count == 0 { 1.0 } else { sum / f64::from(count) / 255.0 }
}

#[expect(clippy::cast_precision_loss, reason = "places in a picture")]
fn length(pixels: usize) -> f64 {
    pixels as f64
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "places in a picture")]
fn whole(length: f64) -> usize {
    length.max(0.0) as usize
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::symbol::Symbol;

    const DARK: f64 = 0.2;
    const LIGHT: f64 = 0.8;

    fn matrix() -> Matrix {
        let Ok(Symbol::Matrix(matrix)) = Symbol::qr("4C017R") else { panic!("no QR") };
        matrix
    }

    fn clean(matrix: &Matrix) -> Vec<f64> {
        let side = matrix.side();
        (0..side * side).map(|at| if matrix.is_dark(at % side, at / side) { DARK } else { LIGHT }).collect()
    }

    /// A light module in each of so many codewords, as places in the row of reflectances.
    fn light_modules(matrix: &Matrix, count: usize) -> Vec<usize> {
        let codewords = Codewords::of(matrix.side()).unwrap().modules;
        let light = |modules: &Vec<(usize, usize)>| modules.iter().copied().find(|(x, y)| !matrix.is_dark(*x, *y));
        codewords.iter().filter_map(light).map(|(x, y)| y * matrix.side() + x).take(count).collect()
    }

    #[test]
    fn a_clean_symbol_is_an_a() {
        let matrix = matrix();
        let found = figures(&clean(&matrix), &matrix);
        assert!((found.modulation - 1.0).abs() < 1e-9 && (found.unused_error_correction - 1.0).abs() < 1e-9);
        assert_eq!(found.letter, Letter::A);
    }

    /// By hand: Rmax 0.8, Rmin 0.2, SC 0.6, GT 0.5. Light modules of 0.605 have 2 x 0.105 / 0.6 = 0.35, a C by
    /// themselves. One of them is taken for an error at A: 1 - 2 / 8 = 0.75 is left, an A. Three leave 1 - 6 / 8 =
    /// 0.25 at A and B, a D there, so that the C counts.
    #[test]
    fn weak_modules_are_forgiven_as_far_as_they_could_be_mended() {
        let matrix = matrix();
        for (count, letter) in [(1, Letter::A), (2, Letter::B), (3, Letter::C)] {
            let mut light = clean(&matrix);
            for at in light_modules(&matrix, count) {
                light[at] = 0.605;
            }
            let found = figures(&light, &matrix);
            assert!((found.modulation - 0.35).abs() < 1e-9, "{found:?}");
            assert_eq!((found.letter, found.unused_error_correction > 0.999), (letter, true), "{count}");
        }
    }

    /// By hand: light modules at 0.2 are wrong; 1, 2, 3 and 4 codewords leave 0.75, 0.5, 0.25 and 0 of 1-M.
    #[test]
    fn wrong_modules_use_error_correction_up() {
        let matrix = matrix();
        for (count, left, letter) in
            [(1, 0.75, Letter::A), (2, 0.5, Letter::B), (3, 0.25, Letter::D), (4, 0.0, Letter::F)]
        {
            let mut light = clean(&matrix);
            for at in light_modules(&matrix, count) {
                light[at] = DARK;
            }
            let found = figures(&light, &matrix);
            assert!((found.unused_error_correction - left).abs() < 1e-9, "{found:?}");
            assert_eq!(found.letter, letter, "{count}");
        }
    }

    #[test]
    fn a_damaged_finder_pattern_is_an_f() {
        let matrix = matrix();
        let mut light = clean(&matrix);
        light[3 * matrix.side() + 3] = LIGHT;
        assert_eq!(figures(&light, &matrix).letter, Letter::F);
    }

    /// Ten pixels a module, 51 and 204 of 255.
    #[test]
    fn modules_are_seen_where_they_are() {
        let matrix = matrix();
        let side = (matrix.side() + 8) * 10;
        let luma = |at: usize| {
            let module = |place: usize| (place / 10).wrapping_sub(4);
            if matrix.is_dark(module(at % side), module(at / side)) { 51 } else { 204 }
        };
        let width = u32::try_from(side).unwrap();
        let picture = Pixels { width, height: width, luma: (0..side * side).map(luma).collect() };
        let found = matrix_figures(&picture, &matrix, (40.0, 40.0), 10.0);
        assert!((found.modulation - 1.0).abs() < 1e-9 && found.letter == Letter::A, "{found:?}");
        // A module to the right nothing is as it should be.
        assert_eq!(matrix_figures(&picture, &matrix, (50.0, 40.0), 10.0).letter, Letter::F);
    }
}
