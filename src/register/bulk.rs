//! How big and heavy items are, how much bins hold, and the names for sizes that the user has set.

use rusqlite::Row;

use super::{
    BinKind, Edit, ItemId, Register, RegisterError, Title,
    bin::{bin_code, damaged},
    row::ItemRow,
};
use crate::{
    code::BinCode,
    unit::{Measures, Volume, Weight},
};

/// How big and heavy an item is, as far as that was entered.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Bulk {
    /// What it takes up.
    pub volume: Option<Volume>,
    /// Its outer measures.
    pub measures: Option<Measures>,
    /// The name of a size.
    pub size: Option<String>,
    /// What it weighs.
    pub weight: Option<Weight>,
}

/// What is to be changed of how big and heavy an item is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BulkEdit {
    /// What it takes up.
    pub volume: Edit<Volume>,
    /// Its outer measures.
    pub measures: Edit<Measures>,
    /// The name of a size, which has to be one that there is.
    pub size: Edit<Title>,
    /// What it weighs.
    pub weight: Edit<Weight>,
}

/// How much a bin holds, as far as that is known.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Room {
    /// Its usable volume.
    pub volume: Option<Volume>,
    /// The most that what is in it may weigh.
    pub max_weight: Option<Weight>,
    /// Its inner measures.
    pub inside: Option<Measures>,
}

/// An item in a bin, with its size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BulkRecord {
    /// The item.
    pub item: ItemId,
    /// The bin that it is in.
    pub bin: Option<BinCode>,
    /// How big and heavy it is.
    pub bulk: Bulk,
}

impl Bulk {
    /// From the columns `volume`, `measures`, `size`, `grams`, the first of which is here.
    pub(super) fn at(row: &Row<'_>, first: usize) -> rusqlite::Result<Self> {
        Ok(Self {
            volume: volume(row.get(first)?)?,
            measures: measures(row.get(first + 1)?)?,
            size: row.get(first + 2)?,
            weight: weight(row.get(first + 3)?)?,
        })
    }

    pub(super) fn put_into(&self, row: &mut ItemRow) {
        row.volume = self.volume.map(|volume| volume.millilitres().into());
        row.measures = self.measures.map(Measures::kept);
        row.size.clone_from(&self.size);
        row.grams = self.weight.map(|weight| weight.grams().into());
    }
}

impl BulkEdit {
    pub(super) fn apply(&self, row: &mut ItemRow) {
        self.volume.apply(&mut row.volume, |volume| volume.millilitres().into());
        self.measures.apply(&mut row.measures, |measures| measures.kept());
        self.size.apply(&mut row.size, |size| size.as_str().to_owned());
        self.weight.apply(&mut row.grams, |weight| weight.grams().into());
    }
}

impl Room {
    /// From the columns of these names.
    pub(super) fn from_row(row: &Row<'_>, [millilitres, grams, sides]: [&str; 3]) -> rusqlite::Result<Self> {
        Ok(Self {
            volume: volume(row.get(millilitres)?)?,
            max_weight: weight(row.get(grams)?)?,
            inside: measures(row.get(sides)?)?,
        })
    }

    /// What is not known here is as there.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        Self {
            volume: self.volume.or(other.volume),
            max_weight: self.max_weight.or(other.max_weight),
            inside: self.inside.or(other.inside),
        }
    }
}

fn volume(millilitres: Option<i64>) -> rusqlite::Result<Option<Volume>> {
    let known = |number| Volume::from_millilitres(number).ok_or_else(|| damaged(&number.to_string()));
    millilitres.map(known).transpose()
}

fn weight(grams: Option<i64>) -> rusqlite::Result<Option<Weight>> {
    grams.map(|grams| Weight::from_grams(grams).ok_or_else(|| damaged(&grams.to_string()))).transpose()
}

fn measures(kept: Option<String>) -> rusqlite::Result<Option<Measures>> {
    kept.map(|kept| Measures::from_kept(&kept).ok_or_else(|| damaged(&kept))).transpose()
}

impl Register {
    /// The size of every item of which one is known, and of every item that is in a bin, by their entry.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn bulks(&self) -> Result<Vec<BulkRecord>, RegisterError> {
        let sql = "SELECT item.id, bin.payload, item.volume, item.measures, item.size, item.grams
            FROM item LEFT JOIN bin ON bin.id = item.bin
            WHERE item.state <> 'undone' AND (item.bin IS NOT NULL OR item.volume IS NOT NULL
                OR item.measures IS NOT NULL OR item.size IS NOT NULL OR item.grams IS NOT NULL)
            ORDER BY item.id";
        let mut query = self.connection.prepare_cached(sql)?;
        let records = query.query_map([], |row| {
            let bin: Option<String> = row.get(1)?;
            let bin = bin.map(|bin| bin_code(&bin)).transpose()?;
            Ok(BulkRecord { item: ItemId(row.get(0)?), bin, bulk: Bulk::at(row, 2)? })
        })?;
        Ok(records.collect::<Result<_, _>>()?)
    }

    /// The names of sizes that the user has set, by name.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn set_sizes(&self) -> Result<Vec<(String, Volume)>, RegisterError> {
        let mut query = self.connection.prepare_cached("SELECT name, volume FROM item_size ORDER BY name")?;
        let sizes = query.query_map([], |row| {
            let millilitres: i64 = row.get(1)?;
            let volume = Volume::from_millilitres(millilitres).ok_or_else(|| damaged(&millilitres.to_string()))?;
            Ok((row.get(0)?, volume))
        })?;
        Ok(sizes.collect::<Result<_, _>>()?)
    }

    /// The kinds of bins, by name.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn bin_kinds(&self) -> Result<Vec<BinKind>, RegisterError> {
        let mut query = self.connection.prepare_cached(
            "SELECT name, volume, max_grams, inside,
                (SELECT count(*) FROM bin WHERE bin.kind = bin_kind.name AND bin.state = 'live' AND bin.retired IS NULL) AS bins
             FROM bin_kind ORDER BY name",
        )?;
        let kinds = query.query_map([], |row| {
            let room = Room::from_row(row, ["volume", "max_grams", "inside"])?;
            Ok(BinKind { name: row.get("name")?, room, bins: row.get("bins")? })
        })?;
        Ok(kinds.collect::<Result<_, _>>()?)
    }
}
