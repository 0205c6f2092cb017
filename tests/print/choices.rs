//! Both symbols, links, fields and cautions: what is on a label, and what is said about it.

use stowmark::{
    code::LinkBase,
    font::Fonts,
    label::{Drawn, Form, LabelError, LabelWarning, ShelfStrip, Sign, Stock, SymbolChoice, Symbols, Tag},
    sheet::sheets,
    symbol::{Symbol, SymbolKind},
    unit::{Dots, Mm, Size},
};

use super::{
    designs,
    ink::{self, Outlines},
    samples::{RESOLUTIONS, bin, dpi, item},
};

fn tag() -> Tag {
    Tag::new(item(4, 2, 17), "Copper jam pan")
}

fn words(drawn: &Drawn) -> String {
    drawn.drawing.texts().map(|run| run.text.as_str()).collect::<Vec<_>>().join(" ")
}

fn stock(name: &str) -> Stock {
    designs::sheet(name).stock(dpi(300.0))
}

/// The least dots that are aimed for: 0.33 mm or a little more.
fn aim(dots: f64) -> Dots {
    Dots(if dots < 250.0 {
        3
    } else if dots < 400.0 {
        4
    } else {
        8
    })
}

#[test]
fn both_symbols_stand_on_one_label_at_their_aimed_for_modules() {
    let mut drawn_on = 0;
    for (dots, sheet) in RESOLUTIONS.into_iter().flat_map(|dots| sheets().iter().map(move |sheet| (dots, sheet))) {
        match tag().draw(&sheet.stock(dpi(dots)), SymbolChoice::Both) {
            Ok(drawn) => {
                let kinds: Vec<SymbolKind> = drawn.drawing.symbols().map(|placed| placed.symbol.kind()).collect();
                assert_eq!(kinds, SymbolKind::ALL, "{}", sheet.name);
                assert!(drawn.drawing.symbols().all(|placed| placed.x >= aim(dots)), "{} at {dots}", sheet.name);
                drawn_on += 1;
            }
            // 41 mm of bars and 10 mm of QR at the aimed-for modules: narrow or low labels can't hold them.
            Err(error) => {
                let small = sheet.label_width.0 < 60.0 && sheet.label_height.0 < 27.0 || sheet.label_width.0 < 42.0;
                assert!(small, "{} at {dots}: {error}", sheet.name);
            }
        }
    }
    assert!(drawn_on >= 75, "{drawn_on}");
}

#[test]
fn a_refusal_of_both_names_a_label_that_would_do() {
    let (outlines, mut refused) = (Outlines::new(), 0);
    for (width, height) in (20..90).step_by(5).flat_map(|width| (8..50).step_by(3).map(move |height| (width, height))) {
        let size = Size::new(f64::from(width), f64::from(height));
        for dots in RESOLUTIONS {
            let stock = Stock { size, inset_x: Mm(1.0), inset_y: Mm(1.0), dpi: dpi(dots), fonts: Fonts::default() };
            let Err(error) = tag().draw(&stock, SymbolChoice::Both) else { continue };
            let LabelError::NoRoomForBoth { least, .. } = error else { panic!("{error}") };
            assert!(least.width > size.width || least.height > size.height, "{size} needs {least}");
            let stock = Stock { size: least, ..stock.clone() };
            let drawn = tag().draw(&stock, SymbolChoice::Both).unwrap_or_else(|error| panic!("{least}: {error}"));
            assert_eq!(ink::fault(&drawn.drawing, stock.dpi, &outlines), None);
            refused += 1;
        }
    }
    assert!(refused > 100, "{refused}");
}

/// Two labels of one size: the QR of the one with the shorter text is not larger than its place allows, and
/// where there is room it has the full 0.7 mm (design).
#[test]
fn a_qr_takes_the_largest_module_that_its_place_allows() {
    for choice in [SymbolChoice::Both, SymbolChoice::Only(SymbolKind::Qr)] {
        let drawn = tag().draw(&stock("a4-2x4"), choice).unwrap();
        let qr = drawn.drawing.symbols().find(|placed| placed.symbol.kind() == SymbolKind::Qr).unwrap();
        assert_eq!(qr.x, Dots(8), "{choice:?}");
    }
}

#[test]
fn a_link_is_in_the_qr_and_never_in_code_128() {
    let base: LinkBase = "http://loft-pc:8080".parse().unwrap();
    let drawn = tag().draw(&stock("a4-3x7"), designs::linked(&base)).unwrap();
    let said: Vec<(SymbolKind, &str)> =
        drawn.drawing.symbols().map(|placed| (placed.symbol.kind(), placed.text.as_str())).collect();
    assert_eq!(said, [(SymbolKind::Code128, "4C017R"), (SymbolKind::Qr, "HTTP://LOFT-PC:8080/S/4C017R")]);
    for placed in drawn.drawing.symbols().filter(|placed| placed.symbol.kind() == SymbolKind::Qr) {
        assert_eq!(*placed.symbol, Symbol::qr("HTTP://LOFT-PC:8080/S/4C017R").unwrap());
        // [S] version 2-M holds 38 characters of this kind: 25 modules.
        assert_eq!(placed.symbol.modules(), 25);
    }
    let dies = LabelWarning::LinkDies("HTTP://LOFT-PC:8080".into());
    assert!(drawn.warnings.contains(&dies), "{:?}", drawn.warnings);
    assert!(dies.to_string().contains("changes"));
}

#[test]
fn a_link_without_a_qr_is_told() {
    let base: LinkBase = "http://loft-pc:8080".parse().unwrap();
    let symbols = Symbols { choice: SymbolChoice::Only(SymbolKind::Code128), link: Some(&base) };
    let drawn = tag().draw(&stock("a4-3x7"), symbols).unwrap();
    assert!(drawn.warnings.contains(&LabelWarning::LinkLeftOut));
    assert!(drawn.drawing.symbols().all(|placed| placed.text == "4C017R"));
}

#[test]
fn a_tag_shows_the_fields_that_are_asked_for_and_no_others() {
    let full = Tag {
        asking: Some("24.95 EUR".into()),
        bought: Some("2026-11-21".into()),
        note: Some("28 cm".into()),
        ..tag()
    };
    for name in ["a4-2x4", "roll-57x32", "cut-90x55"] {
        let plain = words(&tag().draw(&stock(name), SymbolChoice::Auto).unwrap());
        let shown = words(&full.draw(&stock(name), SymbolChoice::Auto).unwrap());
        for field in ["24.95 EUR", "2026-11-21", "28 cm"] {
            assert!(!plain.contains(field) && shown.contains(field), "{name}: {shown}");
        }
        assert!(!shown.contains("cost"), "{name}: {shown}");
        let with_cost = Tag { cost: Some("3.50 EUR".into()), ..full.clone() };
        assert!(words(&with_cost.draw(&stock(name), SymbolChoice::Auto).unwrap()).contains("cost 3.50 EUR"));
    }
}

/// Design: 5.5 pt, about 1.94 mm; a code alone may be 1.9 mm high.
#[test]
fn no_text_is_below_the_floor() {
    for (sheet, (_, choice)) in sheets().iter().flat_map(|sheet| designs::CHOICES.map(|choice| (sheet, choice))) {
        for name in designs::NAMES {
            let Ok(drawn) = designs::draw(name, true, &sheet.stock(dpi(300.0)), choice) else { continue };
            for run in drawn.iter().flat_map(|drawn| drawn.drawing.texts()) {
                let cap = run.em.0 * run.face.cap_height_em();
                assert!(cap >= 1.9 - 1e-6, "{} {name} `{}`: {cap} mm", sheet.name, run.text);
            }
        }
    }
}

fn heavy(note: Option<&str>, weight: Option<&str>) -> Sign {
    let sign = Sign::new(bin(4, 2), "Loft", Some("rack 1, level 2".into()));
    Sign { note: note.map(Into::into), guide_weight: weight.map(Into::into), ..sign }
}

/// Design, "Cautions": a weight stands with its caution, or neither does and that is said.
#[test]
fn a_weight_never_stands_without_its_caution() {
    let (mut shown, mut left_out) = (0, 0);
    for (sheet, (_, choice)) in sheets().iter().flat_map(|sheet| designs::CHOICES.map(|choice| (sheet, choice))) {
        for sign in [heavy(None, Some("10.2 kg")), heavy(Some("Heavy: 10.2 kg, lift with two"), None)] {
            let Ok(drawn) = sign.draw(&sheet.stock(dpi(300.0)), choice) else { continue };
            let words = words(&drawn);
            let has_caution = ["maker's rating", "local rules", "qualified person's advice", "come first"]
                .iter()
                .all(|part| words.contains(part) || words.replace(' ', "").contains(&part.replace(' ', "")));
            let is_told = drawn.warnings.iter().any(|warning| matches!(warning, LabelWarning::WeightLeftOut(_)));
            assert_eq!(words.contains("10.2"), has_caution, "{} {choice:?}: {words}", sheet.name);
            assert_eq!(has_caution, !is_told, "{} {choice:?}: {words}", sheet.name);
            assert!(!words.to_lowercase().contains("safe"), "{words}");
            *if has_caution { &mut shown } else { &mut left_out } += 1;
        }
    }
    assert!(shown > 60 && left_out > 30, "{shown} shown, {left_out} left out");
}

#[test]
fn a_lid_says_whose_it_is() {
    let lid = Sign { form: Form::Lid, ..Sign::new(bin(4, 2), "Loft", None) };
    for sheet in sheets() {
        let drawn = lid.draw(&sheet.stock(dpi(300.0)), SymbolChoice::Auto).unwrap();
        assert!(words(&drawn).contains("lid of"), "{}", sheet.name);
        assert_eq!(drawn.drawing.symbols().next().unwrap().text, "4C00V", "{}", sheet.name);
    }
    let drawn = lid.draw(&stock("a4-2x4"), SymbolChoice::Auto).unwrap();
    assert!(words(&drawn).contains("belongs on 4C; the sign at the front counts"), "{}", words(&drawn));
}

/// Equal cells, level base lines, all codes in one size.
#[test]
fn a_strip_has_all_codes_in_equal_cells() {
    let codes: Vec<_> = (0..5).map(|rank| bin(4, rank)).collect();
    let strip = ShelfStrip { codes: codes.clone(), area_name: "Loft".into(), spot: "rack 1, level 2".into() };
    let drawn = strip.draw(&stock("a4-2x8")).unwrap();
    let runs: Vec<_> = drawn.drawing.texts().filter(|run| run.text.starts_with('4')).collect();
    assert_eq!(runs.iter().map(|run| run.text.clone()).collect::<Vec<_>>(), ["4A", "4B", "4C", "4D", "4F"]);
    assert!(runs.iter().all(|run| run.baseline == runs[0].baseline && run.em == runs[0].em));
    assert_eq!(drawn.drawing.symbols().count(), 0);
    let crowd = ShelfStrip { codes: (0..90).map(|rank| bin(112, rank)).collect(), ..strip };
    let error = crowd.draw(&stock("letter-4x20")).unwrap_err().to_string();
    assert!(error.contains("90 bins") && error.contains("44.45 x 12.7 mm"), "{error}");
}

/// All items once, in the order of their codes, over labels that count themselves.
#[test]
fn a_list_has_every_item_in_order_and_says_how_many_labels_there_are() {
    for name in ["a4-1x1", "letter-1x1", "roll-57x32", "letter-4x20"] {
        let drawn = designs::draw("contents", true, &stock(name), SymbolChoice::Auto).unwrap();
        let all: String = drawn.iter().map(words).collect::<Vec<_>>().join(" ");
        let serials: Vec<u32> = all
            .split(' ')
            .filter_map(|word| word.strip_prefix('-').filter(|rest| rest.len() == 3)?.parse().ok())
            .collect();
        assert_eq!(serials, (1..=70).collect::<Vec<u32>>(), "{name}");
        for (drawn, number) in drawn.iter().zip(1..) {
            assert!(words(drawn).contains(&format!("{number} of {}", drawn_count(&all))), "{name}: {}", words(drawn));
            assert!(words(drawn).starts_with("4C "), "{name}");
        }
    }
}

fn drawn_count(all: &str) -> String {
    all.split_once("1 of ").unwrap().1.chars().take_while(char::is_ascii_digit).collect()
}
