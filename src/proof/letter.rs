//! Letters of print quality, and the figures that they begin at (ISO/IEC 15416 and 15415, as public
//! verifier manuals quote them).

use serde::Serialize;

/// A letter, the best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Letter {
    /// 4 points.
    A,
    /// 3 points.
    B,
    /// 2 points.
    C,
    /// 1 point.
    D,
    /// No point.
    F,
}

/// What a figure must be for A, B, C and D.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scale {
    /// This or more.
    AtLeast([f64; 4]),
    /// This or less.
    AtMost([f64; 4]),
}

/// Float noise that decides over no letter.
const NOISE: f64 = 1e-9;

impl Scale {
    /// The letter of a figure.
    pub(super) fn letter(self, figure: f64) -> Letter {
        let passes = |at: usize| match self {
            Self::AtLeast(steps) => figure >= steps[at] - NOISE,
            Self::AtMost(steps) => figure <= steps[at] + NOISE,
        };
        Letter::ALL.into_iter().enumerate().find(|(at, _)| *at < 4 && passes(*at)).map_or(Letter::F, |(_, found)| found)
    }
}

impl Letter {
    /// All, the best first.
    pub const ALL: [Self; 5] = [Self::A, Self::B, Self::C, Self::D, Self::F];

    /// 4 for A down to 0 for F.
    #[must_use]
    pub fn points(self) -> f64 {
        match self {
            Self::A => 4.0,
            Self::B => 3.0,
            Self::C => 2.0,
            Self::D => 1.0,
            Self::F => 0.0,
        }
    }

    /// The letter of a mean of points (ISO/IEC 15416: A from 3.5, B from 2.5, C from 1.5, D from 0.5; from memory).
    #[must_use]
    pub fn of_mean(points: f64) -> Self {
        Scale::AtLeast([3.5, 2.5, 1.5, 0.5]).letter(points)
    }

    /// The worst of several; A without any.
    pub(super) fn worst(letters: impl IntoIterator<Item = Self>) -> Self {
        letters.into_iter().max().unwrap_or(Self::A)
    }
}

impl std::fmt::Display for Letter {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        std::fmt::Debug::fmt(self, f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO/IEC 15416 as verifier manuals quote it: decodability at least 0.62, 0.50, 0.37, 0.25, defects at
    /// most 0.15, 0.20, 0.25, 0.30.
    #[test]
    fn a_letter_begins_at_its_figure() {
        let (least, most) = (Scale::AtLeast([0.62, 0.50, 0.37, 0.25]), Scale::AtMost([0.15, 0.20, 0.25, 0.30]));
        let cases = [(1.0, 'A'), (0.62, 'A'), (0.61, 'B'), (0.50, 'B'), (0.37, 'C'), (0.25, 'D'), (0.24, 'F')];
        for (figure, letter) in cases {
            assert_eq!(least.letter(figure).to_string(), letter.to_string(), "{figure}");
        }
        for (figure, letter) in [(0.0, 'A'), (0.15, 'A'), (0.16, 'B'), (0.25, 'C'), (0.30, 'D'), (0.31, 'F')] {
            assert_eq!(most.letter(figure).to_string(), letter.to_string(), "{figure}");
        }
        assert_eq!(least.letter(f64::NAN), Letter::F);
    }

    /// Ten scans: nine of A and one of F are (9 x 4 + 0) / 10 = 3.6, an A; eight and two 3.2, a B.
    #[test]
    fn ten_scans_are_graded_by_their_mean() {
        assert_eq!(
            (Letter::of_mean(3.6), Letter::of_mean(3.2), Letter::of_mean(0.4)),
            (Letter::A, Letter::B, Letter::F)
        );
    }
}
