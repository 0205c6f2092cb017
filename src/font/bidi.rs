//! Which way a text runs (Unicode Standard Annex #9).

use std::ops::Range;

use unicode_bidi::{Level, ParagraphBidiInfo};

/// Which way a text runs as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Direction {
    /// As Latin does.
    #[default]
    LeftToRight,
    /// As Hebrew and Arabic do.
    RightToLeft,
}

impl Direction {
    /// The direction of a text by its first letter that has one (rules P2 and P3).
    #[must_use]
    pub fn of(text: &str) -> Self {
        // Everything before the Hebrew block runs from left to right.
        if text.chars().all(|character| character < '\u{590}') {
            return Self::LeftToRight;
        }
        match unicode_bidi::get_base_direction(text) {
            unicode_bidi::Direction::Rtl => Self::RightToLeft,
            _ => Self::LeftToRight,
        }
    }

    fn level(self) -> Level {
        match self {
            Self::LeftToRight => Level::ltr(),
            Self::RightToLeft => Level::rtl(),
        }
    }
}

/// The pieces of a line in the order in which they are seen, and whether each runs from the right.
pub(super) fn visual_runs(line: &str, direction: Direction) -> Vec<(Range<usize>, bool)> {
    if line.is_empty() {
        return Vec::new();
    }
    let info = ParagraphBidiInfo::new(line, Some(direction.level()));
    let (levels, runs) = info.visual_runs(0..line.len());
    runs.into_iter().map(|run| (run.clone(), levels[run.start].is_rtl())).collect()
}
