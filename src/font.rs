//! Faces, and text shaped and measured in them.
//!
//! Start with [`Fonts`]: the bundled faces, with those of the user behind them. [`Fonts::shape`] turns
//! a line of text into glyphs in the order in which they are seen, with kerning, joined letters and
//! right-to-left runs. Breaking text into lines is not done here.

mod bidi;
mod cover;
mod error;
mod face;
mod fonts;
mod latin;
mod load;
mod shape;

pub use bidi::Direction;
pub use error::FontError;
pub use face::{Face, Glyph, GlyphInk, Ink};
pub use fonts::Fonts;
pub(crate) use fonts::LetterEdges;
pub use load::UserFont;
pub use shape::{Part, PlacedGlyph, Run, Shaped};

/// A weight of type. The bundled Latin face, Atkinson Hyperlegible Next (SIL OFL 1.1), has all three;
/// other faces stand in with the nearest one that they have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaceId {
    /// For what can wait: check letters.
    Light,
    /// For reading.
    Regular,
    /// For what the eye meets first.
    Bold,
}

/// All weights, from light to bold.
pub const FACES: [FaceId; 3] = [FaceId::Light, FaceId::Regular, FaceId::Bold];

/// Width in ems that a character takes which no face has.
pub const MISSING_EM: f64 = 0.6;
