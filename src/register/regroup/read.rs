//! Plans of moves as they are on record, and how far others have overtaken them.
//!
//! Start with [`Register::open_regroup`]. Nothing is changed here: what others have done is put on record with the next
//! move.

use rusqlite::{Connection, OptionalExtension, Row};

use super::{MoveState, Regroup, RegroupId, RegroupMove};
use crate::{
    code::BinCode,
    register::{
        ItemId, Register, RegisterError,
        bin::{bin_code, damaged},
    },
};

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
        open_in(&self.connection)
    }

    /// A plan with its moves, in any state.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn regroup(&self, id: RegroupId) -> Result<Regroup, RegisterError> {
        plan_in(&self.connection, id)
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
        self.ends_of_move(item, MoveState::Taken)
    }

    /// The bin in which an item was not found when it was to be taken for the open plan.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn missed_in(&self, item: ItemId) -> Result<Option<BinCode>, RegisterError> {
        Ok(self.ends_of_move(item, MoveState::Missing)?.map(|(from, _)| from))
    }

    /// From where to where an item is to go by the open plan, if its move is in this state and it was not brought
    /// elsewhere since.
    fn ends_of_move(&self, item: ItemId, state: MoveState) -> Result<Option<(BinCode, BinCode)>, RegisterError> {
        let sql = "SELECT source.payload, target.payload FROM regroup_move AS own
            JOIN regroup ON regroup.id = own.regroup JOIN item ON item.id = own.item AND item.bin = own.source
            JOIN bin AS source ON source.id = own.source JOIN bin AS target ON target.id = own.target
            WHERE own.item = ?1 AND own.state = ?2 AND regroup.state = 'open'";
        let read = |row: &Row<'_>| Ok((bin_code(&row.get::<_, String>(0)?)?, bin_code(&row.get::<_, String>(1)?)?));
        Ok(self.connection.prepare_cached(sql)?.query_row((item.0, state.word()), read).optional()?)
    }
}

pub(super) fn open_in(connection: &Connection) -> Result<Option<Regroup>, RegisterError> {
    let id: Option<i64> = connection.prepare_cached(OPEN)?.query_row([], |row| row.get(0)).optional()?;
    id.map(|id| plan_in(connection, RegroupId(id))).transpose()
}

fn plan_in(connection: &Connection, id: RegroupId) -> Result<Regroup, RegisterError> {
    let sql = "SELECT at, asked, outcome FROM regroup WHERE id = ?1";
    let read = |row: &Row<'_>| Ok((row.get(0)?, row.get::<_, String>(1)?, row.get::<_, String>(2)?));
    let (at, asked, outcome) = connection.prepare_cached(sql)?.query_row([id.0], read)?;
    let json = |text: String| serde_json::from_str(&text).map_err(|_| RegisterError::Damaged(text));
    Ok(Regroup { id, at, asked: json(asked)?, outcome: json(outcome)?, moves: moves_in(connection, id)? })
}

pub(super) fn moves_in(connection: &Connection, plan: RegroupId) -> Result<Vec<RegroupMove>, RegisterError> {
    let mut query = connection.prepare_cached(MOVES)?;
    Ok(query.query_map([plan.0], RegroupMove::from_row)?.collect::<Result<_, _>>()?)
}

impl RegroupMove {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let word = |column| {
            let word: String = row.get(column)?;
            MoveState::by_word(&word).ok_or_else(|| damaged(&word))
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
