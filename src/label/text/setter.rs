//! A text on its way into lines: measured piece by piece, cut between letters, and with its end left off.
//!
//! Start with [`Setter::measured`], then [`Setter::block`] or, where nothing else helps, [`Setter::shortened`]. Which
//! size it is set in is decided elsewhere.

use std::ops::Range;

use unicode_segmentation::UnicodeSegmentation;

use super::{
    block::{Block, Line},
    pieces::{Piece, wrap},
};
use crate::{
    font::{Direction, FaceId, Fonts, LetterEdges},
    unit::{Mm, Size},
};

pub(super) const ELLIPSIS: &str = "…";

/// A text with what is needed to set it.
pub(super) struct Setter<'a> {
    fonts: &'a Fonts,
    text: &'a str,
    face: FaceId,
    direction: Direction,
    /// The ends of its letters where all are Latin.
    edges: Option<Vec<LetterEdges>>,
}

impl<'a> Setter<'a> {
    pub(super) fn new(fonts: &'a Fonts, text: &'a str, face: FaceId) -> Self {
        let (direction, edges) = (Direction::of(text), Fonts::latin_edges(face, text));
        Self { fonts, text, face, direction, edges }
    }

    fn width_em(&self, text: &str) -> f64 {
        self.fonts.width_em(self.face, text)
    }

    fn line(&self, text: &str) -> Line {
        Line::new(self.fonts, text, self.face, self.direction)
    }

    fn lines(&self, ranges: &[Range<usize>]) -> Vec<Line> {
        ranges.iter().map(|range| self.line(&self.text[range.clone()])).collect()
    }

    /// These lines as they are.
    pub(super) fn block(&self, lines: &[Range<usize>], em: Mm) -> Block {
        self.block_of(self.lines(lines), em, false)
    }

    fn block_of(&self, lines: Vec<Line>, em: Mm, shortened: bool) -> Block {
        Block { em, lines, shortened, cap_em: self.fonts.cap_height_em(self.face) }
    }

    /// The pieces with their places: for Latin to a hair, kerning over their ends included.
    pub(super) fn measured(&self, ranges: Vec<Range<usize>>) -> Vec<Piece> {
        match &self.edges {
            Some(edges) => ranges.into_iter().map(|range| Piece::latin(edges, range)).collect(),
            None => self.measured_one_by_one(ranges),
        }
    }

    fn measured_one_by_one(&self, ranges: Vec<Range<usize>>) -> Vec<Piece> {
        let space = self.width_em(" ");
        let (mut pen, mut end) = (0.0, 0);
        let mut piece = |range: Range<usize>| {
            let left = if range.start > end { pen + space } else { pen };
            let right = left + self.width_em(&self.text[range.clone()]);
            (pen, end) = (right, range.end);
            Piece { range, left, right }
        };
        ranges.into_iter().map(&mut piece).collect()
    }

    /// The text at the smallest size: with words cut where they are wider than the column, then with
    /// its end left off.
    pub(super) fn shortened(&self, broken: &[Piece], room: Size, em: Mm, most_lines: usize) -> Block {
        let width = room.width.0 / em.0;
        let cut = broken.iter().flat_map(|piece| self.cut(piece, width)).collect();
        let lines = wrap(&self.measured(cut), width).unwrap_or_default();
        let whole = self.block(&lines, em);
        if lines.len() <= most_lines && whole.fits(room) && !lines.is_empty() {
            return whole;
        }
        let most = most_lines.min(lines.len());
        let fewer = (1..=most).rev().map(|count| self.with_ellipsis(&lines[..count], width, em));
        fewer.into_iter().find(|block| block.fits(room)).unwrap_or_else(|| self.block_of(Vec::new(), em, true))
    }

    /// A piece that is wider than `width` ems, cut between letters; each part has at least one.
    fn cut(&self, piece: &Piece, width: f64) -> Vec<Range<usize>> {
        if piece.width_em() <= width {
            return vec![piece.range.clone()];
        }
        let mut parts: Vec<Range<usize>> = Vec::new();
        for (at, letter) in self.text[piece.range.clone()].grapheme_indices(true) {
            let (start, end) = (piece.range.start + at, piece.range.start + at + letter.len());
            match parts.last_mut() {
                Some(part) if self.width_em(&self.text[part.start..end]) <= width => part.end = end,
                _ => parts.push(start..end),
            }
        }
        parts
    }

    /// These lines, the last one without the words, and then the letters, that an ellipsis needs the
    /// room of.
    fn with_ellipsis(&self, lines: &[Range<usize>], width: f64, em: Mm) -> Block {
        let mut set = self.lines(lines);
        if let (Some(last), Some(range)) = (set.last_mut(), lines.last()) {
            *last = self.ending(&self.text[range.clone()], width);
        }
        self.block_of(set, em, true)
    }

    fn ending(&self, line: &str, width: f64) -> Line {
        let mut kept = line;
        loop {
            let ended = self.line(&format!("{}{ELLIPSIS}", kept.trim_end_matches([' ', ',', ';', ':', '-', '–'])));
            if kept.is_empty() || ended.width_em() <= width {
                return ended;
            }
            kept = match kept.rfind(' ') {
                Some(space) => &kept[..space],
                None => kept.grapheme_indices(true).next_back().map_or("", |(at, _)| &kept[..at]),
            };
        }
    }
}
