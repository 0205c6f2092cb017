//! Code and text set into a column: the text first, the code in what it leaves, and the text again in
//! what the code leaves.

use super::{
    Mark,
    code_line::CodeLine,
    design::{Column, Content, Design},
    fit::{GAP, LEAST_CAP},
    text::{self, Block, Sizes},
};
use crate::{
    font::{FaceId, Fonts},
    unit::{Mm, Point, Size},
};

/// More than this left over on a label is shared out above, between and below.
const MUCH: Mm = Mm(15.0);
/// The part of one row that the code may take.
const ROW_SHARE: f64 = 0.42;

/// Code and text as set.
pub(super) struct Words {
    pub marks: Vec<Mark>,
    pub shortened: bool,
    /// How far the symbol below moves up towards the words, where much room is left over.
    pub raised: Mm,
}

/// Sets code and text; where there is no second row, the text stands behind the code.
pub(super) fn set(fonts: &Fonts, content: &Content, design: &Design, column: &Column) -> Words {
    let code = CodeLine::new(fonts, &content.code);
    let line = text::height_of_line(design.text_sizes.smallest);
    let rows = code.size(LEAST_CAP).height + GAP + line;
    if !content.texts.is_empty() && column.room.height < rows {
        return one_row(fonts, &code, content, design, column);
    }
    let (cap, texts) = fitted(fonts, &code, content, design, column.room);
    two_rows(&code, cap, &texts, design, column)
}

/// The height of the code's capitals, and the texts.
fn fitted(fonts: &Fonts, code: &CodeLine<'_>, content: &Content, design: &Design, room: Size) -> (Mm, Vec<Block>) {
    let line = text::height_of_line(design.text_sizes.smallest);
    let lines = line * f64::from(u32::try_from(content.texts.len()).unwrap_or(1));
    let beside_code = room.height - code.size(LEAST_CAP).height - GAP;
    let text_room = (room.height * design.text_share).max(lines).min(beside_code);
    let joined = [joined(fonts, content, room.width, design)];
    let wanted = if text_room.0 + 1e-6 < lines.0 { &joined[..] } else { &content.texts };
    let texts = blocks(fonts, wanted, design, Size { height: text_room, ..room });
    let over = room.height - height(&texts) - least_gap(&texts);
    let cap = code.cap_within(Size { height: over, ..room }).min(design.most_cap);
    let high = code.size(cap).height;
    let left_over = Size { height: room.height - high - GAP, ..room };
    if high < over { (cap, blocks(fonts, wanted, design, left_over)) } else { (cap, texts) }
}

fn two_rows(code: &CodeLine<'_>, cap: Mm, texts: &[Block], design: &Design, column: &Column) -> Words {
    let (high, text_height) = (code.size(cap).height, height(texts));
    let most_gap = (column.room.height - high - text_height).max(least_gap(texts));
    let gap = gap(cap, texts).min(most_gap);
    let spare = (column.room.height - high - gap - text_height).max(Mm::ZERO);
    let raised = if column.is_above && spare > MUCH { spare * 0.35 } else { Mm::ZERO };
    let centred = if !column.is_above && design.symbol_right { spare * 0.5 } else { Mm::ZERO };
    let mut at = Point { x: column.at.x, y: column.at.y + raised + centred };
    let mut marks = code.marks(cap, at);
    at.y = at.y + high + gap;
    for block in texts {
        marks.extend(block.marks(at));
        at.y = at.y + block.height();
    }
    Words { marks, shortened: texts.iter().any(|block| block.shortened), raised }
}

fn one_row(fonts: &Fonts, code: &CodeLine<'_>, content: &Content, design: &Design, column: &Column) -> Words {
    let room = column.room;
    let share = Size { width: room.width * ROW_SHARE, height: room.height * 0.85 };
    let cap = code.cap_within(share).min(design.most_cap).max(LEAST_CAP);
    let size = code.size(cap);
    let top = column.at.y + (room.height - size.height).max(Mm::ZERO) * 0.5;
    let mut marks = code.marks(cap, Point { x: column.at.x, y: top });
    let taken = size.width + GAP * 2.0;
    let em = design.text_sizes.smallest.min(text::em_for_height(1, room.height));
    let rest = Size { width: room.width - taken, height: room.height };
    let (face, joined) = joined(fonts, content, rest.width, design);
    let block = text::fit(fonts, &joined, face, rest, Sizes { largest: em, smallest: em }, 1);
    let baseline = Point { x: column.at.x + taken, y: top + code.ascent(cap) };
    marks.extend(block.marks_on(baseline));
    Words { marks, shortened: block.shortened, raised: Mm::ZERO }
}

/// All texts on one line, where there is no room for more. If they don't fit, the last one comes first:
/// the spot leads to a bin, and its area is in the code.
fn joined(fonts: &Fonts, content: &Content, width: Mm, design: &Design) -> (FaceId, String) {
    let face = content.texts.first().map_or(FaceId::Regular, |(face, _)| *face);
    let mut texts: Vec<&str> = content.texts.iter().map(|(_, text)| text.as_str()).collect();
    if fonts.width_em(face, &texts.join(", ")) * design.text_sizes.smallest.0 > width.0 {
        texts.reverse();
    }
    (face, texts.join(", "))
}

/// The texts one below the other, each with what the ones before have left.
fn blocks(fonts: &Fonts, texts: &[(FaceId, String)], design: &Design, room: Size) -> Vec<Block> {
    let mut left = room.height;
    let mut found = Vec::new();
    let mut sizes = design.text_sizes;
    for (at, (face, text)) in texts.iter().enumerate() {
        let share = if at + 1 < texts.len() { left * 0.5 } else { left };
        let block = text::fit(fonts, text, *face, Size { height: share, ..room }, sizes, design.lines);
        left = left - block.height();
        sizes.largest = sizes.largest.min(block.em);
        found.push(block);
    }
    found
}

fn height(blocks: &[Block]) -> Mm {
    blocks.iter().map(Block::height).sum()
}

fn least_gap(blocks: &[Block]) -> Mm {
    if blocks.iter().all(|block| block.lines.is_empty()) { Mm::ZERO } else { GAP }
}

/// White space grows with the code.
fn gap(cap: Mm, blocks: &[Block]) -> Mm {
    if least_gap(blocks) == Mm::ZERO { Mm::ZERO } else { GAP.max((cap * 0.12).min(Mm(3.0))) }
}
