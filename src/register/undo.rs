//! Taking changes back: the rows of a change in the journal, the last first, put back as they were.
//!
//! Start with [`Register::undo_last`]. A change that others stand on stays, and the refusal names them. What was taken
//! back is a change itself, and can be taken back in turn. Codes never die: an item or a bin whose entry is taken back
//! keeps its code, and stands for nothing else for ever.

use rusqlite::params;
use serde_json::{Map, Value};

use super::{
    Register, RegisterError, RunId,
    change::{Change, ChangeId},
    row::for_subject,
    row::{AreaRow, Key, Row, from_image, image},
};

/// A change on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangeSummary {
    /// Its number.
    pub id: ChangeId,
    /// When it was made, ISO 8601 in UTC.
    pub at: String,
    /// What was done, in words.
    pub what: String,
}

/// What stands on a change, so that it can't be taken back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Later {
    /// A later change.
    Change(ChangeSummary),
    /// A printed run with a label of what would go.
    Run(RunId),
}

/// A row of the journal that can be put back.
struct Step {
    id: i64,
    subject: String,
    key: Key,
    before: Option<Map<String, Value>>,
    after: Option<Map<String, Value>>,
}

impl Register {
    /// Takes the last so many changes back, the newest first: all of them or none. Those that were taken back already
    /// and those that took others back don't count.
    ///
    /// # Errors
    /// [`RegisterError::StandsOn`] with what stands on one of them; [`RegisterError::NothingToUndo`].
    pub fn undo_last(&mut self, count: usize) -> Result<Vec<ChangeSummary>, RegisterError> {
        let sql = "SELECT id FROM change WHERE undoes IS NULL AND undone_by IS NULL ORDER BY id DESC LIMIT ?1";
        let count = i64::try_from(count).unwrap_or(i64::MAX);
        let mut query = self.connection.prepare(sql)?;
        let ids = query.query_map([count], |row| row.get(0).map(ChangeId))?.collect::<Result<Vec<_>, _>>()?;
        drop(query);
        self.undo(&ids)
    }

    /// Takes these changes back in this order: all of them or none.
    ///
    /// # Errors
    /// As [`Self::undo_last`]; [`RegisterError::UnknownChange`]; [`RegisterError::UndoneBefore`].
    pub fn undo(&mut self, ids: &[ChangeId]) -> Result<Vec<ChangeSummary>, RegisterError> {
        if ids.is_empty() {
            return Err(RegisterError::NothingToUndo);
        }
        let mut change = self.begin("undo")?;
        let mut undone = Vec::with_capacity(ids.len());
        for id in ids {
            let summary = undoable_in(&change, *id)?;
            change.next(&format!("undo {id}: {}", summary.what), *id)?;
            take_back_in(&change, &summary)?;
            undone.push(summary);
        }
        change.commit()?;
        Ok(undone)
    }

    /// The last so many changes, the newest first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn last_changes(&self, count: usize) -> Result<Vec<ChangeSummary>, RegisterError> {
        let sql = "SELECT id, at, what FROM change ORDER BY id DESC LIMIT ?1";
        let mut query = self.connection.prepare(sql)?;
        let changes = query.query_map([i64::try_from(count).unwrap_or(i64::MAX)], ChangeSummary::from_row)?;
        Ok(changes.collect::<Result<_, _>>()?)
    }
}

impl ChangeSummary {
    pub(super) fn from_row(row: &rusqlite::Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self { id: ChangeId(row.get(0)?), at: row.get(1)?, what: row.get(2)? })
    }
}

/// The change of this number, if it still stands.
fn undoable_in(change: &Change<'_>, id: ChangeId) -> Result<ChangeSummary, RegisterError> {
    use rusqlite::OptionalExtension;
    let sql = "SELECT id, at, what, undone_by IS NOT NULL FROM change WHERE id = ?1";
    let read = |row: &rusqlite::Row<'_>| Ok((ChangeSummary::from_row(row)?, row.get(3)?));
    match change.query_row(sql, [id.0], read).optional()? {
        None => Err(RegisterError::UnknownChange(id)),
        Some((_, true)) => Err(RegisterError::UndoneBefore(id)),
        Some((summary, false)) => Ok(summary),
    }
}

fn take_back_in(change: &Change<'_>, target: &ChangeSummary) -> Result<(), RegisterError> {
    let steps = steps_in(change, target.id)?;
    let later = later_in(change, target, &steps)?;
    if !later.is_empty() {
        return Err(RegisterError::StandsOn { change: target.clone(), later });
    }
    for step in steps.iter().rev() {
        for_subject!(step.subject.as_str(), put_back_in(change, step))?;
    }
    mark_in(change, target.id)
}

/// What it took back counts again if this change took back one that took something back.
fn mark_in(change: &Change<'_>, target: ChangeId) -> Result<(), RegisterError> {
    change.execute("UPDATE change SET undone_by = ?2 WHERE id = ?1", params![target.0, change.id.0])?;
    let sql = "UPDATE change SET undone_by = NULL WHERE id = (SELECT undoes FROM change WHERE id = ?1)";
    change.execute(sql, [target.0])?;
    Ok(())
}

fn steps_in(change: &Change<'_>, id: ChangeId) -> Result<Vec<Step>, RegisterError> {
    let sql = "SELECT id, subject, key, before, after FROM journal WHERE change = ?1 ORDER BY id";
    let mut query = change.prepare_cached(sql)?;
    let steps = query.query_map([id.0], Step::from_row)?;
    Ok(steps.collect::<Result<_, _>>()?)
}

impl Step {
    fn from_row(row: &rusqlite::Row<'_>) -> rusqlite::Result<Self> {
        let (subject, key) = (row.get(1)?, row.get(2)?);
        Ok(Self { id: row.get(0)?, subject, key, before: columns(row.get(3)?)?, after: columns(row.get(4)?)? })
    }

    /// The columns that it set; `None` for all of them.
    fn set(&self) -> Option<&Map<String, Value>> {
        self.before.as_ref().and(self.after.as_ref())
    }

    /// Whether another change of the same row stands on this one.
    fn is_under(&self, later: &Self) -> bool {
        match (self.set(), later.set()) {
            (Some(own), Some(other)) => own.keys().any(|name| other.contains_key(name)),
            _ => true,
        }
    }
}

pub(super) fn columns(text: Option<String>) -> rusqlite::Result<Option<Map<String, Value>>> {
    text.map(|text| serde_json::from_str(&text).map_err(|_| super::bin::damaged(&text))).transpose()
}

fn put_back_in<R: Row>(change: &Change<'_>, step: &Step) -> Result<(), RegisterError> {
    match (&step.before, &step.after) {
        (None, Some(_)) => take_away_in::<R>(change, &step.key),
        (Some(before), Some(_)) => change
            .rewrite::<R>("taken back", &step.key, |row| {
                let mut columns = image(row);
                columns.extend(before.clone());
                *row = from_image(columns)?;
                Ok(())
            })
            .map(drop),
        (Some(before), None) => change.restore::<R>("taken back", &step.key, &from_image(before.clone())?),
        (None, None) => Ok(()),
    }
}

fn take_away_in<R: Row>(change: &Change<'_>, key: &Key) -> Result<(), RegisterError> {
    match R::require_in(change, key)?.taken_back() {
        Some(left) => change
            .rewrite::<R>("entry taken back", key, |row| {
                *row = left;
                Ok(())
            })
            .map(drop),
        None => {
            if R::SUBJECT == AreaRow::SUBJECT {
                refuse_used_area_in(change, key)?;
            }
            change.delete::<R>("entry taken back", key)
        }
    }
}

/// Codes of bins carry the number of their area.
fn refuse_used_area_in(change: &Change<'_>, key: &Key) -> Result<(), RegisterError> {
    let used = change.prepare_cached("SELECT 1 FROM bin WHERE area = ?1")?.exists([key])?;
    if used { Err(RegisterError::AreaHasCodes(key.number())) } else { Ok(()) }
}

/// At most this many are named.
const MOST_NAMED: usize = 10;

/// The changes and prints that stand on a change, the first ones by their number.
fn later_in(change: &Change<'_>, target: &ChangeSummary, steps: &[Step]) -> Result<Vec<Later>, RegisterError> {
    let mut found: Vec<ChangeId> = Vec::new();
    let mut runs: Vec<RunId> = Vec::new();
    for step in steps {
        for id in rivals_in(change, target.id, step)? {
            if !found.contains(&id) {
                found.push(id);
            }
        }
        for run in prints_in(change, target, step)? {
            if !runs.contains(&run) {
                runs.push(run);
            }
        }
        if found.len() + runs.len() >= MOST_NAMED {
            break;
        }
    }
    found.sort_unstable();
    let named = found.into_iter().map(|id| undoable_in(change, id).map(Later::Change));
    named.chain(runs.into_iter().map(|run| Ok(Later::Run(run)))).collect()
}

/// Later changes that still stand, of the same row, or of what is in an added bin or refunded of an added sale.
fn rivals_in(change: &Change<'_>, target: ChangeId, step: &Step) -> Result<Vec<ChangeId>, RegisterError> {
    let is_addition = step.before.is_none();
    let (item, bin) = match step.subject.as_str() {
        "item" => (Some(step.key.number()), None),
        "bin" => (None, Some(step.key.number())),
        "name" | "sale" | "refund" => (item_of_in(change, step.id)?, None),
        _ => (None, None),
    };
    // Each arm goes by an index: the journal may be long.
    let sql = match (item, bin) {
        (Some(_), _) => {
            "SELECT journal.id, subject, key, before, after, change FROM journal JOIN change ON change.id = change
             WHERE item = ?1 AND change > ?2 AND undoes IS NULL AND undone_by IS NULL ORDER BY journal.id"
        }
        (_, Some(_)) => {
            "SELECT journal.id, subject, key, before, after, change FROM journal JOIN change ON change.id = change
             WHERE bin = ?1 AND change > ?2 AND undoes IS NULL AND undone_by IS NULL ORDER BY journal.id"
        }
        _ => {
            "SELECT journal.id, subject, key, before, after, change FROM journal JOIN change ON change.id = change
             WHERE key = ?1 AND change > ?2 AND undoes IS NULL AND undone_by IS NULL ORDER BY journal.id"
        }
    };
    let key = item.or(bin).map_or_else(|| step.key.clone(), Key::Number);
    let mut query = change.prepare_cached(sql)?;
    let rows = query.query_map(params![key, target.0], |row| Ok((Step::from_row(row)?, row.get(5).map(ChangeId)?)))?;
    let mut rivals = Vec::new();
    for row in rows {
        let (later, id) = row?;
        let is_same = later.subject == step.subject && later.key == step.key;
        let is_within = is_addition
            && match step.subject.as_str() {
                "item" | "bin" => true,
                "sale" => later.subject == "refund",
                _ => false,
            };
        if (is_same && step.is_under(&later)) || (is_within && !is_same) {
            rivals.push(id);
        }
    }
    Ok(rivals)
}

fn item_of_in(change: &Change<'_>, journal_row: i64) -> Result<Option<i64>, RegisterError> {
    let sql = "SELECT item FROM journal WHERE id = ?1";
    Ok(change.prepare_cached(sql)?.query_row([journal_row], |row| row.get(0))?)
}

/// Runs that printed a label of an item or a bin since its entry.
fn prints_in(change: &Change<'_>, target: &ChangeSummary, step: &Step) -> Result<Vec<RunId>, RegisterError> {
    let sql = match (step.before.is_none(), step.subject.as_str()) {
        (true, "item") => {
            "SELECT DISTINCT run.id FROM label JOIN run ON run.id = label.run
             WHERE label.item = ?1 AND run.state = 'done' AND run.at >= ?2"
        }
        (true, "bin") => {
            "SELECT DISTINCT run.id FROM label JOIN run ON run.id = label.run
             WHERE label.bin = ?1 AND run.state = 'done' AND run.at >= ?2"
        }
        _ => return Ok(Vec::new()),
    };
    let mut query = change.prepare_cached(sql)?;
    let runs = query.query_map(params![step.key, target.at], |row| row.get(0).map(RunId))?;
    Ok(runs.collect::<Result<_, _>>()?)
}
