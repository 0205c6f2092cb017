//! A user's own sheets: measures as typed, checked to close on their paper.
//!
//! Start with [`NewSheet`]. Whether the name is taken already is the register's to know.

use super::{Paper, Sheet, SheetError, SheetKind, cut, find_sheet};
use crate::unit::{Mm, Size};

/// Measures are given to the hundredth of a millimetre at best.
const TOLERANCE: f64 = 0.01;
const LEAST_SIDE: Mm = Mm(5.0);
const MOST_ACROSS: u32 = 100;
const LONGEST_NAME: usize = 40;

/// An own sheet as it is typed: lengths in millimetres, or in inches with `in` at their end.
#[derive(Debug, Clone, Copy, Default)]
pub struct NewSheet<'a> {
    /// Its name.
    pub name: &'a str,
    /// `a4`, `letter` or `roll`.
    pub paper: &'a str,
    /// Labels across and down: `3x9`. A roll has none.
    pub grid: Option<&'a str>,
    /// Size of a label: `62x30`.
    pub label: &'a str,
    /// From the paper's left edge to the first label; else the labels are in the middle.
    pub left: Option<&'a str>,
    /// From the paper's top edge to the first label; else the labels are in the middle.
    pub top: Option<&'a str>,
    /// From label to label, across and down; else they stand edge to edge.
    pub pitch: Option<&'a str>,
}

impl NewSheet<'_> {
    /// The sheet, if it makes sense.
    ///
    /// # Errors
    /// [`SheetError`] for a name that can't be one, a measure that can't be read, labels that overlap
    /// or don't end on the paper.
    pub fn check(&self) -> Result<Sheet, SheetError> {
        let name = checked_name(self.name)?;
        let label = Size::parse(self.label)?;
        if label.width < LEAST_SIDE || label.height < LEAST_SIDE {
            return Err(SheetError::Small(label));
        }
        match self.paper.trim().to_ascii_lowercase().as_str() {
            "roll" => self.roll(name, label),
            paper => {
                let paper = Paper::by_name(paper).ok_or_else(|| SheetError::Paper(self.paper.to_owned()))?;
                self.grid_on(name, paper, label)
            }
        }
    }

    fn roll(&self, name: String, label: Size) -> Result<Sheet, SheetError> {
        let more = [self.left, self.top, self.pitch].iter().any(Option::is_some);
        if more || self.grid.is_some_and(|grid| parse_grid(grid) != Ok((1, 1))) {
            return Err(SheetError::Roll);
        }
        Ok(sheet(name, Paper::Roll, (1, 1), label, label))
    }

    fn grid_on(&self, name: String, paper: Paper, label: Size) -> Result<Sheet, SheetError> {
        let grid = parse_grid(self.grid.ok_or(SheetError::NoGrid)?)?;
        let pitch = self.pitch.map_or(Ok(label), Size::parse)?;
        if pitch.width.0 < label.width.0 - TOLERANCE || pitch.height.0 < label.height.0 - TOLERANCE {
            return Err(SheetError::Overlap { pitch, label });
        }
        let mut sheet = sheet(name, paper, grid, label, pitch);
        let (width, height) = extent(&sheet);
        let middle = |page: Mm, extent: Mm| ((page - extent) * 0.5).max(Mm::ZERO);
        sheet.left = self.left.map_or(Ok(middle(paper.size().width, width)), Mm::parse)?;
        sheet.top = self.top.map_or(Ok(middle(paper.size().height, height)), Mm::parse)?;
        closes(&sheet)?;
        Ok(sheet)
    }
}

fn sheet(name: String, paper: Paper, (columns, rows): (u32, u32), label: Size, pitch: Size) -> Sheet {
    Sheet {
        name,
        kind: SheetKind::Own,
        paper,
        columns,
        rows,
        label_width: label.width,
        label_height: label.height,
        left: Mm::ZERO,
        top: Mm::ZERO,
        pitch_x: pitch.width,
        pitch_y: pitch.height,
    }
}

fn parse_grid(text: &str) -> Result<(u32, u32), SheetError> {
    let wrong = || SheetError::Grid(text.to_owned());
    let lower = text.trim().to_ascii_lowercase();
    let (columns, rows) = lower.split_once(['x', '×']).ok_or_else(wrong)?;
    let count = |text: &str| text.trim().parse().ok().filter(|count| (1..=MOST_ACROSS).contains(count));
    count(columns).zip(count(rows)).ok_or_else(wrong)
}

/// From the first label's edge to the last one's, across and down.
fn extent(sheet: &Sheet) -> (Mm, Mm) {
    let along = |pitch: Mm, count: u32, label| pitch * f64::from(count - 1) + label;
    (along(sheet.pitch_x, sheet.columns, sheet.label_width), along(sheet.pitch_y, sheet.rows, sheet.label_height))
}

fn closes(sheet: &Sheet) -> Result<(), SheetError> {
    let (page, (width, height)) = (sheet.page(), extent(sheet));
    let (right, bottom) = (sheet.left + width - page.width, sheet.top + height - page.height);
    if right.0 > TOLERANCE {
        return Err(SheetError::beyond(right, "right", "--left, --label, --pitch and the columns of --grid"));
    }
    if bottom.0 > TOLERANCE {
        return Err(SheetError::beyond(bottom, "bottom", "--top, --label, --pitch and the rows of --grid"));
    }
    Ok(())
}

fn checked_name(typed: &str) -> Result<String, SheetError> {
    let name = typed.trim().to_ascii_lowercase();
    let why = if name.is_empty() {
        "it is empty"
    } else if !name.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-') {
        "use letters a to z, digits and hyphens"
    } else if name.starts_with('-') || name.ends_with('-') {
        "it begins or ends with a hyphen"
    } else if name.len() > LONGEST_NAME {
        "it is longer than 40 characters"
    } else if name.starts_with(cut::PREFIX) {
        "names with cut- stand for plain paper"
    } else if name == "none" {
        "none stands for no sheet"
    } else if find_sheet(&name).is_ok() {
        "a built-in sheet has it"
    } else {
        return Ok(name);
    };
    Err(SheetError::Name { name: typed.to_owned(), why })
}

#[cfg(test)]
mod tests {
    use super::*;

    const OWN: NewSheet<'static> = NewSheet {
        name: "jam-jars",
        paper: "a4",
        grid: Some("3x9"),
        label: "62x30",
        left: Some("9"),
        top: Some("13.5"),
        pitch: Some("64x30"),
    };

    #[test]
    fn a_sheet_is_taken_as_measured() {
        let sheet = OWN.check().unwrap();
        assert_eq!((sheet.slots(), sheet.label(), sheet.kind), (27, Size::new(62.0, 30.0), SheetKind::Own));
        assert_eq!(sheet.corner(27), crate::unit::Point { x: Mm(137.0), y: Mm(253.5) });
        let inches = NewSheet { paper: "letter", label: "2x1in", grid: Some("4x10"), pitch: None, ..OWN };
        let inches = NewSheet { left: Some("0.25in"), top: Some("0.5in"), ..inches }.check().unwrap();
        assert!((inches.left.0 - 6.35).abs() < 1e-9 && (inches.pitch_x.0 - 50.8).abs() < 1e-9);
    }

    #[test]
    fn without_margins_the_labels_are_in_the_middle() {
        let sheet = NewSheet { left: None, top: None, ..OWN }.check().unwrap();
        assert_eq!((sheet.left, sheet.top), (Mm(10.0), Mm(13.5)));
    }

    #[test]
    fn a_roll_is_its_label() {
        let roll = NewSheet { paper: "Roll", grid: None, left: None, top: None, pitch: None, ..OWN };
        let sheet = roll.check().unwrap();
        assert_eq!((sheet.slots(), sheet.page()), (1, Size::new(62.0, 30.0)));
        assert_eq!(NewSheet { grid: Some("2x1"), ..roll }.check(), Err(SheetError::Roll));
        assert_eq!(NewSheet { left: Some("1"), ..roll }.check(), Err(SheetError::Roll));
    }

    #[test]
    fn what_does_not_close_is_refused() {
        let wrong = [
            (NewSheet { left: Some("21"), ..OWN }, "the last label ends 1 mm beyond the right edge"),
            (NewSheet { top: Some("27.5"), ..OWN }, "the last label ends 0.5 mm beyond the bottom edge"),
            (NewSheet { grid: Some("4x9"), left: None, ..OWN }, "the last label ends 44 mm beyond the right edge"),
            (NewSheet { pitch: Some("60x30"), ..OWN }, "the labels would overlap"),
            (NewSheet { label: "62x4", ..OWN }, "too small"),
            (NewSheet { grid: Some("0x9"), ..OWN }, "`0x9` is no grid"),
            (NewSheet { grid: Some("3"), ..OWN }, "`3` is no grid"),
            (NewSheet { grid: None, ..OWN }, "a sheet needs its grid"),
            (NewSheet { left: Some("-1"), ..OWN }, "`-1` is no length"),
            (NewSheet { paper: "a5", ..OWN }, "`a5` is no paper; there are a4, letter and roll"),
            (NewSheet { name: "a4-3x7", ..OWN }, "a built-in sheet has it"),
            (NewSheet { name: "cut-a4-9x9", ..OWN }, "plain paper"),
            (NewSheet { name: "jam jars", ..OWN }, "letters a to z"),
            (NewSheet { name: "", ..OWN }, "it is empty"),
        ];
        for (sheet, why) in wrong {
            let told = sheet.check().unwrap_err().to_string();
            assert!(told.contains(why), "{told}");
        }
    }
}
