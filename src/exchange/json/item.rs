//! The JSON of items, and of their moves.
//!
//! Start with [`ItemJson::new`]. Members that most items have nothing for are left out where they are empty.

use serde::Serialize;

use crate::{
    code::ItemCode,
    register::{Item, Move, Status},
    unit::{Currency, Measures, Money, Volume, Weight},
};

/// An item.
#[derive(Debug, Serialize)]
pub struct ItemJson {
    code: Option<String>,
    payload: Option<String>,
    number: i64,
    title: String,
    bin: Option<String>,
    area: Option<u16>,
    area_name: Option<String>,
    spot: Option<String>,
    cost: Option<String>,
    asking: Option<String>,
    bought: Option<String>,
    note: Option<String>,
    listed: Option<String>,
    status: Status,
    /// The code that its listing shows, if that is another one than it has now.
    #[serde(skip_serializing_if = "Option::is_none")]
    listing_code: Option<String>,
    /// The bin that its tag shows, if that is another one than it is in.
    #[serde(skip_serializing_if = "Option::is_none")]
    tag_shows: Option<String>,
    /// When it was sold, if it has not come back.
    #[serde(skip_serializing_if = "Option::is_none")]
    sold_on: Option<String>,
    /// The order that it was sold for.
    #[serde(skip_serializing_if = "Option::is_none")]
    order: Option<String>,
    /// When it was taken from its bin to be sent.
    #[serde(skip_serializing_if = "Option::is_none")]
    picked_on: Option<String>,
    /// Since when it is gone, and why.
    #[serde(skip_serializing_if = "Option::is_none")]
    gone_on: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why_gone: Option<String>,
    /// How big and heavy it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    litres: Option<Volume>,
    #[serde(skip_serializing_if = "Option::is_none")]
    measures_cm: Option<Measures>,
    #[serde(skip_serializing_if = "Option::is_none")]
    size: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    grams: Option<Weight>,
}

impl ItemJson {
    /// An item with its amounts in the register's currency.
    #[must_use]
    pub fn new(item: &Item, currency: &Currency) -> Self {
        let amount = |money: Option<Money>| money.map(|money| currency.format(money));
        let place = item.stowed.as_ref().map(|stowed| &stowed.place);
        Self {
            code: item.code.map(|code| code.to_string()),
            payload: item.code.map(ItemCode::payload),
            number: item.id().get(),
            title: item.title.clone(),
            bin: item.bin().map(|bin| bin.to_string()),
            area: place.map(|place| place.area.get()),
            area_name: place.map(|place| place.area_name.clone()),
            spot: place.and_then(|place| place.spot.as_ref()).map(|spot| spot.name.clone()),
            cost: amount(item.cost),
            asking: amount(item.asking),
            bought: item.bought.map(|date| date.to_string()),
            note: item.note.clone(),
            listed: item.listed.map(|date| date.to_string()),
            status: item.status,
            listing_code: item.listing_code.map(|code| code.to_string()),
            tag_shows: item.tag_shows().map(|bin| bin.to_string()),
            sold_on: item.sold.as_ref().map(|sold| sold.day.to_string()),
            order: item.sold.as_ref().and_then(|sold| sold.order.clone()),
            picked_on: item.sold.as_ref().and_then(|sold| sold.picked).map(|day| day.to_string()),
            gone_on: item.gone.map(|day| day.to_string()),
            why_gone: item.why_gone.clone(),
            litres: item.bulk.volume,
            measures_cm: item.bulk.measures,
            size: item.bulk.size.clone(),
            grams: item.bulk.weight,
        }
    }
}

/// An item that was moved.
#[derive(Debug, Serialize)]
pub struct MoveJson {
    code: String,
    /// The code that it had, where it got one of its new bin.
    #[serde(skip_serializing_if = "Option::is_none")]
    was: Option<String>,
    from: Option<String>,
    to: String,
}

impl From<&Move> for MoveJson {
    fn from(moved: &Move) -> Self {
        Self {
            code: moved.code.to_string(),
            was: moved.was.map(|code| code.to_string()),
            from: moved.from.map(|bin| bin.to_string()),
            to: moved.to.to_string(),
        }
    }
}
