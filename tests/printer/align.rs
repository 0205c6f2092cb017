//! Pages bent on purpose, measured by their pixels, corrected, bent again: crosses and labels land where they should.

use stowmark::{
    output::Pixels,
    sheet::{Correction, Device, Readings, alignment_page, find_sheet},
    symbol::SymbolKind,
    unit::{Dpi, Mm, Point, Size},
};

use super::support::{dark_part, dpi, drawn, is_dark, label, laid_out};

/// What a printer does to a page, in millimetres and factors; written apart from the program's own arithmetic.
#[derive(Debug, Clone, Copy)]
struct Bent {
    right: f64,
    down: f64,
    wide: f64,
    high: f64,
    fall: f64,
}

const PRINTERS: [Bent; 5] = [
    Bent { right: 0.0, down: 0.0, wide: 1.0, high: 1.0, fall: 0.0 },
    Bent { right: 1.7, down: -1.2, wide: 1.0, high: 1.0, fall: 0.0 },
    Bent { right: 0.0, down: 0.0, wide: 1.004, high: 0.995, fall: 0.0 },
    Bent { right: -0.6, down: 0.9, wide: 0.997, high: 1.003, fall: 0.006 },
    Bent { right: 1.1, down: 1.4, wide: 1.005, high: 1.005, fall: -0.009 },
];

impl Bent {
    /// A window of what comes out: each dot of the paper shows the dot of the page that is printed there.
    fn window(&self, page: &Pixels, dpi: Dpi, [left, top, width, height]: [u32; 4]) -> Pixels {
        let dot = 25.4 / dpi.get();
        let dot_of = |millimetres: f64| (millimetres / dot).floor();
        let shown = |x: u32, y: u32| {
            let (x, y) = ((f64::from(x) + 0.5) * dot, (f64::from(y) + 0.5) * dot);
            let from_x = (x - self.right) / self.wide;
            let from_y = (y - self.down - self.fall * from_x) / self.high;
            let (column, row) = (dot_of(from_x), dot_of(from_y));
            if column < 0.0 || row < 0.0 { 255 } else { shade(page, column, row) }
        };
        let rows = (top..top + height).flat_map(|y| (left..left + width).map(move |x| (x, y)));
        Pixels { width, height, luma: rows.map(|(x, y)| shown(x, y)).collect() }
    }

    /// Where a cross comes out, from the paper's corner: its upright is a dark line of its length, its bar too.
    fn cross(&self, page: &Pixels, dpi: Dpi, (x, y): (f64, f64)) -> (f64, f64) {
        let dots = |millimetres: f64| dpi.dots_within(Mm(millimetres)).0;
        let (left, top, side) = (dots(x - 6.0), dots(y - 6.0), dots(12.0));
        let window = self.window(page, dpi, [left, top, side, side]);
        let columns = lines(side, dpi, |column, row| is_dark(&window, column, row));
        let rows = lines(side, dpi, |row, column| is_dark(&window, column, row));
        let dot = 25.4 / dpi.get();
        (f64::from(left).mul_add(dot, columns * dot), f64::from(top).mul_add(dot, rows * dot))
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "dots of a page")]
fn shade(page: &Pixels, column: f64, row: f64) -> u8 {
    if is_dark(page, column as usize, row as usize) { 0 } else { 255 }
}

/// The middle of the lines that have a dark part of about 5 mm which ends within the window: neither a ruler's nor
/// an outline. A skewed line changes its row on the way, so a shorter part counts too.
fn lines(side: u32, dpi: Dpi, is_dark: impl Fn(usize, usize) -> bool) -> f64 {
    let dots = |millimetres: f64| dpi.dots_within(Mm(millimetres)).0 as usize;
    let is_arm = |line: &u32| {
        let dark: String = (0..side as usize).map(|at| if is_dark(*line as usize, at) { '#' } else { ' ' }).collect();
        let parts: Vec<&str> = dark.split(' ').collect();
        parts.iter().skip(1).rev().skip(1).any(|part| (dots(3.5)..dots(5.6)).contains(&part.len()))
    };
    let found: Vec<f64> = (0..side).filter(is_arm).map(|line| f64::from(line) + 0.5).collect();
    assert!(!found.is_empty(), "no cross");
    found.iter().sum::<f64>() / f64::from(u32::try_from(found.len()).unwrap())
}

/// Where the crosses belong; the page says so too.
const CROSSES: [(f64, f64); 4] = [(12.0, 10.0), (192.0, 10.0), (12.0, 260.0), (192.0, 260.0)];

/// With outlines along the paper's edges only: nothing else near the crosses can be taken for them.
fn page(device: Device) -> Pixels {
    drawn(&[alignment_page("laser", find_sheet("a4-1x1").unwrap(), &device).unwrap()], device.dpi)
}

fn found(printer: &Bent, page: &Pixels, dpi: Dpi) -> [(f64, f64); 4] {
    CROSSES.map(|cross| printer.cross(page, dpi, cross))
}

fn measured([a, b, c, _]: [(f64, f64); 4]) -> Readings {
    Readings {
        left_edge: Mm(a.0),
        top_edge: Mm(a.1),
        span_x: Mm(b.0 - a.0),
        span_y: Mm(c.1 - a.1),
        top_edge_right: Some(Mm(b.1)),
    }
}

/// To the tenth, as a ruler at best.
fn by_ruler(readings: Readings) -> Readings {
    let tenth = |mm: Mm| Mm((mm.0 * 10.0).round() / 10.0);
    Readings {
        left_edge: tenth(readings.left_edge),
        top_edge: tenth(readings.top_edge),
        span_x: tenth(readings.span_x),
        span_y: tenth(readings.span_y),
        top_edge_right: readings.top_edge_right.map(tenth),
    }
}

fn farthest(found: [(f64, f64); 4]) -> f64 {
    let off = found.iter().zip(CROSSES).flat_map(|(at, cross)| [(at.0 - cross.0).abs(), (at.1 - cross.1).abs()]);
    off.fold(0.0, f64::max)
}

/// The device as it is known after an uncorrected page was printed and measured.
fn corrected(printer: &Bent, plain: &Pixels, dpi: Dpi, read: fn(Readings) -> Readings) -> Device {
    let readings = read(measured(found(printer, plain, dpi)));
    Device { correction: readings.correction(false).unwrap(), ..Device::from(dpi) }
}

/// Design: within 0.1 mm, or 0.2 mm when the ruler is read to a tenth.
#[test]
fn crosses_of_a_corrected_page_land_where_they_should() {
    for (dots, printers) in [(dpi(300.0), &PRINTERS[..]), (dpi(600.0), &PRINTERS[3..])] {
        let plain = page(Device::from(dots));
        for &printer in printers {
            let before = farthest(found(&printer, &plain, dots));
            let exact = farthest(found(&printer, &page(corrected(&printer, &plain, dots, |readings| readings)), dots));
            let ruler = farthest(found(&printer, &page(corrected(&printer, &plain, dots, by_ruler)), dots));
            println!("{printer:?} at {dots}: off by {before:.2} mm, then {exact:.2}, by ruler {ruler:.2}");
            assert!(exact <= 0.1 && ruler <= 0.2, "{printer:?} at {dots}: {exact} {ruler}");
        }
    }
}

/// What is left of a coarse first measuring goes with a second one, taken of the corrected page.
#[test]
fn a_corrected_page_is_measured_again() {
    let (dots, printer) = (dpi(300.0), PRINTERS[3]);
    let plain = page(Device::from(dots));
    let coarse =
        Correction { shift: Point::default(), scale_x: 1.0, ..corrected(&printer, &plain, dots, by_ruler).correction };
    let first = Device { correction: coarse, ..Device::from(dots) };
    let left = found(&printer, &page(first), dots);
    assert!(farthest(left) > 0.4);
    let refined = coarse.refined(&measured(left).correction(false).unwrap());
    let off = farthest(found(&printer, &page(Device { correction: refined, ..first }), dots));
    assert!(off <= 0.1, "{off}");
}

/// Labels of several sheets: the symbol's corner comes out where the sheet's measures put it. Within its label a
/// symbol keeps the printer's own scale, since nothing in a label is scaled.
#[test]
fn labels_land_on_their_label() {
    let dots = dpi(600.0);
    let plain = page(Device::from(dots));
    for printer in [PRINTERS[0], PRINTERS[3], PRINTERS[4]] {
        let device = corrected(&printer, &plain, dots, |readings| readings);
        for (name, slots) in
            [("a4-3x7", [1, 3, 11, 19, 21]), ("letter-3x10", [1, 3, 14, 28, 30]), ("a4-5x13", [1, 5, 33, 61, 65])]
        {
            let sheet = find_sheet(name).unwrap();
            let drawing = label(SymbolKind::Qr, 10, sheet.label());
            let drawings = vec![drawing; sheet.slots() as usize];
            let page = drawn(&laid_out(sheet, &drawings, device), dots);
            // The symbol begins 100 dots inside and is 210 dots wide; skewed, its highest corner is the left or the right one.
            let (inside, side) = (100.0 * 25.4 / 600.0, 210.0 * 25.4 / 600.0);
            let highest = if printer.fall < 0.0 { inside + side } else { inside };
            for slot in slots {
                let corner = sheet.corner(slot);
                let at = |length: Mm| dots.dots_within(length).0;
                let window = [at(corner.x), at(corner.y), at(sheet.label_width), at(sheet.label_height)];
                let ((left, top), _) = dark_part(&printer.window(&page, dots, window));
                let mm = |start: u32, dots: u32| f64::from(start + dots) * 25.4 / 600.0;
                let off = (
                    mm(window[0], left) - corner.x.0 - inside * printer.wide,
                    mm(window[1], top) - corner.y.0 - inside * printer.high - highest * printer.fall,
                );
                assert!(off.0.abs() <= 0.1 && off.1.abs() <= 0.1, "{name} slot {slot} of {printer:?}: {off:?}");
            }
        }
    }
}

/// The page is the same on A4 and Letter but for its outlines: readings need no paper.
#[test]
fn crosses_are_at_the_same_places_on_either_paper() {
    let device = Device::from(dpi(300.0));
    for name in ["a4-3x7", "a4-1x1", "a4-4x10-full", "letter-3x10", "letter-4x20", "letter-1x1"] {
        let page = drawn(&[alignment_page("laser", find_sheet(name).unwrap(), &device).unwrap()], device.dpi);
        assert!(farthest(found(&PRINTERS[0], &page, device.dpi)) < 0.1, "{name}");
    }
    for name in ["roll-57x32", "roll-100x150"] {
        assert!(alignment_page("roll", find_sheet(name).unwrap(), &device).is_err(), "{name}");
    }
}

/// Design: places are corrected, what is on a label never.
#[test]
fn a_label_is_moved_and_not_scaled() {
    let device = Device { correction: Correction { scale_x: 1.01, ..Correction::NONE }, ..Device::from(dpi(300.0)) };
    let drawing = label(SymbolKind::Code128, 4, Size::new(63.5, 38.1));
    let pages = laid_out(find_sheet("a4-3x7").unwrap(), &[drawing.clone(), drawing], device);
    let placed = &pages[0].placed;
    assert_eq!(placed[0].drawing, placed[1].drawing);
    let apart = placed[1].at.x.0 - placed[0].at.x.0;
    assert!((apart - 66.0 / 1.01).abs() < 25.4 / 300.0, "{apart}");
}
