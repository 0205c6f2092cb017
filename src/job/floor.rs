//! Areas, spots and bins as they stand, in walking order, with how full they are.
//!
//! Start with [`floor()`]. Where no bin has a volume or a weight limit, items are not read.

use super::{Fill, fills, round::stand};
use crate::{
    code::{AreaNumber, StockCode},
    plan::WalkKey,
    register::{Area, Bin, Register, RegisterError, SpotInArea},
};

/// All that stands.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Floor {
    /// Areas in walking order.
    pub areas: Vec<FloorArea>,
}

/// An area with what stands in it.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorArea {
    /// The area.
    pub area: Area,
    /// Its spots in walking order, those without bins among them.
    pub spots: Vec<FloorSpot>,
    /// Bins of which nobody said where they stand.
    pub loose: Vec<Standing>,
}

/// A spot with what stands there.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorSpot {
    /// The spot.
    pub known: SpotInArea,
    /// Stacked bins from the top; at one place there may be several, as a spot may have several stacks.
    pub stacked: Vec<(u32, Vec<Standing>)>,
    /// Bins that are in no stack, by code.
    pub single: Vec<Standing>,
}

/// A bin that stands somewhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The bin.
    pub bin: Bin,
    /// What is in it, where any bin has a volume or a weight limit.
    pub fill: Option<Fill>,
}

impl FloorArea {
    /// All of its bins, in walking order.
    pub fn bins(&self) -> impl Iterator<Item = &Standing> {
        self.spots.iter().flat_map(FloorSpot::bins).chain(&self.loose)
    }

    /// How many items are in its bins.
    #[must_use]
    pub fn items(&self) -> u64 {
        self.bins().map(|standing| u64::from(standing.bin.items)).sum()
    }
}

impl FloorSpot {
    /// All bins that stand there, in walking order.
    pub fn bins(&self) -> impl Iterator<Item = &Standing> {
        self.stacked.iter().flat_map(|(_, bins)| bins).chain(&self.single)
    }
}

/// All areas, or one, with what stands in them.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn floor(register: &Register) -> Result<Floor, RegisterError> {
    let mut bins = register.bins(None)?;
    bins.sort_by_cached_key(|bin| {
        WalkKey::new(Some(stand(&bin.place, bin.stack)), Some(bin.code), Some(StockCode::Bin(bin.code)))
    });
    let fills = fills(register, &bins)?;
    let fills = fills.map_or_else(|| vec![None; bins.len()], |fills| fills.into_iter().map(Some).collect());
    let standing: Vec<Standing> = bins.into_iter().zip(fills).map(|(bin, fill)| Standing { bin, fill }).collect();
    let spots = register.spots(None)?;
    let areas = register.areas()?.into_iter().map(|area| area_with(area, &spots, &standing));
    Ok(Floor { areas: areas.collect() })
}

/// A number for a new area: the one behind the greatest, else the least that is free.
#[must_use]
pub fn free_area_number(areas: &[Area]) -> Option<AreaNumber> {
    let greatest = areas.iter().map(|area| area.number.get()).max().unwrap_or_default();
    let numbers = [greatest + 1].into_iter().chain(1..=999).filter_map(|number| AreaNumber::new(number).ok());
    numbers.into_iter().find(|number| areas.iter().all(|area| area.number != *number))
}

fn area_with(area: Area, spots: &[SpotInArea], standing: &[Standing]) -> FloorArea {
    let here: Vec<&Standing> = standing.iter().filter(|standing| standing.bin.place.area == area.number).collect();
    let spots = spots.iter().filter(|known| known.area == area.number).map(|known| spot_with(known, &here));
    let is_loose = |standing: &&&Standing| standing.bin.place.spot.is_none();
    FloorArea { spots: spots.collect(), loose: here.iter().filter(is_loose).copied().cloned().collect(), area }
}

fn spot_with(known: &SpotInArea, here: &[&Standing]) -> FloorSpot {
    let mut spot = FloorSpot { known: known.clone(), stacked: Vec::new(), single: Vec::new() };
    let at = |standing: &&&Standing| standing.bin.place.spot.as_ref().is_some_and(|spot| spot.id == known.spot.id);
    for standing in here.iter().filter(at).copied() {
        match (standing.bin.stack, spot.stacked.last_mut()) {
            (None, _) => spot.single.push(standing.clone()),
            (Some(place), Some((last, bins))) if *last == place => bins.push(standing.clone()),
            (Some(place), _) => spot.stacked.push((place, vec![standing.clone()])),
        }
    }
    spot
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::register::{BinEdit, Edit, NewBins, Title};

    #[test]
    fn a_new_area_has_the_number_behind_the_greatest() {
        let area = |number| Area { number: AreaNumber::new(number).unwrap(), name: "Loft".into(), order: None };
        let free = |numbers: &[u16]| {
            let areas: Vec<Area> = numbers.iter().copied().map(area).collect();
            free_area_number(&areas).map(AreaNumber::get)
        };
        assert_eq!(free(&[]), Some(1));
        assert_eq!(free(&[12, 4]), Some(13));
        assert_eq!(free(&[1, 999]), Some(2));
        assert_eq!(free(&(1..=999).collect::<Vec<_>>()), None);
    }

    #[test]
    fn bins_stand_in_walking_order_and_stacks_from_the_top() {
        let mut register = Register::in_memory().unwrap();
        let number = |number| AreaNumber::new(number).unwrap();
        let rack = Some(Title::new("rack 1").unwrap());
        register.add_area(number(4), "Loft").unwrap();
        register.add_area(number(12), "Cellar").unwrap();
        register.order_areas(&[number(12)]).unwrap();
        register.add_bins(number(4), &NewBins { spot: rack, ..NewBins::new(4) }).unwrap();
        register.add_bins(number(4), &NewBins::new(1)).unwrap();
        for (bin, place) in [("4A", 2), ("4B", 1), ("4C", 2)] {
            let edit = BinEdit { stack: Edit::Set(place), ..BinEdit::default() };
            register.edit_bins(&[bin.parse().unwrap()], &edit).unwrap();
        }
        let floor = floor(&register).unwrap();
        let areas: Vec<&str> = floor.areas.iter().map(|area| area.area.name.as_str()).collect();
        assert_eq!(areas, ["Cellar", "Loft"]);
        let loft = &floor.areas[1];
        let codes = |bins: &[Standing]| bins.iter().map(|standing| standing.bin.code.to_string()).collect::<Vec<_>>();
        let stack: Vec<(u32, Vec<String>)> =
            loft.spots[0].stacked.iter().map(|(place, bins)| (*place, codes(bins))).collect();
        assert_eq!(stack, [(1, vec!["4B".to_owned()]), (2, vec!["4A".to_owned(), "4C".to_owned()])]);
        assert_eq!((codes(&loft.spots[0].single), codes(&loft.loose)), (vec!["4D".into()], vec!["4F".into()]));
        assert_eq!((loft.bins().count(), loft.items()), (5, 0));
    }
}
