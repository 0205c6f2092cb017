//! Random labels from a seed: titles of all scripts, all designs and options, known and unknown sizes.

use fastrand::Rng;
use stowmark::{
    code::{AreaNumber, BinCode, ItemCode, LinkBase},
    font::Fonts,
    label::{
        AreaSign, ContentsList, Drawn, Form, LabelError, Listed, ShelfStrip, Sign, Stock, SymbolChoice, Symbols, Tag,
    },
    sheet::sheets,
    symbol::SymbolKind,
    unit::{Mm, Size},
};

use super::samples::{bin, dpi, item};

/// A label to draw, as plain data that a failure can show.
#[derive(Debug, Clone)]
pub enum Case {
    Sign(Sign),
    Tag(Tag),
    Strip(ShelfStrip),
    Area(AreaSign),
    List(ContentsList),
}

impl Case {
    /// Draws it; a list gives its first and its last label.
    pub fn draw(&self, stock: &Stock, symbols: Symbols<'_>) -> Result<Vec<Drawn>, LabelError> {
        let one = |drawn| vec![drawn];
        match self {
            Self::Sign(sign) => sign.draw(stock, symbols).map(one),
            Self::Tag(tag) => tag.draw(stock, symbols).map(one),
            Self::Strip(strip) => strip.draw(stock).map(one),
            Self::Area(area) => Ok(one(area.draw(stock))),
            Self::List(list) => list.draw(stock).map(ends),
        }
    }

    /// What its symbols carry, if it has any.
    pub fn payload(&self) -> Option<String> {
        match self {
            Self::Sign(sign) => Some(sign.code.payload()),
            Self::Tag(tag) => Some(tag.code.payload()),
            Self::Strip(_) | Self::Area(_) | Self::List(_) => None,
        }
    }
}

fn ends(mut drawn: Vec<Drawn>) -> Vec<Drawn> {
    let last = drawn.pop();
    drawn.truncate(1);
    drawn.extend(last);
    drawn
}

/// Half of the labels are of known sheets, the others of any size and inset.
pub fn stock(rng: &mut Rng) -> Stock {
    let dpi = dpi([203.0, 203.2, 300.0, 300.0, 360.0, 600.0][rng.usize(..6)]);
    if rng.bool() {
        return sheets()[rng.usize(..sheets().len())].stock(dpi);
    }
    let inset = |rng: &mut Rng| Mm(if rng.bool() { 1.0 } else { 1.0 + rng.f64() * 3.2 });
    let size = Size::new(22.0 + rng.f64().powi(2) * 130.0, 11.0 + rng.f64().powi(2) * 100.0);
    Stock { size, inset_x: inset(rng), inset_y: inset(rng), dpi, fonts: Fonts::default() }
}

pub fn choice(rng: &mut Rng) -> SymbolChoice {
    match rng.u8(..5) {
        0 => SymbolChoice::Auto,
        1 => SymbolChoice::Only(SymbolKind::Code128),
        2 => SymbolChoice::Only(SymbolKind::Qr),
        _ => SymbolChoice::Both,
    }
}

pub fn link(rng: &mut Rng) -> Option<LinkBase> {
    let hosts = ["http://192.168.1.20:8080", "http://loft:80", "http://upstairs-computer.home.arpa:49152"];
    rng.bool().then(|| hosts[rng.usize(..hosts.len())].parse().unwrap())
}

pub fn case(rng: &mut Rng) -> Case {
    match rng.u8(..12) {
        0..5 => Case::Tag(tag(rng)),
        5..9 => Case::Sign(sign(rng)),
        9 => Case::Strip(strip(rng)),
        10 => Case::Area(AreaSign { number: area_number(rng), name: text(rng) }),
        _ => Case::List(list(rng)),
    }
}

fn area_number(rng: &mut Rng) -> AreaNumber {
    AreaNumber::new([rng.u16(1..10), rng.u16(1..100), rng.u16(1..1000)][rng.usize(..3)]).unwrap()
}

fn bin_code(rng: &mut Rng) -> BinCode {
    let rank = if rng.u8(..4) == 0 { rng.u16(19..380) } else { rng.u16(..19) };
    bin(area_number(rng).get(), rank)
}

fn item_code(rng: &mut Rng) -> ItemCode {
    let serial = if rng.u8(..6) == 0 { rng.u32(1000..1_000_000) } else { rng.u32(1..1000) };
    let bin = bin_code(rng);
    item(bin.area().get(), bin.rank(), serial)
}

fn maybe(rng: &mut Rng, text: fn(&mut Rng) -> String) -> Option<String> {
    rng.bool().then(|| text(rng))
}

fn tag(rng: &mut Rng) -> Tag {
    Tag {
        asking: maybe(rng, |rng| format!("{}.{:02} EUR", rng.u32(..2000), rng.u8(..100))),
        bought: maybe(rng, |rng| format!("2026-{:02}-{:02}", rng.u8(1..13), rng.u8(1..29))),
        note: maybe(rng, text),
        cost: maybe(rng, |rng| format!("{}.{:02} EUR", rng.u32(..200), rng.u8(..100))),
        ..Tag::new(item_code(rng), text(rng))
    }
}

fn sign(rng: &mut Rng) -> Sign {
    let spot = maybe(rng, text);
    Sign {
        form: if rng.bool() { Form::Front } else { Form::Lid },
        contents: maybe(rng, text),
        note: maybe(rng, text),
        guide_weight: maybe(rng, |rng| format!("{:.1} kg", rng.f64() * 23.0)),
        read_from: Mm(300.0 + rng.f64() * 9000.0),
        level: rng.bool().then(|| Mm(2.0 + rng.f64() * 60.0)),
        ..Sign::new(bin_code(rng), text(rng), spot)
    }
}

fn strip(rng: &mut Rng) -> ShelfStrip {
    let codes = (0..rng.usize(..13)).map(|_| bin_code(rng)).collect();
    ShelfStrip { codes, area_name: text(rng), spot: text(rng) }
}

fn list(rng: &mut Rng) -> ContentsList {
    let items = (0..rng.usize(..40)).map(|_| Listed { code: item_code(rng), title: text(rng) }).collect();
    let spot = maybe(rng, text);
    ContentsList {
        code: bin_code(rng),
        area_name: text(rng),
        spot,
        items,
        date: "2026-11-25".into(),
        ticks: rng.bool(),
    }
}

const SCRIPTS: [&str; 12] = [
    "copper jam pan enamel casserole with lid of four litres chip at rim tin whisk board game knitting",
    "WAFFLE IRON QUILTED JQJ",
    "Gugelhupfform Käsereibe Pfännchen-Set Öl- und Essigflasche groß ÀÉÎÕÜ ŠŽÅĄĘ ğıİőű Île épices",
    "jQgyp, (yolk)\t[jig] “quoted” …; 1/2\n3–4 €5",
    "σκεύη κουζίνας χάλκινο τηγάνι",
    "чайник эмалированный Щётка Їжак",
    "茶壺 銅鍋 編み物",
    "🫖 🍵 👩‍🍳 🧶",
    "إبريق شاي קומקום תה",
    "e\u{301}a\u{308}n\u{303} Ấm trà",
    "a b c d e f g h",
    "Emailleschmortopfdeckelknaufbefestigungsschraubensammelkiste",
];

/// Nothing, a word, some words, a text of 300 characters, one word of sixty.
pub fn text(rng: &mut Rng) -> String {
    let longest = match rng.u8(..10) {
        0 => return ["", " ", "x", "Q", "j"][rng.usize(..5)].into(),
        1 => return "Emailleschmortopfdeckelknaufbefestigungsschraubensammelkiste".into(),
        2 => return (0..60).map(|_| rng.alphabetic()).collect(),
        3 => 300,
        4..7 => 80,
        _ => 25,
    };
    let is_mixed = rng.u8(..4) == 0;
    let script = |rng: &mut Rng| SCRIPTS[if rng.bool() { rng.usize(..4) } else { rng.usize(..SCRIPTS.len()) }];
    let (mut words, one): (Vec<&str>, _) = (Vec::new(), script(rng));
    while words.iter().map(|word| word.chars().count() + 1).sum::<usize>() < longest {
        let from: Vec<&str> = if is_mixed { script(rng) } else { one }.split(' ').collect();
        words.push(from[rng.usize(..from.len())]);
    }
    words.join(" ").chars().take(longest).collect()
}
