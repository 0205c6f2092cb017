//! Sheets and rolls, and those that the program knows, from `sheet_table.csv` beside this file.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::SheetError;
use crate::{
    label::Stock,
    unit::{Dpi, Mm, Point, Size},
};

/// Most office printers leave about this much of the paper's edge unprinted (common practice).
const UNPRINTED_EDGE: Mm = Mm(4.2);
/// Nothing comes nearer to a label's edge.
const LABEL_EDGE: Mm = Mm(1.0);

/// What labels come on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Paper {
    /// 210 x 297 mm (ISO 216).
    A4,
    /// 8.5 x 11 in (ANSI/ASME Y14.1).
    Letter,
    /// A roll: each label is a page.
    Roll,
}

impl Paper {
    /// A4 or Letter by name, for the setting of what a user's printer takes.
    #[must_use]
    pub fn by_name(name: &str) -> Option<Self> {
        match name.trim().to_ascii_lowercase().as_str() {
            "a4" => Some(Self::A4),
            "letter" => Some(Self::Letter),
            _ => None,
        }
    }

    /// The size of the paper; a roll has none, its labels have.
    pub(super) fn size(self) -> Size {
        match self {
            Self::A4 => Size::new(210.0, 297.0),
            Self::Letter => Size { width: Mm::from_inches(8.5), height: Mm::from_inches(11.0) },
            Self::Roll => Size::new(0.0, 0.0),
        }
    }

    /// The name as it stands in the names of sheets.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
            Self::Roll => "roll",
        }
    }
}

/// Where a sheet's measures come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SheetKind {
    /// The program's table.
    BuiltIn,
    /// The user, who added it.
    Own,
    /// The name: plain paper to be cut.
    Cut,
}

impl SheetKind {
    /// As people read it: `built in`, `own`, `cut`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::BuiltIn => "built in",
            Self::Own => "own",
            Self::Cut => "cut",
        }
    }
}

/// A label sheet, or a roll: a grid of labels on a page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sheet {
    /// Paper and grid: `a4-3x7`.
    pub name: String,
    /// Where its measures come from.
    pub kind: SheetKind,
    /// What the labels come on.
    pub paper: Paper,
    /// Labels across.
    pub columns: u32,
    /// Labels down.
    pub rows: u32,
    /// Width of a label.
    #[serde(rename = "label_width_mm")]
    pub label_width: Mm,
    /// Height of a label.
    #[serde(rename = "label_height_mm")]
    pub label_height: Mm,
    /// From the paper's left edge to the first label.
    #[serde(rename = "left_mm")]
    pub left: Mm,
    /// From the paper's top edge to the first label.
    #[serde(rename = "top_mm")]
    pub top: Mm,
    /// From label to label across.
    #[serde(rename = "pitch_x_mm")]
    pub pitch_x: Mm,
    /// From label to label down.
    #[serde(rename = "pitch_y_mm")]
    pub pitch_y: Mm,
}

impl Sheet {
    /// Labels on a page.
    #[must_use]
    pub fn slots(&self) -> u32 {
        self.columns * self.rows
    }

    /// Size of a label.
    #[must_use]
    pub fn label(&self) -> Size {
        Size { width: self.label_width, height: self.label_height }
    }

    /// Size of the page; a roll's is that of its label.
    #[must_use]
    pub fn page(&self) -> Size {
        match self.paper {
            Paper::Roll => self.label(),
            paper => paper.size(),
        }
    }

    /// Whether slots that are left over are remembered: a roll has none, and plain paper is cut.
    #[must_use]
    pub fn remembers_slots(&self) -> bool {
        self.paper != Paper::Roll && self.kind != SheetKind::Cut
    }

    /// The top left corner of a slot, counted from 1, row by row.
    #[must_use]
    pub fn corner(&self, slot: u32) -> Point {
        let (row, column) = ((slot - 1) / self.columns, (slot - 1) % self.columns);
        Point { x: self.left + self.pitch_x * f64::from(column), y: self.top + self.pitch_y * f64::from(row) }
    }

    /// The room for a label's content. Labels that reach the edge of the paper keep clear of what a
    /// printer leaves unprinted there; all labels of a sheet are alike.
    #[must_use]
    pub fn stock(&self, dpi: Dpi) -> Stock {
        let last = self.corner(self.slots());
        let (right, bottom) =
            (self.page().width - last.x - self.label_width, self.page().height - last.y - self.label_height);
        let inset = |margin: Mm| match self.paper {
            Paper::Roll => LABEL_EDGE,
            _ => LABEL_EDGE.max(UNPRINTED_EDGE - margin),
        };
        let (inset_x, inset_y) = (inset(self.left.min(right)), inset(self.top.min(bottom)));
        Stock { size: self.label(), inset_x, inset_y, dpi }
    }
}

/// A line of `sheet_table.csv`, in its own unit.
#[derive(Deserialize)]
struct Line {
    name: String,
    paper: Paper,
    columns: u32,
    rows: u32,
    label_width: f64,
    label_height: f64,
    left: f64,
    top: f64,
    pitch_x: f64,
    pitch_y: f64,
    unit: String,
}

impl From<Line> for Sheet {
    fn from(line: Line) -> Self {
        let to_mm = if line.unit == "in" { Mm::from_inches } else { Mm };
        Self {
            name: line.name,
            kind: SheetKind::BuiltIn,
            paper: line.paper,
            columns: line.columns,
            rows: line.rows,
            label_width: to_mm(line.label_width),
            label_height: to_mm(line.label_height),
            left: to_mm(line.left),
            top: to_mm(line.top),
            pitch_x: to_mm(line.pitch_x),
            pitch_y: to_mm(line.pitch_y),
        }
    }
}

/// All built-in sheets and rolls.
#[must_use]
pub fn sheets() -> &'static [Sheet] {
    static SHEETS: LazyLock<Vec<Sheet>> = LazyLock::new(|| {
        let mut lines = csv::Reader::from_reader(&include_bytes!("sheet_table.csv")[..]);
        lines.deserialize().map(|line| Line::into(line.expect("the table of sheets is whole"))).collect()
    });
    &SHEETS
}

/// Packets round: 63.5 may be called 64.
const TOLERANCE: Mm = Mm(0.6);

impl Sheet {
    /// Whether its labels have this size, as a packet says it, either side first.
    #[must_use]
    pub fn has_label(&self, size: Size) -> bool {
        let near = |a: Mm, b: Mm| (a.0 - b.0).abs() <= TOLERANCE.0;
        let is = |width, height| near(self.label_width, width) && near(self.label_height, height);
        is(size.width, size.height) || is(size.height, size.width)
    }
}

/// The built-in sheet of this name.
///
/// # Errors
/// [`SheetError::Unknown`] that names the nearest one, when there is none.
pub fn find_sheet(name: &str) -> Result<&'static Sheet, SheetError> {
    let lower = name.trim().to_ascii_lowercase();
    let unknown = || SheetError::unknown(name, sheets().iter().map(|sheet| sheet.name.as_str()));
    sheets().iter().find(|sheet| sheet.name == lower).ok_or_else(unknown)
}
