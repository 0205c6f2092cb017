//! The order in which areas and spots are walked past, and where bins stand.
//!
//! Start with [`Register::order_areas`] and [`Register::order_spots`].

use super::{
    Area, Bin, ChangeId, Edit, Register, RegisterError, Spot, SpotId, Title,
    bin::{live_bin_in, spot_in},
    change::Change,
    kind::kind_in,
    place::area_number,
    row::{AreaRow, BinRow, SpotRow},
};
use crate::{
    code::{AreaNumber, BinCode},
    unit::{Measures, Volume, Weight},
};

/// A spot with its area.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpotInArea {
    /// The number of its area.
    pub area: AreaNumber,
    /// The name of its area.
    pub area_name: String,
    /// The spot.
    pub spot: Spot,
    /// How many bins stand there.
    pub bins: u32,
}

/// What is to be changed of bins.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BinEdit {
    /// Where in their area they stand.
    pub spot: Edit<Title>,
    /// Their place in the stack of their spot, from the top.
    pub stack: Edit<u32>,
    /// The kind of bin that they are, which has to be one that there is.
    pub kind: Edit<Title>,
    /// Their usable volume, where it is not that of their kind.
    pub volume: Edit<Volume>,
    /// The most that their contents may weigh, where it is not that of their kind.
    pub max_weight: Edit<Weight>,
    /// Their inner measures, where they are not those of their kind.
    pub inside: Edit<Measures>,
}

impl Register {
    /// Gives areas their place in walking order; all others come behind them, by number. None at all: all by number.
    ///
    /// # Errors
    /// [`RegisterError::UnknownArea`]; [`RegisterError::NamedTwice`].
    pub fn order_areas(&mut self, order: &[AreaNumber]) -> Result<Vec<Area>, RegisterError> {
        refuse_twice(order)?;
        order.iter().try_for_each(|number| self.require_area(*number))?;
        let areas = self.areas()?;
        let change = self.begin("order the areas")?;
        for area in areas {
            let place = order.iter().position(|number| *number == area.number).map(place_in_order);
            change.rewrite::<AreaRow>("area ordered", &i64::from(area.number.get()).into(), |row| {
                row.walk_order = place;
                Ok(())
            })?;
        }
        change.commit()?;
        self.areas()
    }

    /// Puts spots of an area first in its walking order, in this order; the others follow as they were.
    ///
    /// # Errors
    /// [`RegisterError::UnknownArea`]; [`RegisterError::UnknownSpot`] with those there are;
    /// [`RegisterError::NamedTwice`].
    pub fn order_spots(&mut self, area: AreaNumber, names: &[String]) -> Result<Vec<SpotInArea>, RegisterError> {
        let mut spots = self.spots(Some(area))?;
        let first = names.iter().map(|name| by_name(&spots, area, name)).collect::<Result<Vec<_>, _>>()?;
        refuse_twice(&first)?;
        let place = |id: &i64| first.iter().position(|spot| spot.id == *id).unwrap_or(usize::MAX);
        spots.sort_by_key(|known| place(&known.spot.id.0));
        let change = self.begin(&format!("order the spots of area {area}"))?;
        for (at, known) in spots.iter().enumerate() {
            change.rewrite::<SpotRow>("spot ordered", &known.spot.id.0.into(), |row| {
                row.walk_order = place_in_order(at);
                Ok(())
            })?;
        }
        change.commit()?;
        self.spots(Some(area))
    }

    /// The spots of an area, or of all, in walking order.
    ///
    /// # Errors
    /// [`RegisterError::UnknownArea`].
    pub fn spots(&self, area: Option<AreaNumber>) -> Result<Vec<SpotInArea>, RegisterError> {
        area.map_or(Ok(()), |area| self.require_area(area))?;
        let sql = "SELECT spot.id, spot.name, spot.walk_order, spot.area, area.name,
                (SELECT count(*) FROM bin WHERE bin.spot = spot.id AND bin.state = 'live'
                    AND bin.retired IS NULL)
            FROM spot JOIN area ON area.number = spot.area WHERE ?1 IS NULL OR spot.area = ?1
            ORDER BY area.walk_order IS NULL, area.walk_order, spot.area, spot.walk_order, spot.id";
        let mut query = self.connection.prepare(sql)?;
        let spots = query.query_map([area.map(AreaNumber::get)], |row| {
            let spot = Spot { id: SpotId(row.get(0)?), name: row.get(1)?, walk_order: row.get(2)? };
            Ok(SpotInArea { area: area_number(row.get(3)?)?, area_name: row.get(4)?, spot, bins: row.get(5)? })
        })?;
        Ok(spots.collect::<Result<_, _>>()?)
    }

    /// Gives a spot of an area another name, and tells the one that it had; `None` when it had that one already.
    ///
    /// # Errors
    /// [`RegisterError::UnknownArea`]; [`RegisterError::UnknownSpot`]; [`RegisterError::SpotExists`] when another spot of
    /// the area has that name.
    pub fn rename_spot(&mut self, area: AreaNumber, spot: &str, name: &Title) -> Result<Option<String>, RegisterError> {
        let spots = self.spots(Some(area))?;
        let found = by_name(&spots, area, spot)?;
        if spots.iter().any(|known| known.spot.id.0 != found.id && known.spot.name == name.as_str()) {
            return Err(RegisterError::SpotExists { area, name: name.as_str().to_owned() });
        }
        let what = format!("rename the spot {} of area {area} to {}", found.name, name.as_str());
        let change = self.begin(&what)?;
        let is_new = change.rewrite::<SpotRow>("spot renamed", &found.id.into(), |row| {
            name.as_str().clone_into(&mut row.name);
            Ok(())
        })?;
        change.commit()?;
        Ok(is_new.then_some(found.name))
    }

    /// Changes where bins stand, all of them or none. A bin that comes to another spot has no place in a stack there
    /// unless one is given. `None` when nothing came out different.
    ///
    /// # Errors
    /// [`RegisterError::UnknownBin`]; [`RegisterError::BinTakenBack`]; [`RegisterError::UnknownKind`].
    pub fn edit_bins(&mut self, bins: &[BinCode], edit: &BinEdit) -> Result<Option<ChangeId>, RegisterError> {
        let named = bins.iter().map(BinCode::to_string).collect::<Vec<_>>().join(", ");
        let change = self.begin(&format!("edit {named}"))?;
        for code in bins {
            let bin = live_bin_in(&change, *code)?;
            edit_in(&change, &bin, edit)?;
        }
        change.commit()
    }
}

fn edit_in(change: &Change<'_>, bin: &Bin, edit: &BinEdit) -> Result<(), RegisterError> {
    let spot = match &edit.spot {
        Edit::Set(name) => Edit::Set(spot_in(change, bin.place.area, name.as_str())?),
        Edit::Clear => Edit::Clear,
        Edit::Keep => Edit::Keep,
    };
    let kind = match &edit.kind {
        Edit::Set(name) => Edit::Set(kind_in(change, name.as_str())?),
        Edit::Clear => Edit::Clear,
        Edit::Keep => Edit::Keep,
    };
    change.rewrite::<BinRow>("bin edited", &bin.id.into(), |row| {
        let before = row.spot;
        spot.apply(&mut row.spot, |spot| *spot);
        row.stack = row.stack.filter(|_| row.spot == before);
        edit.stack.apply(&mut row.stack, |stack| i64::from(*stack));
        kind.apply(&mut row.kind, Clone::clone);
        edit.volume.apply(&mut row.volume, |volume| volume.millilitres().into());
        edit.max_weight.apply(&mut row.max_grams, |weight| weight.grams().into());
        edit.inside.apply(&mut row.inside, |inside| inside.kept());
        Ok(())
    })?;
    Ok(())
}

/// The spot of this name, in any capitals if only one is meant then.
fn by_name(spots: &[SpotInArea], area: AreaNumber, name: &str) -> Result<NamedSpot, RegisterError> {
    let wanted = name.trim();
    let exact = spots.iter().find(|known| known.spot.name == wanted);
    let mut alike = spots.iter().filter(|known| known.spot.name.to_lowercase() == wanted.to_lowercase());
    let only = alike.next().filter(|_| alike.next().is_none());
    let found = exact.or(only).map(|known| NamedSpot { id: known.spot.id.0, name: known.spot.name.clone() });
    found.ok_or_else(|| RegisterError::UnknownSpot {
        area,
        name: name.to_owned(),
        known: spots.iter().map(|known| known.spot.name.clone()).collect(),
    })
}

#[derive(PartialEq)]
struct NamedSpot {
    id: i64,
    name: String,
}

impl std::fmt::Display for NamedSpot {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.name)
    }
}

fn refuse_twice<T: PartialEq + ToString>(named: &[T]) -> Result<(), RegisterError> {
    let again = named.iter().enumerate().find(|(at, one)| named[..*at].contains(one));
    again.map_or(Ok(()), |(_, one)| Err(RegisterError::NamedTwice(one.to_string())))
}

/// Places are counted from 1.
fn place_in_order(at: usize) -> i64 {
    i64::try_from(at).unwrap_or(i64::MAX - 1) + 1
}
