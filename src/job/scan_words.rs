//! What became of a reading, in words that every front end uses.
//!
//! Start with [`put_text`] for an item that was stowed, [`picking_text`] for one that was picked and [`going_text`] for a
//! plan that is carried out. How large and in which colour they stand is the front end's.

use super::{Going, Next, Picking, Stop, StowRepair, count, place_text, was, whereabouts};
use crate::register::{Bin, Carried, Item, Move, RegroupMove};

/// Where no item is sold that is still in its bin.
pub const NOTHING_TO_PICK: &str = "nothing to pick";

/// `4C, Loft, rack 1, with 2 items`
#[must_use]
pub fn bin_line(bin: &Bin) -> String {
    format!("{}, {}, with {}", bin.code, place_text(&bin.place), count(u64::from(bin.items), "item"))
}

/// `from 4A to 4C (its code names 4A)`; without a move it was there already.
#[must_use]
pub fn put_text(item: &Item, moved: Option<&Move>) -> String {
    let tag = item.tag_shows().map(|shown| format!(" (its code names {shown})")).unwrap_or_default();
    let put = match moved {
        Some(moved @ Move { from: Some(from), to, .. }) => format!("from {from} to {to}{}", was(moved)),
        Some(moved @ Move { to, .. }) => format!("into {to}{}", was(moved)),
        None => format!("in {} already", item.bin().map(|bin| bin.to_string()).unwrap_or_default()),
    };
    put + &tag
}

/// `taken back: 4A-001F  Copper jam pan: in 4A, Loft again`
#[must_use]
pub fn put_back_text(item: &Item, moved: &Move) -> String {
    format!("taken back: {}  {}: {} again", item.code.unwrap_or(moved.code), item.title, whereabouts(item))
}

/// `; read as typed on a French keyboard`
#[must_use]
pub fn repaired_text(layout: StowRepair) -> String {
    layout.map(|layout| format!("; read as typed on a {layout} keyboard")).unwrap_or_default()
}

/// `4A-001F  Copper jam pan: picked from 4A for order 77`
#[must_use]
pub fn picking_text(picking: &Picking) -> String {
    match picking {
        Picking::Picked(item, pick) => {
            let order = item.sold.as_ref().and_then(|sold| sold.order.as_ref());
            let order = order.map(|order| format!(" for order {order}")).unwrap_or_default();
            format!("{}  {}: picked from {}{order}", pick.name, item.title, pick.from)
        }
        Picking::Undone(pick) => format!("taken back: {} belongs into {} again", pick.name, pick.from),
    }
}

/// `2 items left; next 4C, Loft, rack 1: 4C-002K`
#[must_use]
pub fn left_text(stops: &[Stop]) -> String {
    let Some(next) = stops.first() else { return NOTHING_TO_PICK.into() };
    let items: usize = stops.iter().map(|stop| stop.items.len()).sum();
    let names: Vec<String> = next.items.iter().map(Item::name).collect();
    let left = count(items as u64, "item");
    format!("{left} left; next {}, {}: {}", next.bin, place_text(&next.place), names.join(", "))
}

/// `3 items from 2 bins`
#[must_use]
pub fn round_size(stops: &[Stop]) -> String {
    let items: usize = stops.iter().map(|stop| stop.items.len()).sum();
    format!("{} from {}", count(items as u64, "item"), count(stops.len() as u64, "bin"))
}

/// `4A-001F  Copper jam pan: taken from 4A, goes into 4B`
#[must_use]
pub fn going_text(going: &Going) -> String {
    match going {
        Going::Taken(one, item) => format!("{}  {}: taken from {}, {}", item.name(), item.title, one.from, goes(one)),
        Going::InHand(one, item) => format!("{}  {}: in hand already, {}", item.name(), item.title, goes(one)),
        Going::Put { bin, put, over } => {
            let names: Vec<String> = put.iter().map(carried_text).collect();
            let over: String = over.iter().map(|over| format!("; warning: {over}")).collect();
            format!("{} put into {}: {}{over}", count(put.len() as u64, "item"), bin.code, names.join(", "))
        }
        Going::Missing(one, item) => format!("{}  {}: marked as missing in {}", item.name(), item.title, one.from),
        Going::Undone(what) => format!("taken back: {what}"),
    }
}

/// `goes into 4B`, or by the holding box.
fn goes(one: &RegroupMove) -> String {
    if one.is_held() {
        format!("into the holding box until trip {}, then {}", one.put_on, one.to)
    } else {
        format!("goes into {}", one.to)
    }
}

fn carried_text((item, moved): &Carried) -> String {
    let was = moved.was.map(|code| format!(", was {code}")).unwrap_or_default();
    format!("{} ({}{was})", item.name(), item.title)
}

/// Of an item that left a plan by itself.
#[must_use]
pub fn settled_text((_, item): &(RegroupMove, Item)) -> String {
    format!("{}  {} is not to be moved any more: {}", item.name(), item.title, whereabouts(item))
}

impl Next {
    /// `trip 2: take from 4A, Loft: 4A-001F`
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::Take(visit) | Self::Put(visit) => format!("trip {}: {}", visit.trip, self.expected()),
            Self::Nothing => self.expected(),
        }
    }
}
