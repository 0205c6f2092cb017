//! An item's tag: code, title and symbol.

use super::{
    Drawn, LabelError, Stock, SymbolChoice,
    compose::compose,
    design::{Content, Design},
    text::Sizes,
};
use crate::{code::ItemCode, font::FaceId, unit::Mm};

/// What an item's tag says. What the item cost is never among it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tag {
    /// The item's code.
    pub code: ItemCode,
    /// Its title.
    pub title: String,
}

impl Tag {
    /// Draws the tag: the bin in bold, the serial regular, the check letter light, the title below in
    /// one or two lines, up to four where the column beside a QR is narrow.
    ///
    /// # Errors
    /// [`LabelError`] when the symbol can't be made or printed scannably on this label.
    pub fn draw(&self, stock: &Stock, choice: SymbolChoice) -> Result<Drawn, LabelError> {
        let content = Content {
            payload: self.code.payload(),
            code: vec![
                (FaceId::Bold, self.code.bin.to_string()),
                (FaceId::Regular, format!("-{}", self.code.serial)),
                (FaceId::Light, self.code.check().to_string()),
            ],
            texts: vec![(FaceId::Regular, self.title.clone())],
        };
        compose(&content, &design(stock), stock, choice)
    }
}

fn design(stock: &Stock) -> Design {
    let high = stock.size.height.min(stock.size.width);
    Design {
        most_cap: Mm((high.0 * 0.2).clamp(3.2, 12.0)),
        text_share: 0.6,
        text_sizes: Sizes { largest: Mm((high.0 * 0.11).clamp(2.8, 6.0)), ..Sizes::pt(0.0, 6.5) },
        lines: if stock.size.width.0 < 70.0 { 4 } else { 2 },
        bars: Mm((high.0 * 0.36).clamp(8.0, 16.0)),
        symbol_right: false,
    }
}
