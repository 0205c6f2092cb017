//! An item's tag: code, title and symbol, and what else is asked for.

use super::{
    Drawn, LabelError, Stock, Symbols,
    compose::compose,
    design::{Content, Design, Text},
    words,
};
use crate::{code::ItemCode, font::FaceId, unit::Mm};

/// Labels lower than this get the small tag.
const SMALL: Mm = Mm(25.0);

/// What an item's tag says. The amounts and the date are printed as they are given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tag {
    /// The item's code.
    pub code: ItemCode,
    /// Its title.
    pub title: String,
    /// What is asked for it: `24.95 EUR`.
    pub asking: Option<String>,
    /// When it was bought.
    pub bought: Option<String>,
    /// A short note.
    pub note: Option<String>,
    /// What it cost; buyers may see a tag, so only on demand.
    pub cost: Option<String>,
}

impl Tag {
    /// A tag with code and title only.
    #[must_use]
    pub fn new(code: ItemCode, title: impl Into<String>) -> Self {
        Self { code, title: title.into(), asking: None, bought: None, note: None, cost: None }
    }

    /// Draws the tag: the bin in bold, the serial regular, the check letter light, the title below in
    /// one or two lines, up to four where the column beside a QR is narrow, then the fields that are there.
    ///
    /// # Errors
    /// [`LabelError`] when the symbol can't be made or printed scannably on this label.
    pub fn draw<'a>(&self, stock: &Stock, symbols: impl Into<Symbols<'a>>) -> Result<Drawn, LabelError> {
        let is_small = stock.size.height < SMALL;
        let content = Content {
            payload: self.code.payload(),
            above: None,
            code: vec![
                (FaceId::Bold, self.code.bin.to_string()),
                (FaceId::Regular, format!("-{}", self.code.serial)),
                (FaceId::Light, self.code.check().to_string()),
            ],
            texts: if is_small { self.few() } else { self.all() },
        };
        Ok(compose(&content, &design(stock), stock, symbols.into())?.drawn)
    }

    /// Each on a line of its own, the price in bold.
    fn all(&self) -> Vec<Text> {
        let regular = |text: &str| Text::new(FaceId::Regular, text);
        words::texts([
            Some(regular(&self.title)),
            self.asking.as_deref().map(|price| Text::one_line(FaceId::Bold, price)),
            self.note.as_deref().map(regular),
            self.bought().map(|bought| Text::one_line(FaceId::Regular, bought)),
            self.costing().map(|cost| Text::one_line(FaceId::Regular, cost)),
        ])
    }

    /// The title, and all else on one line.
    fn few(&self) -> Vec<Text> {
        let fields = [self.asking.clone(), self.note.clone(), self.bought(), self.costing()];
        let rest: Vec<String> = fields.into_iter().flatten().filter(|text| !text.trim().is_empty()).collect();
        let face = if self.asking.is_some() { FaceId::Bold } else { FaceId::Regular };
        words::texts([Some(Text::new(FaceId::Regular, &self.title)), Some(Text::new(face, rest.join(", ")))])
    }

    fn bought(&self) -> Option<String> {
        self.bought.as_ref().map(|date| format!("bought {date}"))
    }

    fn costing(&self) -> Option<String> {
        self.cost.as_ref().map(|cost| format!("cost {cost}"))
    }
}

fn design(stock: &Stock) -> Design {
    let high = stock.size.height.min(stock.size.width);
    Design {
        most_cap: Mm((high.0 * 0.2).clamp(3.2, 24.0)),
        far: None,
        text_share: 0.6,
        text_sizes: Design::sizes(Mm((high.0 * 0.11).clamp(3.0, 12.0))),
        lines: if stock.size.width.0 < 70.0 || stock.size.height.0 > 80.0 { 4 } else { 2 },
        bars: Mm((high.0 * 0.36).clamp(8.0, 16.0)),
        symbol_right: false,
    }
}
