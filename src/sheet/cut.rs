//! Plain paper to be cut: as many labels of a size as fit, edge to edge, with marks to cut by.
//!
//! Start with [`cut_sheet`]. How well the user cuts is not known here.

use super::{CutMark, Paper, Sheet, SheetError, SheetKind};
use crate::unit::{Mm, Point, Size};

/// How the names of such sheets begin.
pub(super) const PREFIX: &str = "cut-";
/// Nothing is printed nearer to the paper's edge: what office printers reach (common practice).
const EDGE: Mm = Mm(5.0);
/// Marks begin this far from the labels, so that a cut that is off by a hair leaves no ink on them.
const GAP: Mm = Mm(0.5);
/// The shortest mark that a ruler can be laid to.
const LEAST_MARK: Mm = Mm(2.5);
/// Longer marks would only take ink.
const MOST_MARK: Mm = Mm(5.0);
const LINE: Mm = Mm(0.15);
/// No symbol fits on anything smaller.
const LEAST_SIDE: Mm = Mm(10.0);

/// The sheet that a name such as `cut-a4-90x55` or `cut-letter-3.5x2in` stands for: labels of that
/// size as many as fit, in the middle of the paper.
///
/// # Errors
/// [`SheetError`] when the name is none of these, or the label too small or too large.
pub fn cut_sheet(name: &str) -> Result<Sheet, SheetError> {
    let lower = name.trim().to_ascii_lowercase();
    let wrong = || SheetError::CutName(name.to_owned());
    let (paper, size) = lower.strip_prefix(PREFIX).and_then(|rest| rest.split_once('-')).ok_or_else(wrong)?;
    let (paper, label) = (Paper::by_name(paper).ok_or_else(wrong)?, Size::parse(size).map_err(|_| wrong())?);
    if label.width < LEAST_SIDE || label.height < LEAST_SIDE {
        return Err(SheetError::CutSmall(label));
    }
    let sheet = filled(paper, label, named(paper, label, size.ends_with("in")));
    if sheet.slots() == 0 { Err(SheetError::CutLarge { label, room: room(paper) }) } else { Ok(sheet) }
}

fn named(paper: Paper, label: Size, in_inches: bool) -> String {
    let unit = if in_inches { Mm::from_inches(1.0).0 } else { 1.0 };
    let side = |side: Mm| (side.0 / unit * 10_000.0).round() / 10_000.0;
    let end = if in_inches { "in" } else { "" };
    format!("{PREFIX}{}-{}x{}{end}", paper.name(), side(label.width), side(label.height))
}

/// What is left of the paper between the marks.
fn room(paper: Paper) -> Size {
    let (page, margin) = (paper.size(), (EDGE + LEAST_MARK + GAP) * 2.0);
    Size { width: page.width - margin, height: page.height - margin }
}

fn filled(paper: Paper, label: Size, name: String) -> Sheet {
    let (page, room) = (paper.size(), room(paper));
    let (columns, rows) = (whole(room.width.0 / label.width.0), whole(room.height.0 / label.height.0));
    let margin = |page: Mm, label: Mm, count: u32| (page - label * f64::from(count)) * 0.5;
    Sheet {
        name,
        kind: SheetKind::Cut,
        paper,
        columns,
        rows,
        label_width: label.width,
        label_height: label.height,
        left: margin(page.width, label.width, columns),
        top: margin(page.height, label.height, rows),
        pitch_x: label.width,
        pitch_y: label.height,
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a page holds few labels")]
fn whole(count: f64) -> u32 {
    (count + 1e-9).floor().clamp(0.0, 1000.0) as u32
}

impl Sheet {
    /// The marks to cut by, in the paper's margins: neighbours share a cut, so each edge has one mark
    /// at either end. A sheet of labels has none.
    #[must_use]
    pub fn cut_marks(&self) -> Vec<CutMark> {
        if self.kind != SheetKind::Cut {
            return Vec::new();
        }
        let (page, length) = (self.page(), |margin: Mm| (margin - GAP - EDGE).min(MOST_MARK));
        let (across, down) = (length(self.left), length(self.top));
        let verticals = (0..=self.columns).flat_map(|column| {
            let x = self.left + self.pitch_x * f64::from(column) - LINE * 0.5;
            let above = self.top - GAP - down;
            let ends = [above, page.height - above - down];
            ends.map(|y| CutMark { at: Point { x, y }, size: Size { width: LINE, height: down } })
        });
        let horizontals = (0..=self.rows).flat_map(|row| {
            let y = self.top + self.pitch_y * f64::from(row) - LINE * 0.5;
            let before = self.left - GAP - across;
            let ends = [before, page.width - before - across];
            ends.map(|x| CutMark { at: Point { x, y }, size: Size { width: across, height: LINE } })
        });
        verticals.chain(horizontals).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Arithmetic on ISO 216: 210 x 297 mm less 8 mm all round holds 2 x 5 labels of 90 x 55 mm.
    #[test]
    fn as_many_as_fit_stand_in_the_middle() {
        let sheet = cut_sheet("Cut-A4-90x55").unwrap();
        assert_eq!((sheet.name.as_str(), sheet.columns, sheet.rows), ("cut-a4-90x55", 2, 5));
        assert_eq!((sheet.left, sheet.top), (Mm(15.0), Mm(11.0)));
        let inches = cut_sheet("cut-letter-3.50x2in").unwrap();
        assert_eq!((inches.name.as_str(), inches.columns, inches.rows), ("cut-letter-3.5x2in", 2, 5));
        assert_eq!(cut_sheet("cut-a4-194x281").unwrap().slots(), 1);
    }

    #[test]
    fn marks_are_printable_and_outside_of_the_labels() {
        for name in ["cut-a4-90x55", "cut-a4-194x281", "cut-a4-194x10", "cut-letter-3.5x2in", "cut-a4-64.6x31"] {
            let (sheet, page) = (cut_sheet(name).unwrap(), cut_sheet(name).unwrap().page());
            let marks = sheet.cut_marks();
            assert_eq!(u32::try_from(marks.len()), Ok(2 * (sheet.columns + sheet.rows + 2)), "{name}");
            let (right, bottom) = (page.width - sheet.left, page.height - sheet.top);
            for CutMark { at, size } in marks {
                let (end_x, end_y) = (at.x + size.width, at.y + size.height);
                let edge = EDGE.0 - 1e-9;
                assert!(at.x.0 >= edge && at.y.0 >= edge, "{name}");
                assert!(end_x.0 <= page.width.0 - edge && end_y.0 <= page.height.0 - edge, "{name}");
                let beside = end_x < sheet.left || at.x > right || end_y < sheet.top || at.y > bottom;
                assert!(beside && size.width.max(size.height) >= LEAST_MARK * 0.999, "{name}: {at:?} {size:?}");
            }
        }
    }

    #[test]
    fn names_that_make_no_sense_are_refused() {
        for name in ["cut-", "cut-a4", "cut-a4-", "cut-a5-90x55", "cut-roll-90x55", "cut-a4-90", "cut-a4-nanx5"] {
            assert_eq!(cut_sheet(name), Err(SheetError::CutName(name.into())), "{name}");
        }
        assert!(matches!(cut_sheet("cut-a4-9x55"), Err(SheetError::CutSmall(_))));
        assert!(matches!(cut_sheet("cut-a4-195x55"), Err(SheetError::CutLarge { .. })));
    }
}
