//! QR codes at level M, encoded by `qrcode` in the smallest version that one of its modes gives.

use qrcode::{
    Color, EcLevel, QrCode, Version,
    bits::{Bits, encode_auto},
    types::QrResult,
};

use super::{SymbolError, SymbolKind};

const LEVEL: EcLevel = EcLevel::M;
/// The ECI designator of UTF-8.
const UTF8: u32 = 26;

/// A square of modules.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Matrix {
    side: usize,
    dark: Vec<bool>,
}

impl Matrix {
    pub(super) fn encode(text: &str) -> Result<Self, SymbolError> {
        if text.is_empty() {
            return Err(SymbolError::Empty);
        }
        let code = smallest_bits(text).and_then(|bits| QrCode::with_bits(bits, LEVEL));
        let code = code.map_err(|_| SymbolError::TooLong(text.to_owned(), SymbolKind::Qr))?;
        let dark = code.to_colors().into_iter().map(|color| color == Color::Dark).collect();
        Ok(Self { side: code.width(), dark })
    }

    /// Modules on each side.
    #[must_use]
    pub fn side(&self) -> usize {
        self.side
    }

    /// Whether a module is dark; outside of the symbol none is.
    #[must_use]
    pub fn is_dark(&self, column: usize, row: usize) -> bool {
        column < self.side && row < self.side && self.dark[row * self.side + column]
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
