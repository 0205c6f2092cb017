//! What runs printed, as the register remembers it.

use std::path::PathBuf;

use rusqlite::{OptionalExtension, Row};
use serde::Serialize;
use serde_json::Value;

use super::{Register, RegisterError, SpotId, bin::damaged, place::area_number};
use crate::code::AreaNumber;

/// The number of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct RunId(pub(super) i64);

impl RunId {
    /// The run of this number, if it is there.
    #[must_use]
    pub fn new(number: u32) -> Self {
        Self(number.into())
    }
}

impl std::fmt::Display for RunId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}", self.0)
    }
}

/// What a run prints.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum RunKind {
    /// Items' labels.
    Tags,
    /// Bins' labels for their fronts.
    Signs,
    /// Bins' labels for their lids.
    Lids,
    /// Strips for the spots where bins stand.
    Strips,
    /// Areas' labels.
    Areas,
    /// Lists of what is in bins.
    Contents,
}

impl RunKind {
    /// All of them.
    pub const ALL: [Self; 6] = [Self::Tags, Self::Signs, Self::Lids, Self::Strips, Self::Areas, Self::Contents];

    /// The word in file names: `tags`, `signs`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Tags => "tags",
            Self::Signs => "signs",
            Self::Lids => "lids",
            Self::Strips => "strips",
            Self::Areas => "areas",
            Self::Contents => "contents",
        }
    }

    /// One of its labels: `tag`, `sign`.
    #[must_use]
    pub fn noun(self) -> &'static str {
        match self {
            Self::Tags => "tag",
            Self::Signs => "sign",
            Self::Lids => "lid",
            Self::Strips => "strip",
            Self::Areas => "area sign",
            Self::Contents => "contents list",
        }
    }

    /// The kind of this word.
    #[must_use]
    pub fn by_name(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }

    pub(super) fn by_word(word: &str) -> rusqlite::Result<Self> {
        Self::by_name(word).ok_or_else(|| damaged(word))
    }
}

/// How far a run has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum RunState {
    /// Its file is not known to be in place yet.
    Writing,
    /// Its file is in place: it counts as printed.
    Done,
    /// Nothing came out of the printer.
    Cancelled,
}

impl RunState {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Writing => "writing",
            Self::Done => "done",
            Self::Cancelled => "cancelled",
        }
    }

    fn by_word(word: &str) -> rusqlite::Result<Self> {
        let all = [Self::Writing, Self::Done, Self::Cancelled];
        all.into_iter().find(|state| state.word() == word).ok_or_else(|| damaged(word))
    }
}

/// A run on record, with its labels or their number.
#[derive(Debug, Clone, PartialEq)]
pub struct Run<L> {
    /// Its number.
    pub id: RunId,
    /// When it was printed, ISO 8601 in UTC.
    pub at: String,
    /// What it printed.
    pub kind: RunKind,
    /// How far it has come.
    pub state: RunState,
    /// Its file.
    pub target: PathBuf,
    /// SHA-256 of the file's bytes.
    pub sha256: String,
    /// The sheet's name.
    pub sheet: String,
    /// Dots per inch.
    pub dpi: f64,
    /// Pages of its file.
    pub pages: usize,
    /// The printer's name, if one was chosen.
    pub printer: Option<String>,
    /// What it takes to draw the same labels again.
    pub options: Value,
    /// When it was cancelled.
    pub cancelled_at: Option<String>,
    /// Its labels in the order of the file, or how many they are.
    pub labels: L,
}

/// A run with its labels, in the order of the file.
pub type RecordedRun = Run<Vec<RecordedLabel>>;
/// A run with the number of its labels.
pub type RunSummary = Run<usize>;

/// A label of a run on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordedLabel {
    /// The page, counted from 1.
    pub page: usize,
    /// The slot, counted from 1.
    pub slot: u32,
    /// Which one of the sheets of that name; `None` where none is remembered.
    pub sheet_no: Option<u32>,
    /// What its symbol carries.
    pub payload: String,
    /// The names of the symbologies on it, parted by spaces.
    pub symbols: String,
    /// The area, if it was an area's label.
    pub area: Option<AreaNumber>,
    /// The spot, if it was a spot's label.
    pub spot: Option<SpotId>,
    /// What it said.
    pub said: Value,
    /// How it looks, where that is not as the run's options say.
    pub look: Option<Value>,
}

macro_rules! run_query {
    ($tail:literal) => {
        concat!(
            "SELECT id, at, kind, state, target, sha256, sheet, dpi, pages, printer, options, cancelled_at,
                (SELECT count(*) FROM label WHERE label.run = run.id) AS labels
             FROM run ",
            $tail
        )
    };
}

impl Register {
    /// All runs that are done, with their labels, the oldest first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn runs(&self) -> Result<Vec<RecordedRun>, RegisterError> {
        let mut query = self.connection.prepare(run_query!("WHERE state = 'done' ORDER BY id"))?;
        let runs = query.query_map([], RunSummary::from_row)?.collect::<Result<Vec<_>, _>>()?;
        runs.into_iter().map(|run| self.with_labels(run)).collect()
    }

    /// All runs in any state, the oldest first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn run_summaries(&self) -> Result<Vec<RunSummary>, RegisterError> {
        let mut query = self.connection.prepare(run_query!("ORDER BY id"))?;
        let runs = query.query_map([], RunSummary::from_row)?;
        Ok(runs.collect::<Result<_, _>>()?)
    }

    /// A run in any state, with its labels.
    ///
    /// # Errors
    /// [`RegisterError::UnknownRun`].
    pub fn run(&self, id: RunId) -> Result<RecordedRun, RegisterError> {
        let sql = run_query!("WHERE id = ?1");
        let run = self.connection.query_row(sql, [id.0], RunSummary::from_row).optional()?;
        self.with_labels(run.ok_or(RegisterError::UnknownRun(id))?)
    }

    fn with_labels(&self, run: RunSummary) -> Result<RecordedRun, RegisterError> {
        let sql = "SELECT page, slot, sheet_no, payload, symbols, area, spot, said, look FROM label
            WHERE run = ?1 ORDER BY number";
        let mut query = self.connection.prepare_cached(sql)?;
        let labels = query.query_map([run.id.0], RecordedLabel::from_row)?.collect::<Result<_, _>>()?;
        Ok(run.with(labels))
    }
}

impl RunSummary {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            id: RunId(row.get("id")?),
            at: row.get("at")?,
            kind: RunKind::by_word(&row.get::<_, String>("kind")?)?,
            state: RunState::by_word(&row.get::<_, String>("state")?)?,
            target: row.get::<_, String>("target")?.into(),
            sha256: row.get("sha256")?,
            sheet: row.get("sheet")?,
            dpi: row.get("dpi")?,
            pages: row.get::<_, u32>("pages")? as usize,
            printer: row.get("printer")?,
            options: json(&row.get::<_, String>("options")?)?,
            cancelled_at: row.get("cancelled_at")?,
            labels: row.get::<_, u32>("labels")? as usize,
        })
    }
}

impl<L> Run<L> {
    /// The same run with something else for its labels.
    fn with<M>(self, labels: M) -> Run<M> {
        Run {
            id: self.id,
            at: self.at,
            kind: self.kind,
            state: self.state,
            target: self.target,
            sha256: self.sha256,
            sheet: self.sheet,
            dpi: self.dpi,
            pages: self.pages,
            printer: self.printer,
            options: self.options,
            cancelled_at: self.cancelled_at,
            labels,
        }
    }
}

impl RecordedLabel {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            page: row.get::<_, u32>("page")? as usize,
            slot: row.get("slot")?,
            sheet_no: row.get("sheet_no")?,
            payload: row.get("payload")?,
            symbols: row.get("symbols")?,
            area: row.get::<_, Option<u16>>("area")?.map(area_number).transpose()?,
            spot: row.get::<_, Option<i64>>("spot")?.map(SpotId),
            said: json(&row.get::<_, String>("said")?)?,
            look: row.get::<_, Option<String>>("look")?.map(|look| json(&look)).transpose()?,
        })
    }
}

pub(super) fn json(text: &str) -> rusqlite::Result<Value> {
    serde_json::from_str(text).map_err(|_| damaged(text))
}
