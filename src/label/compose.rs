//! The one grid of all labels: a code, text below it, and a symbol beside or below both.

use std::sync::Arc;

use super::{
    Drawing, Drawn, LabelError, LabelWarning, Mark, PlacedSymbol, Stock, SymbolChoice, Symbols, both,
    code_line::CodeLine,
    design::{Column, Content, Design},
    distance,
    fit::{self, BESIDE_EDGE, GAP, LEAST_CAP, Sized},
    text,
    words::{self, Words},
};
use crate::{
    font::Fonts,
    symbol::{Symbol, SymbolKind, least_bar_height},
    unit::{Dots, Mm, Point, Size},
};

/// A label and the height of its code's capitals.
pub(super) struct Composed {
    pub drawn: Drawn,
    pub cap: Mm,
}

/// Draws a label with its symbols.
pub(super) fn compose(
    content: &Content,
    design: &Design,
    stock: &Stock,
    symbols: Symbols<'_>,
) -> Result<Composed, LabelError> {
    let rows = rows(&stock.fonts, content, design);
    let words = words::wanted_height(&stock.fonts, content, design, stock.size.width - stock.inset_x * 4.0);
    let column = if symbols.choice == SymbolChoice::Both {
        both::column(&content.payload, design, stock, symbols, (&rows, words))?
    } else {
        let sized = fit::choose(&content.payload, stock, symbols, &rows)?;
        let text = symbols.text(&content.payload, sized.symbol.kind());
        single(&sized, &text, design, &padded(stock), (rows[rows.len() - 1], words))
    };
    let mut composed = finish(content, design, stock, column);
    composed.drawn.warnings.extend(of_link(&composed.drawn.drawing, symbols));
    Ok(composed)
}

/// Draws a label without symbols.
pub(super) fn plain(content: &Content, design: &Design, stock: &Stock) -> Composed {
    let padded = padded(stock);
    let at = Point { x: padded.inset_x, y: padded.inset_y };
    let room = Size { width: stock.size.width - at.x * 2.0, height: stock.size.height - at.y * 2.0 };
    finish(content, design, stock, Column { at, room, symbols: Vec::new(), is_above: false, level: Mm::ZERO })
}

/// The rows that the symbol should leave room for, the best first: where a code is read from afar, its
/// capitals in the height for that and a line of text, or as near to it as the label lets them be.
fn rows(fonts: &Fonts, content: &Content, design: &Design) -> Vec<Size> {
    let (code, row) = (CodeLine::new(fonts, &content.code), content.row());
    let line = text::height_of_line(design.text_sizes.smallest) + GAP;
    let heights = design.far.iter().flat_map(|far| (0..10).map(|step| far.preferred * 0.85_f64.powi(step)));
    let least = CodeLine::new(fonts, &row).size(LEAST_CAP);
    let tall = |cap: Mm| {
        let size = code.size(cap);
        Size { width: size.width.max(least.width), height: size.height + line }
    };
    heights.filter(|cap| *cap > LEAST_CAP).map(tall).chain([least]).collect()
}

fn finish(content: &Content, design: &Design, stock: &Stock, mut column: Column) -> Composed {
    let Words { marks, shortened, left_out, raised, cap } = words::set(&stock.fonts, content, design, &column);
    for symbol in &mut column.symbols {
        symbol.top.0 -= stock.dpi.dots_within(raised).0;
    }
    let code = content.code_text();
    let warnings = missing(&stock.fonts, content, &code)
        .into_iter()
        .chain(shortened.then(|| LabelWarning::Shortened(code.clone())))
        .chain(left_out.then(|| LabelWarning::WeightLeftOut(code.clone())))
        .chain(near(cap, design))
        .chain(column.symbols.iter().filter_map(|symbol| fit::warn(symbol, stock)))
        .collect();
    let marks = marks.into_iter().chain(column.symbols.into_iter().map(Mark::Symbol)).collect();
    Composed { drawn: Drawn { drawing: Drawing { size: stock.size, marks }, warnings }, cap }
}

/// Whether a code is read from less far than it should be, by more than rounding.
fn near(cap: Mm, design: &Design) -> Option<LabelWarning> {
    let needed = design.far?.preferred;
    let (from, wanted) = (distance::read_from(cap), distance::read_from(needed));
    (cap.0 < needed.0 * 0.999).then_some(LabelWarning::ReadFromLess { cap, from, wanted, needed })
}

fn of_link(drawing: &Drawing, symbols: Symbols<'_>) -> Option<LabelWarning> {
    let base = symbols.link?;
    let has_qr = drawing.symbols().any(|placed| placed.symbol.kind() == SymbolKind::Qr);
    Some(if has_qr { LabelWarning::LinkDies(base.to_string()) } else { LabelWarning::LinkLeftOut })
}

/// Larger labels have more white at their edges.
pub(super) fn padded(stock: &Stock) -> Stock {
    let white = stock.size.width.min(stock.size.height) * 0.045;
    Stock { inset_x: stock.inset_x.max(white), inset_y: stock.inset_y.max(white), ..stock.clone() }
}

fn single(sized: &Sized, text: &str, design: &Design, stock: &Stock, words: (Size, Mm)) -> Column {
    if sized.beside { beside(sized, text, design, stock) } else { below(sized, text, design, stock, words) }
}

/// A QR beside the text, in the middle of the label's height.
fn beside(sized: &Sized, text: &str, design: &Design, stock: &Stock) -> Column {
    let (dark, quiet) = (sized.dark(stock), sized.quiet(stock));
    let edge = stock.inset_x.max(quiet);
    let left = if design.symbol_right { stock.size.width - edge - dark } else { edge };
    let at = Point { x: left, y: (stock.size.height - dark) * 0.5 };
    let symbol = place(&sized.symbol, text, stock, at, sized.x, dark);
    let text_left = if design.symbol_right { stock.inset_x + BESIDE_EDGE } else { edge + dark + quiet };
    let text_right =
        if design.symbol_right { stock.dpi.length(symbol.left) - quiet } else { stock.size.width - stock.inset_x };
    // A tag's code begins level with its symbol where it can.
    let top = stock.inset_y;
    let level = if design.symbol_right { Mm::ZERO } else { (stock.dpi.length(symbol.top) - top).max(Mm::ZERO) };
    Column {
        at: Point { x: text_left, y: top },
        room: Size { width: text_right - text_left, height: stock.size.height - stock.inset_y - top },
        symbols: vec![symbol],
        is_above: false,
        level,
    }
}

/// Bars or a QR below the text, all on one left edge.
fn below(sized: &Sized, text: &str, design: &Design, stock: &Stock, (row, words): (Size, Mm)) -> Column {
    let (dark, quiet) = (sized.dark(stock), sized.quiet(stock));
    let spare = stock.size.width - dark - quiet.max(stock.inset_x) * 2.0;
    let edge = stock.inset_x.max(quiet);
    let beside_row = (stock.size.width - edge - row.width - stock.inset_x).max(Mm::ZERO);
    let left = edge + Mm((spare.0 / 2.0).clamp(0.0, 2.0)).min(beside_row);
    let inside = stock.size.height - stock.inset_y * 2.0;
    let is_qr = sized.symbol.kind() == SymbolKind::Qr;
    let height = if is_qr { dark } else { bar_height(dark, stock, design, (row, words)) };
    let foot = if is_qr { stock.inset_y.max(quiet) } else { stock.inset_y };
    let at = Point { x: left, y: stock.size.height - foot - height };
    let symbol = place(&sized.symbol, text, stock, at, sized.x, height);
    let gap = if is_qr { quiet } else { GAP.max(inside * 0.045) };
    let bottom = stock.dpi.length(symbol.top) - gap;
    Column {
        at: Point { x: left, y: stock.inset_y },
        room: Size { width: stock.size.width - left - stock.inset_x, height: bottom - stock.inset_y },
        symbols: vec![symbol],
        is_above: true,
        level: Mm::ZERO,
    }
}

/// Bars as high as the design wants and all words leave them, 8 mm while code and a line of text still fit,
/// never below the least.
fn bar_height(dark: Mm, stock: &Stock, design: &Design, (row, words): (Size, Mm)) -> Mm {
    let inside = stock.size.height - stock.inset_y * 2.0;
    let least = least_bar_height(dark, stock.dpi);
    let gaps = GAP.max(inside * 0.045);
    let few = row.height + GAP * 2.0 + design.text_sizes.smallest * text::LEADING_EM;
    let wanted = (inside * 0.36).min(design.bars).min(inside - words - gaps).max(Mm(8.0));
    wanted.min(inside - few).max(least)
}

/// A symbol with its top left corner on the dot there or before.
pub(super) fn place(symbol: &Arc<Symbol>, text: &str, stock: &Stock, at: Point, x: Dots, height: Mm) -> PlacedSymbol {
    let dots = |length: Mm| stock.dpi.dots_within(length);
    PlacedSymbol {
        text: text.to_owned(),
        symbol: Arc::clone(symbol),
        left: dots(at.x),
        top: dots(at.y),
        x,
        height: match symbol.kind() {
            SymbolKind::Code128 => dots(height),
            SymbolKind::Qr => Dots(symbol.modules() * x.0),
        },
    }
}

fn missing(fonts: &Fonts, content: &Content, code: &str) -> Option<LabelWarning> {
    let characters: String = content.texts.iter().map(|text| text::missing(fonts, &text.words, text.face)).collect();
    (!characters.is_empty()).then(|| LabelWarning::MissingCharacters { characters, code: code.to_owned() })
}
