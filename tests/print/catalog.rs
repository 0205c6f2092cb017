//! The known sheets: their number, their names, that they close on their paper, and a few by their source.

use stowmark::{
    sheet::{Paper, Sheet, find_sheet, sheets},
    unit::Mm,
};

const INCH: f64 = 25.4;

fn close(a: Mm, b: f64) -> bool {
    (a.0 - b).abs() < 0.005
}

/// What is left of the paper at the right and at the bottom of the last label.
fn rest(sheet: &Sheet) -> (f64, f64) {
    let (last, page) = (sheet.corner(sheet.slots()), sheet.page());
    (page.width.0 - last.x.0 - sheet.label_width.0, page.height.0 - last.y.0 - sheet.label_height.0)
}

#[test]
fn there_are_31_each_found_by_its_name() {
    assert_eq!(sheets().len(), 31);
    for sheet in sheets() {
        assert_eq!(find_sheet(&sheet.name.to_ascii_uppercase()).map(|found| &found.name), Ok(&sheet.name));
    }
}

#[test]
fn every_grid_closes_on_its_paper() {
    for sheet in sheets() {
        let (right, bottom) = rest(sheet);
        assert!(sheet.left.0 >= 0.0 && sheet.top.0 >= 0.0, "{}", sheet.name);
        assert!(right >= -0.01 && bottom >= -0.01, "{}: {right:.2} mm, {bottom:.2} mm left", sheet.name);
    }
}

#[test]
fn labels_do_not_overlap() {
    for sheet in sheets() {
        let gap = (sheet.pitch_x.0 - sheet.label_width.0, sheet.pitch_y.0 - sheet.label_height.0);
        assert!(gap.0 > -1e-9 && gap.1 > -1e-9, "{}: {gap:?}", sheet.name);
    }
}

/// Where the measures were read on public pages, or the paper itself is the label.
#[test]
fn known_sheets_have_equal_margins() {
    for name in ["a4-3x7", "letter-3x10", "a4-2x1", "a4-1x1", "letter-1x2", "letter-1x1"] {
        let sheet = find_sheet(name).unwrap();
        let (right, bottom) = rest(sheet);
        assert!((sheet.left.0 - right).abs() <= 1.0, "{name}: {} and {right:.2} mm", sheet.left.0);
        assert!((sheet.top.0 - bottom).abs() <= 1.0, "{name}: {} and {bottom:.2} mm", sheet.top.0);
    }
}

/// The others are from memory: none is off by more than a label could bear.
#[test]
fn no_sheet_is_far_from_the_middle() {
    for sheet in sheets() {
        let (right, bottom) = rest(sheet);
        let off = ((sheet.left.0 - right).abs(), (sheet.top.0 - bottom).abs());
        assert!(off.0 <= 1.5 && off.1 <= 1.5, "{}: {off:?} mm", sheet.name);
    }
}

/// Paper and grid; `-full` for the gapless one of two alike; rolls by size.
fn name_by_rule(sheet: &Sheet) -> String {
    let Size { width, height } = Size::of(sheet);
    if sheet.paper == Paper::Roll {
        return format!("roll-{width}x{height}{}", if Size::in_inches(sheet) { "in" } else { "" });
    }
    let alike = |other: &&Sheet| (other.paper, other.columns, other.rows) == (sheet.paper, sheet.columns, sheet.rows);
    let is_gapless = sheet.pitch_x == sheet.label_width && sheet.pitch_y == sheet.label_height;
    let full = if is_gapless && sheets().iter().filter(alike).count() > 1 { "-full" } else { "" };
    format!("{}-{}x{}{full}", sheet.paper.name(), sheet.columns, sheet.rows)
}

/// A roll's label in the unit of its name: whole inches, else millimetres.
struct Size {
    width: f64,
    height: f64,
}

impl Size {
    fn in_inches(sheet: &Sheet) -> bool {
        let whole = |length: Mm| (length.0 / INCH - (length.0 / INCH).round()).abs() < 1e-9;
        whole(sheet.label_width) && whole(sheet.label_height)
    }

    fn of(sheet: &Sheet) -> Self {
        let unit = if Self::in_inches(sheet) { INCH } else { 1.0 };
        let round = |length: Mm| (length.0 / unit * 10.0).round() / 10.0;
        Self { width: round(sheet.label_width), height: round(sheet.label_height) }
    }
}

#[test]
fn names_follow_the_rule_and_no_two_are_equal() {
    for sheet in sheets() {
        assert_eq!(sheet.name, name_by_rule(sheet));
        assert_eq!(sheets().iter().filter(|other| other.name == sheet.name).count(), 1, "{}", sheet.name);
    }
}

#[test]
fn a_roll_is_its_label() {
    for roll in sheets().iter().filter(|sheet| sheet.paper == Paper::Roll) {
        assert_eq!((roll.slots(), roll.page(), roll.left, roll.top), (1, roll.label(), Mm(0.0), Mm(0.0)));
    }
}

/// A sheet as typed in: its label, the first label's corner and the pitch, in millimetres or inches.
struct Row {
    name: &'static str,
    grid: (u32, u32),
    unit: f64,
    label: (f64, f64),
    corner: (f64, f64),
    pitch: (f64, f64),
}

const ROWS: [Row; 6] = [
    // Public pages.
    Row { name: "a4-3x7", grid: (3, 7), unit: 1.0, label: (63.5, 38.1), corner: (7.2, 15.15), pitch: (66.0, 38.1) },
    Row {
        name: "letter-3x10",
        grid: (3, 10),
        unit: INCH,
        label: (2.625, 1.0),
        corner: (0.1875, 0.5),
        pitch: (2.75, 1.0),
    },
    // From memory.
    Row { name: "a4-5x13", grid: (5, 13), unit: 1.0, label: (38.1, 21.2), corner: (4.75, 10.7), pitch: (40.6, 21.2) },
    Row { name: "roll-50x30", grid: (1, 1), unit: 1.0, label: (50.0, 30.0), corner: (0.0, 0.0), pitch: (50.0, 30.0) },
    // [S] ISO 216 and ANSI/ASME Y14.1.
    Row { name: "a4-1x1", grid: (1, 1), unit: 1.0, label: (210.0, 297.0), corner: (0.0, 0.0), pitch: (210.0, 297.0) },
    Row { name: "letter-1x1", grid: (1, 1), unit: INCH, label: (8.5, 11.0), corner: (0.0, 0.0), pitch: (8.5, 11.0) },
];

#[test]
fn measures_are_those_of_their_source() {
    for row in ROWS {
        let sheet = find_sheet(row.name).unwrap();
        let pairs = [
            (sheet.label_width, row.label.0),
            (sheet.label_height, row.label.1),
            (sheet.left, row.corner.0),
            (sheet.top, row.corner.1),
            (sheet.pitch_x, row.pitch.0),
            (sheet.pitch_y, row.pitch.1),
        ];
        assert_eq!((sheet.columns, sheet.rows), row.grid, "{}", row.name);
        assert!(pairs.iter().all(|(known, typed)| close(*known, typed * row.unit)), "{}: {sheet:?}", row.name);
    }
}

/// Slots are counted row by row from 1.
#[test]
fn slots_lie_row_by_row() {
    let sheet = find_sheet("a4-3x7").unwrap();
    let expected = [(1, 7.2, 15.15), (2, 73.2, 15.15), (4, 7.2, 53.25), (21, 139.2, 243.75)];
    for (slot, left, top) in expected {
        let corner = sheet.corner(slot);
        assert!(close(corner.x, left) && close(corner.y, top), "slot {slot}: {corner:?}");
    }
}
