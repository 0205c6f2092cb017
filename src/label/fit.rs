//! The symbol that a label gets, and how many dots its modules have.

use std::sync::Arc;

use super::{LabelError, LabelWarning, PlacedSymbol, Stock, SymbolChoice, Symbols, error::PHOTOGRAPH_X};
use crate::{
    symbol::{ModuleLimits, Symbol, SymbolKind, least_bar_height},
    unit::{Dots, Mm, Size},
};

/// Below this a code is no longer read at arm's length.
pub(super) const LEAST_CAP: Mm = Mm(1.9);
/// Between rows.
pub(super) const GAP: Mm = Mm(0.9);
/// Text beside a QR keeps this much more from the label's edge, as symbols do by their quiet zones.
pub(super) const BESIDE_EDGE: Mm = Mm(0.5);
/// A label this much wider than high has its QR beside the text.
const WIDE: f64 = 1.25;
/// The part of the label that a QR may take beside its text or below it.
const QR_SHARE: f64 = 0.48;

/// A symbol with its module, and whether it stands beside the text.
#[derive(Debug, Clone)]
pub(super) struct Sized {
    pub symbol: Arc<Symbol>,
    pub x: Dots,
    pub beside: bool,
}

impl Sized {
    /// Side or width of the dark part.
    pub(super) fn dark(&self, stock: &Stock) -> Mm {
        stock.dpi.length(Dots(self.symbol.modules() * self.x.0))
    }

    /// One quiet zone.
    pub(super) fn quiet(&self, stock: &Stock) -> Mm {
        stock.dpi.length(Dots(self.symbol.quiet_modules() * self.x.0))
    }
}

/// Chooses and sizes the symbol of a label on which one of `rows` must stand as well, the first one if it can;
/// the last is the least code row. Only there the module may be below the aimed-for one.
pub(super) fn choose(payload: &str, stock: &Stock, symbols: Symbols<'_>, rows: &[Size]) -> Result<Sized, LabelError> {
    let only = |kind| sized(&symbols.text(payload, kind), stock, kind, rows);
    match symbols.choice {
        SymbolChoice::Only(kind) => only(kind),
        SymbolChoice::Auto | SymbolChoice::Both => {
            let aim = ModuleLimits::at(stock.dpi, SymbolKind::Code128).aim;
            only(SymbolKind::Code128).ok().filter(|linear| linear.x >= aim).map_or_else(|| only(SymbolKind::Qr), Ok)
        }
    }
}

pub(super) fn encode(text: &str, kind: SymbolKind) -> Result<Arc<Symbol>, LabelError> {
    Ok(Arc::new(match kind {
        SymbolKind::Code128 => Symbol::code128(text)?,
        SymbolKind::Qr => Symbol::qr(text)?,
    }))
}

fn sized(text: &str, stock: &Stock, kind: SymbolKind, rows: &[Size]) -> Result<Sized, LabelError> {
    let symbol = encode(text, kind)?;
    let limits = ModuleLimits::at(stock.dpi, kind);
    let (least_row, better) = rows.split_last().expect("every label has a code row");
    let better = better.iter().find_map(|row| largest(&symbol, stock, *row, limits.aim));
    let found = better.or_else(|| largest(&symbol, stock, *least_row, limits.least));
    let least = Sized { symbol, x: limits.least, beside: false };
    found.ok_or_else(|| LabelError::TooSmall {
        kind,
        payload: text.to_owned(),
        label: stock.size,
        dpi: stock.dpi,
        least: least_label(&least, stock, *least_row),
    })
}

/// The symbol with the largest module, at least this one, that leaves room for a row.
fn largest(symbol: &Arc<Symbol>, stock: &Stock, row: Size, least: Dots) -> Option<Sized> {
    let most = ModuleLimits::at(stock.dpi, symbol.kind()).most;
    let wide = symbol.kind() == SymbolKind::Qr && stock.size.width.0 >= WIDE * stock.size.height.0;
    let fits = |beside| (least.0..=most.0).rev().map(move |x| (Dots(x), beside));
    let places = fits(true).filter(|_| wide).chain(fits(false));
    let sized = |(x, beside)| Sized { symbol: Arc::clone(symbol), x, beside };
    places.map(sized).find(|sized| has_room(sized, stock, row))
}

/// Whether the symbol with its quiet zones is on the label, its dark part within the insets, and the
/// code row beside or above it.
fn has_room(sized: &Sized, stock: &Stock, row: Size) -> bool {
    let least = least_label(sized, stock, row);
    let whole = least.width.0 <= stock.size.width.0 + 1e-6 && least.height.0 <= stock.size.height.0 + 1e-6;
    whole && (sized.symbol.kind() == SymbolKind::Code128 || is_modest(sized, stock))
}

/// A QR leaves the text its share of the label, unless even the least one takes more.
fn is_modest(sized: &Sized, stock: &Stock) -> bool {
    let side = stock.size;
    let share = if sized.beside { side.width } else { side.height } * QR_SHARE;
    let whole = sized.symbol.width_with_quiet(sized.x, stock.dpi);
    whole.0 <= share.0 + 1e-6 || sized.x == ModuleLimits::at(stock.dpi, SymbolKind::Qr).least
}

/// The least label for this symbol and module.
fn least_label(sized: &Sized, stock: &Stock, row: Size) -> Size {
    let (dark, whole) = (sized.dark(stock), sized.symbol.width_with_quiet(sized.x, stock.dpi));
    let across = whole.max(dark + stock.inset_x * 2.0);
    let down = whole.max(dark + stock.inset_y * 2.0);
    let row_across = stock.inset_x.max(sized.quiet(stock)) + row.width + stock.inset_x;
    match (sized.symbol.kind(), sized.beside) {
        (SymbolKind::Code128, _) => Size {
            width: across.max(row_across),
            height: row.height + GAP + least_bar_height(dark, stock.dpi) + stock.inset_y * 2.0,
        },
        (SymbolKind::Qr, true) => {
            let edge = stock.inset_x.max(sized.quiet(stock));
            let beside = row.width + stock.inset_x + BESIDE_EDGE;
            Size {
                width: edge + dark + sized.quiet(stock) + beside,
                height: down.max(row.height + stock.inset_y * 2.0),
            }
        }
        // Up to a dot is lost where the symbol moves to the grid.
        (SymbolKind::Qr, false) => {
            Size { width: across.max(row_across), height: down + row.height + stock.inset_y + stock.dpi.dot() }
        }
    }
}

/// What is worth saying about the size of a symbol.
pub(super) fn warn(placed: &PlacedSymbol, stock: &Stock) -> Option<LabelWarning> {
    let x = stock.dpi.length(placed.x);
    let aim = ModuleLimits::at(stock.dpi, SymbolKind::Code128).aim;
    match placed.symbol.kind() {
        SymbolKind::Qr if x.0 < PHOTOGRAPH_X.0 => Some(LabelWarning::SmallForPhotographs { x }),
        SymbolKind::Code128 if placed.x < aim => {
            Some(LabelWarning::NarrowBars { x, aim: placed.symbol.width_with_quiet(aim, stock.dpi) })
        }
        _ => None,
    }
}
