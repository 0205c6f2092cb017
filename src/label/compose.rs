//! The one grid of all labels: a code, text below it, and a symbol beside or below both.

use super::{
    Drawing, Drawn, LabelError, LabelWarning, Mark, PlacedSymbol, Stock, SymbolChoice,
    fit::{self, GAP, LEAST_CAP, Sized},
    text::{self, Block, Sizes},
};
use crate::{
    font::FaceId,
    symbol::{SymbolKind, least_bar_height},
    unit::{Dots, Mm, Point, Size},
};

/// What stands on a label.
pub(super) struct Content {
    pub payload: String,
    /// The code in its faces, left to right.
    pub code: Vec<(FaceId, String)>,
    /// Lines of text below it, the first one first to stay.
    pub texts: Vec<(FaceId, String)>,
}

/// How a kind of label shares out its room.
pub(super) struct Design {
    /// The highest capitals of the code.
    pub most_cap: Mm,
    /// The part of the room above or beside the symbol that the text may take.
    pub text_share: f64,
    pub text_sizes: Sizes,
    /// Lines that each text may take.
    pub lines: usize,
    /// The height of bars where there is room for it.
    pub bars: Mm,
    /// Whether a QR stands right of the text.
    pub symbol_right: bool,
}

/// Draws a label.
pub(super) fn compose(
    content: &Content,
    design: &Design,
    stock: &Stock,
    choice: SymbolChoice,
) -> Result<Drawn, LabelError> {
    let row = Size { width: LEAST_CAP * (code_width_em(content) / cap_em()), height: LEAST_CAP };
    let sized = fit::choose(&content.payload, stock, choice, row)?;
    let stock = &padded(stock);
    let mut column = if sized.beside { beside(&sized, design, stock) } else { below(&sized, design, stock) };
    let words = set(content, design, &column);
    column.symbol.top.0 -= stock.dpi.dots_within(words.raised).0;
    let marks = words.marks.into_iter().chain([Mark::Symbol(column.symbol)]).collect();
    let code = content.code.iter().map(|(_, part)| part.as_str()).collect::<String>();
    let missing = missing(content, &code);
    let shortened = words.shortened.then_some(LabelWarning::Shortened(code));
    let warnings = missing.into_iter().chain(shortened).chain(fit::warn(&sized, stock)).collect();
    Ok(Drawn { drawing: Drawing { size: stock.size, marks }, warnings })
}

/// Larger labels have more white at their edges.
fn padded(stock: &Stock) -> Stock {
    let white = stock.size.width.min(stock.size.height) * 0.045;
    Stock { inset_x: stock.inset_x.max(white), inset_y: stock.inset_y.max(white), ..*stock }
}

/// The place for code and text, and the symbol next to it.
struct Column {
    at: Point,
    room: Size,
    symbol: PlacedSymbol,
    /// Whether the symbol stands below.
    is_above: bool,
}

/// A QR beside the text, in the middle of the label's height.
fn beside(sized: &Sized, design: &Design, stock: &Stock) -> Column {
    let (dark, quiet) = (sized.dark(stock), sized.quiet(stock));
    let edge = stock.inset_x.max(quiet);
    let left = if design.symbol_right { stock.size.width - edge - dark } else { edge };
    let symbol = place(sized, stock, left, (stock.size.height - dark) * 0.5, dark);
    let text_left = if design.symbol_right { stock.inset_x + Mm(0.5) } else { edge + dark + quiet };
    let text_right = if design.symbol_right { left - quiet } else { stock.size.width - stock.inset_x };
    // A tag's code begins level with its symbol; a sign's code takes all of the height.
    let top = if design.symbol_right { stock.inset_y } else { stock.dpi.length(symbol.top).max(stock.inset_y) };
    Column {
        at: Point { x: text_left, y: top },
        room: Size { width: text_right - text_left, height: stock.size.height - stock.inset_y - top },
        symbol,
        is_above: false,
    }
}

/// Bars or a QR below the text, all on one left edge.
fn below(sized: &Sized, design: &Design, stock: &Stock) -> Column {
    let (dark, quiet) = (sized.dark(stock), sized.quiet(stock));
    let spare = stock.size.width - dark - quiet.max(stock.inset_x) * 2.0;
    let left = stock.inset_x.max(quiet) + Mm((spare.0 / 2.0).clamp(0.0, 2.0));
    let inside = stock.size.height - stock.inset_y * 2.0;
    let is_qr = sized.symbol.kind() == SymbolKind::Qr;
    let height = if is_qr { dark } else { bar_height(dark, inside, design) };
    let foot = if is_qr { stock.inset_y.max(quiet) } else { stock.inset_y };
    let symbol = place(sized, stock, left, stock.size.height - foot - height, height);
    let gap = if is_qr { quiet } else { GAP.max(inside * 0.035) };
    let bottom = stock.dpi.length(symbol.top) - gap;
    Column {
        at: Point { x: left, y: stock.inset_y },
        room: Size { width: stock.size.width - left - stock.inset_x, height: bottom - stock.inset_y },
        symbol,
        is_above: true,
    }
}

/// Bars as high as the design wants, 8 mm while code and a line of text still fit, never below the least.
fn bar_height(dark: Mm, inside: Mm, design: &Design) -> Mm {
    let least = least_bar_height(dark);
    let words = LEAST_CAP + GAP * 2.0 + design.text_sizes.smallest * text::LEADING_EM;
    let wanted = (inside * 0.36).min(design.bars).max(Mm(8.0)).max(least);
    wanted.min(inside - words).max(least.min(inside - LEAST_CAP - GAP))
}

fn place(sized: &Sized, stock: &Stock, left: Mm, top: Mm, height: Mm) -> PlacedSymbol {
    let dots = |length: Mm| stock.dpi.dots_within(length);
    PlacedSymbol {
        symbol: std::sync::Arc::clone(&sized.symbol),
        left: dots(left),
        top: dots(top),
        x: sized.x,
        height: match sized.symbol.kind() {
            SymbolKind::Code128 => dots(height),
            SymbolKind::Qr => Dots(sized.symbol.modules() * sized.x.0),
        },
    }
}

struct Words {
    marks: Vec<Mark>,
    shortened: bool,
    /// How far the symbol below moves up towards the words, where much room is left over.
    raised: Mm,
}

/// More than this left over on a label is shared out above, between and below.
const MUCH: Mm = Mm(15.0);

/// Sets code and text into a column; where there is no second row, the text stands behind the code.
fn set(content: &Content, design: &Design, column: &Column) -> Words {
    let room = column.room;
    let widest = Mm(room.width.0 / code_width_em(content) * cap_em());
    let line = text::height_of_line(design.text_sizes.smallest);
    if !content.texts.is_empty() && room.height < LEAST_CAP + GAP + line {
        return one_row(content, design, column);
    }
    let lines = line * f64::from(u32::try_from(content.texts.len()).unwrap_or(1));
    let text_room = Mm(room.height.0 * design.text_share).max(lines).min(room.height - LEAST_CAP - GAP);
    let joined = [joined(content)];
    let wanted = if text_room.0 + 1e-6 < lines.0 { &joined[..] } else { &content.texts };
    let texts = blocks(wanted, design, Size { width: room.width, height: text_room });
    let text_height = height(&texts);
    let cap = widest.min(design.most_cap).min(room.height - text_height - gap_above(&texts));
    let texts = if cap < room.height - text_height - gap_above(&texts) {
        blocks(wanted, design, Size { width: room.width, height: room.height - cap - GAP })
    } else {
        texts
    };
    let (text_height, gap) = (height(&texts), gap_between(cap, &texts));
    let total = cap + gap + text_height;
    let spare = (room.height - total).max(Mm::ZERO);
    let raised = if column.is_above && spare > MUCH { spare * 0.35 } else { Mm::ZERO };
    let centred = if !column.is_above && design.symbol_right { spare * 0.5 } else { Mm::ZERO };
    let top = column.at.y + raised + centred;
    let code = code_marks(content, cap, Point { x: column.at.x, y: top + cap });
    let mut at = Point { x: column.at.x, y: top + cap + gap };
    let mut marks = code;
    for block in &texts {
        marks.extend(block.marks(at));
        at.y = at.y + block.height();
    }
    Words { marks, shortened: texts.iter().any(|block| block.shortened), raised }
}

/// All texts on one line, where there is no room for more.
fn joined(content: &Content) -> (FaceId, String) {
    let face = content.texts.first().map_or(FaceId::Regular, |(face, _)| *face);
    (face, content.texts.iter().map(|(_, text)| text.as_str()).collect::<Vec<_>>().join(", "))
}

fn one_row(content: &Content, design: &Design, column: &Column) -> Words {
    let room = column.room;
    let widest = Mm(room.width.0 * 0.42 / code_width_em(content) * cap_em());
    let cap = widest.min(design.most_cap).min(room.height * 0.85).max(LEAST_CAP);
    let baseline = column.at.y + cap + (room.height - cap).max(Mm::ZERO) * 0.5;
    let taken = Mm(code_width_em(content) * cap.0 / cap_em()) + GAP * 2.0;
    let em = design.text_sizes.smallest.min(text::em_for_height(1, room.height));
    let (face, joined) = joined(content);
    let rest = Size { width: room.width - taken, height: room.height };
    let block = text::fit(&joined, face, rest, Sizes { largest: em, smallest: em }, 1);
    let mut marks = code_marks(content, cap, Point { x: column.at.x, y: baseline });
    for line in &block.lines {
        marks.extend(text::run(face, em, Point { x: column.at.x + taken, y: baseline }, line));
    }
    Words { marks, shortened: block.shortened, raised: Mm::ZERO }
}

/// The texts one below the other, each with what the ones before have left.
fn blocks(texts: &[(FaceId, String)], design: &Design, room: Size) -> Vec<Block> {
    let mut left = room.height;
    let mut found = Vec::new();
    let mut sizes = design.text_sizes;
    for (at, (face, text)) in texts.iter().enumerate() {
        let share = if at + 1 < texts.len() { left * 0.5 } else { left };
        let block = text::fit(text, *face, Size { width: room.width, height: share }, sizes, design.lines);
        left = left - block.height();
        sizes.largest = sizes.largest.min(block.em);
        found.push(block);
    }
    found
}

fn height(blocks: &[Block]) -> Mm {
    blocks.iter().map(Block::height).sum()
}

fn gap_above(blocks: &[Block]) -> Mm {
    if blocks.iter().all(|block| block.lines.is_empty()) { Mm::ZERO } else { GAP }
}

/// White space grows with the code.
fn gap_between(cap: Mm, blocks: &[Block]) -> Mm {
    if gap_above(blocks) == Mm::ZERO { Mm::ZERO } else { GAP.max((cap * 0.12).min(Mm(3.0))) }
}

fn cap_em() -> f64 {
    FaceId::Bold.face().cap_height_em()
}

/// Width of the code in ems, from the left edge of its first glyph.
fn code_width_em(content: &Content) -> f64 {
    let parts = content.code.iter().map(|(face, part)| face.face().width_em(part));
    parts.sum::<f64>() - first_bearing(content)
}

fn first_bearing(content: &Content) -> f64 {
    let first = content.code.first().and_then(|(face, part)| Some((face, part.chars().next()?)));
    first.map_or(0.0, |(face, character)| face.face().bearing_em(character))
}

fn code_marks(content: &Content, cap: Mm, at: Point) -> Vec<Mark> {
    let em = Mm(cap.0 / cap_em());
    let mut pen = Point { x: at.x - em * first_bearing(content), y: at.y };
    let mut marks = Vec::new();
    for (face, part) in &content.code {
        marks.extend(text::run(*face, em, pen, part));
        pen.x = pen.x + em * face.face().width_em(part);
    }
    marks
}

fn missing(content: &Content, code: &str) -> Option<LabelWarning> {
    let characters: String = content.texts.iter().map(|(face, text)| text::missing(text, *face)).collect();
    (!characters.is_empty()).then(|| LabelWarning::MissingCharacters { characters, code: code.to_owned() })
}
