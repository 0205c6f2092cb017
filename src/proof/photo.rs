//! Tags and signs in photographs: of one tag, or of a whole bin's.
//!
//! Start with [`read_photo`].

use super::{Seen, decode::decode_all_with};
use crate::{output::Pixels, parallel, symbol::SymbolKind};

/// Looks.
#[must_use]
pub fn look(photo: &Pixels, kind: SymbolKind, scale: f64, thorough: bool) -> Vec<Seen> {
    let small = scaled(photo, scale);
    decode_all_with(&small, kind, thorough)
}

/// Averages.
#[must_use]
pub fn scaled(photo: &Pixels, scale: f64) -> Pixels {
    if scale >= 1.0 {
        return photo.clone();
    }
    let width = (f64::from(photo.width) * scale) as u32;
    let height = (f64::from(photo.height) * scale) as u32;
    let image = image::GrayImage::from_raw(photo.width, photo.height, photo.luma.clone()).unwrap_or_default();
    let small = image::imageops::thumbnail(&image, width, height);
    Pixels { width, height, luma: small.into_raw() }
}

/// All.
#[must_use]
pub fn read_photo(photo: &Pixels) -> Vec<Seen> {
    let _ = parallel::threads();
    look(photo, SymbolKind::Qr, 0.5, false)
}
