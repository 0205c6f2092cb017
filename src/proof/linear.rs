//! Estimated figures of Code 128 from scan profiles.
//!
//! Start with [`linear_figures`]. Formulas are those of ISO/IEC 15416 and, for decodability, ISO/IEC 15417, as
//! public verifier manuals quote them; where the details are from memory it says so. Symbol contrast, least
//! reflectance and the least edge contrast hang on ink and paper, which a file does not know: left out.

use super::letter::{Letter, Scale};
use crate::{output::Pixels, symbol::Linear, unit::Mm};

/// ISO/IEC 15416.
const MODULATION: Scale = Scale::AtLeast([0.70, 0.60, 0.50, 0.40]);
const DEFECTS: Scale = Scale::AtMost([0.15, 0.20, 0.25, 0.30]);
const DECODABILITY: Scale = Scale::AtLeast([0.62, 0.50, 0.37, 0.25]);
/// Scan lines over a symbol, in the middle 80 % of its bars (ISO/IEC 15416).
const SCANS: usize = 10;
/// Bars and spaces of a symbol character, and its modules.
const ELEMENTS: usize = 6;
const MODULES: f64 = 11.0;

/// The figures of one scan line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScanFigures {
    /// The least edge contrast by the symbol contrast, `ECmin / SC`.
    pub modulation: f64,
    /// The greatest unevenness of an element by the symbol contrast, `ERNmax / SC`.
    pub defects: f64,
    /// What is left of the margin in which bars and spaces are told apart; 1 is exact.
    pub decodability: f64,
}

impl ScanFigures {
    /// That of the worst figure.
    #[must_use]
    pub fn letter(&self) -> Letter {
        Letter::worst([
            MODULATION.letter(self.modulation),
            DEFECTS.letter(self.defects),
            DECODABILITY.letter(self.decodability),
        ])
    }
}

/// The figures of a symbol: the mean of those of its scan lines, and the letter of the mean of their points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinearFigures {
    /// As of a scan.
    pub modulation: f64,
    /// As of a scan.
    pub defects: f64,
    /// As of a scan.
    pub decodability: f64,
    /// Ten scans, each with the letter of its worst figure; the mean of their points.
    pub letter: Letter,
}

/// Scans upright bars with their quiet zones, ten times. `pixel` is the side of a pixel, `x` that of a module.
#[must_use]
pub fn linear_figures(picture: &Pixels, linear: &Linear, pixel: Mm, x: Mm) -> LinearFigures {
    let widths = element_widths(linear);
    let spot = Spot::of(x, pixel);
    let scans: Vec<Option<ScanFigures>> =
        (0..SCANS).map(|number| scan_figures(&profile(picture, number, &spot), &widths)).collect();
    // A scan that shows other bars than there are is an F, with nothing for its figures.
    let mean = |of: fn(&ScanFigures) -> f64, none: f64| {
        scans.iter().map(|scan| scan.as_ref().map_or(none, of)).sum::<f64>() / 10.0
    };
    LinearFigures {
        modulation: mean(|scan| scan.modulation, 0.0),
        defects: mean(|scan| scan.defects, 1.0),
        decodability: mean(|scan| scan.decodability, 0.0),
        letter: Letter::of_mean(mean(|scan| scan.letter().points(), 0.0)),
    }
}

/// Widths of bars and spaces in modules, from the first bar to the last.
fn element_widths(linear: &Linear) -> Vec<u32> {
    let runs = linear.modules().chunk_by(|a, b| a == b);
    runs.map(|run| u32::try_from(run.len()).unwrap_or(u32::MAX)).collect()
}

/// The round opening through which a scanner sees, by half its width in each of its rows.
struct Spot(Vec<usize>);

impl Spot {
    /// The usual opening for a module: 0.076 mm below 0.178 mm, 0.127 mm below 0.33, 0.254 mm below 0.635, else
    /// 0.508 (ISO/IEC 15416, from memory).
    fn of(x: Mm, pixel: Mm) -> Self {
        let width = match x.0 {
            ..0.178 => 0.076,
            ..0.33 => 0.127,
            ..0.635 => 0.254,
            _ => 0.508,
        };
        let radius = width / pixel.0 / 2.0;
        let rows = whole(radius);
        let half = |row: usize| whole((radius * radius - length(row).powi(2)).max(0.0).sqrt());
        Self((0..=2 * rows).map(|row| half(row.abs_diff(rows))).collect())
    }
}

/// The reflectances along a scan line, as the spot sees them; the lines lie evenly in the middle of the bars.
fn profile(picture: &Pixels, number: usize, spot: &Spot) -> Vec<f64> {
    let (width, height) = (picture.width as usize, picture.height as usize);
    let middle = height / 10 + height * 8 * number / (10 * (SCANS - 1));
    let first = middle.saturating_sub(spot.0.len() / 2).min(height.saturating_sub(spot.0.len()));
    let rows: Vec<(&[u8], usize)> = picture.luma.chunks(width.max(1)).skip(first).zip(spot.0.iter().copied()).collect();
    let seen = |at: usize| {
        let parts = rows.iter().map(|(row, half)| &row[at.saturating_sub(*half)..(at + half + 1).min(width)]);
        let (sum, count) = parts.fold((0.0, 0), |(sum, count), part| {
            (sum + part.iter().map(|luma| f64::from(*luma)).sum::<f64>(), count + part.len())
        });
        sum / length(count.max(1)) / 255.0
    };
    (0..width).map(seen).collect()
}

/// The figures of a scan profile, reflectances from 0 to 1 with both quiet zones, of elements of these widths in
/// modules; `None` when it crosses the threshold more or less often than there are edges.
///
/// `SC = Rmax - Rmin`, `GT = (Rmax + Rmin) / 2`, an edge's contrast `EC = Rs - Rb` of the lightest of its space
/// and the darkest of its bar (ISO/IEC 15416).
#[must_use]
pub fn scan_figures(profile: &[f64], widths: &[u32]) -> Option<ScanFigures> {
    let most = profile.iter().copied().fold(f64::MIN, f64::max);
    let least = profile.iter().copied().fold(f64::MAX, f64::min);
    let (contrast, threshold) = (most - least, f64::midpoint(most, least));
    let elements: Vec<&[f64]> = profile.chunk_by(|a, b| (*a > threshold) == (*b > threshold)).collect();
    let begins_light = profile.first().is_some_and(|r| *r > threshold);
    if elements.len() != widths.len() + 2 || contrast <= 0.0 || !begins_light {
        return None;
    }
    let peaks: Vec<f64> = elements.iter().map(|element| extreme(element, threshold)).collect();
    let edge = peaks.windows(2).map(|pair| (pair[0] - pair[1]).abs()).fold(f64::MAX, f64::min);
    let uneven = elements.iter().map(|element| unevenness(element, threshold)).fold(0.0, f64::max);
    let found = edges(profile, threshold).windows(2).map(|pair| pair[1] - pair[0]).collect::<Vec<_>>();
    Some(ScanFigures {
        modulation: edge / contrast,
        defects: uneven / contrast,
        decodability: decodability(&found, widths),
    })
}

/// The lightest of a space, the darkest of a bar.
fn extreme(element: &[f64], threshold: f64) -> f64 {
    let is_space = element.first().is_some_and(|r| *r > threshold);
    element.iter().copied().reduce(if is_space { f64::max } else { f64::min }).unwrap_or_default()
}

/// Element reflectance non-uniformity: the highest peak less the lowest valley within an element, 0 when there is
/// one of them alone (ISO/IEC 15416). For a space: the deepest valley that has a peak on both sides.
fn unevenness(element: &[f64], threshold: f64) -> f64 {
    let is_space = element.first().is_some_and(|r| *r > threshold);
    let mut height: Vec<f64> = element.iter().map(|r| if is_space { *r } else { -*r }).collect();
    height.dedup();
    let highest = height.iter().copied().fold(f64::MIN, f64::max);
    let valleys = height.windows(3).filter(|three| three[1] < three[0] && three[1] < three[2]);
    valleys.map(|three| highest - three[1]).fold(0.0, f64::max)
}

/// Where the profile crosses the threshold, in pixels.
fn edges(profile: &[f64], threshold: f64) -> Vec<f64> {
    let pairs = profile.windows(2).enumerate().filter(|(_, pair)| (pair[0] > threshold) != (pair[1] > threshold));
    pairs.map(|(at, pair)| length(at) + (threshold - pair[0]) / (pair[1] - pair[0])).collect()
}

/// The least over all symbol characters; the closing bar of the stop character belongs to none.
fn decodability(found: &[f64], widths: &[u32]) -> f64 {
    let characters = found.chunks_exact(ELEMENTS).zip(widths.chunks_exact(ELEMENTS));
    characters.map(|(found, widths)| of_character(found, widths)).fold(1.0, f64::min)
}

/// The lesser of two (ISO/IEC 15417, from memory): `V1 = K / (S / 2n)`, where S is the width of the character, n its
/// 11 modules, and K the least distance between the measure from edge to like edge and a threshold, which lie half
/// a module from the true measures; `V2 = (1.75 - |11 Wb / S - M|) / 1.75`, where Wb are its bars and M the modules
/// that they should have.
fn of_character(found: &[f64], widths: &[u32]) -> f64 {
    let module = found.iter().sum::<f64>() / MODULES;
    let like_edges = found.windows(2).zip(widths.windows(2)).take(4);
    let off =
        like_edges.map(|(found, widths)| ((found[0] + found[1]) / module - f64::from(widths[0] + widths[1])).abs());
    let v1 = 1.0 - 2.0 * off.fold(0.0, f64::max);
    let bars = found.iter().step_by(2).sum::<f64>() / module;
    let v2 = (1.75 - (bars - f64::from(widths.iter().step_by(2).sum::<u32>())).abs()) / 1.75;
    v1.min(v2).max(0.0)
}

#[expect(clippy::cast_precision_loss, reason = "places in a picture")]
fn length(pixels: usize) -> f64 {
    pixels as f64
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "places in a picture")]
fn whole(length: f64) -> usize {
    length.round().max(0.0) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Start B of Code 128 (ISO/IEC 15417, `11010010000`) and the closing bar.
    const START_B: [u32; 7] = [2, 1, 1, 2, 1, 4, 2];
    /// Quiet zone, the elements, quiet zone.
    const CLEAN: [f64; 9] = [0.8, 0.2, 0.8, 0.2, 0.8, 0.2, 0.8, 0.2, 0.8];
    /// Widths of these in pixels, ten a module.
    const PIXELS: [usize; 9] = [100, 20, 10, 10, 20, 10, 40, 20, 100];

    fn profile(widths: [usize; 9], light: [f64; 9]) -> Vec<f64> {
        widths.into_iter().zip(light).flat_map(|(width, light)| std::iter::repeat_n(light, width)).collect()
    }

    fn figures(profile: &[f64]) -> ScanFigures {
        scan_figures(profile, &START_B).unwrap()
    }

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-9
    }

    #[test]
    fn a_perfect_profile_is_an_a() {
        let found = figures(&profile(PIXELS, CLEAN));
        assert!(near(found.modulation, 1.0) && near(found.defects, 0.0) && near(found.decodability, 1.0), "{found:?}");
        assert_eq!(found.letter(), Letter::A);
    }

    /// By hand (ISO/IEC 15416): Rmax 0.8, Rmin 0.2, SC 0.6. The weakest space reaches 0.56, so `ECmin` is
    /// 0.56 - 0.2 = 0.36 and modulation 0.36 / 0.6 = 0.60: the least B.
    #[test]
    fn modulation_is_the_least_edge_contrast_by_the_symbol_contrast() {
        let mut light = CLEAN;
        light[2] = 0.56;
        let found = figures(&profile(PIXELS, light));
        assert!(near(found.modulation, 0.6), "{found:?}");
        assert_eq!(found.letter(), Letter::B);
    }

    /// By hand: a weak bar that falls to 0.38 only, `ECmin` 0.8 - 0.38 = 0.42, modulation 0.70: the least A.
    #[test]
    fn a_weak_bar_lowers_modulation_too() {
        let mut light = CLEAN;
        light[3] = 0.38;
        let found = figures(&profile(PIXELS, light));
        assert!(near(found.modulation, 0.7), "{found:?}");
        assert_eq!(found.letter(), Letter::A);
    }

    /// By hand: a spot of 0.65 in the space of four modules: ERN 0.8 - 0.65 = 0.15, defects 0.15 / 0.6 = 0.25: the
    /// least C. A void of 0.35 in a bar is as bad, and so is a spot in the quiet zone.
    #[test]
    fn defects_are_the_unevenness_by_the_symbol_contrast() {
        for (at, light) in [(190, 0.65), (106, 0.35), (50, 0.65), (275, 0.65)] {
            let mut profile = profile(PIXELS, CLEAN);
            profile[at..at + 5].fill(light);
            let found = figures(&profile);
            assert!(near(found.defects, 0.25), "{at}: {found:?}");
            assert_eq!(found.letter(), Letter::C);
        }
    }

    /// A bar that becomes darker and lighter again has one valley and no unevenness.
    #[test]
    fn a_slope_is_no_defect() {
        let mut profile = profile(PIXELS, CLEAN);
        profile[100..106].copy_from_slice(&[0.45, 0.4, 0.3, 0.25, 0.25, 0.2]);
        assert!(near(figures(&profile).defects, 0.0));
    }

    /// By hand (ISO/IEC 15417): the second edge comes 0.15 modules late. The sum of the first bar and space stays;
    /// that of the space and the bar after it is 1.85 instead of 2, so K = 0.5 - 0.15 and V1 = 0.35 / 0.5 = 0.70. The
    /// bars are 4.15 instead of 4: V2 = (1.75 - 0.15) / 1.75 = 0.91. The least counts.
    #[test]
    fn decodability_is_the_margin_that_is_left() {
        let widths = [200, 43, 17, 20, 40, 20, 80, 40, 200];
        let found = figures(&profile(widths, CLEAN));
        assert!(near(found.decodability, 0.7), "{found:?}");
        assert_eq!(found.letter(), Letter::A);
    }

    /// By hand: all three bars 0.4 modules too wide, the spaces as much too narrow. Like edges keep their distance, so
    /// V1 = 1; the bars are 5.2 instead of 4: V2 = (1.75 - 1.2) / 1.75 = 0.314: a D.
    #[test]
    fn even_ink_spread_is_seen_by_the_sum_of_the_bars() {
        let widths = [98, 24, 6, 14, 16, 14, 36, 24, 98];
        let found = figures(&profile(widths, CLEAN));
        assert!(near(found.decodability, 0.55 / 1.75), "{found:?}");
        assert_eq!(found.letter(), Letter::D);
    }

    #[test]
    fn another_number_of_bars_has_no_figures() {
        let mut light = CLEAN;
        light[2] = 0.2;
        assert_eq!(scan_figures(&profile(PIXELS, light), &START_B), None);
        assert_eq!(scan_figures(&[0.8; 99], &START_B), None);
        assert_eq!(scan_figures(&[], &START_B), None);
    }

    /// A whole symbol: rows of the profile, of which the lower half is smeared. The ten lines lie at 10 % to 90 % of
    /// the height, half of them below: five scans of A and five of F, (5 x 4 + 0) / 10 = 2.0, a C.
    #[test]
    fn ten_scans_over_the_height() {
        let Ok(crate::symbol::Symbol::Linear(linear)) = crate::symbol::Symbol::code128("4A001F") else { panic!() };
        let modules = [vec![false; 10], linear.modules().to_vec(), vec![false; 10]].concat();
        let row: Vec<u8> = modules.iter().flat_map(|dark| [if *dark { 51 } else { 204 }; 10]).collect();
        let smeared: Vec<u8> = row.iter().enumerate().map(|(at, luma)| if at < 700 { *luma } else { 204 }).collect();
        let width = u32::try_from(row.len()).unwrap();
        let luma = [row.repeat(100), smeared.repeat(100)].concat();
        let whole = Pixels { width, height: 100, luma: row.repeat(100) };
        let (pixel, x) = (Mm(0.03), Mm(0.3));
        assert_eq!(linear_figures(&whole, &linear, pixel, x).letter, Letter::A);
        let half = Pixels { width, height: 200, luma };
        assert_eq!(linear_figures(&half, &linear, pixel, x).letter, Letter::C);
    }
}
