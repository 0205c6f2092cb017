//! Labels to print: short codes, titles of second-hand goods, and every way to put them on a label.

use std::sync::Arc;

use stowmark::{
    code::{AreaNumber, BinCode, ItemCode, Serial},
    label::{Drawn, LabelError, Sign, Stock, SymbolChoice, Tag},
    symbol::SymbolKind,
    unit::Dpi,
};

/// What office and label printers have.
pub const RESOLUTIONS: [f64; 3] = [203.0, 300.0, 600.0];

pub fn dpi(dots: f64) -> Dpi {
    Dpi::new(dots).unwrap()
}

pub fn bin(area: u16, rank: u16) -> BinCode {
    BinCode::at(AreaNumber::new(area).unwrap(), rank).unwrap()
}

pub fn item(area: u16, rank: u16, serial: u32) -> ItemCode {
    ItemCode { bin: bin(area, rank), serial: Serial::new(serial).unwrap() }
}

const TITLES: [&str; 7] = [
    "Copper jam pan",
    "Enamel casserole with lid, cream and green, four litres, small chip at the rim",
    "Board game “Île aux épices”, complete, box worn",
    "Knitting pattern, cable jumper, sizes 38 to 46",
    "Gugelhupfform, Ø 22 cm",
    "Pastry cutters, set of 12, tin",
    "Whisk",
];

const AREA_NAMES: [&str; 4] = ["Cellar", "Attic, north side", "Guest room wardrobe", "Küche"];

/// What is printed: a tag or a sign, with one symbol or the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Design {
    pub is_sign: bool,
    pub kind: SymbolKind,
}

/// All four.
pub const DESIGNS: [Design; 4] = [
    Design { is_sign: false, kind: SymbolKind::Code128 },
    Design { is_sign: true, kind: SymbolKind::Qr },
    Design { is_sign: false, kind: SymbolKind::Qr },
    Design { is_sign: true, kind: SymbolKind::Code128 },
];

/// A label of a design: what its symbol carries, and what was drawn.
pub struct Label {
    pub design: Design,
    pub payload: String,
    pub drawn: Arc<Drawn>,
}

impl Label {
    /// The label of this number: the four designs in turn, each with another code and text.
    pub fn numbered(number: u32, stock: &Stock) -> Result<Self, LabelError> {
        let at = number as usize;
        let design = DESIGNS[at % DESIGNS.len()];
        let words = if design.is_sign { AREA_NAMES[at / 4 % AREA_NAMES.len()] } else { TITLES[at % TITLES.len()] };
        Self::new(design, words, number, stock)
    }

    /// A label of six characters (tags) or five (signs) with these words.
    pub fn new(design: Design, words: &str, number: u32, stock: &Stock) -> Result<Self, LabelError> {
        let (area, rank) = (u16::try_from(1 + number % 9).unwrap(), u16::try_from(number % 19).unwrap());
        let choice = SymbolChoice::Only(design.kind);
        let (payload, drawn) = if design.is_sign {
            let code = bin(area, rank);
            (code.payload(), sign(code, words, number).draw(stock, choice)?)
        } else {
            let code = item(area, rank, 1 + number * 7 % 999);
            (code.payload(), Tag::new(code, words).draw(stock, choice)?)
        };
        Ok(Self { design, payload, drawn: Arc::new(drawn) })
    }
}

fn sign(code: BinCode, area_name: &str, number: u32) -> Sign {
    let spot = number.is_multiple_of(3).then(|| "rack 1, level 2".to_owned());
    Sign::new(code, area_name, spot)
}
