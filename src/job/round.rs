//! The picking round: all that is sold and not yet picked, bin by bin in walking order.
//!
//! Start with [`round()`].

use crate::{
    code::{BinCode, StockCode},
    plan::{Stand, WalkKey},
    register::{Area, Item, ItemFilter, Place, Register, RegisterError, Status, Stowed},
};

/// A visit to a bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Stop {
    /// Its number in the round, from 1.
    pub number: usize,
    /// The bin.
    pub bin: BinCode,
    /// Where it stands.
    pub place: Place,
    /// Its place in the stack of its spot, from the top.
    pub stack: Option<u32>,
    /// What is to be taken from it, by code.
    pub items: Vec<Item>,
}

impl Stop {
    /// Where the bin stands in its area: `rack 1, 2nd in the stack`.
    #[must_use]
    pub fn spot_text(&self) -> Option<String> {
        place_in_area(&self.place, self.stack)
    }
}

/// Where a bin stands in its area: `rack 1, 2nd in the stack`.
pub(super) fn place_in_area(place: &Place, stack: Option<u32>) -> Option<String> {
    let spot = place.spot.as_ref().map(|spot| spot.name.clone());
    let stack = stack.map(|place| format!("{} in the stack", ordinal(place)));
    let parts: Vec<String> = spot.into_iter().chain(stack).collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// `1st`, `22nd`
fn ordinal(number: u32) -> String {
    let end = match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{number}{end}")
}

/// The round over all that is sold and not yet picked.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn round(register: &Register) -> Result<Vec<Stop>, RegisterError> {
    let sold = ItemFilter { states: vec![Status::Sold], ..ItemFilter::default() };
    Ok(stops(register.items(&sold)?))
}

/// Items by the bins that they are in, in walking order; those that are in none are left out.
#[must_use]
pub fn stops(mut items: Vec<Item>) -> Vec<Stop> {
    items.retain(|item| item.stowed.is_some());
    items.sort_by_key(|item| walk_key(item.stowed.as_ref(), item.code.map(StockCode::Item)));
    let visits = items.chunk_by(|one, next| one.bin() == next.bin());
    visits.zip(1..).filter_map(|(items, number)| stop(items, number)).collect()
}

fn stop(items: &[Item], number: usize) -> Option<Stop> {
    let Stowed { bin, place, stack } = items.first()?.stowed.clone()?;
    Some(Stop { number, bin, place, stack, items: items.to_vec() })
}

/// Where something comes in walking order that is in a bin.
pub(super) fn walk_key(stowed: Option<&Stowed>, code: Option<StockCode>) -> WalkKey {
    let at = stowed.map(|stowed| stand(&stowed.place, stowed.stack));
    WalkKey::new(at, stowed.map(|stowed| stowed.bin), code)
}

/// Where a bin stands.
pub(super) fn stand(place: &Place, stack: Option<u32>) -> Stand {
    let spot = place.spot.as_ref().map(|spot| spot.walk_order);
    Stand { area_order: place.area_order, area: place.area, spot, stack }
}

/// Where an area comes.
pub(super) fn stand_of_area(area: &Area) -> Stand {
    Stand { area_order: area.order, area: area.number, spot: None, stack: None }
}
