//! One symbol in a picture, by `rxing`.

use rxing::{BarcodeFormat, DecodeHints, helpers::detect_in_luma_with_hints};

use crate::{output::Pixels, symbol::SymbolKind};

/// A symbol that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// What it says.
    pub text: String,
    /// Points on it, in pixels: the ends of a scan line, or the centres of the finder patterns.
    pub points: Vec<(f32, f32)>,
}

/// Reads the one symbol of this kind in a picture.
#[must_use]
pub fn decode(pixels: &Pixels, kind: SymbolKind) -> Option<Seen> {
    let format = match kind {
        SymbolKind::Code128 => BarcodeFormat::CODE_128,
        SymbolKind::Qr => BarcodeFormat::QR_CODE,
    };
    let mut hints = DecodeHints { TryHarder: Some(true), ..DecodeHints::default() };
    let result =
        detect_in_luma_with_hints(pixels.luma.clone(), pixels.width, pixels.height, Some(format), &mut hints).ok()?;
    let points = result.getPoints().iter().map(|point| (point.x, point.y)).collect();
    Some(Seen { text: result.getText().to_owned(), points })
}
