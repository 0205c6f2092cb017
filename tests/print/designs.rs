//! Every design with short and with long texts, as plain data to be drawn on any sheet.

use stowmark::{
    code::{AreaNumber, LinkBase},
    label::{
        AreaSign, ContentsList, Drawn, Form, LabelError, Listed, ShelfStrip, Sign, Stock, SymbolChoice, Symbols, Tag,
    },
    sheet::{Paper, Sheet, find_sheet},
    symbol::SymbolKind,
    unit::Mm,
};

use super::samples::{bin, item};

/// The designs by name.
pub const NAMES: [&str; 8] = ["sign", "sign-full", "lid", "tag", "tag-fields", "strip", "area", "contents"];

/// The choices of symbols by name.
pub const CHOICES: [(&str, SymbolChoice); 3] = [
    ("code128", SymbolChoice::Only(SymbolKind::Code128)),
    ("qr", SymbolChoice::Only(SymbolKind::Qr)),
    ("both", SymbolChoice::Both),
];

/// Whether a design carries symbols.
pub fn has_symbols(name: &str) -> bool {
    !["strip", "area", "contents"].contains(&name)
}

/// A known sheet, or plain paper cut into labels of 90 x 55 mm.
pub fn sheet(name: &str) -> Sheet {
    if name == "cut-90x55" { cut() } else { find_sheet(name).unwrap().clone() }
}

fn cut() -> Sheet {
    Sheet {
        kind: stowmark::sheet::SheetKind::Cut,
        name: "cut-90x55".into(),
        paper: Paper::A4,
        columns: 2,
        rows: 5,
        label_width: Mm(90.0),
        label_height: Mm(55.0),
        left: Mm(15.0),
        top: Mm(11.0),
        pitch_x: Mm(90.0),
        pitch_y: Mm(55.0),
    }
}

/// Draws a design; its code, texts and number of things by whether they are to be long.
pub fn draw(name: &str, is_long: bool, stock: &Stock, choice: SymbolChoice) -> Result<Vec<Drawn>, LabelError> {
    let one = |drawn: Result<Drawn, LabelError>| drawn.map(|drawn| vec![drawn]);
    match name {
        "sign" => one(sign(is_long).draw(stock, choice)),
        "sign-full" => one(full_sign(is_long).draw(stock, choice)),
        "lid" => one(Sign { form: Form::Lid, ..sign(is_long) }.draw(stock, choice)),
        "tag" => one(tag(is_long).draw(stock, choice)),
        "tag-fields" => one(full_tag(is_long).draw(stock, choice)),
        "strip" => one(strip(is_long).draw(stock)),
        "area" => Ok(vec![area(is_long).draw(stock)]),
        "contents" => list(is_long).draw(stock),
        _ => panic!("there is no design `{name}`"),
    }
}

fn sign(is_long: bool) -> Sign {
    if is_long {
        let spot = "rack 12, second level from the top, behind the ladder";
        Sign::new(bin(12, 25), "Guest room wardrobe, north side", Some(spot.into()))
    } else {
        Sign::new(bin(4, 2), "Loft", Some("rack 1, level 2".into()))
    }
}

fn full_sign(is_long: bool) -> Sign {
    let (contents, note) = if is_long {
        (
            "copper and enamel pans, cake tins, jelly moulds, waffle irons and their handles",
            "to be photographed before the spring fair, then to rack 3",
        )
    } else {
        ("baking tins", "fragile")
    };
    Sign {
        contents: Some(contents.into()),
        note: Some(note.into()),
        guide_weight: Some("10.2 kg".into()),
        ..sign(is_long)
    }
}

pub fn title(is_long: bool) -> &'static str {
    if is_long {
        "Enamel casserole with lid, cream and green, four litres, small chip at the rim, maker's mark rubbed"
    } else {
        "Copper jam pan"
    }
}

fn tag(is_long: bool) -> Tag {
    if is_long { Tag::new(item(12, 25, 1034), title(true)) } else { Tag::new(item(4, 2, 17), title(false)) }
}

fn full_tag(is_long: bool) -> Tag {
    Tag {
        asking: Some("24.95 EUR".into()),
        bought: Some("2026-11-21".into()),
        note: Some(if is_long { "sold with the wooden spoon and the recipe leaflet" } else { "28 cm" }.into()),
        cost: is_long.then(|| "3.50 EUR".into()),
        ..tag(is_long)
    }
}

fn strip(is_long: bool) -> ShelfStrip {
    let (count, spot) = if is_long { (7, "rack 12, second level from the top") } else { (3, "rack 1, level 2") };
    let codes = (0..count).map(|rank| bin(if is_long { 12 } else { 4 }, rank)).collect();
    ShelfStrip { codes, area_name: if is_long { "Guest room wardrobe" } else { "Loft" }.into(), spot: spot.into() }
}

fn area(is_long: bool) -> AreaSign {
    let (number, name) = if is_long { (112, "Guest room wardrobe, north side") } else { (4, "Loft") };
    AreaSign { number: AreaNumber::new(number).unwrap(), name: name.into() }
}

const THINGS: [&str; 8] = [
    "Copper jam pan",
    "Enamel casserole with lid, cream and green, four litres, small chip at the rim, maker's mark rubbed",
    "Board game “Île aux épices”, complete",
    "Knitting pattern, cable jumper, sizes 38 to 46",
    "Gugelhupfform, Ø 22 cm",
    "Pastry cutters, set of 12, tin",
    "Whisk",
    "Waffle iron for the hob, five hearts",
];

fn list(is_long: bool) -> ContentsList {
    let things =
        |number: u32| Listed { code: item(4, 2, number), title: THINGS[number as usize % THINGS.len()].into() };
    let count = if is_long { 70 } else { 6 };
    ContentsList {
        code: bin(4, 2),
        area_name: "Loft".into(),
        spot: Some("rack 1, level 2".into()),
        items: (1..=count).rev().map(things).collect(),
        date: "2026-11-25".into(),
        ticks: false,
    }
}

/// Both symbols with the QR as a link.
pub fn linked(base: &LinkBase) -> Symbols<'_> {
    Symbols { choice: SymbolChoice::Both, link: Some(base) }
}
