//! The one grid of all labels: a code, text below it, and a symbol beside or below both.

use super::{
    Drawing, Drawn, LabelError, LabelWarning, Mark, PlacedSymbol, Stock, SymbolChoice,
    code_line::CodeLine,
    design::{Column, Content, Design},
    fit::{self, GAP, LEAST_CAP, Sized},
    text, words,
};
use crate::{
    font::Fonts,
    symbol::{SymbolKind, least_bar_height},
    unit::{Dots, Mm, Point, Size},
};

/// Draws a label.
pub(super) fn compose(
    content: &Content,
    design: &Design,
    stock: &Stock,
    choice: SymbolChoice,
) -> Result<Drawn, LabelError> {
    let row = CodeLine::new(&stock.fonts, &content.code).size(LEAST_CAP);
    let sized = fit::choose(&content.payload, stock, choice, row)?;
    let stock = &padded(stock);
    let mut column = if sized.beside { beside(&sized, design, stock) } else { below(&sized, design, stock, row) };
    let words = words::set(&stock.fonts, content, design, &column);
    column.symbol.top.0 -= stock.dpi.dots_within(words.raised).0;
    let marks = words.marks.into_iter().chain([Mark::Symbol(column.symbol)]).collect();
    let code = content.code.iter().map(|(_, part)| part.as_str()).collect::<String>();
    let missing = missing(&stock.fonts, content, &code);
    let shortened = words.shortened.then_some(LabelWarning::Shortened(code));
    let warnings = missing.into_iter().chain(shortened).chain(fit::warn(&sized, stock)).collect();
    Ok(Drawn { drawing: Drawing { size: stock.size, marks }, warnings })
}

/// Larger labels have more white at their edges.
fn padded(stock: &Stock) -> Stock {
    let white = stock.size.width.min(stock.size.height) * 0.045;
    Stock { inset_x: stock.inset_x.max(white), inset_y: stock.inset_y.max(white), ..stock.clone() }
}

/// A QR beside the text, in the middle of the label's height.
fn beside(sized: &Sized, design: &Design, stock: &Stock) -> Column {
    let (dark, quiet) = (sized.dark(stock), sized.quiet(stock));
    let edge = stock.inset_x.max(quiet);
    let left = if design.symbol_right { stock.size.width - edge - dark } else { edge };
    let symbol = place(sized, stock, left, (stock.size.height - dark) * 0.5, dark);
    let text_left = if design.symbol_right { stock.inset_x + Mm(0.5) } else { edge + dark + quiet };
    let text_right =
        if design.symbol_right { stock.dpi.length(symbol.left) - quiet } else { stock.size.width - stock.inset_x };
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
fn below(sized: &Sized, design: &Design, stock: &Stock, row: Size) -> Column {
    let (dark, quiet) = (sized.dark(stock), sized.quiet(stock));
    let spare = stock.size.width - dark - quiet.max(stock.inset_x) * 2.0;
    let edge = stock.inset_x.max(quiet);
    let beside_row = (stock.size.width - edge - row.width - stock.inset_x).max(Mm::ZERO);
    let left = edge + Mm((spare.0 / 2.0).clamp(0.0, 2.0)).min(beside_row);
    let inside = stock.size.height - stock.inset_y * 2.0;
    let is_qr = sized.symbol.kind() == SymbolKind::Qr;
    let height = if is_qr { dark } else { bar_height(dark, stock, design, row) };
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
fn bar_height(dark: Mm, stock: &Stock, design: &Design, row: Size) -> Mm {
    let inside = stock.size.height - stock.inset_y * 2.0;
    let least = least_bar_height(dark, stock.dpi);
    let words = row.height + GAP * 2.0 + design.text_sizes.smallest * text::LEADING_EM;
    let wanted = (inside * 0.36).min(design.bars).max(Mm(8.0));
    wanted.min(inside - words).max(least)
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

fn missing(fonts: &Fonts, content: &Content, code: &str) -> Option<LabelWarning> {
    let characters: String = content.texts.iter().map(|(face, text)| text::missing(fonts, text, *face)).collect();
    (!characters.is_empty()).then(|| LabelWarning::MissingCharacters { characters, code: code.to_owned() })
}
