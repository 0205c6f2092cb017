//! Areas: rooms or parts of them, numbered 1 to 999.

use rusqlite::OptionalExtension;

use super::{
    Bin, NewBins, Register, RegisterError, Title,
    bin::{add_bins_in, add_bins_words},
    change::Change,
    place::area_number,
    row::AreaRow,
};
use crate::code::AreaNumber;

/// An area.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Area {
    /// Its number.
    pub number: AreaNumber,
    /// Its name.
    pub name: String,
    /// Its place among the areas that were given an order.
    pub order: Option<i64>,
}

impl Register {
    /// Adds an area.
    ///
    /// # Errors
    /// [`RegisterError::AreaExists`] when the number is taken; [`RegisterError::Title`] for an empty name.
    pub fn add_area(&mut self, number: AreaNumber, name: &str) -> Result<Area, RegisterError> {
        let name = Title::new(name)?;
        let change = self.begin(&add_words(number))?;
        let area = add_in(&change, number, &name)?;
        change.commit()?;
        Ok(area)
    }

    /// Adds an area and its first bins, both or none. They are two changes, as bins can be taken back and a number that
    /// codes carry can't.
    ///
    /// # Errors
    /// [`RegisterError::AreaExists`]; [`RegisterError::UnknownKind`]; [`RegisterError::Code`] for more bins than there are
    /// letters.
    pub fn add_area_with_bins(
        &mut self,
        number: AreaNumber,
        name: &Title,
        new: &NewBins,
    ) -> Result<Vec<Bin>, RegisterError> {
        let mut change = self.begin(&add_words(number))?;
        add_in(&change, number, name)?;
        change.next(&add_bins_words(number, new), None)?;
        let codes = add_bins_in(&change, number, new)?;
        change.commit()?;
        codes.into_iter().map(|code| self.bin(code)).collect()
    }

    /// Gives an area another name, and tells the one that it had; `None` when it had that one already.
    ///
    /// # Errors
    /// [`RegisterError::UnknownArea`]; [`RegisterError::Title`] for an empty name.
    pub fn rename_area(&mut self, number: AreaNumber, name: &str) -> Result<Option<String>, RegisterError> {
        let name = Title::new(name)?;
        let before = self.areas()?.into_iter().find(|area| area.number == number);
        let before = before.ok_or(RegisterError::UnknownArea(number))?.name;
        let change = self.begin(&format!("rename area {number} from {before} to {}", name.as_str()))?;
        let is_new = change.rewrite::<AreaRow>("area renamed", &i64::from(number.get()).into(), |row| {
            name.as_str().clone_into(&mut row.name);
            Ok(())
        })?;
        change.commit()?;
        Ok(is_new.then_some(before))
    }

    /// All areas in walking order: those that were given an order, then the others by number.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn areas(&self) -> Result<Vec<Area>, RegisterError> {
        let sql = "SELECT number, name, walk_order FROM area ORDER BY walk_order IS NULL, walk_order, number";
        let mut query = self.connection.prepare(sql)?;
        let area = |row: &rusqlite::Row<'_>| {
            Ok(Area { number: area_number(row.get(0)?)?, name: row.get(1)?, order: row.get(2)? })
        };
        let areas = query.query_map([], area)?.collect::<Result<_, _>>()?;
        Ok(areas)
    }

    /// Fails when there is no such area.
    pub(super) fn require_area(&self, number: AreaNumber) -> Result<(), RegisterError> {
        let known = self.connection.prepare("SELECT 1 FROM area WHERE number = ?1")?.exists([number.get()])?;
        if known { Ok(()) } else { Err(RegisterError::UnknownArea(number)) }
    }
}

fn add_words(number: AreaNumber) -> String {
    format!("add area {number}")
}

fn add_in(change: &Change<'_>, number: AreaNumber, name: &Title) -> Result<Area, RegisterError> {
    let area = Area { number, name: name.as_str().to_owned(), order: None };
    let taken = "SELECT name FROM area WHERE number = ?1";
    if let Some(name) = change.query_row(taken, [number.get()], |row| row.get(0)).optional()? {
        return Err(RegisterError::AreaExists { number, name });
    }
    let row = AreaRow { name: area.name.clone(), walk_order: None };
    change.restore("area added", &i64::from(number.get()).into(), &row)?;
    Ok(area)
}
