//! How small and how large a module may be, in whole printer dots.

use super::SymbolKind;
use crate::unit::{Dots, Dpi, Mm};

/// Below this a symbol is refused.
const LEAST: Mm = Mm(0.25);
/// What is aimed for.
const AIM: Mm = Mm(0.33);
/// Wider bars make a reader step back (about the upper end of the GS1 range, from memory).
const MOST_CODE128: Mm = Mm(0.66);
/// Larger modules gain nothing in photographs of a bin.
const MOST_QR: Mm = Mm(0.71);

/// Dots per module at a resolution: refused below `least`, good from `aim` on, no more than `most`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ModuleLimits {
    /// Fewer are refused.
    pub least: Dots,
    /// What is aimed for.
    pub aim: Dots,
    /// More are no use.
    pub most: Dots,
}

impl ModuleLimits {
    /// The limits at a printer's resolution.
    #[must_use]
    pub fn at(dpi: Dpi, kind: SymbolKind) -> Self {
        let most = match kind {
            SymbolKind::Code128 => MOST_CODE128,
            SymbolKind::Qr => MOST_QR,
        };
        let aim = dpi.dots_covering(AIM);
        Self { least: dpi.dots_covering(LEAST), aim, most: dpi.dots_within(most).max(aim) }
    }
}

/// The least height of Code 128 bars in whole dots: 5 mm or 15 % of the symbol's width, whichever is
/// greater (ISO/IEC 15417 as public pages quote it). `width` is without quiet zones.
#[must_use]
pub fn least_bar_height(width: Mm, dpi: Dpi) -> Mm {
    dpi.length(dpi.dots_covering(Mm(5.0).max(width * 0.15)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_dots_by_resolution() {
        let cases = [(203.0, 2, 3), (203.2, 2, 3), (300.0, 3, 4), (360.0, 4, 5), (600.0, 6, 8), (720.0, 8, 10)];
        for (dpi, least, aim) in cases {
            let limits = ModuleLimits::at(Dpi::new(dpi).unwrap(), SymbolKind::Qr);
            assert_eq!((limits.least, limits.aim), (Dots(least), Dots(aim)), "{dpi}");
        }
    }

    #[test]
    fn bars_are_5_mm_or_15_percent_high() {
        let eighth = Dpi::new(203.2).unwrap();
        assert_eq!(least_bar_height(Mm(20.0), eighth), Mm(5.0));
        assert_eq!(least_bar_height(Mm(40.0), eighth), Mm(6.0));
        assert_eq!(least_bar_height(Mm(40.1), eighth), Mm(6.125));
    }
}
