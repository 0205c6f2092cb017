//! Bins that are not used any more, and bins that go to another area.
//!
//! Start with [`Register::retire_bins`] and [`Register::change_area`]. Codes never die: a retired bin keeps its code, and
//! one that got a new code is found by its old ones for ever. Its serials go on, so that no code is given twice, under
//! whichever of its names.

use rusqlite::params;

use super::{
    Bin, Register, RegisterError, Title,
    bin::{bin_code, live_bin_in, next_codes_in, spot_in},
    change::Change,
    item::item_code,
    journal,
    row::{BinRow, Key},
};
use crate::code::{AreaNumber, BinCode, ItemCode};

/// A bin that went to another area.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AreaChange {
    /// The code that it had, which stays a name of it.
    pub from: BinCode,
    /// The bin as it is now.
    pub bin: Bin,
    /// How many of its items have tags that show another code than it has now.
    pub tags: usize,
}

/// This many items are named when a bin is not empty.
const MOST_NAMED: i64 = 3;

impl Register {
    /// Takes empty bins out of use, all of them or none. Their spots are free then, and nothing can be put into them.
    ///
    /// # Errors
    /// [`RegisterError::BinNotEmpty`]; [`RegisterError::BinRetired`] for one that is retired already;
    /// [`RegisterError::BinTakenBack`]; [`RegisterError::UnknownBin`].
    pub fn retire_bins(&mut self, bins: &[BinCode]) -> Result<Vec<Bin>, RegisterError> {
        let change = self.begin(&format!("retire {}", named(bins)))?;
        for code in bins {
            let bin = live_bin_in(&change, *code)?;
            refuse_items_in(&change, &bin)?;
            change.rewrite::<BinRow>("bin retired", &bin.id.into(), |row| {
                (row.spot, row.stack, row.retired) = (None, None, Some(journal::today()));
                Ok(())
            })?;
        }
        change.commit()?;
        bins.iter().map(|code| self.bin(*code)).collect()
    }

    /// Takes retired bins into use again, all of them or none; those that are in use stay so.
    ///
    /// # Errors
    /// [`RegisterError::UnknownBin`]; [`RegisterError::BinTakenBack`].
    pub fn use_bins_again(&mut self, bins: &[BinCode]) -> Result<Vec<Bin>, RegisterError> {
        let bins = bins.iter().map(|code| self.bin(*code)).collect::<Result<Vec<_>, _>>()?;
        bins.iter().filter(|bin| bin.retired.is_none()).try_for_each(Bin::require_live)?;
        let codes: Vec<BinCode> = bins.iter().map(|bin| bin.code).collect();
        let change = self.begin(&format!("use {} again", named(&codes)))?;
        for bin in &bins {
            change.rewrite::<BinRow>("bin used again", &bin.id.into(), |row| {
                row.retired = None;
                Ok(())
            })?;
        }
        change.commit()?;
        codes.into_iter().map(|code| self.bin(code)).collect()
    }

    /// Gives a bin the next code of another area, with its spot there; its items stay in it with their codes.
    ///
    /// # Errors
    /// [`RegisterError::BinInArea`]; [`RegisterError::UnknownArea`]; [`RegisterError::Code`] when the area has no letters
    /// left; [`RegisterError::BinRetired`]; [`RegisterError::BinTakenBack`]; [`RegisterError::UnknownBin`].
    pub fn change_area(
        &mut self,
        bin: BinCode,
        area: AreaNumber,
        spot: Option<&Title>,
    ) -> Result<AreaChange, RegisterError> {
        let known = self.bin(bin)?;
        let change = self.begin(&format!("change the area of {} to {area}", known.code))?;
        let before = live_bin_in(&change, bin)?;
        if before.place.area == area {
            return Err(RegisterError::BinInArea { bin: before.code, area });
        }
        let code = next_codes_in(&change, area, 1)?.into_iter().next().ok_or(RegisterError::UnknownArea(area))?;
        let spot = spot.map(|name| spot_in(&change, area, name.as_str())).transpose()?;
        change.execute("INSERT INTO name (payload, bin) VALUES (?1, ?2)", params![code.payload(), before.id])?;
        change.rewrite::<BinRow>("bin recoded", &before.id.into(), |row| {
            row.payload = code.payload();
            (row.area, row.rank) = (area.get().into(), code.rank().into());
            (row.spot, row.stack) = (spot, None);
            Ok(())
        })?;
        change.commit()?;
        let bin = self.bin(code)?;
        let tags = self.codes_in(&bin)?.iter().filter(|item| item.bin != bin.code).count();
        Ok(AreaChange { from: before.code, bin, tags })
    }

    /// The codes that a bin had before, in the order in which it had them.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn former_codes(&self, bin: &Bin) -> Result<Vec<BinCode>, RegisterError> {
        let sql = "SELECT payload FROM name WHERE bin = ?1 AND old IS NULL AND payload <> ?2 ORDER BY payload";
        let mut query = self.connection.prepare_cached(sql)?;
        let codes = query.query_map(params![bin.id, bin.code.payload()], |row| {
            bin_code(row.get_ref(0)?.as_str().unwrap_or_default())
        })?;
        Ok(codes.collect::<Result<_, _>>()?)
    }

    fn codes_in(&self, bin: &Bin) -> Result<Vec<ItemCode>, RegisterError> {
        let sql = "SELECT payload FROM item WHERE bin = ?1 AND payload IS NOT NULL";
        let mut query = self.connection.prepare_cached(sql)?;
        let codes = query.query_map([bin.id], |row| item_code(row.get_ref(0)?.as_str().unwrap_or_default()))?;
        Ok(codes.collect::<Result<_, _>>()?)
    }
}

fn named(bins: &[BinCode]) -> String {
    bins.iter().map(BinCode::to_string).collect::<Vec<_>>().join(", ")
}

fn refuse_items_in(change: &Change<'_>, bin: &Bin) -> Result<(), RegisterError> {
    if bin.items == 0 {
        return Ok(());
    }
    let mut query = change.prepare_cached("SELECT payload FROM item WHERE bin = ?1 ORDER BY id LIMIT ?2")?;
    let first = query.query_map(params![bin.id, MOST_NAMED], |row| item_code(&row.get::<_, String>(0)?))?;
    let first = first.map(|code| code.map(|code| code.to_string())).collect::<Result<Vec<_>, _>>()?;
    Err(RegisterError::BinNotEmpty { bin: bin.code, items: bin.items, first })
}

/// Whether anything is in a bin.
pub(super) fn has_items_in(change: &Change<'_>, key: &Key) -> Result<bool, RegisterError> {
    Ok(change.prepare_cached("SELECT 1 FROM item WHERE bin = ?1")?.exists([key])?)
}
