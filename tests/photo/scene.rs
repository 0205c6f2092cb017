//! A simulated photograph: prints of tags scattered over a tub's contents, as a phone's camera sees them.
//!
//! 600 x 450 mm at 6.5 pixels a mm, 11 megapixels (the measured case of the project's design notes): each tag at an
//! angle of its own, light that falls off to one side, a blur of the lens and noise of the sensor.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "places and light of pixels"
)]

use fastrand::Rng;
use stowmark::output::Pixels;

/// Pixels a millimetre.
pub const SCALE: f64 = 6.5;
const WIDTH: usize = 3900;
const HEIGHT: usize = 2925;
const COLUMNS: usize = 6;
/// Of 16, what a pixel's neighbour on either side adds to it: a Gaussian blur of 0.6 pixels.
const BLUR: u32 = 3;
/// The noise's standard deviation, of 255.
const NOISE: u32 = 5;
/// How light ink and paper are.
const INK: u32 = 35;
const PAPER: u32 = 225;

/// A print, and the dots of its printer in a millimetre.
pub struct Print {
    pub pixels: Pixels,
    pub dots_per_mm: f64,
}

/// A photograph of prints in rows, each turned by an angle in degrees.
pub fn photograph(prints: &[Print], angle: impl Fn(&mut Rng) -> f64, seed: u64) -> Pixels {
    let mut random = Rng::with_seed(seed);
    let mut luma = background(&mut random);
    let rows = prints.len().div_ceil(COLUMNS);
    for (at, print) in prints.iter().enumerate() {
        let cell = (WIDTH as f64 / COLUMNS as f64, HEIGHT as f64 / rows as f64);
        let (column, row) = ((at % COLUMNS) as f64, (at / COLUMNS) as f64);
        let middle = ((column + 0.5) * cell.0, (row + 0.5) * cell.1);
        let shaken = (middle.0 + random.f64() * 20.0 - 10.0, middle.1 + random.f64() * 20.0 - 10.0);
        let turned = angle(&mut random);
        paste(&mut luma, print, shaken, turned);
    }
    exposed(blurred(luma), &mut random)
}

/// Nothing but what lies below the tags.
pub fn without_tags(seed: u64) -> Pixels {
    photograph(&[], |_| 0.0, seed)
}

/// Dark and grey things that lie below the tags.
fn background(random: &mut Rng) -> Vec<u8> {
    let mut luma = vec![110; WIDTH * HEIGHT];
    for _ in 0..400 {
        let (left, top) = (random.usize(..WIDTH), random.usize(..HEIGHT));
        let (right, bottom) = ((left + random.usize(40..500)).min(WIDTH), (top + random.usize(40..400)).min(HEIGHT));
        let grey = random.u8(30..160);
        (top..bottom).for_each(|y| luma[y * WIDTH + left..y * WIDTH + right].fill(grey));
    }
    luma
}

/// Lays a print down with its middle at a place; each pixel is the mean of sixteen points in it.
fn paste(luma: &mut [u8], print: &Print, (middle_x, middle_y): (f64, f64), degrees: f64) {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let dots = print.dots_per_mm / SCALE;
    let (width, height) = (i64::from(print.pixels.width), i64::from(print.pixels.height));
    let reach = (width as f64).hypot(height as f64) / dots / 2.0;
    let range = |middle: f64, most: usize| (middle - reach).max(0.0) as usize..((middle + reach) as usize).min(most);
    // Dots in 65,536ths: sums of whole numbers are what an unoptimised test does in time.
    let fixed = |value: f64| (value * 65536.0).round() as i64;
    let (across, down) = (fixed(cos * dots), fixed(sin * dots));
    let spread = i64::midpoint(across.abs(), down.abs());
    for y in range(middle_y, HEIGHT) {
        for x in range(middle_x, WIDTH) {
            let (right, below) = (x as f64 + 0.5 - middle_x, y as f64 + 0.5 - middle_y);
            let u = fixed((right * cos + below * sin) * dots) + width * 32768;
            let v = fixed((below * cos - right * sin) * dots) + height * 32768;
            if u < -spread || v < -spread || u > width * 65536 + spread || v > height * 65536 + spread {
                continue;
            }
            let (mut light, mut inside) = (0, 0);
            for sub in 0..16_i64 {
                let (dx, dy) = (sub % 4 * 2 - 3, sub / 4 * 2 - 3);
                let (u, v) = ((u + (across * dx + down * dy) / 8) >> 16, (v + (across * dy - down * dx) / 8) >> 16);
                if u >= 0 && v >= 0 && u < width && v < height {
                    light += if print.pixels.luma[(v * width + u) as usize] < 128 { INK } else { PAPER };
                    inside += 1;
                }
            }
            let here = &mut luma[y * WIDTH + x];
            *here = ((u32::from(*here) * (16 - inside) + light) / 16) as u8;
        }
    }
}

fn blurred(mut luma: Vec<u8>) -> Vec<u8> {
    for step in [1, WIDTH] {
        let mut before = u32::from(luma[0]);
        // Along columns the one before is no longer what it was: that of the row above is kept.
        let mut above: Vec<u8> = luma[..step].to_vec();
        for at in step..luma.len() - step {
            let here = u32::from(luma[at]);
            let past = if step == 1 { before } else { u32::from(above[at % step]) };
            let sum = here * (16 - 2 * BLUR) + (past + u32::from(luma[at + step])) * BLUR;
            before = here;
            if step > 1 {
                above[at % step] = here as u8;
            }
            luma[at] = (sum / 16) as u8;
        }
    }
    luma
}

/// Light falls off by a third from the upper left to the lower right.
fn exposed(mut luma: Vec<u8>, random: &mut Rng) -> Pixels {
    for y in 0..HEIGHT {
        for x in 0..WIDTH {
            let here = &mut luma[y * WIDTH + x];
            let light = 256 - 42 * x / WIDTH - 42 * y / HEIGHT;
            *here = noisy(u32::from(*here) * light as u32 / 256, random);
        }
    }
    Pixels { width: WIDTH as u32, height: HEIGHT as u32, luma }
}

/// The sum of four bytes has a standard deviation of 148.
fn noisy(light: u32, random: &mut Rng) -> u8 {
    let bytes = random.u32(..);
    let sum = (bytes & 255) + (bytes >> 8 & 255) + (bytes >> 16 & 255) + (bytes >> 24);
    ((light + 2 * NOISE * sum / 296).saturating_sub(2 * NOISE * 510 / 296)).min(255) as u8
}
