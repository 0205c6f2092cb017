//! Code 128 and QR on one label: bars below the words, the QR at the right, in the place where it is largest.

use std::sync::Arc;

use super::{
    LabelError, Stock, Symbols,
    compose::{padded, place},
    design::{Column, Design},
    fit::{self, GAP},
};
use crate::{
    symbol::{ModuleLimits, Symbol, SymbolKind, least_bar_height},
    unit::{Dots, Mm, Point, Size},
};

/// What a label that is recommended is larger than the least.
const MARGIN: Mm = Mm(0.1);

/// Where the QR stands.
#[derive(Debug, Clone, Copy)]
enum Where {
    /// Right of words and bars.
    Right,
    /// Right of the words, above the bars.
    Above,
    /// Right of the bars, below the words.
    Foot,
}

/// Two symbols of a label.
struct Pair<'a> {
    bars: (Arc<Symbol>, String),
    qr: (Arc<Symbol>, String),
    stock: &'a Stock,
}

/// One way to put them on it.
#[derive(Clone, Copy)]
struct Way {
    bars: Dots,
    qr: Dots,
    at: Where,
}

/// The place of both symbols and what is left for words: for the first of `rows` that fits anyhow, with the
/// largest QR, and there with the largest row.
pub(super) fn column(
    payload: &str,
    design: &Design,
    stock: &Stock,
    symbols: Symbols<'_>,
    (rows, words): (&[Size], Mm),
) -> Result<Column, LabelError> {
    let encoded = |kind| {
        let text = symbols.text(payload, kind);
        fit::encode(&text, kind).map(|symbol| (symbol, text))
    };
    let padded = padded(stock);
    let pair = Pair { bars: encoded(SymbolKind::Code128)?, qr: encoded(SymbolKind::Qr)?, stock: &padded };
    let found = rows.iter().find_map(|row| pair.best(*row));
    let Some((way, row)) = found else {
        let least = pair.least_label(stock, rows.last().copied().unwrap_or(Size::new(0.0, 0.0)));
        return Err(LabelError::NoRoomForBoth {
            payload: payload.to_owned(),
            label: stock.size,
            dpi: stock.dpi,
            least,
        });
    };
    let way = pair.widest_bars(way, row);
    let height = pair.bar_height(way, design, row, words);
    Ok(pair.column(way, height))
}

impl Pair<'_> {
    fn best(&self, row: Size) -> Option<(Way, Size)> {
        let limits = ModuleLimits::at(self.stock.dpi, SymbolKind::Qr);
        let aim = ModuleLimits::at(self.stock.dpi, SymbolKind::Code128).aim;
        let ways = |qr| [Where::Right, Where::Above, Where::Foot].map(|at| Way { bars: aim, qr: Dots(qr), at });
        let room = |way: &Way| self.column(*way, self.least_bars(*way)).room;
        let gain = |way: &Way| (room(way).width.0 / row.width.0).min(room(way).height.0 / row.height.0);
        (limits.aim.0..=limits.most.0).rev().find_map(|qr| {
            let fitting = ways(qr).into_iter().filter(|way| self.fits(*way, row));
            fitting.max_by(|a, b| gain(a).total_cmp(&gain(b))).map(|way| (way, row))
        })
    }

    fn widest_bars(&self, way: Way, row: Size) -> Way {
        let most = ModuleLimits::at(self.stock.dpi, SymbolKind::Code128).most;
        let wider = (way.bars.0..=most.0).rev().map(|bars| Way { bars: Dots(bars), ..way });
        wider.into_iter().find(|way| self.fits(*way, row)).unwrap_or(way)
    }

    fn length(&self, modules: u32, x: Dots) -> Mm {
        self.stock.dpi.length(Dots(modules * x.0))
    }

    fn bars_dark(&self, way: Way) -> Mm {
        self.length(self.bars.0.modules(), way.bars)
    }

    fn bars_quiet(&self, way: Way) -> Mm {
        self.length(self.bars.0.quiet_modules(), way.bars)
    }

    fn qr_dark(&self, way: Way) -> Mm {
        self.length(self.qr.0.modules(), way.qr)
    }

    fn qr_quiet(&self, way: Way) -> Mm {
        self.length(self.qr.0.quiet_modules(), way.qr)
    }

    fn least_bars(&self, way: Way) -> Mm {
        least_bar_height(self.bars_dark(way), self.stock.dpi)
    }

    /// From the label's left edge to words and bars.
    fn left(&self, way: Way) -> Mm {
        self.stock.inset_x.max(self.bars_quiet(way))
    }

    /// From the label's right edge to the QR.
    fn right(&self, way: Way) -> Mm {
        self.stock.inset_x.max(self.qr_quiet(way))
    }

    /// White between words and bars.
    fn gap(&self) -> Mm {
        GAP.max(self.stock.size.height * 0.045)
    }

    /// White above and below a QR.
    fn down(&self, way: Way) -> Mm {
        self.stock.inset_y.max(self.qr_quiet(way))
    }

    fn fits(&self, way: Way, row: Size) -> bool {
        let least = self.least_for(way, row);
        least.width.0 <= self.stock.size.width.0 + 1e-6 && least.height.0 <= self.stock.size.height.0 + 1e-6
    }

    /// The smallest label for a way and a row.
    fn least_for(&self, way: Way, row: Size) -> Size {
        let (bars, qr) = (self.bars_dark(way), self.qr_dark(way));
        let between = self.bars_quiet(way).max(self.qr_quiet(way));
        let (left, right, down) = (self.left(way), self.right(way), self.down(way));
        let words_and_bars = row.height + self.gap() + self.least_bars(way) + self.stock.inset_y * 2.0;
        let beside = left + row.width + self.qr_quiet(way) + qr + right;
        let foot = left + bars + between + qr + right;
        match way.at {
            Where::Right => Size { width: beside.max(foot), height: words_and_bars.max(qr + down * 2.0) },
            Where::Above => {
                let under = qr + down + self.qr_quiet(way).max(self.gap()) + self.least_bars(way) + self.stock.inset_y;
                Size { width: beside.max(left + bars + left), height: words_and_bars.max(under) }
            }
            Where::Foot => {
                let high = qr.max(self.least_bars(way)) + down;
                let under = self.stock.inset_y + row.height + self.qr_quiet(way).max(self.gap()) + high;
                Size { width: foot.max(left + row.width + self.stock.inset_x), height: words_and_bars.max(under) }
            }
        }
    }

    /// The smallest label that both fit at their aimed-for modules, in the way that takes the least area.
    fn least_label(&self, stock: &Stock, row: Size) -> Size {
        let aim = |kind| ModuleLimits::at(stock.dpi, kind).aim;
        let way = |at| Way { bars: aim(SymbolKind::Code128), qr: aim(SymbolKind::Qr), at };
        let area = |size: &Size| size.width.0 * size.height.0;
        let mut size = Size::new(1.0, 1.0);
        // A larger label has a little more white, for which it must be a little larger.
        for _ in 0..8 {
            let stock = padded(&Stock { size, ..stock.clone() });
            let own = Pair { bars: self.bars.clone(), qr: self.qr.clone(), stock: &stock };
            let least = [Where::Right, Where::Above, Where::Foot].map(|at| own.least_for(way(at), row));
            size = least.into_iter().min_by(|a, b| area(a).total_cmp(&area(b))).unwrap_or(size);
        }
        Size { width: size.width + MARGIN, height: size.height + MARGIN }
    }

    /// As high as the design wants and the words let them be; at the foot as high as the QR beside them.
    fn bar_height(&self, way: Way, design: &Design, row: Size, words: Mm) -> Mm {
        let (least, height) = (self.least_bars(way), self.stock.size.height);
        let spare = height - self.least_for(way, row).height;
        let wanted = (height * 0.36).min(design.bars).min(height - self.stock.inset_y * 2.0 - self.gap() - words);
        let wanted = wanted.max(Mm(8.0)).min(least + spare.max(Mm::ZERO)).max(least);
        let level = self.qr_dark(way);
        if matches!(way.at, Where::Foot) { wanted.min(Mm(8.0)).max(level).max(least) } else { wanted }
    }

    fn column(&self, way: Way, bar_height: Mm) -> Column {
        let size = self.stock.size;
        let left = self.left(way);
        // At the foot the bars end level with the QR.
        let foot = if matches!(way.at, Where::Foot) { self.down(way) } else { self.stock.inset_y };
        let bars_top = size.height - foot - bar_height;
        let (qr_dark, qr_quiet) = (self.qr_dark(way), self.qr_quiet(way));
        let qr_left = size.width - self.right(way) - qr_dark;
        let qr_top = match way.at {
            Where::Right => (size.height - qr_dark) * 0.5,
            Where::Above => self.down(way),
            Where::Foot => size.height - self.down(way) - qr_dark,
        };
        let bars = place(&self.bars.0, &self.bars.1, self.stock, Point { x: left, y: bars_top }, way.bars, bar_height);
        let qr = place(&self.qr.0, &self.qr.1, self.stock, Point { x: qr_left, y: qr_top }, way.qr, qr_dark);
        let placed =
            |symbol: &super::PlacedSymbol| (self.stock.dpi.length(symbol.left), self.stock.dpi.length(symbol.top));
        let above_bars = placed(&bars).1 - self.gap();
        let (right, bottom) = match way.at {
            Where::Foot => (size.width - self.stock.inset_x, above_bars.min(placed(&qr).1 - qr_quiet.max(self.gap()))),
            Where::Right | Where::Above => (placed(&qr).0 - qr_quiet, above_bars),
        };
        let room = Size { width: right - left, height: bottom - self.stock.inset_y };
        let is_above = matches!(way.at, Where::Foot);
        Column {
            at: Point { x: left, y: self.stock.inset_y },
            room,
            symbols: vec![bars, qr],
            is_above,
            level: Mm::ZERO,
        }
    }
}
