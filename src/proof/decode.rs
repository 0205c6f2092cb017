//! Symbols in a picture, by `rxing`.

use std::collections::HashSet;

use rxing::{
    BarcodeFormat, DecodeHints, RXingResult,
    helpers::{detect_in_luma_slice_with_hints, detect_multiple_in_luma_with_hints},
};

use crate::{output::Pixels, symbol::SymbolKind};

/// A symbol that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// What it says.
    pub text: String,
    /// Points on it, in pixels: the middles of the start and the stop character of Code 128; of a QR its corners or the
    /// centres of its finder patterns.
    pub points: Vec<(f32, f32)>,
}

/// Reads the one symbol of this kind in a picture.
#[must_use]
pub fn decode(pixels: &Pixels, kind: SymbolKind) -> Option<Seen> {
    // A thorough search takes several times as long and is seldom needed.
    decode_with(pixels, kind, false).or_else(|| decode_with(pixels, kind, true))
}

fn decode_with(pixels: &Pixels, kind: SymbolKind, thorough: bool) -> Option<Seen> {
    let mut hints = DecodeHints { TryHarder: Some(thorough), ..DecodeHints::default() };
    let (width, height) = (pixels.width, pixels.height);
    let found = detect_in_luma_slice_with_hints(&pixels.luma, width, height, Some(format(kind)), &mut hints);
    found.ok().as_ref().map(seen)
}

/// Reads all symbols of this kind in a picture, each text once.
#[must_use]
pub fn decode_all(pixels: &Pixels, kind: SymbolKind) -> Vec<Seen> {
    let possible = Some(HashSet::from([format(kind)]));
    let mut hints = DecodeHints { TryHarder: Some(true), PossibleFormats: possible, ..DecodeHints::default() };
    let (luma, width, height) = (pixels.luma.clone(), pixels.width, pixels.height);
    let found = detect_multiple_in_luma_with_hints(luma, width, height, &mut hints).unwrap_or_default();
    found.iter().map(seen).collect()
}

fn format(kind: SymbolKind) -> BarcodeFormat {
    match kind {
        SymbolKind::Code128 => BarcodeFormat::CODE_128,
        SymbolKind::Qr => BarcodeFormat::QR_CODE,
    }
}

fn seen(result: &RXingResult) -> Seen {
    let points = result.getPoints().iter().map(|point| (point.x, point.y)).collect();
    Seen { text: result.getText().to_owned(), points }
}
