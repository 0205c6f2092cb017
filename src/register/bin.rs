//! Bins: tubs, boxes, drawers.

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, Row, params};

use super::{
    Place, Register, RegisterError, Room, RunKind, Title,
    change::Change,
    item::date,
    kind::kind_in,
    row::{BinRow, SpotRow},
};
use crate::{
    code::{AreaNumber, BinCode, CodeError, StockCode},
    unit::Measures,
};

/// A kind of bin: equal tubs, boxes or drawers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BinKind {
    /// Its name.
    pub name: String,
    /// How much one holds.
    pub room: Room,
    /// How many bins are of it.
    pub bins: u32,
}

/// Bins to be added.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct NewBins {
    /// How many.
    pub count: u16,
    /// Where in their area they stand.
    pub spot: Option<Title>,
    /// The kind of bin that they are, which has to be one that there is.
    pub kind: Option<Title>,
    /// How much each holds, where that is not what its kind says.
    pub room: Room,
}

impl NewBins {
    /// So many bins of which nothing else is known.
    #[must_use]
    pub fn new(count: u16) -> Self {
        Self { count, ..Self::default() }
    }
}

/// A bin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bin {
    /// Its code.
    pub code: BinCode,
    /// Where it stands.
    pub place: Place,
    /// How many items are in it.
    pub items: u32,
    /// Its place in the stack of its spot, from the top.
    pub stack: Option<u32>,
    /// Whether it is there; its code stays known when it was retired or its entry was taken back.
    pub is_live: bool,
    /// Since when it is not used any more.
    pub retired: Option<Date>,
    /// The kind of bin that it is.
    pub kind: Option<String>,
    /// How much it holds: its own figures, else those of its kind.
    pub room: Room,
    /// Its own figures, where they differ from those of its kind.
    pub own_room: Room,
    pub(super) id: i64,
}

macro_rules! bin_query {
    ($tail:literal) => {
        concat!(
            "SELECT bin.id, bin.payload, bin.area, area.name AS area_name,
                area.walk_order AS area_order, spot.id AS spot_id, spot.name AS spot_name, spot.walk_order, bin.stack, bin.state,
                bin.retired, bin.kind, bin.volume, bin.max_grams, bin.inside,
                bin_kind.volume AS kind_volume, bin_kind.max_grams AS kind_grams, bin_kind.inside AS kind_inside,
                (SELECT count(*) FROM item WHERE item.bin = bin.id) AS items
             FROM bin JOIN area ON area.number = bin.area LEFT JOIN spot ON spot.id = bin.spot
                LEFT JOIN bin_kind ON bin_kind.name = bin.kind ",
            $tail
        )
    };
}

impl Bin {
    /// Refuses what needs a bin that is in use.
    ///
    /// # Errors
    /// [`RegisterError::BinRetired`]; [`RegisterError::BinTakenBack`].
    pub fn require_live(&self) -> Result<(), RegisterError> {
        match self.retired {
            _ if self.is_live => Ok(()),
            Some(since) => Err(RegisterError::BinRetired { bin: self.code, since }),
            None => Err(RegisterError::BinTakenBack(self.code)),
        }
    }

    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let own_room = Room::from_row(row, ["volume", "max_grams", "inside"])?;
        let retired = date(row.get("retired")?)?;
        Ok(Self {
            code: bin_code(&row.get::<_, String>("payload")?)?,
            place: Place::from_row(row)?,
            items: row.get("items")?,
            stack: row.get("stack")?,
            is_live: row.get::<_, String>("state")? == "live" && retired.is_none(),
            retired,
            kind: row.get("kind")?,
            room: own_room.or(Room::from_row(row, ["kind_volume", "kind_grams", "kind_inside"])?),
            own_room,
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
    /// [`RegisterError::UnknownArea`]; [`RegisterError::UnknownKind`]; [`RegisterError::Code`] when the area has not that
    /// many letters left.
    pub fn add_bins(&mut self, area: AreaNumber, new: &NewBins) -> Result<Vec<Bin>, RegisterError> {
        let change = self.begin(&add_bins_words(area, new))?;
        let codes = add_bins_in(&change, area, new)?;
        change.commit()?;
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
        bin_in(&self.connection, payload)
    }

    /// All bins, or those of an area, by code.
    ///
    /// # Errors
    /// [`RegisterError::UnknownArea`].
    pub fn bins(&self, area: Option<AreaNumber>) -> Result<Vec<Bin>, RegisterError> {
        area.map_or(Ok(()), |area| self.require_area(area))?;
        let sql = bin_query!(
            "WHERE bin.state = 'live' AND bin.retired IS NULL AND (?1 IS NULL OR bin.area = ?1) ORDER BY bin.area, bin.rank"
        );
        let mut query = self.connection.prepare(sql)?;
        let bins = query.query_map([area.map(AreaNumber::get)], Bin::from_row)?;
        Ok(bins.collect::<Result<_, _>>()?)
    }

    /// The bins that are not used any more, or those of an area, by code.
    ///
    /// # Errors
    /// [`RegisterError::UnknownArea`].
    pub fn retired_bins(&self, area: Option<AreaNumber>) -> Result<Vec<Bin>, RegisterError> {
        area.map_or(Ok(()), |area| self.require_area(area))?;
        let sql = bin_query!(
            "WHERE bin.state = 'live' AND bin.retired IS NOT NULL AND (?1 IS NULL OR bin.area = ?1)
             ORDER BY bin.area, bin.rank"
        );
        let mut query = self.connection.prepare(sql)?;
        let bins = query.query_map([area.map(AreaNumber::get)], Bin::from_row)?;
        Ok(bins.collect::<Result<_, _>>()?)
    }

    /// The bins that no finished run of this kind has printed a label for, by code.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn bins_without(&self, kind: RunKind) -> Result<Vec<Bin>, RegisterError> {
        let sql = bin_query!(
            "WHERE bin.state = 'live' AND bin.retired IS NULL AND NOT EXISTS (SELECT 1 FROM label JOIN run ON run.id = label.run
                               WHERE label.bin = bin.id AND run.state = 'done' AND run.kind = ?1)
             ORDER BY bin.area, bin.rank"
        );
        let mut query = self.connection.prepare(sql)?;
        let bins = query.query_map([kind.word()], Bin::from_row)?;
        Ok(bins.collect::<Result<_, _>>()?)
    }
}

pub(super) fn add_bins_words(area: AreaNumber, new: &NewBins) -> String {
    let bins = if new.count == 1 { "a bin".into() } else { format!("{} bins", new.count) };
    format!("add {bins} to area {area}")
}

pub(super) fn add_bins_in(change: &Change<'_>, area: AreaNumber, new: &NewBins) -> Result<Vec<BinCode>, RegisterError> {
    let codes = next_codes_in(change, area, new.count)?;
    let spot = new.spot.as_ref().map(|name| spot_in(change, area, name.as_str())).transpose()?;
    let kind = new.kind.as_ref().map(|name| kind_in(change, name.as_str())).transpose()?;
    for code in &codes {
        insert_in(change, *code, (spot, kind.as_deref()), new.room)?;
    }
    Ok(codes)
}

pub(super) fn bin_in(connection: &Connection, payload: &str) -> Result<Option<Bin>, RegisterError> {
    let sql = bin_query!("JOIN name ON name.bin = bin.id WHERE name.payload = ?1");
    Ok(connection.prepare_cached(sql)?.query_row([payload], Bin::from_row).optional()?)
}

/// The bin that has this code, now or before, if it is there.
pub(super) fn live_bin_in(change: &Change<'_>, code: BinCode) -> Result<Bin, RegisterError> {
    let bin = bin_in(change, &code.payload())?.ok_or(RegisterError::UnknownBin(code))?;
    bin.require_live()?;
    Ok(bin)
}

/// The next codes of an area, which are given once and never again.
pub(super) fn next_codes_in(change: &Change<'_>, area: AreaNumber, count: u16) -> Result<Vec<BinCode>, RegisterError> {
    let first = next_rank_in(change, area)?;
    let is_passed_over = |code: &Result<BinCode, _>| code.as_ref().is_ok_and(|code| !code.is_given());
    let codes = (first..).map(|rank| BinCode::at(area, rank)).filter(|code| !is_passed_over(code));
    let codes = codes.take(count.into()).collect::<Result<Vec<_>, CodeError>>()?;
    let end = codes.last().map_or(first, |code| code.rank() + 1);
    change.execute("UPDATE area SET next_rank = ?2 WHERE number = ?1", params![area.get(), end])?;
    Ok(codes)
}

fn next_rank_in(change: &Change<'_>, area: AreaNumber) -> Result<u16, RegisterError> {
    let sql = "SELECT next_rank FROM area WHERE number = ?1";
    change.query_row(sql, [area.get()], |row| row.get(0)).optional()?.ok_or(RegisterError::UnknownArea(area))
}

/// The spot of this name, made at the end of the walking order when it is new.
pub(super) fn spot_in(change: &Change<'_>, area: AreaNumber, name: &str) -> Result<i64, RegisterError> {
    let sql = "SELECT id FROM spot WHERE area = ?1 AND name = ?2";
    if let Some(id) = change.query_row(sql, params![area.get(), name], |row| row.get(0)).optional()? {
        return Ok(id);
    }
    let sql = "SELECT 1 + coalesce(max(walk_order), 0) FROM spot WHERE area = ?1";
    let walk_order = change.query_row(sql, [area.get()], |row| row.get(0))?;
    let row = SpotRow { area: area.get().into(), name: name.to_owned(), walk_order };
    Ok(change.insert("spot added", &row)?.number())
}

fn insert_in(
    change: &Change<'_>,
    code: BinCode,
    (spot, kind): (Option<i64>, Option<&str>),
    room: Room,
) -> Result<(), RegisterError> {
    let payload = code.payload();
    let (area, rank) = (code.area().get().into(), code.rank().into());
    let row = BinRow {
        payload: payload.clone(),
        area,
        rank,
        spot,
        state: "live".into(),
        stack: None,
        kind: kind.map(str::to_owned),
        volume: room.volume.map(|volume| volume.millilitres().into()),
        max_grams: room.max_weight.map(|weight| weight.grams().into()),
        inside: room.inside.map(Measures::kept),
        retired: None,
    };
    let id = change.insert("bin added", &row)?.number();
    change.execute("INSERT INTO name (payload, bin) VALUES (?1, ?2)", params![payload, id])?;
    Ok(())
}
