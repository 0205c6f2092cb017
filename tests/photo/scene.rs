//! A simulated photograph: prints of tags scattered over a tub's contents, as a phone's camera sees them.
//!
//! 600 x 450 mm at 6.5 pixels a mm, 11 megapixels (the measured case of the project's design notes): each tag at an
//! angle of its own, light that falls off to one side, a blur of the lens and noise of the sensor.

use fastrand::Rng;
use stowmark::output::Pixels;

/// Pixels a millimetre.
pub const SCALE: f64 = 6.5;
const WIDTH: usize = 3900;
const HEIGHT: usize = 2925;
/// Standard deviations of the blur, in pixels, and of the noise, of 255.
const BLUR: f64 = 0.6;
const NOISE: f64 = 5.0;

/// A print, and the dots of its printer in a millimetre.
pub struct Print {
    pub pixels: Pixels,
    pub dots_per_mm: f64,
}

/// A photograph of prints in rows, each turned by an angle in degrees.
pub fn photograph(prints: &[Print], angle: impl Fn(usize, &mut Rng) -> f64, seed: u64) -> Pixels {
    let mut random = Rng::with_seed(seed);
    let mut luma = background(&mut random);
    let columns = 6;
    let rows = prints.len().div_ceil(columns);
    for (at, print) in prints.iter().enumerate() {
        let cell = (WIDTH as f64 / columns as f64, HEIGHT as f64 / rows as f64);
        let middle = ((at % columns) as f64 * cell.0 + cell.0 / 2.0, (at / columns) as f64 * cell.1 + cell.1 / 2.0);
        let shaken = (middle.0 + random.f64() * 20.0 - 10.0, middle.1 + random.f64() * 20.0 - 10.0);
        let turned = angle(at, &mut random);
        paste(&mut luma, print, shaken, turned);
    }
    let blurred = transposed(&blur_rows(&luma, WIDTH), WIDTH);
    let blurred = transposed(&blur_rows(&blurred, HEIGHT), HEIGHT);
    exposed(&blurred, &mut random)
}

/// Dark and grey things that lie below the tags.
fn background(random: &mut Rng) -> Vec<f32> {
    let mut luma = vec![110.0; WIDTH * HEIGHT];
    for _ in 0..400 {
        let (left, top) = (random.usize(..WIDTH), random.usize(..HEIGHT));
        let (right, bottom) = ((left + random.usize(40..500)).min(WIDTH), (top + random.usize(40..400)).min(HEIGHT));
        let grey = random.f32() * 130.0 + 30.0;
        (top..bottom).for_each(|y| luma[y * WIDTH + left..y * WIDTH + right].fill(grey));
    }
    luma
}

/// Lays a print down with its middle at a place.
fn paste(luma: &mut [f32], print: &Print, (middle_x, middle_y): (f64, f64), degrees: f64) {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let dots = print.dots_per_mm / SCALE;
    let (width, height) = (f64::from(print.pixels.width), f64::from(print.pixels.height));
    let reach = (width.hypot(height) / dots / 2.0).ceil();
    let range = |middle: f64, most: usize| (middle - reach).max(0.0) as usize..((middle + reach) as usize).min(most);
    for y in range(middle_y, HEIGHT) {
        for x in range(middle_x, WIDTH) {
            let (mut light, mut inside) = (0.0, 0);
            for sub in 0..16 {
                let (dx, dy) = (f64::from(sub % 4) / 4.0 + 0.125, f64::from(sub / 4) / 4.0 + 0.125);
                let (right, down) = (x as f64 + dx - middle_x, y as f64 + dy - middle_y);
                let across = (right * cos + down * sin) * dots + width / 2.0;
                let along = (down * cos - right * sin) * dots + height / 2.0;
                if across >= 0.0 && along >= 0.0 && across < width && along < height {
                    let at = along as usize * print.pixels.width as usize + across as usize;
                    light += if print.pixels.luma[at] < 128 { 35.0 } else { 225.0 };
                    inside += 1;
                }
            }
            let share = f64::from(inside) / 16.0;
            let here = &mut luma[y * WIDTH + x];
            *here = (f64::from(*here) * (1.0 - share) + light / 16.0) as f32;
        }
    }
}

fn blur_rows(luma: &[f32], width: usize) -> Vec<f32> {
    let weight = |away: f64| (-away * away / (2.0 * BLUR * BLUR)).exp();
    let weights: Vec<f32> = (-2..=2).map(|away| weight(f64::from(away)) as f32).collect();
    let sum: f32 = weights.iter().sum();
    let row = |row: &[f32]| -> Vec<f32> {
        let at = |x: usize, away: usize| row[(x + away).saturating_sub(2).min(row.len() - 1)];
        (0..row.len()).map(|x| (0..5).map(|away| weights[away] * at(x, away)).sum::<f32>() / sum).collect()
    };
    luma.chunks(width).flat_map(row).collect()
}

fn transposed(luma: &[f32], width: usize) -> Vec<f32> {
    let height = luma.len() / width;
    (0..width).flat_map(|x| (0..height).map(move |y| luma[y * width + x])).collect()
}

/// Light falls off by a third from the upper left to the lower right.
fn exposed(luma: &[f32], random: &mut Rng) -> Pixels {
    let pixel = |(at, light): (usize, &f32)| {
        let (x, y) = ((at % WIDTH) as f64 / WIDTH as f64, (at / WIDTH) as f64 / HEIGHT as f64);
        let noise: f64 = (0..4).map(|_| random.f64() - 0.5).sum::<f64>() * 3_f64.sqrt() * NOISE;
        (f64::from(*light) * (1.0 - 0.33 * (x + y) / 2.0) + noise).clamp(0.0, 255.0) as u8
    };
    Pixels { width: WIDTH as u32, height: HEIGHT as u32, luma: luma.iter().enumerate().map(pixel).collect() }
}
