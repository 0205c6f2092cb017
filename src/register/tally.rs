//! Counts of bins: a bin's contents held against the register, and put right if that is asked for.

use jiff::civil::Date;

use super::{
    Bin, ChangeId, Item, Move, Register, RegisterError, Status,
    bin::bin_code,
    change::Change,
    item::{date, item_query, move_in},
    row::{ItemRow, TallyRow},
};
use crate::code::BinCode;

/// A count on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TallyRecord {
    /// The bin.
    pub bin: BinCode,
    /// When.
    pub day: Date,
    /// Items that were in it as the register said.
    pub present: u32,
    /// Items that the register had in it and that were not there.
    pub missing: u32,
    /// Items that were in it and that the register had elsewhere or nowhere.
    pub misplaced: u32,
    /// Readings that stood for nothing in the register.
    pub unknown: u32,
}

/// What a count of a bin found, to be recorded.
#[derive(Debug, Clone)]
pub struct NewTally<'a> {
    /// The bin.
    pub bin: &'a Bin,
    /// How many were there as they should.
    pub present: usize,
    /// Those that were not there.
    pub missing: &'a [Item],
    /// Those that belong elsewhere.
    pub misplaced: &'a [Item],
    /// How many readings stood for nothing.
    pub unknown: usize,
    /// Whether missing ones are gone from now on, and misplaced ones are here.
    pub fix: bool,
}

/// What was put right.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Fixed {
    /// What is here now.
    pub moved: Vec<Move>,
    /// What is gone from now on.
    pub gone: Vec<Item>,
    /// What was left as it is: sold ones, which only a person can decide on, and what others have moved meanwhile.
    pub left: Vec<Item>,
}

impl Register {
    /// Records a count, in one change with what is put right.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written; nothing is recorded then.
    pub fn record_tally(&mut self, tally: &NewTally<'_>) -> Result<(Fixed, Option<ChangeId>), RegisterError> {
        let day = jiff::ZonedDateTime::now().date();
        let change = self.begin(&format!("count {}", tally.bin.code))?;
        let number = |count: usize| i64::try_from(count).unwrap_or(i64::MAX);
        let row = TallyRow {
            bin: tally.bin.id,
            day: day.to_string(),
            present: number(tally.present),
            missing: number(tally.missing.len()),
            misplaced: number(tally.misplaced.len()),
            unknown: number(tally.unknown),
        };
        change.insert("bin counted", &row)?;
        let fixed = if tally.fix { fix_in(&change, tally, day)? } else { Fixed::default() };
        Ok((fixed, change.commit()?))
    }

    /// All counts, the oldest first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn tallies(&self) -> Result<Vec<TallyRecord>, RegisterError> {
        let sql = "SELECT bin.payload, day, present, missing, misplaced, unknown
            FROM tally JOIN bin ON bin.id = tally.bin ORDER BY tally.id";
        let mut query = self.connection.prepare(sql)?;
        let tallies = query.query_map([], |row| {
            Ok(TallyRecord {
                bin: bin_code(&row.get::<_, String>(0)?)?,
                day: date(row.get(1)?)?.unwrap_or_default(),
                present: row.get(2)?,
                missing: row.get(3)?,
                misplaced: row.get(4)?,
                unknown: row.get(5)?,
            })
        })?;
        Ok(tallies.collect::<Result<_, _>>()?)
    }
}

fn fix_in(change: &Change<'_>, tally: &NewTally<'_>, day: Date) -> Result<Fixed, RegisterError> {
    let mut fixed = Fixed::default();
    for item in tally.missing {
        let present = present_in(change, item)?;
        let is_ours = present.bin() == Some(tally.bin.code) && present.status != Status::Sold;
        if is_ours {
            gone_in(change, item, day)?;
        }
        if is_ours { &mut fixed.gone } else { &mut fixed.left }.push(present);
    }
    let target = super::bin::live_bin_in(change, tally.bin.code)?;
    for item in tally.misplaced {
        let present = present_in(change, item)?;
        if present.status == Status::Picked {
            fixed.left.push(present);
        } else {
            fixed.moved.extend(move_in(change, item, &target)?);
        }
    }
    Ok(fixed)
}

/// As it is at this moment, which may no longer be as it was counted.
fn present_in(change: &Change<'_>, item: &Item) -> Result<Item, RegisterError> {
    let sql = item_query!("WHERE item.id = ?1");
    Ok(change.prepare_cached(sql)?.query_row([item.id.0], Item::from_row)?)
}

fn gone_in(change: &Change<'_>, item: &Item, day: Date) -> Result<(), RegisterError> {
    change.rewrite::<ItemRow>("item missing", &item.id.0.into(), |row| {
        (row.state, row.bin) = ("gone".into(), None);
        (row.gone, row.why_gone) = (Some(day.to_string()), Some(format!("missing at the count of {day}")));
        Ok(())
    })?;
    Ok(())
}
