//! Pages turned as a whole: the same dots, another way round.

use stowmark::{
    output::Pixels,
    sheet::{Page, Turn, find_sheet},
    symbol::SymbolKind,
    unit::{Dpi, Size},
};

use super::support::{dark_part, dpi, drawn, label, laid_out};

/// Turned clockwise by a quarter: the lowest row comes to stand at the left.
fn quarter(pixels: &Pixels) -> Pixels {
    let (width, height) = (pixels.width as usize, pixels.height as usize);
    let luma = (0..width).flat_map(|x| (0..height).rev().map(move |y| pixels.luma[y * width + x])).collect();
    Pixels { width: pixels.height, height: pixels.width, luma }
}

fn pages(sheet: &str, kind: SymbolKind, x: u32, dpi: Dpi) -> Vec<Page> {
    let sheet = find_sheet(sheet).unwrap();
    laid_out(sheet, &[label(kind, x, sheet.label())], dpi)
}

/// Rolls are no whole number of dots wide or high, and yet no module changes.
#[test]
fn a_turned_label_has_the_same_dots() {
    for (dots, x) in [(203.0, 2), (203.2, 2), (300.0, 3), (600.0, 6)] {
        for (kind, sheet) in [(SymbolKind::Qr, "roll-57x32"), (SymbolKind::Code128, "roll-62x29")] {
            let upright = pages(sheet, kind, x, dpi(dots));
            let (_, mut expected) = dark_part(&drawn(&upright, dpi(dots)));
            for turn in [Turn::Right, Turn::Half, Turn::Left] {
                expected = quarter(&expected);
                let turned: Vec<Page> = upright.iter().cloned().map(|page| page.turned(turn)).collect();
                let (_, part) = dark_part(&drawn(&turned, dpi(dots)));
                assert!(part == expected, "{kind} {turn:?} at {dots}");
            }
        }
    }
}

#[test]
fn a_turned_page_is_as_large_as_it_lies() {
    let upright = pages("roll-57x32", SymbolKind::Qr, 3, dpi(300.0)).remove(0);
    let drawing = upright.placed[0].drawing.clone();
    for (turn, size) in [(Turn::Right, (32.0, 57.0)), (Turn::Half, (57.0, 32.0)), (Turn::Left, (32.0, 57.0))] {
        let page = upright.clone().turned(turn);
        assert_eq!(page.paper(), Size::new(size.0, size.1));
        let pixels = drawn(std::slice::from_ref(&page), dpi(300.0));
        let dots = |length: f64| length / 25.4 * 300.0;
        assert!((f64::from(pixels.width) - dots(size.0)).abs() <= 1.0, "{turn:?}");
        // The symbol is where the page says that it comes to lie.
        let symbol = drawing.symbols().next().unwrap();
        let length = |dots| page.dpi.length(dots);
        let at = stowmark::unit::Point { x: length(symbol.left), y: length(symbol.top) };
        let (corner, _) = page.in_file(at, Size { width: length(symbol.height), height: length(symbol.height) });
        let ((left, top), _) = dark_part(&pixels);
        assert!((f64::from(left) - dots(corner.x.0)).abs() < 0.6, "{turn:?} {left} {corner:?}");
        assert!((f64::from(top) - dots(corner.y.0)).abs() < 0.6, "{turn:?} {top} {corner:?}");
    }
}
