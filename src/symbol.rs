//! Code 128 and QR as modules, with their quiet zones and the sizes they may have; nothing is drawn.
//!
//! Start with [`Symbol::code128`] and [`Symbol::qr`].
//! Whether a symbol can be read is not tested here, only that it is made and sized by the rules.

mod code128;
mod limits;
mod mask;
mod qr;

pub use code128::{CodeSet, Linear, encode_segments, shortest_segments};
pub use limits::{ModuleLimits, least_bar_height};
pub use qr::Matrix;

use serde::Serialize;

use crate::unit::{Dots, Dpi, Mm};

/// Which symbology a symbol is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SymbolKind {
    /// Code 128, ISO/IEC 15417.
    Code128,
    /// QR code, ISO/IEC 18004.
    Qr,
}

impl SymbolKind {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Code128, Self::Qr];

    /// The name in options, JSON and the register.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Code128 => "code128",
            Self::Qr => "qr",
        }
    }

    /// The kind of this name.
    #[must_use]
    pub fn by_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }
}

impl std::fmt::Display for SymbolKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Code128 => "Code 128",
            Self::Qr => "QR",
        })
    }
}

/// Why a text can't be made into a symbol.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SymbolError {
    /// Nothing to encode.
    #[error("there is no text to encode")]
    Empty,
    /// A character that Code 128 does not have here.
    #[error("`{0}` can't stand in a Code 128 symbol; only printable ASCII can")]
    NotAscii(char),
    /// More than a symbol holds.
    #[error("`{0}` is too long for a {1} symbol")]
    TooLong(String, SymbolKind),
}

/// A symbol as modules, without its quiet zone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Symbol {
    /// Bars and spaces.
    Linear(Linear),
    /// A square of dark and light modules.
    Matrix(Matrix),
}

impl Symbol {
    /// The shortest Code 128 symbol of a text.
    ///
    /// # Errors
    /// [`SymbolError`] when the text is empty, too long or not printable ASCII.
    pub fn code128(text: &str) -> Result<Self, SymbolError> {
        Linear::encode(text).map(Self::Linear)
    }

    /// The smallest QR symbol of a text at error correction level M.
    ///
    /// # Errors
    /// [`SymbolError`] when the text is empty or too long.
    pub fn qr(text: &str) -> Result<Self, SymbolError> {
        Matrix::encode(text).map(Self::Matrix)
    }

    /// The symbology.
    #[must_use]
    pub fn kind(&self) -> SymbolKind {
        match self {
            Self::Linear(_) => SymbolKind::Code128,
            Self::Matrix(_) => SymbolKind::Qr,
        }
    }

    /// Light modules that must stay free on each side: 10 beside Code 128, 4 all around QR.
    #[must_use]
    pub fn quiet_modules(&self) -> u32 {
        match self {
            Self::Linear(_) => 10,
            Self::Matrix(_) => 4,
        }
    }

    /// Width in modules without the quiet zones.
    #[must_use]
    pub fn modules(&self) -> u32 {
        let modules = match self {
            Self::Linear(linear) => linear.modules().len(),
            Self::Matrix(matrix) => matrix.side(),
        };
        u32::try_from(modules).unwrap_or(u32::MAX)
    }

    /// Width in modules with the quiet zones.
    #[must_use]
    pub fn modules_with_quiet(&self) -> u32 {
        self.modules() + 2 * self.quiet_modules()
    }

    /// Width with the quiet zones at so many dots a module.
    #[must_use]
    pub fn width_with_quiet(&self, x: Dots, dpi: Dpi) -> Mm {
        dpi.length(Dots(self.modules_with_quiet() * x.0))
    }

    /// The most dots a module at which the symbol with its quiet zones is no wider than this; below
    /// the least of its [`ModuleLimits`] there is none.
    #[must_use]
    pub fn largest_x(&self, width: Mm, dpi: Dpi) -> Option<Dots> {
        let limits = ModuleLimits::at(dpi, self.kind());
        let fits = Dots(dpi.dots_within(width).0 / self.modules_with_quiet()).min(limits.most);
        (fits >= limits.least).then_some(fits)
    }
}
