//! The symbol that a label gets, and how many dots its modules have.

use std::sync::Arc;

use super::{LabelError, LabelWarning, Stock, SymbolChoice, error::PHOTOGRAPH_X};
use crate::{
    symbol::{ModuleLimits, Symbol, SymbolKind, least_bar_height},
    unit::{Dots, Mm, Size},
};

/// Below this a code is no longer read at arm's length.
pub(super) const LEAST_CAP: Mm = Mm(1.9);
/// Between rows.
pub(super) const GAP: Mm = Mm(0.9);
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

/// Chooses and sizes the symbol of a label on which `row` must stand as well, the least code row.
pub(super) fn choose(payload: &str, stock: &Stock, choice: SymbolChoice, row: Size) -> Result<Sized, LabelError> {
    match choice {
        SymbolChoice::Only(kind) => sized(payload, stock, kind, row),
        SymbolChoice::Auto => {
            let aim = ModuleLimits::at(stock.dpi, SymbolKind::Code128).aim;
            match sized(payload, stock, SymbolKind::Code128, row) {
                Ok(linear) if linear.x >= aim => Ok(linear),
                _ => sized(payload, stock, SymbolKind::Qr, row),
            }
        }
    }
}

fn sized(payload: &str, stock: &Stock, kind: SymbolKind, row: Size) -> Result<Sized, LabelError> {
    let symbol = Arc::new(match kind {
        SymbolKind::Code128 => Symbol::code128(payload)?,
        SymbolKind::Qr => Symbol::qr(payload)?,
    });
    let limits = ModuleLimits::at(stock.dpi, kind);
    let wide = kind == SymbolKind::Qr && stock.size.width.0 >= WIDE * stock.size.height.0;
    let fits = |beside| (limits.least.0..=limits.most.0).rev().map(move |x| (Dots(x), beside));
    let sized = |(x, beside)| Sized { symbol: Arc::clone(&symbol), x, beside };
    let places = fits(true).filter(|_| wide).chain(fits(false));
    let found = places.map(sized).find(|sized| has_room(sized, stock, row));
    found.ok_or_else(|| LabelError::TooSmall {
        kind,
        payload: payload.to_owned(),
        label: stock.size,
        dpi: stock.dpi,
        least: least_label(&sized((limits.least, false)), stock, row),
    })
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
        (SymbolKind::Qr, true) => Size { width: across + row.width, height: down.max(row.height) },
        (SymbolKind::Qr, false) => Size { width: across.max(row_across), height: down + row.height + stock.inset_y },
    }
}

/// What is worth saying about the size of a symbol.
pub(super) fn warn(sized: &Sized, stock: &Stock) -> Option<LabelWarning> {
    let x = stock.dpi.length(sized.x);
    let aim = ModuleLimits::at(stock.dpi, SymbolKind::Code128).aim;
    match sized.symbol.kind() {
        SymbolKind::Qr if x.0 < PHOTOGRAPH_X.0 => Some(LabelWarning::SmallForPhotographs { x }),
        SymbolKind::Code128 if sized.x < aim => {
            Some(LabelWarning::NarrowBars { x, aim: sized.symbol.width_with_quiet(aim, stock.dpi) })
        }
        _ => None,
    }
}
