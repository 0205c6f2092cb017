//! What each distinct kind of symbol can bear: simulated prints, read again and given estimated figures.

use super::{
    Letter, LinearFigures, MatrixFigures, decode, linear_figures, matrix_figures,
    simulate::{Press, SPREADS, TILT, print},
};
use crate::{
    output::Pixels,
    symbol::{Symbol, SymbolKind},
    unit::{Dpi, Mm},
};

/// How a kind of symbol stood the simulated prints. All figures are estimates, never a verifier's.
#[derive(Debug, Clone, PartialEq)]
pub struct KindReport {
    /// The symbology.
    pub kind: SymbolKind,
    /// The width of a module.
    pub x: Mm,
    /// Modules across without quiet zones: they tell the length of a Code 128 and the version of a QR.
    pub modules: u32,
    /// How many symbols of this kind read as they should.
    pub symbols: usize,
    /// How many of the tilted prints were read, of [`KindReport::PRINTS`].
    pub read: usize,
    /// The figures of the print with the worst letter.
    pub figures: Figures,
    /// White beside the symbol in modules, up to what it needs.
    pub quiet_zone: f64,
    /// The worst letter; F when a print could not be read.
    pub letter: Letter,
}

/// Estimated figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Figures {
    /// After ISO/IEC 15416.
    Linear(LinearFigures),
    /// After ISO/IEC 15415.
    Matrix(MatrixFigures),
}

impl Figures {
    /// The letter that they come to.
    #[must_use]
    pub fn letter(&self) -> Letter {
        match self {
            Self::Linear(figures) => figures.letter,
            Self::Matrix(figures) => figures.letter,
        }
    }
}

/// A symbol cut out with its quiet zones, upright and in pure black and white.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    /// What it should be.
    pub symbol: Symbol,
    /// How it looks.
    pub pixels: Pixels,
    /// Where in that its modules begin, in pixels.
    pub at: (f64, f64),
    /// Pixels a module.
    pub x: f64,
    /// White beside it in modules, up to what it needs.
    pub quiet_zone: f64,
}

impl KindReport {
    /// Simulated prints of each kind: little, middling and much ink.
    pub const PRINTS: usize = SPREADS.len();

    /// Prints and grades a symbol that stands for `symbols` of its kind.
    #[must_use]
    pub fn of(sample: &Sample, symbols: usize, dpi: Dpi) -> Self {
        let kind = sample.symbol.kind();
        let presses = SPREADS.map(|spread| Press { dpi, x: sample.x, spread, tilt: 0.0, seed: 1 });
        let text = decode(&sample.pixels, kind).map(|seen| seen.text);
        let tilted = presses.iter().map(|press| print(&sample.pixels, &Press { tilt: TILT, ..*press }).pixels);
        let read = tilted.filter(|print| text.is_some() && decode(print, kind).map(|seen| seen.text) == text).count();
        let [little, middling, much] = presses.map(|press| figures(sample, &press));
        let figures = [middling, much]
            .into_iter()
            .fold(little, |worst, next| if next.letter() > worst.letter() { next } else { worst });
        let is_quiet = sample.quiet_zone >= f64::from(sample.symbol.quiet_modules()) - 1e-9;
        // A quiet zone is there or not (ISO/IEC 15416: 10X or an F).
        let sound = if is_quiet && read == Self::PRINTS { Letter::A } else { Letter::F };
        Self {
            kind,
            x: dpi.dot() * sample.x,
            modules: sample.symbol.modules(),
            symbols,
            read,
            figures,
            quiet_zone: sample.quiet_zone,
            letter: figures.letter().max(sound),
        }
    }
}

fn figures(sample: &Sample, press: &Press) -> Figures {
    let printed = print(&sample.pixels, press);
    let scale = f64::from(printed.per_dot);
    match &sample.symbol {
        Symbol::Linear(linear) => {
            let pixel = press.dpi.dot() * (1.0 / scale);
            Figures::Linear(linear_figures(&printed.pixels, linear, pixel, press.dpi.dot() * sample.x))
        }
        Symbol::Matrix(matrix) => {
            let at = (sample.at.0 * scale, sample.at.1 * scale);
            Figures::Matrix(matrix_figures(&printed.pixels, matrix, at, sample.x * scale))
        }
    }
}
