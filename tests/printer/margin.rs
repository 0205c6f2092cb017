//! Labels at the paper's edge, and what a printer leaves white there.

use stowmark::{
    sheet::{Correction, Device, cut_at_the_edge, find_sheet},
    symbol::SymbolKind,
    unit::{Mm, Point},
};

use super::support::{dpi, label, laid_out};

/// The symbol begins 10 modules of 6 dots, 2.54 mm, inside of its label.
fn warned(name: &str, device: Device) -> Vec<(Vec<u32>, f64)> {
    let sheet = find_sheet(name).unwrap();
    let drawings = vec![label(SymbolKind::Qr, 6, sheet.label()); sheet.slots() as usize];
    let warnings = cut_at_the_edge(sheet, &laid_out(sheet, &drawings, device), &device);
    warnings.into_iter().map(|warning| (warning.slots, warning.by.rounded().0)).collect()
}

#[test]
fn what_reaches_into_the_white_edge_is_told() {
    let device = Device::from(dpi(600.0));
    // By hand: the first row and the first column begin at the paper's edge.
    let first = |edge: f64| warned("a4-4x10-full", Device { edge: Mm(edge), ..device });
    assert_eq!(first(2.5), []);
    let edge = first(4.2).remove(0);
    assert_eq!(edge.0, [1, 2, 3, 4, 5, 9, 13, 17, 21, 25, 29, 33, 37]);
    assert!((edge.1 - 1.66).abs() < 0.03, "{edge:?}");
    assert_eq!(warned("a4-3x7", device), []);
    assert_eq!(warned("roll-57x32", Device { edge: Mm(5.0), ..device }), []);
}

/// A printer that prints too far right is drawn further left, and there its driver cuts.
#[test]
fn a_correction_may_push_a_label_into_the_edge() {
    let shifted = |x: f64| {
        let correction = Correction { shift: Point { x: Mm(x), y: Mm::ZERO }, ..Correction::NONE };
        warned("a4-5x13", Device { correction, ..Device::from(dpi(600.0)) })
    };
    assert_eq!(shifted(0.0), []);
    assert_eq!(shifted(4.0)[0].0, (0..13).map(|row| row * 5 + 1).collect::<Vec<u32>>());
}

#[test]
fn what_a_printer_leaves_white_is_kept_free() {
    let sheet = find_sheet("a4-4x10-full").unwrap();
    let inset = |edge: f64| sheet.stock(Device { edge: Mm(edge), ..Device::from(dpi(300.0)) }).inset_x;
    assert_eq!([inset(0.0), inset(4.2), inset(6.0)], [Mm(1.0), Mm(4.2), Mm(6.0)]);
}
