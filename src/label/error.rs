//! Why a label can't be made, and what is worth a warning.

use crate::{
    symbol::{SymbolError, SymbolKind},
    unit::{Dpi, Mm, Size},
};

/// Why a label can't be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LabelError {
    /// The symbol would be too small to be read.
    #[error(
        "a {kind} symbol of `{payload}` can't be printed scannably on a label of {label} at {dpi}; it needs {least}"
    )]
    TooSmall {
        /// The symbol.
        kind: SymbolKind,
        /// What it carries.
        payload: String,
        /// The label that was chosen.
        label: Size,
        /// The printer's resolution.
        dpi: Dpi,
        /// The smallest label that would do, with the insets of the one that was chosen.
        least: Size,
    },
    /// The text can't be encoded.
    #[error(transparent)]
    Symbol(#[from] SymbolError),
}

/// What a user should know about a label that is printed all the same.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LabelWarning {
    /// Characters that no face has are shown as hollow boxes.
    #[error(
        "no face has `{characters}` of {code}; shown as hollow boxes, so name a font that has them with --font FILE"
    )]
    MissingCharacters {
        /// The characters, each once.
        characters: String,
        /// The code of the item or the bin.
        code: String,
    },
    /// The title did not fit as a whole.
    #[error("the text on the label of {0} is shortened; in full it stays in the register")]
    Shortened(String),
    /// A QR module that is too small for photographs of a whole bin.
    #[error("QR modules of {x} mm are read one by one; to read a photograph of a whole bin they need {least} mm, so choose a larger label", x = x.rounded().0, least = PHOTOGRAPH_X.0)]
    SmallForPhotographs {
        /// The module as printed.
        x: Mm,
    },
    /// Code 128 below the aimed-for module.
    #[error("Code 128 bars of {x} mm are near the least that readers manage; a label of {aim} mm width or QR reads better", x = x.rounded().0, aim = aim.rounded().0)]
    NarrowBars {
        /// The module as printed.
        x: Mm,
        /// The label width at which the aimed-for module fits.
        aim: Mm,
    },
}

/// The QR module from which on photographs of a whole bin were read in full in simulation.
pub(super) const PHOTOGRAPH_X: Mm = Mm(0.55);
