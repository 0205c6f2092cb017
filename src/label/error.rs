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
    /// Code 128 and QR don't both go on the label at the modules that are aimed for.
    #[error(
        "Code 128 and QR of `{payload}` don't both fit a label of {label} at {dpi} in a size that reads well; one of {least} would do"
    )]
    NoRoomForBoth {
        /// What they carry.
        payload: String,
        /// The label that was chosen.
        label: Size,
        /// The printer's resolution.
        dpi: Dpi,
        /// A label that would do, with the insets of the one that was chosen.
        least: Size,
    },
    /// A label without a symbol is too small for what it has to say.
    #[error("{what} can't be printed legibly on a label of {label}; {hint}")]
    NoRoom {
        /// What was to stand there.
        what: String,
        /// The label that was chosen.
        label: Size,
        /// What would do.
        hint: String,
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
    /// A sign that is read from less far than was asked for.
    #[error(
        "capitals of {cap} mm are read from {from} m, not {wanted} m, which takes {needed} mm (20' of arc, ISO 9241-3); choose a larger label or less text",
        cap = tenth(cap.0), from = tenth_below(from.0 / 1000.0), wanted = tenth(wanted.0 / 1000.0), needed = tenth(needed.0)
    )]
    ReadFromLess {
        /// The height of the code's capitals.
        cap: Mm,
        /// How far off they are read.
        from: Mm,
        /// How far off they were to be read.
        wanted: Mm,
        /// The height that this takes.
        needed: Mm,
    },
    /// A weight without its caution is not printed, and both did not fit.
    #[error("the label of {0} has no room for the weight with its caution, so neither is on it; choose a larger label")]
    WeightLeftOut(String),
    /// A QR that leads to this computer's address.
    #[error(
        "QR symbols lead to {0}; when this computer's address changes they lead nowhere, though this program still reads the codes in them"
    )]
    LinkDies(String),
    /// A link was asked for, and there is no QR to carry it.
    #[error("Code 128 carries the bare code, never a link; for links choose --symbol qr or --symbol both")]
    LinkLeftOut,
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

/// To the tenth below: no more is promised.
fn tenth_below(number: f64) -> f64 {
    (number * 10.0 - 1e-6).floor() / 10.0
}

/// To the tenth, for people.
fn tenth(number: f64) -> f64 {
    (number * 10.0).round() / 10.0
}

/// The QR module from which on photographs of a whole bin were read in full in simulation.
pub(super) const PHOTOGRAPH_X: Mm = Mm(0.55);
