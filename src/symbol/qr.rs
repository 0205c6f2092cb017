//! QR codes at level M, encoded by `qrcode` in the smallest version that one of its modes gives.

use qrcode::{
    Color, EcLevel, Version,
    bits::{Bits, encode_auto},
    canvas::Canvas,
    ec::construct_codewords,
    types::QrResult,
};

use super::{SymbolError, SymbolKind, mask};

const LEVEL: EcLevel = EcLevel::M;
/// The ECI designator of UTF-8.
const UTF8: u32 = 26;

/// A square of modules.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Matrix {
    side: usize,
    /// A bit a module, row by row, each row beginning a new word.
    dark: Vec<u64>,
}

/// Words of 64 modules in a row.
fn words(side: usize) -> usize {
    side.div_ceil(64)
}

impl Matrix {
    pub(super) fn encode(text: &str) -> Result<Self, SymbolError> {
        if text.is_empty() {
            return Err(SymbolError::Empty);
        }
        smallest_bits(text).and_then(Self::of).map_err(|_| SymbolError::TooLong(text.to_owned(), SymbolKind::Qr))
    }

    fn of(bits: Bits) -> QrResult<Self> {
        let version = bits.version();
        let bytes = bits.into_bytes();
        let (data, correction) = construct_codewords(&bytes, version, LEVEL)?;
        match mask::rows(version, &data, &correction) {
            Some(dark) => Ok(Self { side: dark.len(), dark }),
            None => Ok(Self::large(version, &data, &correction)),
        }
    }

    fn large(version: Version, data: &[u8], correction: &[u8]) -> Self {
        let mut canvas = Canvas::new(version, LEVEL);
        canvas.draw_all_functional_patterns();
        canvas.draw_data(data, correction);
        let side = usize::try_from(version.width()).unwrap_or_default();
        let mut dark = vec![0; words(side) * side];
        let modules = canvas.apply_best_mask().into_colors();
        for at in modules.iter().enumerate().filter_map(|(at, color)| (*color == Color::Dark).then_some(at)) {
            let (row, column) = (at / side, at % side);
            dark[row * words(side) + column / 64] |= 1 << (column % 64);
        }
        Self { side, dark }
    }

    /// Modules on each side.
    #[must_use]
    pub fn side(&self) -> usize {
        self.side
    }

    /// Whether a module is dark; outside of the symbol none is.
    #[must_use]
    pub fn is_dark(&self, column: usize, row: usize) -> bool {
        let word = || self.dark[row * words(self.side) + column / 64];
        column < self.side && row < self.side && word() >> (column % 64) & 1 == 1
    }
}

/// The crate's own choice of modes is greedy: plain bytes are sometimes a version smaller.
fn smallest_bits(text: &str) -> QrResult<Bits> {
    if !text.is_ascii() {
        return byte_bits(text, Some(UTF8));
    }
    let auto = encode_auto(text.as_bytes(), LEVEL)?;
    if is_alphanumeric(text) || is_smallest(&auto) {
        return Ok(auto);
    }
    let bytes = byte_bits(text, None)?;
    Ok(if bytes.version().width() < auto.version().width() { bytes } else { auto })
}

fn is_alphanumeric(text: &str) -> bool {
    text.bytes().all(|byte| byte.is_ascii_digit() || byte.is_ascii_uppercase() || b" $%*+-./:".contains(&byte))
}

fn is_smallest(bits: &Bits) -> bool {
    bits.version() == Version::Normal(1)
}

/// The text as bytes in the smallest version that holds it.
fn byte_bits(text: &str, eci: Option<u32>) -> QrResult<Bits> {
    let mut last = Err(qrcode::types::QrError::DataTooLong);
    for version in 1..=40 {
        last = byte_bits_in(text, eci, Version::Normal(version));
        if last.is_ok() {
            break;
        }
    }
    last
}

fn byte_bits_in(text: &str, eci: Option<u32>, version: Version) -> QrResult<Bits> {
    let mut bits = Bits::new(version);
    if let Some(designator) = eci {
        bits.push_eci_designator(designator)?;
    }
    bits.push_byte_data(text.as_bytes())?;
    bits.push_terminator(LEVEL)?;
    Ok(bits)
}

#[cfg(test)]
mod tests {
    use super::*;
    use qrcode::QrCode;

    /// [S] the encoder's own choice, mask and all, in versions of either way.
    #[test]
    fn symbols_are_those_of_the_encoder() {
        let codes = (1..400).map(|number| format!("4C{number:03}R"));
        let links = (1..120).map(|number| format!("HTTP://192.168.1.{number}:8080/{}", "S/4C017R".repeat(number % 30)));
        let long = [500, 1200, 2000].map(|count| "stowed in tub 4C, ".repeat(count / 18));
        for text in codes.chain(links).chain(long).chain(["Küche, Größe 22 cm — чайник".into()]) {
            let expected = QrCode::with_bits(smallest_bits(&text).unwrap(), LEVEL).unwrap();
            let (found, side) = (Matrix::encode(&text).unwrap(), expected.width());
            assert_eq!(found.side(), side, "{text}");
            for (at, color) in expected.to_colors().into_iter().enumerate() {
                assert_eq!(found.is_dark(at % side, at / side), color == Color::Dark, "{text} at {at}");
            }
        }
    }
}
