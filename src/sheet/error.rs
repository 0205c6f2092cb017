//! Why a sheet was not found or not taken.

use crate::unit::{Mm, Size, UnitError};

/// Why a sheet was not found or not taken.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SheetError {
    /// No such sheet.
    #[error("there is no sheet `{name}`; {hint}")]
    Unknown {
        /// What was asked for.
        name: String,
        /// What may have been meant.
        hint: String,
    },
    /// A cut sheet's name that is not paper and size.
    #[error("`{0}` is no sheet to be cut; write cut-, the paper and the label, as cut-a4-90x55 or cut-letter-3.5x2in")]
    CutName(String),
    /// Too small to be cut.
    #[error("labels of {0} are too small to be cut; each side needs 10 mm")]
    CutSmall(Size),
    /// Too large for the paper.
    #[error("no label of {label} fits on this paper between its cut marks; there is room for {room}")]
    CutLarge {
        /// The label.
        label: Size,
        /// What is left between the marks.
        room: Size,
    },
    /// A name that an own sheet can't have.
    #[error("`{name}` can't be the name of a sheet: {why}")]
    Name {
        /// The name.
        name: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// A grid that is not `COLUMNSxROWS`.
    #[error("`{0}` is no grid; write labels across and down as 3x9, at most 100 each")]
    Grid(String),
    /// No such paper.
    #[error("`{0}` is no paper; there are a4, letter and roll")]
    Paper(String),
    /// A measure that can't be read.
    #[error(transparent)]
    Unit(#[from] UnitError),
    /// A sheet without a grid.
    #[error("a sheet needs its grid; write labels across and down as --grid 3x9")]
    NoGrid,
    /// A roll with more than one label on its page.
    #[error("on a roll each label is a page of its own; leave out --grid, --left, --top and --pitch")]
    Roll,
    /// A label too small for any symbol.
    #[error("labels of {0} are too small; each side needs 5 mm")]
    Small(Size),
    /// Labels that lie over each other.
    #[error("the labels would overlap: from label to label it is {pitch}, but a label is {label}")]
    Overlap {
        /// From label to label.
        pitch: Size,
        /// The label.
        label: Size,
    },
    /// Labels that don't end on the paper.
    #[error("the last label ends {beyond} mm beyond the {side} edge of the paper; compare {measures} with the packet")]
    Beyond {
        /// How far.
        beyond: f64,
        /// Where.
        side: &'static str,
        /// What to look at.
        measures: &'static str,
    },
}

impl SheetError {
    /// That there is no sheet of this name, with the nearest of those that there are.
    pub fn unknown<'a>(name: &str, known: impl Iterator<Item = &'a str>) -> Self {
        let lower = name.trim().to_ascii_lowercase();
        let near = known.map(|known| (strsim::damerau_levenshtein(&lower, known), known)).min();
        let hint = match near {
            Some((slips, near)) if slips <= 2 => format!("did you mean `{near}`?"),
            _ => "`stowmark sheet list` shows all, `stowmark sheet list --label 63.5x38.1` those of a size".into(),
        };
        Self::Unknown { name: name.into(), hint }
    }

    /// That the last label ends so far beyond an edge.
    pub(super) fn beyond(beyond: Mm, side: &'static str, measures: &'static str) -> Self {
        Self::Beyond { beyond: (beyond.0 * 100.0).ceil() / 100.0, side, measures }
    }
}
