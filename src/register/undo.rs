//! Taking changes back: the rows of a change in the journal, the last first, put back as they were.
//!
//! Start with [`Register::undo_last`]. A change that others stand on stays, and the refusal names them. What was taken
//! back is a change itself, and can be taken back in turn. Codes never die: an item or a bin whose entry is taken back
//! keeps its code, and stands for nothing else for ever.

use std::collections::BTreeSet;

use rusqlite::{OptionalExtension, ffi::SQLITE_CONSTRAINT_FOREIGNKEY, params};
use serde_json::{Map, Value};

use super::{
    Register, RegisterError, RunId,
    change::{Change, ChangeId},
    kind::{refuse_lost_size_in, refuse_used_kind_in},
    regroup::refuse_odd_plans_in,
    row::for_subject,
    row::{AreaRow, BinKindRow, ItemRow, ItemSizeRow, Key, Row, SpotRow, from_image, image},
    setting::TOLD_OF_PART_USED,
    standing::{footing_in, is_used_spot_in, refuse_amounts_in, refuse_used_area_in, standing_on_in},
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

/// `change 12 (add 3 bins to area 1)`
impl std::fmt::Display for ChangeSummary {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "change {} ({})", self.id, self.what)
    }
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
pub(super) struct Step {
    pub id: i64,
    pub subject: String,
    pub key: Key,
    pub before: Option<Map<String, Value>>,
    pub after: Option<Map<String, Value>>,
}

impl Register {
    /// Takes the last so many changes back, the newest first: all of them or none. Those that were taken back already
    /// and those that took others back don't count, nor what the program noted for itself.
    ///
    /// # Errors
    /// [`RegisterError::StandsOn`] with what stands on one of them; [`RegisterError::NothingToUndo`].
    pub fn undo_last(&mut self, count: usize) -> Result<Vec<ChangeSummary>, RegisterError> {
        let sql = "SELECT id FROM change WHERE undoes IS NULL AND undone_by IS NULL AND NOT EXISTS (
                SELECT 1 FROM journal WHERE journal.id = change.first_row AND subject = 'setting' AND key = ?2)
            ORDER BY id DESC LIMIT ?1";
        let count = i64::try_from(count).unwrap_or(i64::MAX);
        let mut query = self.connection.prepare(sql)?;
        let ids = query
            .query_map(params![count, TOLD_OF_PART_USED], |row| row.get(0).map(ChangeId))?
            .collect::<Result<Vec<_>, _>>()?;
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
            change.next(&words(&summary), Some(*id))?;
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

/// `undo 5: put 4A-001F into 4C`, and `bring back 5: …` for taking that back in turn.
fn words(target: &ChangeSummary) -> String {
    if let Some(rest) = target.what.strip_prefix("undo ") {
        return format!("bring back {rest}");
    }
    let again = target.what.strip_prefix("bring back ").map(|rest| format!("undo {rest}"));
    again.unwrap_or_else(|| format!("undo {}: {}", target.id, target.what))
}

/// The change of this number, if it still stands.
pub(super) fn undoable_in(change: &Change<'_>, id: ChangeId) -> Result<ChangeSummary, RegisterError> {
    let sql = "SELECT id, at, what, undone_by IS NOT NULL FROM change WHERE id = ?1";
    let read = |row: &rusqlite::Row<'_>| Ok((ChangeSummary::from_row(row)?, row.get(3)?));
    match change.prepare_cached(sql)?.query_row([id.0], read).optional()? {
        None => Err(RegisterError::UnknownChange(id)),
        Some((_, true)) => Err(RegisterError::UndoneBefore(id)),
        Some((summary, false)) => Ok(summary),
    }
}

fn take_back_in(change: &Change<'_>, target: &ChangeSummary) -> Result<(), RegisterError> {
    let steps = steps_in(change, target.id)?;
    let stands_on = |later| Err(RegisterError::StandsOn { change: target.clone(), later });
    let later = standing_on_in(change, target.id, &steps)?;
    if !later.is_empty() {
        return stands_on(later);
    }
    for step in steps.iter().rev() {
        refuse_amounts_in(change, step)?;
        let later = footing_in(change, target.id, step)?;
        if !later.is_empty() {
            return stands_on(later);
        }
        for_subject!(step.subject.as_str(), put_back_in(change, step)).map_err(|fault| clash(fault, target))?;
    }
    if steps.iter().any(|step| step.subject.starts_with("regroup")) {
        refuse_odd_plans_in(change, target)?;
    }
    sizes_in(change, &steps)?.iter().try_for_each(|name| refuse_lost_size_in(change, name))?;
    mark_in(change, target.id)
}

/// The names of sizes that go, or that items have again.
fn sizes_in(change: &Change<'_>, steps: &[Step]) -> Result<BTreeSet<String>, RegisterError> {
    let mut names = BTreeSet::new();
    for step in steps {
        match (&step.key, step.subject.as_str()) {
            (Key::Text(name), ItemSizeRow::SUBJECT) if step.before.is_none() => {
                names.insert(name.clone());
            }
            (key, ItemRow::SUBJECT) if step.sets("size") || step.sets("state") => {
                names.extend(ItemRow::require_in(change, key)?.size);
            }
            _ => {}
        }
    }
    Ok(names)
}

/// A row that comes back can be in the way of one that is there now.
fn clash(fault: RegisterError, target: &ChangeSummary) -> RegisterError {
    match fault {
        RegisterError::Sql(source) if source.sqlite_error_code() == Some(rusqlite::ErrorCode::ConstraintViolation) => {
            let needs = source.sqlite_error().is_some_and(|fault| fault.extended_code == SQLITE_CONSTRAINT_FOREIGNKEY);
            RegisterError::Clashes { change: target.clone(), needs, fault: Box::new(source) }
        }
        other => other,
    }
}

/// What it took back counts again if this change took back one that took something back, and so on down the chain.
fn mark_in(change: &Change<'_>, target: ChangeId) -> Result<(), RegisterError> {
    let (mut marked, mut by) = (Some(target.0), Some(change.id.0));
    while let Some(id) = marked {
        let mut mark = change.prepare_cached("UPDATE change SET undone_by = ?2 WHERE id = ?1 RETURNING undoes")?;
        marked = mark.query_row(params![id, by], |row| row.get(0))?;
        by = if by.is_some() { None } else { Some(id) };
    }
    change.touch();
    Ok(())
}

fn steps_in(change: &Change<'_>, id: ChangeId) -> Result<Vec<Step>, RegisterError> {
    let sql = "SELECT id, subject, key, before, after FROM journal
        WHERE id >= (SELECT first_row FROM change WHERE id = ?1) AND change = ?1
            AND id < coalesce((SELECT first_row FROM change WHERE id > ?1 ORDER BY id LIMIT 1), 9223372036854775807)
        ORDER BY id";
    let mut query = change.prepare_cached(sql)?;
    let steps = query.query_map([id.0], Step::from_row)?;
    Ok(steps.collect::<Result<_, _>>()?)
}

impl Step {
    pub(super) fn from_row(row: &rusqlite::Row<'_>) -> rusqlite::Result<Self> {
        let (subject, key) = (row.get(1)?, row.get(2)?);
        Ok(Self { id: row.get(0)?, subject, key, before: columns(row.get(3)?)?, after: columns(row.get(4)?)? })
    }

    /// The columns that it set; `None` for all of them.
    fn set(&self) -> Option<&Map<String, Value>> {
        self.before.as_ref().and(self.after.as_ref())
    }

    /// Whether it changes a column of a row that was there.
    pub(super) fn sets(&self, column: &str) -> bool {
        self.set().is_some_and(|columns| columns.contains_key(column))
    }

    /// Whether taking it back leaves nothing that others may refer to.
    pub(super) fn is_addition(&self) -> bool {
        self.before.as_ref().is_none_or(|before| before.get("state").is_some_and(|state| state == "undone"))
    }

    /// Whether taking it back takes a bin out of use.
    pub(super) fn retires(&self) -> bool {
        self.before.as_ref().is_some_and(|before| before.get("retired").is_some_and(Value::is_string))
    }

    /// Whether another change of the same row stands on this one.
    pub(super) fn is_under(&self, later: &Self) -> bool {
        match (self.set(), later.set()) {
            (Some(own), Some(other)) if !self.is_addition() => {
                own.keys().any(|name| other.contains_key(name)) || self.unsettles(later) || later.unsettles(self)
            }
            _ => true,
        }
    }

    /// A bin that is out of use stands nowhere, also one whose spot was not known when it was retired.
    fn unsettles(&self, other: &Self) -> bool {
        self.sets("retired") && (other.sets("spot") || other.sets("stack"))
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
    if let Some(left) = R::require_in(change, key)?.taken_back() {
        let leave = |row: &mut R| {
            *row = left;
            Ok(())
        };
        return change.rewrite("entry taken back", key, leave).map(drop);
    }
    if R::SUBJECT == AreaRow::SUBJECT {
        refuse_used_area_in(change, key)?;
    }
    if R::SUBJECT == SpotRow::SUBJECT && is_used_spot_in(change, key)? {
        return Ok(());
    }
    if let (true, Key::Text(name)) = (R::SUBJECT == BinKindRow::SUBJECT, key) {
        refuse_used_kind_in(change, name)?;
    }
    change.delete::<R>("entry taken back", key)
}
