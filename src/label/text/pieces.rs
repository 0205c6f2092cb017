//! The pieces of a text that stay on one line, and how they go into lines.
//!
//! Start with [`breaks`]; [`wrap`] fills line after line. Pieces that are wider than a line are for others to cut.

use std::ops::Range;

use unicode_linebreak::linebreaks;

use crate::font::LetterEdges;

/// The places where a line may end (Unicode Standard Annex #14), and after a slash; spaces there belong
/// to no piece.
pub(super) fn breaks(text: &str) -> Vec<Range<usize>> {
    let mut start = 0;
    let mut piece = |end: usize| {
        let kept = text[start..end].trim_end_matches(' ');
        let range = start..start + kept.len();
        start = end;
        range
    };
    linebreaks(text).map(|(end, _)| piece(end)).filter(|range| !range.is_empty()).collect()
}

/// A piece of text that stays on one line, with the places of its ends in ems.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    pub range: Range<usize>,
    pub left: f64,
    pub right: f64,
}

impl Piece {
    /// A piece of Latin text, from the ends of its letters.
    pub(super) fn latin(edges: &[LetterEdges], range: Range<usize>) -> Self {
        let first = edges.partition_point(|letter| letter.at < range.start);
        let last = edges.partition_point(|letter| letter.at < range.end) - 1;
        Self { range, left: edges[first].start, right: edges[last].end }
    }

    /// How wide it is, in ems.
    pub(super) fn width_em(&self) -> f64 {
        self.right - self.left
    }
}

/// Breaks pieces into lines of at most `width` ems; `None` when one of them is wider.
pub(super) fn wrap(pieces: &[Piece], width: f64) -> Option<Vec<Range<usize>>> {
    let mut lines: Vec<(Range<usize>, f64)> = Vec::new();
    for piece in pieces {
        match lines.last_mut() {
            _ if piece.width_em() > width => return None,
            Some((line, left)) if piece.right - *left <= width => line.end = piece.range.end,
            _ => lines.push((piece.range.clone(), piece.left)),
        }
    }
    Some(lines.into_iter().map(|(line, _)| line).collect())
}
