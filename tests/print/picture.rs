//! Pixels by rows, and lengths as whole pixels; kept quick, since tests are not optimised.

use stowmark::{output::Pixels, unit::Mm};

pub const WHITE: u8 = 255;
pub const BLACK: u8 = 0;

/// A length in pixels, to the nearest.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "lengths on paper, above zero")]
pub fn nearest_pixel(length: f64, dpi: f64) -> usize {
    (length * dpi / 25.4).round() as usize
}

/// So many pixels as millimetres.
pub fn millimetres(pixels: usize, dpi: f64) -> f64 {
    f64::from(u32::try_from(pixels).unwrap()) * 25.4 / dpi
}

/// A rectangle of whole pixels; the ends are not in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Area {
    pub left: usize,
    pub top: usize,
    pub right: usize,
    pub bottom: usize,
}

impl Area {
    /// The pixels of a rectangle in millimetres, its edges to the nearest pixel.
    pub fn of(left: Mm, top: Mm, width: Mm, height: Mm, dpi: f64) -> Self {
        let pixel = |length: Mm| nearest_pixel(length.0, dpi);
        Self { left: pixel(left), top: pixel(top), right: pixel(left + width), bottom: pixel(top + height) }
    }

    pub fn width(self) -> usize {
        self.right - self.left
    }

    /// The part that is on a picture.
    pub fn within(self, picture: &Pixels) -> Self {
        let (width, height) = (picture.width as usize, picture.height as usize);
        Self { right: self.right.min(width), bottom: self.bottom.min(height), ..self }
    }
}

/// The pixels of a row between two columns.
pub fn row(picture: &Pixels, row: usize, left: usize, right: usize) -> &[u8] {
    let start = row * picture.width as usize;
    &picture.luma[start + left..start + right]
}

pub fn crop(picture: &Pixels, area: Area) -> Pixels {
    let area = area.within(picture);
    let mut luma = Vec::with_capacity(area.width() * (area.bottom - area.top));
    for line in area.top..area.bottom {
        luma.extend_from_slice(row(picture, line, area.left, area.right));
    }
    sized(luma, area.width())
}

/// The picture in a dark frame of so many pixels.
pub fn framed(picture: &Pixels, frame: usize) -> Pixels {
    let width = picture.width as usize + 2 * frame;
    let dark = vec![BLACK; frame * width];
    let mut luma = dark.clone();
    for line in 0..picture.height as usize {
        luma.extend_from_slice(&dark[..frame]);
        luma.extend_from_slice(row(picture, line, 0, picture.width as usize));
        luma.extend_from_slice(&dark[..frame]);
    }
    luma.extend_from_slice(&dark);
    sized(luma, width)
}

fn sized(luma: Vec<u8>, width: usize) -> Pixels {
    let height = luma.len() / width;
    Pixels { width: u32::try_from(width).unwrap(), height: u32::try_from(height).unwrap(), luma }
}

/// Paints a rectangle white.
pub fn blank(picture: &mut Pixels, area: Area) {
    let (area, width) = (area.within(picture), picture.width as usize);
    for line in area.top..area.bottom {
        picture.luma[line * width + area.left..line * width + area.right].fill(WHITE);
    }
}

/// The first row of a rectangle that is not all white.
pub fn first_dark_row(picture: &Pixels, area: Area) -> Option<usize> {
    let area = area.within(picture);
    let white = vec![WHITE; area.width()];
    (area.top..area.bottom).find(|line| row(picture, *line, area.left, area.right) != white)
}

/// The smallest rectangle around all that is not white within another.
pub fn dark_box(picture: &Pixels, area: Area) -> Option<Area> {
    let area = area.within(picture);
    let white = vec![WHITE; area.width()];
    let lines = |line: &usize| row(picture, *line, area.left, area.right) != white;
    let dark: Vec<usize> = (area.top..area.bottom).filter(lines).collect();
    let (top, bottom) = (*dark.first()?, dark.last()? + 1);
    let is_dark = |pixel: &u8| *pixel != WHITE;
    let first = |line: &usize| row(picture, *line, area.left, area.right).iter().position(is_dark);
    let last = |line: &usize| row(picture, *line, area.left, area.right).iter().rposition(is_dark);
    let left = area.left + dark.iter().filter_map(first).min()?;
    let right = area.left + dark.iter().filter_map(last).max()? + 1;
    Some(Area { left, top, right, bottom })
}
