//! Bins: tubs, boxes, drawers.

use rusqlite::{OptionalExtension, Row, Transaction, TransactionBehavior, params};
use serde_json::json;

use super::{
    Place, Register, RegisterError, Title,
    journal::{self, Entry},
};
use crate::code::{AreaNumber, BinCode, StockCode};

/// A bin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bin {
    /// Its code.
    pub code: BinCode,
    /// Where it stands.
    pub place: Place,
    /// How many items are in it.
    pub items: u32,
    pub(super) id: i64,
}

macro_rules! bin_query {
    ($tail:literal) => {
        concat!(
            "SELECT bin.id, bin.payload, bin.area, area.name AS area_name, spot.id AS spot_id, spot.name AS spot_name,
                spot.walk_order,
                (SELECT count(*) FROM item WHERE item.bin = bin.id) AS items
             FROM bin JOIN area ON area.number = bin.area LEFT JOIN spot ON spot.id = bin.spot ",
            $tail
        )
    };
}

impl Bin {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            code: bin_code(&row.get::<_, String>("payload")?)?,
            place: Place::from_row(row)?,
            items: row.get("items")?,
            id: row.get("id")?,
        })
    }
}

/// The bin that a payload of the register stands for.
pub(super) fn bin_code(payload: &str) -> rusqlite::Result<BinCode> {
    match StockCode::from_payload(payload) {
        Some(StockCode::Bin(code)) => Ok(code),
        _ => Err(damaged(payload)),
    }
}

/// A value that this program did not write.
pub(super) fn damaged(value: &str) -> rusqlite::Error {
    let fault = Box::new(RegisterError::Damaged(value.to_owned()));
    rusqlite::Error::FromSqlConversionFailure(0, rusqlite::types::Type::Text, fault)
}

impl Register {
    /// Adds bins to an area, with the next letters.
    ///
    /// # Errors
    /// [`RegisterError::UnknownArea`]; [`RegisterError::Code`] when the area has not that many letters left.
    pub fn add_bins(&mut self, area: AreaNumber, count: u16, spot: Option<&str>) -> Result<Vec<Bin>, RegisterError> {
        let spot = spot.map(Title::new).transpose()?;
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let first = next_rank_in(&tx, area)?;
        let spot = spot.map(|name| spot_in(&tx, area, name.as_str())).transpose()?;
        let spot = spot.as_ref();
        let end = first.saturating_add(count);
        let codes = (first..end).map(|rank| BinCode::at(area, rank)).collect::<Result<Vec<_>, _>>()?;
        for code in &codes {
            insert_in(&tx, *code, spot)?;
        }
        tx.execute("UPDATE area SET next_rank = ?2 WHERE number = ?1", params![area.get(), end])?;
        tx.commit()?;
        codes.into_iter().map(|code| self.bin(code)).collect()
    }

    /// The bin that has this code, now or before.
    ///
    /// # Errors
    /// [`RegisterError::UnknownBin`].
    pub fn bin(&self, code: BinCode) -> Result<Bin, RegisterError> {
        self.bin_by_payload(&code.payload())?.ok_or(RegisterError::UnknownBin(code))
    }

    pub(super) fn bin_by_payload(&self, payload: &str) -> Result<Option<Bin>, RegisterError> {
        let sql = bin_query!("JOIN name ON name.bin = bin.id WHERE name.payload = ?1");
        Ok(self.connection.prepare_cached(sql)?.query_row([payload], Bin::from_row).optional()?)
    }

    /// All bins, or those of an area, by code.
    ///
    /// # Errors
    /// [`RegisterError::UnknownArea`].
    pub fn bins(&self, area: Option<AreaNumber>) -> Result<Vec<Bin>, RegisterError> {
        area.map_or(Ok(()), |area| self.require_area(area))?;
        let sql = bin_query!("WHERE ?1 IS NULL OR bin.area = ?1 ORDER BY bin.area, bin.rank");
        let mut query = self.connection.prepare(sql)?;
        let bins = query.query_map([area.map(AreaNumber::get)], Bin::from_row)?;
        Ok(bins.collect::<Result<_, _>>()?)
    }

    /// The bins that no finished run has printed a sign for, by code.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn bins_without_sign(&self) -> Result<Vec<Bin>, RegisterError> {
        let sql = bin_query!(
            "WHERE NOT EXISTS (SELECT 1 FROM label JOIN run ON run.id = label.run
                               WHERE label.bin = bin.id AND run.state = 'done' AND run.kind = 'signs')
             ORDER BY bin.area, bin.rank"
        );
        let mut query = self.connection.prepare(sql)?;
        let bins = query.query_map([], Bin::from_row)?;
        Ok(bins.collect::<Result<_, _>>()?)
    }
}

fn next_rank_in(tx: &Transaction<'_>, area: AreaNumber) -> Result<u16, RegisterError> {
    let sql = "SELECT next_rank FROM area WHERE number = ?1";
    tx.query_row(sql, [area.get()], |row| row.get(0)).optional()?.ok_or(RegisterError::UnknownArea(area))
}

/// The spot of this name, made at the end of the walking order when it is new.
fn spot_in(tx: &Transaction<'_>, area: AreaNumber, name: &str) -> Result<(i64, String), RegisterError> {
    let made = tx.execute(
        "INSERT INTO spot (area, name, walk_order)
         SELECT ?1, ?2, 1 + coalesce(max(walk_order), 0) FROM spot WHERE area = ?1
         ON CONFLICT (area, name) DO NOTHING",
        params![area.get(), name],
    )?;
    if made > 0 {
        let after = Some(json!({"area": area.get(), "spot": name}));
        journal::write_in(tx, &Entry { action: "spot added", after, ..Entry::default() })?;
    }
    let sql = "SELECT id, name FROM spot WHERE area = ?1 AND name = ?2";
    Ok(tx.query_row(sql, params![area.get(), name], |row| Ok((row.get(0)?, row.get(1)?)))?)
}

fn insert_in(tx: &Transaction<'_>, code: BinCode, spot: Option<&(i64, String)>) -> Result<(), RegisterError> {
    let payload = code.payload();
    let sql = "INSERT INTO bin (area, rank, payload, spot) VALUES (?1, ?2, ?3, ?4)";
    tx.execute(sql, params![code.area().get(), code.rank(), payload, spot.map(|(id, _)| id)])?;
    let id = tx.last_insert_rowid();
    tx.execute("INSERT INTO name (payload, bin) VALUES (?1, ?2)", params![payload, id])?;
    let after = Some(json!({"code": code.to_string(), "spot": spot.map(|(_, name)| name)}));
    journal::write_in(tx, &Entry { action: "bin added", bin: Some(id), after, ..Entry::default() })
}
