//! The life of a plan of moves: it is kept, and it ends when it is dropped, replaced or done.
//!
//! Start with [`Register::keep_regroup`]. Whether its moves fit is not checked; they were planned.

use rusqlite::{Connection, params};

use super::{NewRegroup, NewRegroupMove, Regroup, RegroupId, carry::settle_in, read::open_in};
use crate::{
    register::{
        ChangeSummary, Register, RegisterError,
        bin::live_bin_in,
        change::Change,
        journal,
        row::{RegroupMoveRow, RegroupRow},
    },
    unit::count,
};

impl Register {
    /// Keeps a plan, in place of one that was not begun; gives its number, and that of the one that it replaces.
    ///
    /// # Errors
    /// [`RegisterError::RegroupBegun`]; [`RegisterError::UnknownBin`].
    pub fn keep_regroup(&mut self, plan: &NewRegroup) -> Result<(RegroupId, Option<RegroupId>), RegisterError> {
        let change = self.begin(&format!("plan moves of {}", count(plan.moves.len() as u64, "item")))?;
        let replaced = unbegun_in(&change)?.map(|old| old.id);
        if let Some(old) = replaced {
            set_state_in(&change, old, "plan of moves replaced", "dropped")?;
        }
        let (asked, outcome) = (plan.asked.to_string(), plan.outcome.to_string());
        let row = RegroupRow { at: journal::now(), state: "open".into(), asked, outcome };
        let regroup = change.insert("moves planned", &row)?.number();
        for one in &plan.moves {
            insert_in(&change, regroup, one)?;
        }
        change.commit()?;
        Ok((RegroupId(regroup), replaced))
    }

    /// Refuses while a plan is open that was begun, before another one is looked for.
    ///
    /// # Errors
    /// [`RegisterError::RegroupBegun`].
    pub fn refuse_begun_regroup(&self) -> Result<(), RegisterError> {
        unbegun_in(&self.connection).map(|_| ())
    }

    /// Ends the open plan as it is; gives it as it was.
    ///
    /// # Errors
    /// [`RegisterError::NoRegroup`].
    pub fn drop_regroup(&mut self) -> Result<Regroup, RegisterError> {
        let plan = self.open_regroup()?.ok_or(RegisterError::NoRegroup)?;
        let change = self.begin("drop the plan of moves")?;
        set_state_in(&change, plan.id, "plan of moves dropped", "dropped")?;
        change.commit()?;
        Ok(plan)
    }

    /// Ends a plan of which others have done, or made void, all that was left.
    ///
    /// # Errors
    /// [`RegisterError::NoRegroup`]; [`RegisterError`] when the file can't be written.
    pub fn end_regroup(&mut self, plan: RegroupId) -> Result<(), RegisterError> {
        let change = self.begin("end the plan of moves, of which nothing is left to do")?;
        settle_in(&change, plan)?;
        end_in(&change, plan)?;
        change.commit()?;
        Ok(())
    }
}

/// The open plan; what was begun is not thrown away in silence.
fn unbegun_in(connection: &Connection) -> Result<Option<Regroup>, RegisterError> {
    match open_in(connection)? {
        Some(open) if open.is_begun() => Err(open.begun()),
        open => Ok(open),
    }
}

fn set_state_in(
    change: &Change<'_>,
    plan: RegroupId,
    action: &'static str,
    state: &'static str,
) -> Result<(), RegisterError> {
    change.rewrite::<RegroupRow>(action, &plan.0.into(), |row| {
        if row.state != "open" {
            return Err(RegisterError::NoRegroup);
        }
        row.state = state.into();
        Ok(())
    })?;
    Ok(())
}

fn insert_in(change: &Change<'_>, regroup: i64, one: &NewRegroupMove) -> Result<(), RegisterError> {
    let target = live_bin_in(change, one.to)?;
    let sql = "SELECT bin FROM item WHERE id = ?1";
    let source: Option<i64> = change.prepare_cached(sql)?.query_row([one.item.0], |row| row.get(0))?;
    // It was in a bin a moment ago, when the plan was made.
    let source = source.ok_or(RegisterError::RegroupChanged)?;
    let row = RegroupMoveRow {
        regroup,
        item: one.item.0,
        source,
        target: target.id,
        taken_on: one.taken_on.into(),
        put_on: one.put_on.into(),
        state: "open".into(),
    };
    change.insert("move planned", &row)?;
    Ok(())
}

/// A plan of which nothing is left is done.
pub(super) fn end_in(change: &Change<'_>, plan: RegroupId) -> Result<(), RegisterError> {
    let state: String =
        change.prepare_cached("SELECT state FROM regroup WHERE id = ?1")?.query_row([plan.0], |row| row.get(0))?;
    if state != "open" {
        return Err(RegisterError::NoRegroup);
    }
    let sql = "SELECT 1 FROM regroup_move WHERE regroup = ?1 AND state IN ('open', 'taken')";
    if change.prepare_cached(sql)?.exists([plan.0])? {
        return Ok(());
    }
    set_state_in(change, plan, "plan of moves carried out", "done")
}

/// What was taken back must leave one open plan at most, and none that ended with something left to do.
pub(in crate::register) fn refuse_odd_plans_in(change: &Change<'_>, what: &ChangeSummary) -> Result<(), RegisterError> {
    let sql = "SELECT 1 WHERE (SELECT count(*) FROM regroup WHERE state = 'open') > 1";
    if change.prepare_cached(sql)?.exists(params![])? {
        return Err(RegisterError::TwoRegroups(what.clone()));
    }
    let sql =
        "SELECT 1 FROM regroup WHERE state <> 'dropped' AND (state = 'open') <> EXISTS (SELECT 1 FROM regroup_move
        WHERE regroup = regroup.id AND regroup_move.state IN ('open', 'taken'))";
    let is_odd = change.prepare_cached(sql)?.exists(params![])?;
    if is_odd { Err(RegisterError::RegroupWentOn(what.clone())) } else { Ok(()) }
}
