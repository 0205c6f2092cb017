//! Texts one below the other in one size: the largest at which all fit, and at the smallest each gets a line
//! before any gets a second.

use super::{
    Mark,
    design::Text,
    text::{self, Block, Sizes},
};
use crate::{
    font::{FaceId, Fonts},
    unit::{Mm, Point, Size},
};

/// White between two texts, in ems.
const GAP_EM: f64 = 0.25;
/// Sizes are tried in steps of half a point.
const STEP: Mm = Mm(25.4 / 72.0 / 2.0);
/// Higher than any label.
const ENDLESS: Mm = Mm(10_000.0);

/// Texts as set.
#[derive(Debug, Default)]
pub(super) struct Stack {
    blocks: Vec<Block>,
    /// Whether a text that stands as a whole or not at all was left out.
    pub left_out: bool,
    /// Whether any other was shortened or left out.
    pub shortened: bool,
}

impl Stack {
    pub(super) fn height(&self) -> Mm {
        height(&self.blocks)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.blocks.is_empty()
    }

    pub(super) fn marks(&self, mut at: Point) -> Vec<Mark> {
        let mut marks = Vec::new();
        for block in &self.blocks {
            marks.extend(block.marks(at));
            at.y = at.y + block.height() + block.em * GAP_EM;
        }
        marks
    }
}

fn height(blocks: &[Block]) -> Mm {
    let gaps = blocks.iter().skip(1).map(|block| block.em * GAP_EM).sum::<Mm>();
    blocks.iter().map(Block::height).sum::<Mm>() + gaps
}

/// Sets texts into a room.
pub(super) fn set(fonts: &Fonts, texts: &[Text], room: Size, sizes: Sizes, most_lines: usize) -> Stack {
    let texts: Vec<&Text> = texts.iter().filter(|text| !text.words.trim().is_empty()).collect();
    let Some(blocks) = alike(fonts, &texts, room, sizes, most_lines) else {
        return crowded(fonts, &texts, room, sizes, most_lines);
    };
    Stack { blocks, ..Stack::default() }
}

/// All texts as wholes in the largest size at which they fit.
fn alike(fonts: &Fonts, texts: &[&Text], room: Size, mut sizes: Sizes, most_lines: usize) -> Option<Vec<Block>> {
    while sizes.largest.0 >= sizes.smallest.0 - 1e-9 {
        let blocks: Vec<Block> = texts
            .iter()
            .map(|text| text::fit(fonts, &text.words, text.face, room, sizes, lines(text, most_lines)))
            .collect();
        if blocks.iter().any(|block| block.shortened || block.lines.is_empty()) {
            return None;
        }
        let em = blocks.iter().fold(sizes.largest, |em, block| em.min(block.em));
        let is_level = (sizes.largest - em).0 < 1e-9;
        if is_level && height(&blocks).0 <= room.height.0 + 1e-6 {
            return Some(blocks);
        }
        sizes.largest = if is_level { em - STEP } else { em };
    }
    None
}

/// What stands as a whole is not bound to a number of lines.
fn lines(text: &Text, most_lines: usize) -> usize {
    match text {
        Text { whole: true, .. } => usize::MAX,
        Text { one_line: true, .. } => 1,
        _ => most_lines,
    }
}

/// In the smallest size: a line for each text, then more in their order; where there are fewer lines than
/// texts, they are joined.
fn crowded(fonts: &Fonts, texts: &[&Text], room: Size, sizes: Sizes, most_lines: usize) -> Stack {
    let least = Sizes { largest: sizes.smallest, ..sizes };
    let endless = Size { height: ENDLESS, ..room };
    let full: Vec<Block> = texts
        .iter()
        .map(|text| text::fit(fonts, &text.words, text.face, endless, least, lines(text, most_lines)))
        .collect();
    let mut counts: Vec<usize> =
        texts.iter().zip(&full).map(|(text, full)| if text.whole { full.lines.len() } else { 1 }).collect();
    let fits = |counts: &[usize]| height_of(counts, &full).0 <= room.height.0 + 1e-6;
    let mut left_out = false;
    while let Some(last) = (0..texts.len()).rev().find(|at| texts[*at].whole && counts[*at] > 0 && !fits(&counts)) {
        counts[last] = 0;
        left_out = true;
    }
    if !fits(&counts) {
        return Stack { left_out, ..joined(fonts, texts, room, least, most_lines) };
    }
    for at in 0..texts.len() {
        while counts[at] > 0 && counts[at] < full[at].lines.len() && fits(&more(&counts, at)) {
            counts[at] += 1;
        }
    }
    let set = |(text, count): (&&Text, &usize)| text::fit(fonts, &text.words, text.face, endless, least, *count);
    let blocks: Vec<Block> = texts.iter().zip(&counts).filter(|(_, count)| **count > 0).map(set).collect();
    let shortened = blocks.iter().any(|block| block.shortened);
    Stack { blocks, left_out, shortened }
}

fn more(counts: &[usize], at: usize) -> Vec<usize> {
    let mut counts = counts.to_vec();
    counts[at] += 1;
    counts
}

/// The height of so many lines of each.
fn height_of(counts: &[usize], full: &[Block]) -> Mm {
    let kept = counts.iter().zip(full).filter(|(count, _)| **count > 0);
    height(&kept.map(|(count, full)| full.first(*count)).collect::<Vec<_>>())
}

fn joined(fonts: &Fonts, texts: &[&Text], room: Size, sizes: Sizes, most_lines: usize) -> Stack {
    let (face, text) = join(fonts, texts.iter().copied(), room.width, sizes.smallest);
    let block = text::fit(fonts, &text, face, room, sizes, most_lines);
    let shortened = block.shortened || block.lines.is_empty();
    Stack { blocks: vec![block], shortened, left_out: false }
}

/// Texts on one line, where there is no room for more. If they don't fit, what is set in bold comes second: the
/// spot leads to a bin, and its area is in the code.
pub(super) fn join<'a>(fonts: &Fonts, texts: impl Iterator<Item = &'a Text>, width: Mm, em: Mm) -> (FaceId, String) {
    let kept = |text: &&Text| !text.whole && !text.words.trim().is_empty();
    let mut texts: Vec<&Text> = texts.filter(kept).collect();
    let first = texts.first().map_or(FaceId::Regular, |text| text.face);
    let face = if texts.iter().all(|text| text.face == first) { first } else { FaceId::Regular };
    let line = |texts: &[&Text]| texts.iter().map(|text| text.words.as_str()).collect::<Vec<_>>().join(", ");
    if texts.len() > 1 && first == FaceId::Bold && fonts.width_em(face, &line(&texts)) * em.0 > width.0 {
        texts.swap(0, 1);
    }
    (face, line(&texts))
}

/// The height of these texts in the smallest size, each with as many lines as it needs and may have.
pub(super) fn least_height(fonts: &Fonts, texts: &[Text], width: Mm, sizes: Sizes, most_lines: usize) -> Mm {
    let least = Sizes { largest: sizes.smallest, ..sizes };
    let room = Size { width, height: ENDLESS };
    let blocks: Vec<Block> = texts
        .iter()
        .filter(|text| !text.words.trim().is_empty())
        .map(|text| text::fit(fonts, &text.words, text.face, room, least, lines(text, most_lines)))
        .collect();
    height(&blocks)
}
