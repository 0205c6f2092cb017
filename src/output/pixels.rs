//! The finished PDF as pixels, a page at a time, by `hayro`.

use std::{io::Cursor, sync::Arc};

use hayro::{
    PixmapSettings, RenderCache, RenderSettings,
    hayro_interpret::InterpreterSettings,
    hayro_syntax::{Pdf, page::Page},
    vello_cpu::color::palette::css::WHITE,
};
use image::{GrayImage, ImageFormat};
use png::PixelDimensions;

use super::OutputError;
use crate::unit::{Dpi, Mm, Size};

/// A page as grey pixels, 0 black to 255 white, row by row from the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// One byte a pixel.
    pub luma: Vec<u8>,
}

impl Pixels {
    /// As a PNG file.
    ///
    /// # Errors
    /// [`OutputError::Write`] when the encoder fails.
    pub fn png(&self) -> Result<Vec<u8>, OutputError> {
        let mut file = Cursor::new(Vec::new());
        let image = GrayImage::from_raw(self.width, self.height, self.luma.clone()).unwrap_or_default();
        image.write_to(&mut file, ImageFormat::Png).map_err(std::io::Error::other)?;
        Ok(file.into_inner())
    }

    /// Turned by a quarter, clockwise.
    #[must_use]
    pub fn turned(&self) -> Self {
        let column = |x: u32| (0..self.height).rev().map(move |y| self.luma[(y * self.width + x) as usize]);
        Self { width: self.height, height: self.width, luma: (0..self.width).flat_map(column).collect() }
    }

    /// The part of the picture from a corner on, cut at its edges.
    #[must_use]
    pub fn cropped(&self, left: u32, top: u32, width: u32, height: u32) -> Self {
        let (width, height) = (width.min(self.width.saturating_sub(left)), height.min(self.height.saturating_sub(top)));
        let row = |row: u32| {
            let start = (row * self.width + left) as usize;
            &self.luma[start..start + width as usize]
        };
        Self { width, height, luma: (top..top + height).flat_map(row).copied().collect() }
    }
}

/// As a PNG file of one bit a pixel that says how many dots make an inch, for printers that take pictures.
///
/// # Errors
/// [`OutputError::Write`] when the encoder fails, as it does for a picture without pixels.
pub fn png_1bit(pixels: &Pixels, dpi: Dpi) -> Result<Vec<u8>, OutputError> {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, pixels.width, pixels.height);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::One);
    let per_metre = dpi.dots_within(dpi.snap(Mm(1000.0))).0;
    encoder.set_pixel_dims(Some(PixelDimensions { xppu: per_metre, yppu: per_metre, unit: png::Unit::Meter }));
    let mut writer = encoder.write_header().map_err(std::io::Error::other)?;
    writer.write_image_data(&packed(pixels)).map_err(std::io::Error::other)?;
    writer.finish().map_err(std::io::Error::other)?;
    Ok(file)
}

/// Eight pixels a byte, the first one in the highest bit, each row in bytes of its own; 1 is white.
fn packed(pixels: &Pixels) -> Vec<u8> {
    let byte = |eight: &[u8]| {
        eight.iter().zip((0..8).rev()).fold(0, |byte, (luma, bit)| byte | (u8::from(*luma > 127) << bit))
    };
    let rows = pixels.luma.chunks(pixels.width.max(1) as usize);
    rows.flat_map(|row| row.chunks(8).map(byte)).collect()
}

/// The number of pages of a PDF.
///
/// # Errors
/// [`OutputError::Read`] when it is none.
pub fn page_count(pdf: &[u8]) -> Result<usize, OutputError> {
    Ok(open(pdf)?.pages().len())
}

/// Draws one page of a PDF, as [`OpenPdf::draw`] does.
///
/// # Errors
/// [`OutputError`] when the PDF can't be read or has no such page.
pub fn rasterise(pdf: &[u8], page: usize, dpi: Dpi, smooth: bool) -> Result<Pixels, OutputError> {
    OpenPdf::new(pdf)?.draw(page, dpi, smooth)
}

/// A PDF opened once, of which many pages are drawn, also on several threads.
pub struct OpenPdf {
    document: Pdf,
}

impl OpenPdf {
    /// Opens a PDF.
    ///
    /// # Errors
    /// [`OutputError::Read`] when it is none.
    pub fn new(pdf: &[u8]) -> Result<Self, OutputError> {
        Ok(Self { document: open(pdf)? })
    }

    /// The number of its pages.
    #[must_use]
    pub fn pages(&self) -> usize {
        self.document.pages().len()
    }

    /// The size of a page, counted from 1.
    ///
    /// # Errors
    /// [`OutputError::NoPage`].
    pub fn size(&self, page: usize) -> Result<Size, OutputError> {
        let (width, height) = self.page(page)?.render_dimensions();
        let length = |points: f32| Mm::from_inches(f64::from(points) / 72.0);
        Ok(Size { width: length(width), height: length(height) })
    }

    /// Draws a page, counted from 1, in pure black and white as a printer of this resolution does; with
    /// `smooth` in greys for the screen.
    ///
    /// # Errors
    /// [`OutputError::NoPage`], or [`OutputError::Huge`] for a page of more dots than a picture can have.
    pub fn draw(&self, page: usize, dpi: Dpi, smooth: bool) -> Result<Pixels, OutputError> {
        let sides = self.size(page)?;
        let [across, down] = [sides.width, sides.height].map(|side| dpi.dots_covering(side).0);
        if across.max(down) >= u32::from(u16::MAX) || u64::from(across) * u64::from(down) > MOST_DOTS {
            return Err(OutputError::Huge { page, dpi });
        }
        let settings = RenderSettings {
            hinting: false,
            aliasing_threshold: if smooth { None } else { Some(127) },
            ..RenderSettings::default()
        };
        let scale = pixels_per_point(dpi);
        let size = PixmapSettings { x_scale: scale, y_scale: scale, bg_color: WHITE };
        let page = self.page(page)?;
        let drawn = hayro::render(page, &RenderCache::new(), &InterpreterSettings::default(), &settings, &size);
        let luma = drawn.data().iter().map(|pixel| pixel.g).collect();
        Ok(Pixels { width: u32::from(drawn.width()), height: u32::from(drawn.height()), luma })
    }

    fn page(&self, page: usize) -> Result<&Page<'_>, OutputError> {
        self.document.pages().get(page.wrapping_sub(1)).ok_or(OutputError::NoPage(page))
    }
}

/// A4 at 2400 dpi, which takes 2 GB of memory.
const MOST_DOTS: u64 = 600_000_000;

fn open(pdf: &[u8]) -> Result<Pdf, OutputError> {
    Pdf::new(Arc::new(pdf.to_vec())).map_err(|fault| OutputError::Read(format!("{fault:?}")))
}

/// A hair more than asked for: else the last row of pixels is lost to rounding.
#[expect(clippy::cast_possible_truncation, reason = "the rasteriser takes single precision")]
fn pixels_per_point(dpi: Dpi) -> f32 {
    (dpi.get() / 72.0 * (1.0 + 1e-6)) as f32
}
