//! A bin's sign: its code as large as the label allows, area name, spot and symbol.

use super::{
    Drawn, LabelError, Stock, SymbolChoice,
    compose::compose,
    design::{Content, Design},
    text::Sizes,
};
use crate::{code::BinCode, font::FaceId, unit::Mm};

/// What a bin's sign says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sign {
    /// The bin's code.
    pub code: BinCode,
    /// The name of its area.
    pub area_name: String,
    /// Where it stands in the area, when that is known.
    pub spot: Option<String>,
}

impl Sign {
    /// Draws the sign.
    ///
    /// # Errors
    /// [`LabelError`] when the symbol can't be made or printed scannably on this label.
    pub fn draw(&self, stock: &Stock, choice: SymbolChoice) -> Result<Drawn, LabelError> {
        let place = std::iter::once((FaceId::Bold, self.area_name.clone()));
        let spot = self.spot.iter().map(|spot| (FaceId::Regular, spot.clone()));
        let content = Content {
            payload: self.code.payload(),
            code: vec![(FaceId::Bold, self.code.to_string())],
            texts: place.chain(spot).collect(),
        };
        compose(&content, &design(stock), stock, choice)
    }
}

fn design(stock: &Stock) -> Design {
    let high = stock.size.height.min(stock.size.width);
    Design {
        most_cap: stock.size.height,
        text_share: 0.34,
        text_sizes: Sizes { largest: Mm((high.0 * 0.1).clamp(2.8, 14.0)), ..Sizes::pt(0.0, 6.5) },
        lines: if high.0 < 30.0 { 1 } else { 2 },
        bars: Mm((high.0 * 0.2).clamp(8.0, 20.0)),
        symbol_right: true,
    }
}
