//! Symbols drawn thinner for ink that spreads.

use stowmark::{
    output::Pixels,
    proof::decode,
    sheet::{Device, find_sheet},
    symbol::SymbolKind,
};

use super::support::{CODE, dark_part, dpi, drawn, is_dark, label, laid_out};

/// Design: dots a module, and how many fewer are dark at the left and upper, and at the right and lower edge.
const CASES: [(u32, usize, usize); 7] = [(2, 0, 0), (3, 0, 1), (4, 0, 1), (5, 0, 1), (6, 1, 1), (8, 1, 1), (16, 1, 1)];

fn page(kind: SymbolKind, x: u32, bar_reduction: bool) -> Pixels {
    let sheet = find_sheet("a4-1x2").unwrap();
    let device = Device { bar_reduction, ..Device::from(dpi(300.0)) };
    let page = drawn(&laid_out(sheet, &[label(kind, x, sheet.label())], device), device.dpi);
    page.cropped(0, 0, page.width, page.height / 2)
}

/// Ink that spreads by so many dots to the left and up, and to the right and down; bars only sideways matters.
fn spread(pixels: &Pixels, before: usize, after: usize, down: bool) -> Pixels {
    let width = pixels.width as usize;
    let dark = |x: usize, y: usize| {
        let columns = || x.saturating_sub(after)..=x + before;
        let rows = if down { y.saturating_sub(after)..=y + before } else { y..=y };
        rows.into_iter().any(|row| columns().any(|column| is_dark(pixels, column, row)))
    };
    let luma = (0..pixels.luma.len()).map(|at| if dark(at % width, at / width) { 0 } else { 255 }).collect();
    Pixels { luma, ..*pixels }
}

/// Whole dots: ink that spreads by just as much gives the symbol as it was coded, dot for dot.
#[test]
fn spread_ink_gives_the_symbol_back() {
    for kind in SymbolKind::ALL {
        for (x, before, after) in CASES {
            let ((left, top), exact) = dark_part(&page(kind, x, false));
            let thin = page(kind, x, true).cropped(left, top, exact.width, exact.height);
            assert_eq!(thin == exact, (before, after) == (0, 0), "{kind} at {x} dots");
            let back = spread(&thin, before, after, kind == SymbolKind::Qr);
            assert!(back == exact, "{kind} at {x} dots a module");
        }
    }
}

/// They read as drawn, on a printer whose ink does not spread after all, and with ink that spreads a dot all around.
#[test]
fn thinner_symbols_are_read() {
    for kind in SymbolKind::ALL {
        for (x, ..) in CASES.into_iter().filter(|(x, ..)| *x > 2) {
            let thin = page(kind, x, true);
            for picture in [thin.clone(), spread(&thin, 1, 0, true), spread(&thin, 0, 1, true)] {
                let read = decode(&picture, kind).map(|seen| seen.text);
                assert_eq!(read.as_deref(), Some(CODE), "{kind} at {x} dots a module");
            }
        }
    }
}
