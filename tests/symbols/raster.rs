//! Symbols as pixels with nothing but their quiet zones, read by an independent reader.

use rxing::{BarcodeFormat, DecodeHints, helpers::detect_in_luma_with_hints};
use stowmark::symbol::{Linear, Matrix, Symbol};

const PIXELS_A_MODULE: usize = 3;

/// What the reader says.
pub fn read(symbol: &Symbol) -> Option<String> {
    match symbol {
        Symbol::Linear(linear) => read_bars(linear),
        Symbol::Matrix(matrix) => read_matrix(matrix),
    }
}

/// One row of pixels with quiet zones of ten modules.
fn read_bars(linear: &Linear) -> Option<String> {
    let quiet = [false; 10];
    let modules = quiet.iter().chain(linear.modules()).chain(&quiet);
    let row: Vec<u8> = modules.flat_map(|dark| [shade(*dark); PIXELS_A_MODULE]).collect();
    let width = row.len();
    detect(row, width, 1, BarcodeFormat::CODE_128)
}

/// A square of pixels with quiet zones of four modules.
fn read_matrix(matrix: &Matrix) -> Option<String> {
    const QUIET: usize = 4;
    let side = matrix.side() + 2 * QUIET;
    let is_dark =
        |column: usize, row: usize| column >= QUIET && row >= QUIET && matrix.is_dark(column - QUIET, row - QUIET);
    let line = |row| (0..side).flat_map(move |column| [shade(is_dark(column, row)); PIXELS_A_MODULE]);
    let luma: Vec<u8> = (0..side).flat_map(|row| line(row).collect::<Vec<u8>>().repeat(PIXELS_A_MODULE)).collect();
    detect(luma, side * PIXELS_A_MODULE, side * PIXELS_A_MODULE, BarcodeFormat::QR_CODE)
}

fn shade(dark: bool) -> u8 {
    if dark { 0 } else { 255 }
}

fn detect(luma: Vec<u8>, width: usize, height: usize, format: BarcodeFormat) -> Option<String> {
    let mut hints = DecodeHints { TryHarder: Some(true), ..DecodeHints::default() };
    let (width, height) = (u32::try_from(width).unwrap(), u32::try_from(height).unwrap());
    let result = detect_in_luma_with_hints(luma, width, height, Some(format), &mut hints);
    result.ok().map(|read| read.getText().to_owned())
}
