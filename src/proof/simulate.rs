//! A simulated print: ink that spreads, a reader's blur and noise, a tilt, and grey for black and white.
//!
//! Start with [`print`]. It is no particular printer: it shows what a symbol can bear. The same symbol gives the same
//! print, noise included.

use crate::{
    output::Pixels,
    unit::{Dpi, Mm},
};

/// How much wider a bar becomes, on both sides together.
pub const SPREADS: [Mm; 3] = [Mm(0.03), Mm(0.055), Mm(0.08)];
/// The tilt under which prints are read, in degrees.
pub const TILT: f64 = 5.0;
/// Ink and paper, of 255.
const DARK: f32 = 60.0;
const LIGHT: f32 = 200.0;
/// The standard deviation of the noise, of 255.
const NOISE: f32 = 4.0;
/// The standard deviation of the blur.
const BLUR: Mm = Mm(0.04);
/// Pixels in a module, about, and the sides that a pixel may have.
const PER_MODULE: f64 = 10.0;
const FINEST: f64 = 0.02;
const COARSEST: f64 = 0.045;

/// How to print.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Press {
    /// The resolution of the picture that is printed.
    pub dpi: Dpi,
    /// Dots a module in it.
    pub x: f64,
    /// How much wider a bar becomes, on both sides together.
    pub spread: Mm,
    /// Degrees counter-clockwise.
    pub tilt: f64,
    /// Each has its own noise.
    pub seed: u64,
}

/// A print as a reader sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct Print {
    /// What is seen.
    pub pixels: Pixels,
    /// Its pixels in a dot of the picture that was printed.
    pub per_dot: u32,
}

/// Light from 0 to 1 in fine pixels.
struct Field {
    width: usize,
    height: usize,
    light: Vec<f32>,
}

/// Prints a picture of pure black and white.
#[must_use]
pub fn print(picture: &Pixels, press: &Press) -> Print {
    let per_dot = pixels_per_dot(press);
    let pixel = press.dpi.dot().0 / f64::from(per_dot);
    let mut field = Field::enlarged(picture, per_dot as usize);
    let (spread, weights) = (Spread::by(press.spread.0 / 2.0 / pixel), bell(BLUR.0 / pixel));
    // Rows, then columns as rows.
    for _ in 0..2 {
        field = field.each_row(|row| blurred(&spread.of(row), &weights)).transposed();
    }
    if press.tilt != 0.0 {
        field = field.tilted(press.tilt);
    }
    Print { pixels: field.exposed(press.seed), per_dot }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a handful")]
fn pixels_per_dot(press: &Press) -> u32 {
    let dot = press.dpi.dot().0;
    let pixel = (dot * press.x / PER_MODULE).clamp(FINEST, COARSEST);
    (dot / pixel).ceil().max(1.0) as u32
}

impl Field {
    fn enlarged(picture: &Pixels, times: usize) -> Self {
        let (width, height) = (picture.width as usize * times, picture.height as usize * times);
        let mut light = Vec::with_capacity(width * height);
        for row in picture.luma.chunks(picture.width.max(1) as usize) {
            let wide: Vec<f32> =
                row.iter().flat_map(|luma| std::iter::repeat_n(f32::from(*luma) / 255.0, times)).collect();
            (0..times).for_each(|_| light.extend_from_slice(&wide));
        }
        Self { width, height, light }
    }

    fn each_row(self, work: impl Fn(&[f32]) -> Vec<f32>) -> Self {
        Self { light: self.light.chunks(self.width.max(1)).flat_map(work).collect(), ..self }
    }

    fn transposed(self) -> Self {
        let column = |x: usize| self.light.iter().skip(x).step_by(self.width.max(1)).copied();
        let light = (0..self.width).flat_map(column).collect();
        Self { width: self.height, height: self.width, light }
    }

    /// Turned about its middle on paper that holds all of it.
    fn tilted(&self, degrees: f64) -> Self {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let (across, down) = (length(self.width), length(self.height));
        let (width, height) = (whole(across * cos + down * sin) + 2, whole(across * sin + down * cos) + 2);
        let (middle_x, middle_y) = (length(width) / 2.0, length(height) / 2.0);
        let light = |at: usize| {
            let (x, y) = (length(at % width) + 0.5 - middle_x, length(at / width) + 0.5 - middle_y);
            self.between(x * cos - y * sin + across / 2.0 - 0.5, x * sin + y * cos + down / 2.0 - 0.5)
        };
        Self { width, height, light: (0..width * height).map(light).collect() }
    }

    /// The light between four pixels.
    #[expect(clippy::cast_possible_truncation, reason = "parts of a pixel")]
    fn between(&self, x: f64, y: f64) -> f32 {
        let (right, below) = ((x - x.floor()) as f32, (y - y.floor()) as f32);
        let row = |y: f64| self.at(x.floor(), y) * (1.0 - right) + self.at(x.floor() + 1.0, y) * right;
        row(y.floor()) * (1.0 - below) + row(y.floor() + 1.0) * below
    }

    /// The light of a pixel; around the picture there is paper.
    fn at(&self, x: f64, y: f64) -> f32 {
        if x < 0.0 || y < 0.0 || x >= length(self.width) || y >= length(self.height) {
            return 1.0;
        }
        self.light[whole(y) * self.width + whole(x)]
    }

    /// Grey with noise.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    fn exposed(&self, seed: u64) -> Pixels {
        let mut noise = Noise(seed);
        let grey = |light: &f32| DARK + (LIGHT - DARK) * light + NOISE * noise.draw();
        let luma = self.light.iter().map(grey).map(|grey| grey.round().clamp(0.0, 255.0) as u8).collect();
        let side = |pixels: usize| u32::try_from(pixels).unwrap_or(u32::MAX);
        Pixels { width: side(self.width), height: side(self.height), luma }
    }
}

/// Dark that spreads by so many pixels; a part of a pixel as a part of its darkness.
struct Spread {
    whole: usize,
    part: f32,
}

impl Spread {
    #[expect(clippy::cast_possible_truncation, reason = "a part of a pixel")]
    fn by(pixels: f64) -> Self {
        Self { whole: whole(pixels), part: pixels.fract() as f32 }
    }

    fn of(&self, row: &[f32]) -> Vec<f32> {
        let darkest = |at: usize, reach: usize| {
            row[at.saturating_sub(reach)..(at + reach + 1).min(row.len())].iter().copied().fold(1.0, f32::min)
        };
        let mixed = |at| darkest(at, self.whole) * (1.0 - self.part) + darkest(at, self.whole + 1) * self.part;
        (0..row.len()).map(mixed).collect()
    }
}

/// The weights of a normal distribution, up to three deviations on each side.
#[expect(clippy::cast_possible_truncation, reason = "weights")]
fn bell(deviation: f64) -> Vec<f32> {
    let reach = whole((3.0 * deviation).ceil());
    let weight = |at: usize| (-((length(at) - length(reach)) / deviation).powi(2) / 2.0).exp();
    let weights: Vec<f64> = (0..=2 * reach).map(weight).collect();
    let sum: f64 = weights.iter().sum();
    weights.into_iter().map(|weight| (weight / sum) as f32).collect()
}

/// Beyond the ends there is paper.
fn blurred(row: &[f32], weights: &[f32]) -> Vec<f32> {
    let reach = weights.len() / 2;
    let paper = std::iter::repeat_n(1.0, reach);
    let padded: Vec<f32> = paper.clone().chain(row.iter().copied()).chain(paper).collect();
    let mixed = |part: &[f32]| part.iter().zip(weights).map(|(light, weight)| light * weight).sum();
    padded.windows(weights.len()).map(mixed).collect()
}

/// Roughly normal noise: the sum of four even draws, of deviation 1.
struct Noise(u64);

impl Noise {
    fn draw(&mut self) -> f32 {
        // A linear congruential generator with Knuth's factors for 64 bits; the upper bits are the random ones.
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let bytes = (self.0 >> 32).to_be_bytes();
        let sum: u16 = bytes[4..].iter().map(|byte| u16::from(*byte)).sum();
        // Four even draws from 0 to 255: mean 510, deviation 2 x 73.9.
        (f32::from(sum) - 510.0) / 147.8
    }
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

    /// A bar of four dots at 300 dpi, and paper around it.
    fn bar() -> Pixels {
        let row = [vec![255; 20], vec![0; 4], vec![255; 20]].concat();
        Pixels { width: 44, height: 40, luma: row.repeat(40) }
    }

    fn press(spread: Mm, tilt: f64, seed: u64) -> Press {
        Press { dpi: Dpi::DEFAULT, x: 4.0, spread, tilt, seed }
    }

    /// The darkness that is missing from paper, as a width.
    #[test]
    fn a_bar_becomes_wider_by_the_spread() {
        for spread in [Mm(0.0), SPREADS[0], SPREADS[1], SPREADS[2]] {
            let Print { pixels, per_dot } = print(&bar(), &press(spread, 0.0, 7));
            let rows = pixels.luma.len() / pixels.width as usize;
            let dark: f64 = pixels.luma.iter().map(|luma| f64::from(200.0 - f32::from(*luma)) / 140.0).sum();
            let width = dark / length(rows) / f64::from(per_dot) * Dpi::DEFAULT.dot().0;
            let expected = Dpi::DEFAULT.dot().0 * 4.0 + spread.0;
            assert!((width - expected).abs() < 0.006, "{width} mm instead of {expected}");
        }
    }

    #[test]
    fn ink_and_paper_have_their_greys() {
        let Print { pixels, .. } = print(&bar(), &press(SPREADS[1], 0.0, 7));
        let mean = |part: &[u8]| part.iter().map(|luma| f64::from(*luma)).sum::<f64>() / length(part.len());
        let columns = |from: usize, to: usize| -> Vec<u8> {
            let rows = pixels.luma.chunks(pixels.width as usize).skip(20).take(80);
            rows.flat_map(|row| row[from..to].to_vec()).collect()
        };
        let middle = pixels.width as usize / 2;
        assert!((mean(&columns(middle - 1, middle + 1)) - 60.0).abs() < 1.0);
        assert!((mean(&columns(0, 20)) - 200.0).abs() < 1.0);
    }

    /// Tilted by 5 degrees the bar moves by tan 5 degrees of the height on the way down.
    #[test]
    fn a_tilt_tilts() {
        let tall = Pixels { height: 200, luma: bar().luma.repeat(5), ..bar() };
        let Print { pixels, .. } = print(&tall, &press(SPREADS[1], TILT, 7));
        let rows: Vec<&[u8]> = pixels.luma.chunks(pixels.width as usize).collect();
        let middle = |row: &[u8]| {
            let dark: Vec<usize> = (0..row.len()).filter(|at| row[*at] < 130).collect();
            f64::midpoint(length(dark[0]), length(dark[dark.len() - 1]))
        };
        let (upper, lower) = (rows.len() / 4, rows.len() * 3 / 4);
        let moved = (middle(rows[lower]) - middle(rows[upper])).abs() / length(lower - upper);
        assert!((moved - 5.0_f64.to_radians().tan()).abs() < 0.01, "{moved}");
    }

    #[test]
    fn the_same_seed_gives_the_same_print() {
        assert_eq!(print(&bar(), &press(SPREADS[0], TILT, 1)), print(&bar(), &press(SPREADS[0], TILT, 1)));
        assert_ne!(print(&bar(), &press(SPREADS[0], TILT, 1)), print(&bar(), &press(SPREADS[0], TILT, 2)));
    }
}
