//! Where a bin stands.

use rusqlite::Row;

use super::bin::damaged;
use crate::code::AreaNumber;

/// A place within an area where bins stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spot {
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
    /// The spot.
    pub spot: Option<Spot>,
}

impl Place {
    /// From the columns `area`, `area_name`, `spot_name`, `walk_order`.
    pub(super) fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let name: Option<String> = row.get("spot_name")?;
        let walk_order: Option<i64> = row.get("walk_order")?;
        let spot = name.zip(walk_order).map(|(name, walk_order)| Spot { name, walk_order });
        Ok(Self { area: area_number(row.get("area")?)?, area_name: row.get("area_name")?, spot })
    }
}

pub(super) fn area_number(number: u16) -> rusqlite::Result<AreaNumber> {
    AreaNumber::new(number).map_err(|_| damaged(&number.to_string()))
}
