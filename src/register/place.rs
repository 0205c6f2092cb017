//! Where a bin stands.

use rusqlite::Row;

use super::bin::damaged;
use crate::code::AreaNumber;

/// The register's own key of a spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SpotId(pub(super) i64);

/// A place within an area where bins stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spot {
    /// The key under which other methods of the register take it.
    pub id: SpotId,
    /// Its name: `rack 1, level 2`.
    pub name: String,
    /// Its place in the walking order of the area, from 1.
    pub walk_order: i64,
}

/// Where a bin stands: its area and, when that is known, its spot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The area.
    pub area: AreaNumber,
    /// Its name.
    pub area_name: String,
    /// Its place among the areas that were given an order.
    pub area_order: Option<i64>,
    /// The spot.
    pub spot: Option<Spot>,
}

impl Place {
    /// From the columns `area`, `area_name`, `area_order`, `spot_id`, `spot_name`, `walk_order`.
    pub(super) fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        Self::at(row, row.as_ref().column_index("area")?)
    }

    /// From the same columns in this order, the first of which is here.
    pub(super) fn at(row: &Row<'_>, first: usize) -> rusqlite::Result<Self> {
        let (id, name): (Option<i64>, Option<String>) = (row.get(first + 3)?, row.get(first + 4)?);
        let walk_order: Option<i64> = row.get(first + 5)?;
        let spot = id.zip(name).zip(walk_order);
        let spot = spot.map(|((id, name), walk_order)| Spot { id: SpotId(id), name, walk_order });
        let area = area_number(row.get(first)?)?;
        Ok(Self { area, area_name: row.get(first + 1)?, area_order: row.get(first + 2)?, spot })
    }
}

pub(super) fn area_number(number: u16) -> rusqlite::Result<AreaNumber> {
    AreaNumber::new(number).map_err(|_| damaged(&number.to_string()))
}
