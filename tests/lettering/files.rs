//! Font files of the user: taken, or refused with the reason, never a panic.

use std::{fs, path::Path};

use stowmark::{
    code::{AreaNumber, BinCode, ItemCode, Serial},
    font::{FontError, Fonts, UserFont},
    label::{LabelWarning, Stock, SymbolChoice, Tag},
    output::{DocumentInfo, pdf, rasterise},
    sheet::{find_sheet, lay_out, places},
    unit::Dpi,
};

use super::{file, fonts};

fn bytes(name: &str) -> Vec<u8> {
    fs::read(file(name)).unwrap()
}

fn taken(bytes: Vec<u8>) -> Result<UserFont, FontError> {
    UserFont::from_bytes(Path::new("a font"), bytes)
}

/// A page with one tag of this title, and what was missing on it.
fn printed(fonts: &Fonts, title: &str) -> (Vec<u8>, Vec<LabelWarning>) {
    let sheet = find_sheet("a4-3x7").unwrap();
    let stock = Stock { fonts: fonts.clone(), ..sheet.stock(Dpi::DEFAULT) };
    let bin = BinCode::at(AreaNumber::new(4).unwrap(), 2).unwrap();
    let code = ItemCode { bin, serial: Serial::new(17).unwrap() };
    let drawn = Tag::new(code, title).draw(&stock, SymbolChoice::Auto).unwrap();
    let pages = lay_out(sheet, &[drawn.drawing.into()], &places(sheet, &[], 1), Dpi::DEFAULT);
    let info = DocumentInfo { title: "one tag".into(), language: "en".into() };
    (pdf(&pages, &info).unwrap(), drawn.warnings)
}

#[test]
fn truetype_cff_and_collections_are_taken_and_drawn() {
    let cases =
        [("hebrew.ttf", "קומקום נחושת"), ("arabic.ttf", "إبريق شاي"), ("two.ttc", "נחושת"), ("two-blocks.otf", "茶壺")];
    for (name, title) in cases {
        let (without, lacking) = printed(&Fonts::default(), title);
        let (with, warnings) = printed(&fonts(&[name]), title);
        assert!(lacking.iter().any(|warning| matches!(warning, LabelWarning::MissingCharacters { .. })), "{name}");
        assert_eq!(warnings, [], "{name}");
        assert_ne!(without, with, "{name}");
        let dark = |pdf: &[u8]| {
            let page = rasterise(pdf, 1, Dpi::DEFAULT, false).unwrap();
            page.luma.iter().filter(|pixel| **pixel < 128).count()
        };
        let blank = printed(&Fonts::default(), "").0;
        assert!(dark(&with) > dark(&blank) + 300, "{name} draws nothing");
    }
}

/// OS/2 `fsType` of OpenType 1.9 [S]: 2 forbids embedding, 0x100 a part, 0x200 outlines; 4 and 8 allow
/// print.
#[test]
fn what_the_maker_forbids_is_not_embedded() {
    let font = bytes("hebrew.ttf");
    let tables = ttf_parser::RawFace::parse(&font, 0).unwrap();
    let table = tables.table(ttf_parser::Tag::from_bytes(b"OS/2")).unwrap();
    let at = table.as_ptr() as usize - font.as_ptr() as usize + 8;
    let with = |bits: u16| {
        let mut font = font.clone();
        font[at..at + 2].copy_from_slice(&bits.to_be_bytes());
        taken(font)
    };
    for bits in [0x0002, 0x0100, 0x0200, 0x0104] {
        let refused = with(bits).unwrap_err();
        assert!(matches!(refused, FontError::Forbidden { fs_type, .. } if fs_type == bits), "{bits:#x}: {refused}");
    }
    for bits in [0x0000, 0x0004, 0x0008] {
        assert!(with(bits).is_ok(), "{bits:#x}");
    }
}

#[test]
fn what_is_no_font_is_refused() {
    for broken in [Vec::new(), b"title,bought\n".to_vec(), vec![0; 4096], bytes("hebrew.ttf")[..600].to_vec()] {
        let refused = taken(broken).unwrap_err();
        assert!(matches!(refused, FontError::NotAFont(_) | FontError::NoOutlines(_)), "{refused}");
    }
    let missing = UserFont::read(Path::new("no such font.ttf")).unwrap_err();
    assert!(matches!(missing, FontError::Read { .. }), "{missing}");
}

/// Cut off anywhere, or with bytes changed: refused, or used as far as it goes, without a panic.
#[test]
fn broken_fonts_do_no_harm() {
    let titles = [("hebrew.ttf", "קומקום, 3 ליטר"), ("arabic.ttf", "إبريق شاي"), ("two-blocks.otf", "茶壺 with lid")];
    let mut used = 0;
    for (name, title) in titles {
        let whole = bytes(name);
        let cut = (1..24).map(|part| whole[..whole.len() * part / 24].to_vec());
        let changed = (0..240).map(|seed: usize| {
            let mut font = whole.clone();
            for change in 0..6 {
                let at = (seed * 7919 + change * 104_729 + seed * seed * 31) % font.len();
                font[at] = u8::try_from((seed * 37 + change * 101) % 256).unwrap();
            }
            font
        });
        for font in cut.chain(changed).filter_map(|font| taken(font).ok()) {
            let sheet = find_sheet("a4-3x7").unwrap();
            let stock = Stock { fonts: Fonts::with(&[font]), ..sheet.stock(Dpi::DEFAULT) };
            let bin = BinCode::at(AreaNumber::new(4).unwrap(), 2).unwrap();
            let tag = Tag::new(ItemCode { bin, serial: Serial::new(17).unwrap() }, title);
            let drawing = tag.draw(&stock, SymbolChoice::Auto).unwrap().drawing;
            let info = DocumentInfo { title: "one tag".into(), language: "en".into() };
            // A glyph that turns out broken may refuse the document, with its reason.
            let _ = pdf(&lay_out(sheet, &[drawing.into()], &places(sheet, &[], 1), Dpi::DEFAULT), &info);
            used += 1;
        }
    }
    assert!(used > 50, "only {used} of the broken fonts could be used at all");
}
