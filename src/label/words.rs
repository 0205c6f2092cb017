//! Code and text set into a column: the text first, the code in what it leaves, and the text again in
//! what the code leaves.

use super::{
    Mark,
    code_line::CodeLine,
    design::{Column, Content, Design, Text},
    fit::{GAP, LEAST_CAP},
    stack::{self, Stack},
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

/// Small words stand above a code unless it is this much larger behind them.
const WORTH_A_LINE: f64 = 1.4;

/// Code and text as set.
pub(super) struct Words {
    pub marks: Vec<Mark>,
    pub shortened: bool,
    /// Whether a text that stands as a whole or not at all was left out.
    pub left_out: bool,
    /// How far the symbol below moves up towards the words, where much room is left over.
    pub raised: Mm,
    /// The height of the code's capitals.
    pub cap: Mm,
}

/// Small words before or above the code.
enum Small {
    /// Above it.
    Above(Block),
    /// On its line, with the white that follows.
    Before(Block, Mm),
}

impl Small {
    /// What they take of the height.
    fn height(small: Option<&Self>) -> Mm {
        if let Some(Self::Above(block)) = small { block.height() + GAP } else { Mm::ZERO }
    }

    /// What they take of the code's line.
    fn width(small: Option<&Self>) -> Mm {
        if let Some(Self::Before(_, width)) = small { *width } else { Mm::ZERO }
    }

    fn block(&self) -> &Block {
        match self {
            Self::Above(block) | Self::Before(block, _) => block,
        }
    }
}

/// A column's room for the code, and that for the texts below it.
#[derive(Clone, Copy)]
struct Rooms {
    code: Size,
    texts: Size,
}

/// Sets code and text; where there is no second row, the text stands behind the code.
pub(super) fn set(fonts: &Fonts, content: &Content, design: &Design, column: &Column) -> Words {
    let code = CodeLine::new(fonts, &content.code);
    let small = small(fonts, &code, content, design, column.room);
    let rows = code.size(LEAST_CAP).height + GAP + least_line(fonts, content, design) + Small::height(small.as_ref());
    let has_words = small.is_some() || !content.texts.is_empty();
    let is_lost = small.as_ref().is_some_and(|small| small.block().lines.is_empty());
    if is_lost || (has_words && column.room.height < rows) {
        return one_row(fonts, content, design, column);
    }
    let texts = Size { height: column.room.height - Small::height(small.as_ref()), ..column.room };
    let rooms = Rooms { code: Size { width: texts.width - Small::width(small.as_ref()), ..texts }, texts };
    let (cap, texts) = fitted(fonts, &code, content, design, rooms);
    two_rows(&code, cap, small.as_ref(), &texts, design, column)
}

/// The small words where they leave the code larger.
fn small(fonts: &Fonts, code: &CodeLine<'_>, content: &Content, design: &Design, room: Size) -> Option<Small> {
    let words = content.above.as_ref()?;
    let em = design.text_sizes.largest.min(room.height * 0.14).max(design.text_sizes.smallest);
    let line = Size { height: (room.height * 0.5).max(least_line(fonts, content, design)), ..room };
    let block = text::fit(fonts, words, FaceId::Regular, line, Sizes { largest: em, ..design.text_sizes }, 1);
    let taken = block.em * (fonts.width_em(FaceId::Regular, words) + 0.4);
    let height = room.height - least_line(fonts, content, design) - GAP;
    let below = code.cap_within(Size { height: height - block.height() - GAP, ..room });
    let behind = code.cap_within(Size { width: room.width - taken, height });
    let is_larger = behind >= LEAST_CAP && behind.0 > below.0 * WORTH_A_LINE;
    Some(if is_larger { Small::Before(block, taken) } else { Small::Above(block) })
}

/// The height of one line, whichever of the texts stands on it.
fn least_line(fonts: &Fonts, content: &Content, design: &Design) -> Mm {
    let em = design.text_sizes.smallest;
    content
        .texts
        .iter()
        .map(|text| text::height_of(fonts, &text.words, text.face, em))
        .fold(text::height_of_line(em), Mm::max)
}

/// The height of the code's capitals, and the texts.
fn fitted(fonts: &Fonts, code: &CodeLine<'_>, content: &Content, design: &Design, rooms: Rooms) -> (Mm, Stack) {
    let room = rooms.texts;
    let set = |height: Mm| stack::set(fonts, &content.texts, Size { height, ..room }, design.text_sizes, design.lines);
    let texts = set(text_room(fonts, code, content, design, rooms));
    let over = room.height - texts.height();
    let without_gap = code.cap_within(Size { height: over, ..rooms.code }).min(design.most_cap);
    let over = (over - gap(without_gap, &texts)).max(code.size(LEAST_CAP).height);
    let cap = code.cap_within(Size { height: over, ..rooms.code }).min(design.most_cap);
    let high = code.size(cap).height;
    let left_over = room.height - high - gap(cap, &texts);
    // Where the width or the design keeps the code lower, the texts may grow.
    let grown = set(left_over.max(texts.height()));
    if high < over { (cap, grown) } else { (cap, texts) }
}

/// The height that code and texts would like to have in a column of this width, the texts in their smallest size.
pub(super) fn wanted_height(fonts: &Fonts, content: &Content, design: &Design, width: Mm) -> Mm {
    let code = CodeLine::new(fonts, &content.code);
    let endless = Size { width, height: Mm(1000.0) };
    let cap = design.far.map_or(design.most_cap, |far| far.preferred).min(code.cap_within(endless));
    let texts = stack::least_height(fonts, &content.texts, width, design.text_sizes, design.lines);
    let above = if content.above.is_some() { least_line(fonts, content, design) + GAP } else { Mm::ZERO };
    above + code.size(cap).height + gap_of(cap) + texts
}

/// The height that texts may take at first: their share, less where a code that is read from afar wants
/// more, never less than a line.
fn text_room(fonts: &Fonts, code: &CodeLine<'_>, content: &Content, design: &Design, rooms: Rooms) -> Mm {
    let room = rooms.texts;
    let beside = |cap: Mm| room.height - code.size(cap.min(code.cap_within(rooms.code))).height - gap_of(cap);
    let full = stack::least_height(fonts, &content.texts, room.width, design.text_sizes, design.lines);
    let share = (room.height * design.text_share).max(full.min(room.height * 0.75));
    let wanted = match design.far {
        Some(far) if one_line_holds(fonts, content, design, room.width) => share.min(beside(far.preferred)),
        Some(far) => share.min(beside(far.preferred).max(full.min(beside(far.least)))),
        None => share,
    };
    wanted.max(least_line(fonts, content, design)).min(room.height - code.size(LEAST_CAP).height - GAP)
}

/// Whether all texts stand on one line as they are, so that none is lost where they have no more room.
fn one_line_holds(fonts: &Fonts, content: &Content, design: &Design, width: Mm) -> bool {
    let (face, line) = stack::join(fonts, content.texts.iter(), width, design.text_sizes.smallest);
    let is_whole = !content.texts.iter().any(|text| text.whole);
    is_whole && fonts.width_em(face, &line) * design.text_sizes.smallest.0 <= width.0
}

fn two_rows(
    code: &CodeLine<'_>,
    cap: Mm,
    small: Option<&Small>,
    texts: &Stack,
    design: &Design,
    column: &Column,
) -> Words {
    let over = Small::height(small);
    let (high, text_height) = (code.size(cap).height + over, texts.height());
    let most_gap = (column.room.height - high - text_height).max(least_gap(texts));
    let gap = gap(cap, texts).min(most_gap);
    let spare = (column.room.height - high - gap - text_height).max(Mm::ZERO);
    let raised = if column.is_above && spare > MUCH { spare * 0.35 } else { Mm::ZERO };
    let centred = if !column.is_above && design.symbol_right { spare * 0.5 } else { Mm::ZERO };
    let down = raised + centred + column.level.min(spare);
    let mut at = Point { x: column.at.x, y: column.at.y + down };
    // Small words on the code's line stand on its base line.
    let drop = if over == Mm::ZERO { code.ascent(cap) } else { Mm::ZERO };
    let small_top = |block: &Block| (at.y + drop - block.em * text::ASCENT_EM).max(at.y);
    let small_marks = |block: &Block| block.marks(Point { x: at.x, y: small_top(block) });
    let mut marks: Vec<Mark> = small.into_iter().flat_map(|small| small_marks(small.block())).collect();
    at.y = at.y + over;
    marks.extend(code.marks(cap, Point { x: at.x + Small::width(small), ..at }));
    at.y = at.y + code.size(cap).height + gap;
    marks.extend(texts.marks(at));
    Words { marks, shortened: texts.shortened, left_out: texts.left_out, raised, cap }
}

fn one_row(fonts: &Fonts, content: &Content, design: &Design, column: &Column) -> Words {
    let row = content.row();
    let code = CodeLine::new(fonts, &row);
    let room = column.room;
    let share = Size { width: room.width * ROW_SHARE, height: room.height * 0.85 };
    let cap = code.cap_within(share).min(design.most_cap).max(LEAST_CAP);
    let size = code.size(cap);
    let top = column.at.y + (room.height - size.height).max(Mm::ZERO) * 0.5;
    let mut marks = code.marks(cap, Point { x: column.at.x, y: top });
    let taken = size.width + GAP * 2.0;
    let em = design.text_sizes.smallest;
    let rest = Size { width: room.width - taken, height: room.height };
    let (face, joined) = stack::join(fonts, content.texts.iter(), rest.width, em);
    let block = text::fit(fonts, &joined, face, rest, Sizes { largest: em, smallest: em }, 1);
    let baseline = Point { x: column.at.x + taken, y: top + code.ascent(cap) };
    marks.extend(block.marks_on(baseline));
    let left_out = content.texts.iter().any(|text| text.whole);
    let shortened = block.shortened || (block.lines.is_empty() && !joined.is_empty());
    Words { marks, shortened, left_out, raised: Mm::ZERO, cap }
}

fn least_gap(texts: &Stack) -> Mm {
    if texts.is_empty() { Mm::ZERO } else { GAP }
}

/// White space grows with the code.
fn gap(cap: Mm, texts: &Stack) -> Mm {
    if texts.is_empty() { Mm::ZERO } else { gap_of(cap) }
}

fn gap_of(cap: Mm) -> Mm {
    GAP.max((cap * 0.16).min(Mm(14.0)))
}

/// Texts that are there at all.
pub(super) fn texts(texts: impl IntoIterator<Item = Option<Text>>) -> Vec<Text> {
    texts.into_iter().flatten().filter(|text| !text.words.trim().is_empty()).collect()
}
