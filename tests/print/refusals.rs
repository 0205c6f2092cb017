//! Labels that are too small: refused when they are, and only then, with a size that would do.

use stowmark::{
    font::Fonts,
    label::{Drawn, Form, LabelError, Sign, Stock, SymbolChoice, Tag},
    sheet::sheets,
    symbol::SymbolKind,
    unit::{Mm, Size},
};

use super::{
    ink::{self, Outlines},
    samples::{RESOLUTIONS, bin, dpi, item},
};

/// Design: the least dots a module at 203, 300 and 600 dpi, 0.25 mm or a little more.
const LEAST_DOTS: [(f64, u32); 3] = [(203.0, 2), (300.0, 3), (600.0, 6)];

fn tag(serial: u32, area: u16, rank: u16) -> Tag {
    Tag::new(item(area, rank, serial), "Copper jam pan")
}

/// The widest code there is: 999XX-999999S.
fn widest() -> Tag {
    tag(999_999, 999, 379)
}

fn draw(tag: &Tag, stock: &Stock, kind: SymbolKind) -> Result<Drawn, LabelError> {
    tag.draw(stock, SymbolChoice::Only(kind))
}

/// Modules of the widest code in Code 128 with its quiet zones. Best start in C and B: `99` `9XX`
/// `99 99 99` `S` are 1 + 1 + 3 + 1 + 3 + 1 + 1 symbol characters of data with two changes; start in B:
/// 5 + 1 + 3 + 1 + 1, the same eleven: 11 (11 + 2) + 13 + 20.
const WIDEST_MODULES: u32 = 176;

#[test]
fn the_widest_code_has_the_modules_counted_by_hand() {
    let symbol = stowmark::symbol::Symbol::code128(&widest().code.payload()).unwrap();
    assert_eq!(symbol.modules_with_quiet(), WIDEST_MODULES);
}

/// On the known sheets a label is high enough for bars and text: Code 128 of the widest code is refused
/// where its modules are wider than the label, and only there. QR is never refused.
#[test]
fn the_widest_code_is_refused_where_it_is_wider_than_the_label() {
    let mut refused = 0;
    for (dots, least) in LEAST_DOTS {
        let width = f64::from(WIDEST_MODULES * least) * 25.4 / dots;
        for sheet in sheets() {
            let stock = sheet.stock(dpi(dots));
            let is_too_wide = width > sheet.label_width.0;
            let bars = draw(&widest(), &stock, SymbolKind::Code128);
            assert_eq!(bars.is_err(), is_too_wide, "{} at {dots} dpi: {width} mm", sheet.name);
            assert!(draw(&widest(), &stock, SymbolKind::Qr).is_ok(), "{} at {dots} dpi", sheet.name);
            refused += usize::from(is_too_wide);
        }
    }
    // 38.1 mm and the roll of 40 mm at each resolution; 44.45 mm (44.7 needed) at 300 and 600 dpi.
    assert_eq!(refused, 3 + 3 + 2);
}

/// Labels of many sizes from far too small to roomy, a printer's insets of 1 mm.
fn small_labels() -> impl Iterator<Item = Stock> {
    let sizes = (4..=70).step_by(3).flat_map(|width| (4..=46).step_by(3).map(move |height| (width, height)));
    let stock = |(width, height), dots| Stock {
        size: Size::new(f64::from(width), f64::from(height)),
        inset_x: Mm(1.0),
        inset_y: Mm(1.0),
        dpi: dpi(dots),
        fonts: Fonts::default(),
    };
    sizes.flat_map(move |size| RESOLUTIONS.map(|dots| stock(size, dots)))
}

fn least_of(error: LabelError) -> Size {
    match error {
        LabelError::TooSmall { least, .. } => least,
        other => panic!("{other}"),
    }
}

/// The size that a refusal names is larger than what was refused, and a label of it is drawn. The width
/// may differ with the shape of the label, on which the place of a QR hangs.
#[test]
fn a_refusal_names_a_size_that_would_do() {
    let mut refused = 0;
    for stock in small_labels() {
        for (kind, tag) in SymbolKind::ALL.into_iter().flat_map(|kind| [(kind, tag(17, 4, 2)), (kind, widest())]) {
            let Err(error) = draw(&tag, &stock, kind) else { continue };
            let least = least_of(error);
            let is_larger = least.width > stock.size.width || least.height > stock.size.height;
            assert!(is_larger, "{kind} on {} at {}: needs {least}", stock.size, stock.dpi);
            let roomy = Stock {
                size: Size { width: least.width + Mm(0.01), height: least.height + Mm(0.01) },
                ..stock.clone()
            };
            let again = draw(&tag, &roomy, kind);
            assert!(again.is_ok(), "{kind} on {} at {}: {again:?}", roomy.size, roomy.dpi);
            refused += 1;
        }
    }
    assert!(refused > 1000, "{refused}");
}

/// A label that no symbol with its quiet zones can lie on is refused.
#[test]
fn what_cannot_fit_is_refused() {
    for stock in small_labels() {
        let (dots, least) = LEAST_DOTS.into_iter().find(|(dots, _)| dpi(*dots) == stock.dpi).unwrap();
        let length = |modules: u32| f64::from(modules * least) * 25.4 / dots;
        let (width, height) = (stock.size.width.0, stock.size.height.0);
        // Six characters: 121 modules, bars of 5 mm; QR 21 + 8 modules each way.
        let bars_fit = length(121) <= width && height >= 5.0 + 2.0;
        let qr_fits = length(29) <= width.min(height);
        for (kind, may_fit) in [(SymbolKind::Code128, bars_fit), (SymbolKind::Qr, qr_fits)] {
            let drawn = draw(&tag(17, 4, 2), &stock, kind);
            assert!(may_fit || drawn.is_err(), "{kind} on {} at {dots} dpi", stock.size);
        }
    }
}

/// Whatever the size: once a label is drawn, its texts keep to their places.
#[test]
fn small_labels_that_are_drawn_are_in_order() {
    let outlines = Outlines::new();
    let mut faults = Vec::new();
    // The widest code, and a word whose j reach out to the left.
    let tags = [tag(17, 4, 2), widest(), Tag::new(item(4, 2, 17), "jOjeRqXDsdueBcdctICpkaysjFnDbuoumoLrsnLVzoPzzF")];
    for (stock, kind) in small_labels().flat_map(|stock| SymbolKind::ALL.map(|kind| (stock.clone(), kind))) {
        for tag in &tags {
            let Ok(drawn) = draw(tag, &stock, kind) else { continue };
            let fault = ink::fault(&drawn.drawing, stock.dpi, &outlines);
            let name = format!("{} {kind} on {} at {}", tag.code, stock.size, stock.dpi);
            faults.extend(fault.map(|fault| format!("{name}: {fault}")));
        }
    }
    assert!(faults.is_empty(), "{} faults, such as\n{}", faults.len(), faults[..faults.len().min(20)].join("\n"));
}

/// The same for lids, whose small words stand above or before the code.
#[test]
fn small_lids_that_are_drawn_are_in_order() {
    let outlines = Outlines::new();
    for (stock, kind) in small_labels().flat_map(|stock| SymbolKind::ALL.map(|kind| (stock.clone(), kind))) {
        for code in [bin(4, 2), bin(68, 9), bin(205, 219)] {
            let lid = Sign { form: Form::Lid, ..Sign::new(code, "Loft", None) };
            let Ok(drawn) = lid.draw(&stock, SymbolChoice::Only(kind)) else { continue };
            let fault = ink::fault(&drawn.drawing, stock.dpi, &outlines);
            assert_eq!(fault, None, "{code} {kind} on {} at {}", stock.size, stock.dpi);
        }
    }
}

/// Design: `auto` takes Code 128 where its aimed-for module fits, else QR.
#[test]
fn auto_takes_bars_on_wide_labels_and_qr_on_narrow_ones() {
    let cases = [("a4-3x7", SymbolKind::Code128), ("a4-5x13", SymbolKind::Qr), ("roll-40x30", SymbolKind::Qr)];
    for (name, kind) in cases {
        for dots in RESOLUTIONS {
            let sheet = stowmark::sheet::find_sheet(name).unwrap();
            let drawn = tag(17, 4, 2).draw(&sheet.stock(dpi(dots)), SymbolChoice::Auto).unwrap();
            let kinds: Vec<SymbolKind> = drawn.drawing.symbols().map(|placed| placed.symbol.kind()).collect();
            assert_eq!(kinds, [kind], "{name} at {dots} dpi");
        }
    }
}

#[test]
fn a_refusal_says_what_where_and_how_large() {
    let stock = Stock {
        size: Size::new(25.0, 10.0),
        inset_x: Mm(1.0),
        inset_y: Mm(1.0),
        dpi: dpi(300.0),
        fonts: Fonts::default(),
    };
    let error = draw(&tag(17, 4, 2), &stock, SymbolKind::Code128).unwrap_err().to_string();
    for part in ["Code 128", "`4C017R`", "25 x 10 mm", "300 dpi", "30.73 x "] {
        assert!(error.contains(part), "{part} is not in: {error}");
    }
}
