//! An area's sign: its number as large as the label allows, and its name.

use super::{
    Drawn, Stock,
    compose::plain,
    design::{Content, Design, Text},
    words,
};
use crate::{code::AreaNumber, font::FaceId, unit::Mm};

/// What an area's sign says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AreaSign {
    /// The area's number.
    pub number: AreaNumber,
    /// Its name.
    pub name: String,
}

impl AreaSign {
    /// Draws the sign; it has no symbol.
    #[must_use]
    pub fn draw(&self, stock: &Stock) -> Drawn {
        let content = Content {
            payload: String::new(),
            above: None,
            code: vec![(FaceId::Bold, self.number.to_string())],
            texts: words::texts([Some(Text::new(FaceId::Regular, &self.name))]),
        };
        plain(&content, &design(stock), stock).drawn
    }
}

fn design(stock: &Stock) -> Design {
    let high = stock.size.height.min(stock.size.width);
    Design {
        most_cap: stock.size.height * 0.6,
        far: None,
        text_share: 0.3,
        text_sizes: Design::sizes(Mm((high.0 * 0.16).clamp(3.0, 30.0))),
        lines: 2,
        bars: Mm::ZERO,
        symbol_right: true,
    }
}
