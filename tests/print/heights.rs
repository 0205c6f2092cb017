//! Capitals for a reading distance, against ISO 9241-3 and NUREG-0700, and as they stand on signs.

use stowmark::{
    code::BinCode,
    font::Fonts,
    label::{Drawn, LabelWarning, Sign, Stock, SymbolChoice, cap_for, read_from},
    sheet::sheets,
    symbol::SymbolKind,
    unit::{Mm, Size},
};

use super::{
    designs,
    samples::{RESOLUTIONS, bin, dpi},
};

/// [S] ISO 9241-3: 20' preferred; [C] h = 2 d tan(a / 2): 17.5 mm at 3 m. [S] NUREG-0700 11.4.1.5-1: 0.006 d.
#[test]
fn capitals_have_the_preferred_height() {
    assert!((cap_for(Mm(3000.0)).0 - 17.5).abs() < 0.05);
    for distance in [500.0, 1000.0, 3000.0, 7500.0] {
        let cap = cap_for(Mm(distance));
        assert!((cap.0 / distance - 0.006).abs() < 0.0005, "{cap:?} at {distance} mm");
        assert!((read_from(cap).0 - distance).abs() < 1e-6);
    }
}

/// [C] 14.0 mm is 16' at 3 m: at 20' it is read from 16/20 of that.
#[test]
fn lower_capitals_are_read_from_less_far() {
    assert!((read_from(Mm(14.0)).0 - 2400.0).abs() < 10.0);
}

fn sign(code: BinCode) -> Sign {
    Sign::new(code, "Loft", Some("rack 1, level 2".into()))
}

/// The height of a capital H in the face and size of the largest text, by its outline.
fn drawn_cap(drawn: &Drawn) -> f64 {
    let run = drawn.drawing.texts().max_by(|a, b| a.em.0.total_cmp(&b.em.0)).unwrap();
    run.em.0 * run.face.cap_height_em()
}

fn reads_from_less(drawn: &Drawn) -> bool {
    drawn.warnings.iter().any(|warning| matches!(warning, LabelWarning::ReadFromLess { .. }))
}

/// On every sheet and symbol, for several distances: high enough, or told so with a distance that is right.
#[test]
fn signs_are_high_enough_or_say_how_far_they_are_read() {
    let (mut high, mut low) = (0, 0);
    for (dots, sheet) in RESOLUTIONS.into_iter().flat_map(|dots| sheets().iter().map(move |sheet| (dots, sheet))) {
        for (metres, kind) in [1.0, 3.0, 6.0].into_iter().flat_map(|metres| SymbolKind::ALL.map(|kind| (metres, kind)))
        {
            let sign = Sign { read_from: Mm(metres * 1000.0), ..sign(bin(4, 5)) };
            let drawn = sign.draw(&sheet.stock(dpi(dots)), SymbolChoice::Only(kind)).unwrap();
            let (cap, needed) = (drawn_cap(&drawn), 2.0 * metres * 1000.0 * (10.0_f64 / 60.0).to_radians().tan());
            let said = drawn.warnings.iter().find_map(|warning| match warning {
                LabelWarning::ReadFromLess { from, .. } => Some(from.0),
                _ => None,
            });
            match said {
                None => assert!(cap >= needed * 0.998, "{} {kind} for {metres} m: {cap} mm", sheet.name),
                Some(from) => {
                    let expected = cap / needed * metres * 1000.0;
                    assert!((from - expected).abs() < expected * 0.01, "{}: {from} or {expected}", sheet.name);
                }
            }
            *if said.is_none() { &mut high } else { &mut low } += 1;
        }
    }
    assert!(high > 200 && low > 100, "{high} high enough, {low} not");
}

/// Where the label is large enough by far, it is never an excuse.
#[test]
fn a_large_label_has_capitals_for_its_distance() {
    for name in ["a4-2x4", "letter-2x5", "roll-100x150", "a4-1x1", "a4-3x7"] {
        let stock = designs::sheet(name).stock(dpi(300.0));
        for (_, choice) in designs::CHOICES {
            let drawn = sign(bin(4, 2)).draw(&stock, choice).unwrap();
            assert!(!reads_from_less(&drawn), "{name} {choice:?}: {} mm", drawn_cap(&drawn));
        }
    }
}

/// Codes of other widths, drawn with the least of their heights, are level.
#[test]
fn signs_of_a_run_can_be_level() {
    let stock = designs::sheet("roll-100x150").stock(dpi(300.0));
    let choice = SymbolChoice::Auto;
    let signs = [bin(4, 0), bin(4, 2), bin(12, 25), bin(112, 3)].map(sign);
    let caps = signs.clone().map(|sign| sign.cap(&stock, choice).unwrap());
    let level = caps.into_iter().fold(Mm(1000.0), Mm::min);
    assert!(caps.iter().any(|cap| cap.0 > level.0 * 1.1), "{caps:?} are level anyway");
    for sign in signs {
        let sign = Sign { level: Some(level), ..sign };
        assert!((sign.cap(&stock, choice).unwrap().0 - level.0).abs() < 1e-6, "{}", sign.code);
        assert!(!reads_from_less(&sign.draw(&stock, choice).unwrap()), "{}", sign.code);
    }
}

/// One code that is too wide for its distance does not pull the others below theirs.
#[test]
fn a_wide_code_does_not_hold_the_others_down() {
    let stock = Stock {
        size: Size::new(60.0, 50.0),
        inset_x: Mm(1.0),
        inset_y: Mm(1.0),
        dpi: dpi(300.0),
        fonts: Fonts::default(),
    };
    let choice = SymbolChoice::Only(SymbolKind::Code128);
    let level = sign(bin(112, 25)).cap(&stock, choice).unwrap();
    assert!(level < cap_for(Mm(3000.0)), "{level:?}");
    let short = Sign { level: Some(level), ..sign(bin(4, 2)) };
    assert!(!reads_from_less(&short.draw(&stock, choice).unwrap()));
}

#[test]
fn the_warning_names_the_distance_and_what_it_takes() {
    let stock = designs::sheet("letter-4x20").stock(dpi(300.0));
    let drawn = sign(bin(4, 2)).draw(&stock, SymbolChoice::Only(SymbolKind::Qr)).unwrap();
    let said: Vec<String> = drawn.warnings.iter().map(ToString::to_string).collect();
    let said = said.iter().find(|said| said.contains("capitals")).unwrap();
    for part in ["not 3 m", "17.5 mm", "20' of arc", "ISO 9241-3", "larger label"] {
        assert!(said.contains(part), "{part} is not in: {said}");
    }
}
