//! Plans of moves: kept, and carried out move by move.
//!
//! Start with [`Register::keep_regroup`]. Which moves make sense is decided elsewhere; one plan is open at a time, and
//! each reading of the session that carries it out is one change.

use std::collections::BTreeSet;

use rusqlite::{Connection, OptionalExtension, Row, params};
use serde_json::Value;

use super::{
    Bin, ChangeId, Item, ItemId, Move, Register, RegisterError,
    bin::{bin_code, live_bin_in},
    change::Change,
    item::move_in,
    journal,
    row::{RegroupMoveRow, RegroupRow},
    sale::present_in,
};
use crate::code::BinCode;

/// The number of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(transparent)]
pub struct RegroupId(pub(super) i64);

impl RegroupId {
    /// The plan that the journal names by this key.
    pub(crate) fn by_key(key: i64) -> Self {
        Self(key)
    }
}

impl std::fmt::Display for RegroupId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// A plan of moves on record.
#[derive(Debug, Clone, PartialEq)]
pub struct Regroup {
    /// Its number.
    pub id: RegroupId,
    /// When it was made, ISO 8601 in UTC.
    pub at: String,
    /// What was asked for.
    pub asked: Value,
    /// How good it is.
    pub outcome: Value,
    /// Its moves, in the order in which things are taken.
    pub moves: Vec<RegroupMove>,
}

/// A move of a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RegroupMove {
    /// The item.
    pub item: ItemId,
    /// The bin that it is taken from.
    pub from: BinCode,
    /// The bin that it goes to.
    pub to: BinCode,
    /// The trip, from 1, on which it is taken.
    pub taken_on: u32,
    /// The trip on which it is put.
    pub put_on: u32,
    /// How far it is; while the plan is open, with what others have done meanwhile.
    pub state: MoveState,
    /// How far it is on record.
    kept: MoveState,
    id: i64,
}

impl RegroupMove {
    /// The same move in another state.
    #[must_use]
    pub fn in_state(&self, state: MoveState) -> Self {
        Self { state, ..self.clone() }
    }

    /// Whether others have brought its item elsewhere since something was done last with the plan.
    #[must_use]
    pub fn is_overtaken(&self) -> bool {
        self.state != self.kept
    }

    /// Whether it waits in the holding box between its trips.
    #[must_use]
    pub fn is_held(&self) -> bool {
        self.taken_on < self.put_on
    }
}

/// How far a move is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum MoveState {
    /// The item is still to be taken.
    Open,
    /// It was taken, and is not put yet.
    Taken,
    /// It was put.
    Done,
    /// It was not there.
    Missing,
    /// It came elsewhere by other ways, or left.
    Void,
}

impl MoveState {
    /// The word in the register and in answers.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Taken => "taken",
            Self::Done => "done",
            Self::Missing => "missing",
            Self::Void => "void",
        }
    }

    fn by_word(word: &str) -> Option<Self> {
        [Self::Open, Self::Taken, Self::Done, Self::Missing, Self::Void].into_iter().find(|state| state.word() == word)
    }

    /// Whether something is still to be done.
    #[must_use]
    pub fn is_left(self) -> bool {
        matches!(self, Self::Open | Self::Taken)
    }
}

/// An item as it is after its move, and the move.
pub type Carried = (Item, Move);

/// A plan to be kept.
#[derive(Debug, Clone, PartialEq)]
pub struct NewRegroup {
    /// What was asked for.
    pub asked: Value,
    /// How good it is.
    pub outcome: Value,
    /// Its moves, in the order in which things are taken.
    pub moves: Vec<NewRegroupMove>,
}

/// A move of a plan to be kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NewRegroupMove {
    /// The item.
    pub item: ItemId,
    /// The bin that it goes to.
    pub to: BinCode,
    /// The trip, from 1, on which it is taken.
    pub taken_on: u32,
    /// The trip on which it is put.
    pub put_on: u32,
}

impl RegroupMove {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let word = |column| {
            let word: String = row.get(column)?;
            MoveState::by_word(&word).ok_or_else(|| super::bin::damaged(&word))
        };
        Ok(Self {
            item: ItemId(row.get("item")?),
            from: bin_code(&row.get::<_, String>("source")?)?,
            to: bin_code(&row.get::<_, String>("target")?)?,
            taken_on: row.get("taken_on")?,
            put_on: row.get("put_on")?,
            state: word("state")?,
            kept: word("kept")?,
            id: row.get("id")?,
        })
    }
}

const OPEN: &str = "SELECT id FROM regroup WHERE state = 'open' ORDER BY id DESC LIMIT 1";
/// A move is done by itself where its item came into the bin by other ways; it is void where the item is neither there nor
/// where it was.
const MOVES: &str = "SELECT own.id, own.item, source.payload AS source, target.payload AS target, own.taken_on,
        own.put_on, own.state AS kept, CASE
            WHEN regroup.state <> 'open' OR own.state IN ('done', 'void') THEN own.state
            WHEN item.bin = own.target THEN 'done'
            WHEN item.bin = own.source THEN own.state
            ELSE 'void' END AS state
    FROM regroup_move AS own JOIN regroup ON regroup.id = own.regroup JOIN item ON item.id = own.item
        JOIN bin AS source ON source.id = own.source JOIN bin AS target ON target.id = own.target
    WHERE own.regroup = ?1 ORDER BY own.id";

impl Register {
    /// The open plan, if there is one.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn open_regroup(&self) -> Result<Option<Regroup>, RegisterError> {
        let id: Option<i64> = self.connection.prepare_cached(OPEN)?.query_row([], |row| row.get(0)).optional()?;
        id.map(|id| self.regroup(RegroupId(id))).transpose()
    }

    /// A plan with its moves, in any state.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn regroup(&self, id: RegroupId) -> Result<Regroup, RegisterError> {
        let sql = "SELECT at, asked, outcome FROM regroup WHERE id = ?1";
        let read = |row: &Row<'_>| Ok((row.get(0)?, row.get::<_, String>(1)?, row.get::<_, String>(2)?));
        let (at, asked, outcome) = self.connection.prepare_cached(sql)?.query_row([id.0], read)?;
        let json = |text: String| serde_json::from_str(&text).map_err(|_| RegisterError::Damaged(text));
        let moves = moves_in(&self.connection, id)?;
        Ok(Regroup { id, at, asked: json(asked)?, outcome: json(outcome)?, moves })
    }

    /// Whether a plan was ended before all of it was done.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn is_regroup_dropped(&self, id: RegroupId) -> Result<bool, RegisterError> {
        let sql = "SELECT 1 FROM regroup WHERE id = ?1 AND state = 'dropped'";
        Ok(self.connection.prepare_cached(sql)?.exists([id.0])?)
    }

    /// Where an item that was taken for the open plan comes from and goes to.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn in_hand(&self, item: ItemId) -> Result<Option<(BinCode, BinCode)>, RegisterError> {
        let sql = "SELECT source.payload, target.payload FROM regroup_move AS own
            JOIN regroup ON regroup.id = own.regroup JOIN item ON item.id = own.item AND item.bin = own.source
            JOIN bin AS source ON source.id = own.source JOIN bin AS target ON target.id = own.target
            WHERE own.item = ?1 AND own.state = 'taken' AND regroup.state = 'open'";
        let read = |row: &Row<'_>| Ok((bin_code(&row.get::<_, String>(0)?)?, bin_code(&row.get::<_, String>(1)?)?));
        Ok(self.connection.prepare_cached(sql)?.query_row([item.0], read).optional()?)
    }

    /// The bin in which an item was not found when it was to be taken for the open plan.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn missed_in(&self, item: ItemId) -> Result<Option<BinCode>, RegisterError> {
        let sql = "SELECT source.payload FROM regroup_move AS own
            JOIN regroup ON regroup.id = own.regroup JOIN item ON item.id = own.item AND item.bin = own.source
            JOIN bin AS source ON source.id = own.source
            WHERE own.item = ?1 AND own.state = 'missing' AND regroup.state = 'open'";
        let read = |row: &Row<'_>| bin_code(&row.get::<_, String>(0)?);
        Ok(self.connection.prepare_cached(sql)?.query_row([item.0], read).optional()?)
    }

    /// Keeps a plan, in place of one that was not begun; gives its number, and that of the one that it replaces.
    ///
    /// # Errors
    /// [`RegisterError::RegroupBegun`]; [`RegisterError::UnknownBin`].
    pub fn keep_regroup(&mut self, plan: &NewRegroup) -> Result<(RegroupId, Option<RegroupId>), RegisterError> {
        let change = self.begin(&format!("plan moves of {}", items_text(plan.moves.len())))?;
        let replaced = open_in(&change)?;
        if let Some(old) = replaced {
            refuse_begun_in(&change, old)?;
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
        match self.open_regroup()? {
            Some(open) if open.is_begun() => Err(open.begun()),
            _ => Ok(()),
        }
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

    /// Refuses a plan that still moves things into a bin that was retired meanwhile.
    ///
    /// # Errors
    /// [`RegisterError::RegroupBinRetired`].
    pub fn refuse_retired_targets(&self, plan: &Regroup) -> Result<(), RegisterError> {
        let targets: BTreeSet<BinCode> =
            plan.moves.iter().filter(|one| one.state.is_left()).map(|one| one.to).collect();
        for code in targets {
            if let Some(since) = self.bin(code)?.retired {
                return Err(RegisterError::RegroupBinRetired { bin: code, since });
            }
        }
        Ok(())
    }

    /// Says that the item of a move was taken, or that it is not there.
    ///
    /// # Errors
    /// [`RegisterError::RegroupChanged`] when others have gone on with the move meanwhile.
    pub fn mark_move(
        &mut self,
        plan: RegroupId,
        one: &RegroupMove,
        state: MoveState,
    ) -> Result<Option<ChangeId>, RegisterError> {
        let name = self.item(one.item)?.map(|item| item.name()).unwrap_or_default();
        let what = match state {
            MoveState::Missing => format!("{name} is missing in {}", one.from),
            _ => format!("take {name} from {} for {}", one.from, one.to),
        };
        let change = self.begin(&what)?;
        settle_in(&change, plan)?;
        set_move_in(&change, one, state, state_words(state))?;
        end_in(&change, plan)?;
        change.commit()
    }

    /// Puts the items of moves into the bin that they go to, all of them or none.
    ///
    /// # Errors
    /// [`RegisterError::RegroupChanged`] as in [`Self::mark_move`]; those of [`Self::move_items`].
    pub fn put_moves(
        &mut self,
        plan: RegroupId,
        bin: &Bin,
        moves: &[RegroupMove],
    ) -> Result<(Vec<Carried>, Option<ChangeId>), RegisterError> {
        let change = self.begin(&format!("put {} into {} as planned", items_text(moves.len()), bin.code))?;
        let target = live_bin_in(&change, bin.code)?;
        settle_in(&change, plan)?;
        let mut put = Vec::new();
        for one in moves {
            let item = present_in(&change, one.item)?;
            if let Some(moved) = move_in(&change, &item, &target)? {
                put.push((present_in(&change, one.item)?, moved));
            }
            set_move_in(&change, one, MoveState::Done, state_words(MoveState::Done))?;
        }
        end_in(&change, plan)?;
        Ok((put, change.commit()?))
    }
}

fn items_text(count: usize) -> String {
    crate::unit::count(count as u64, "item")
}

/// What the journal calls it.
fn state_words(state: MoveState) -> &'static str {
    match state {
        MoveState::Open => "to be moved",
        MoveState::Taken => "taken to be moved",
        MoveState::Done => "moved as planned",
        MoveState::Missing => "not found where it was to be taken",
        MoveState::Void => "not to be moved any more",
    }
}

fn open_in(change: &Change<'_>) -> Result<Option<RegroupId>, RegisterError> {
    Ok(change.prepare_cached(OPEN)?.query_row([], |row| row.get(0).map(RegroupId)).optional()?)
}

/// What was begun is not thrown away in silence.
fn refuse_begun_in(change: &Change<'_>, plan: RegroupId) -> Result<(), RegisterError> {
    let moves = moves_in(change, plan)?;
    let plan = Regroup { id: plan, at: String::new(), asked: Value::Null, outcome: Value::Null, moves };
    if plan.is_begun() { Err(plan.begun()) } else { Ok(()) }
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

fn moves_in(connection: &Connection, plan: RegroupId) -> Result<Vec<RegroupMove>, RegisterError> {
    let mut query = connection.prepare_cached(MOVES)?;
    Ok(query.query_map([plan.0], RegroupMove::from_row)?.collect::<Result<_, _>>()?)
}

/// Puts on record what others have done meanwhile.
fn settle_in(change: &Change<'_>, plan: RegroupId) -> Result<(), RegisterError> {
    for one in moves_in(change, plan)?.iter().filter(|one| one.is_overtaken()) {
        set_move_in(change, one, one.state, state_words(one.state))?;
    }
    Ok(())
}

/// Refused where another session was quicker.
fn set_move_in(
    change: &Change<'_>,
    one: &RegroupMove,
    state: MoveState,
    action: &'static str,
) -> Result<(), RegisterError> {
    change.rewrite::<RegroupMoveRow>(action, &one.id.into(), |row| {
        let is_as_seen = row.state == one.kept.word() && row.item == one.item.0;
        if !is_as_seen {
            return Err(RegisterError::RegroupChanged);
        }
        row.state = state.word().into();
        Ok(())
    })?;
    Ok(())
}

/// A plan of which nothing is left is done.
fn end_in(change: &Change<'_>, plan: RegroupId) -> Result<(), RegisterError> {
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
pub(super) fn refuse_odd_plans_in(change: &Change<'_>, what: &super::ChangeSummary) -> Result<(), RegisterError> {
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

impl Regroup {
    /// How many moves are in this state.
    #[must_use]
    pub fn count(&self, state: MoveState) -> usize {
        self.moves.iter().filter(|one| one.state == state).count()
    }

    fn begun(&self) -> RegisterError {
        RegisterError::RegroupBegun {
            done: self.count(MoveState::Done),
            all: self.moves.len(),
            taken: self.count(MoveState::Taken),
            missing: self.count(MoveState::Missing),
        }
    }

    /// Whether something of it was taken, put or missed.
    #[must_use]
    pub fn is_begun(&self) -> bool {
        self.moves.iter().any(|one| !matches!(one.kept, MoveState::Open | MoveState::Void))
    }
}
