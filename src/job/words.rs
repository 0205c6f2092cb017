//! Words that every front end uses for what the register knows.
//!
//! Start with [`whereabouts`] for an item and [`with_causes`] for what failed. Numbers of rows, widths and colours are
//! the front end's.

use std::error::Error;

use jiff::{Timestamp, ZonedDateTime, civil::Date, tz::TimeZone};

use crate::register::{Bin, Bulk, Found, Item, Move, Place, Status, Stowed};
pub use crate::unit::{count, listed};

/// `Loft, rack 1, level 2`
#[must_use]
pub fn place_text(place: &Place) -> String {
    match &place.spot {
        Some(spot) => format!("{}, {}", place.area_name, spot.name),
        None => place.area_name.clone(),
    }
}

/// `4A-001F  Copper jam pan: in 4A, Loft, rack 1, level 2`
#[must_use]
pub fn item_line(item: &Item) -> String {
    format!("{}  {}: {}", item.name(), item.title, whereabouts(item))
}

/// Where an item is, or what has become of it: `in 4C, Loft, rack 1 (its code names 4A)`
#[must_use]
pub fn whereabouts(item: &Item) -> String {
    let place = item.stowed.as_ref().map(|Stowed { bin, place, .. }| {
        let tag = item.tag_shows().map(|shown| format!(" (its code names {shown})")).unwrap_or_default();
        format!("in {bin}, {}{tag}", place_text(place))
    });
    let parts: Vec<String> = [fate(item), place].into_iter().flatten().collect();
    match (parts.as_slice(), item.status) {
        ([], Status::Waiting) => "waits for a bin".into(),
        ([], Status::Undone) => "its entry was taken back".into(),
        ([], other) => other.word().into(),
        (parts, _) => parts.join("; "),
    }
}

/// What has become of an item that is for sale no more: `sold on 2026-11-20 for order 77, not picked yet`
#[must_use]
pub fn fate(item: &Item) -> Option<String> {
    let gone = item.gone.map(|since| match &item.why_gone {
        Some(why) => format!("gone since {since}: {why}"),
        None => format!("gone since {since}"),
    });
    let sold = item.sold.as_ref().map(ToString::to_string);
    let parts: Vec<String> = [gone, sold].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}

/// One line for what was found, with its labels from before.
#[must_use]
pub fn found_line(found: &Found, old_codes: &[String]) -> String {
    match found {
        Found::Item(item) => item_line(item) + &old_codes_text(old_codes),
        Found::Bin(bin) => {
            let old = old_codes_text(old_codes);
            format!("{}  bin {}: {}{old}", bin.code, bin_state(bin), place_text(&bin.place))
        }
    }
}

/// `with 2 items`, `retired since 2026-11-25`
#[must_use]
pub fn bin_state(bin: &Bin) -> String {
    match bin.retired {
        _ if bin.is_live => format!("with {}", count(u64::from(bin.items), "item")),
        Some(since) => format!("retired since {since}"),
        None => "that was taken back".into(),
    }
}

/// ` (old code K 117)`
#[must_use]
pub fn old_codes_text(old_codes: &[String]) -> String {
    match old_codes {
        [] => String::new(),
        [only] => format!(" (old code {only})"),
        many => format!(" (old codes {})", many.join(", ")),
    }
}

/// ` (was 4A-001F)` of an item that got a new code when it moved.
#[must_use]
pub fn was(moved: &Move) -> String {
    moved.was.map(|code| format!(" (was {code})")).unwrap_or_default()
}

/// `4A-001F: from 4A to 4C, Loft, rack 1`
#[must_use]
pub fn move_line(moved: &Move, place: &Place) -> String {
    let Move { code, from, to, .. } = moved;
    let from = from.map_or_else(|| "into".into(), |from| format!("from {from} to"));
    format!("{code}{}: {from} {to}, {}", was(moved), place_text(place))
}

/// `top of the stack`, `2nd from the top`
#[must_use]
pub fn stack_text(from_top: u32) -> String {
    let ending = match (from_top % 10, from_top % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    if from_top == 1 { "top of the stack".into() } else { format!("{from_top}{ending} from the top") }
}

/// The present day here.
#[must_use]
pub fn today() -> Date {
    ZonedDateTime::now().date()
}

/// What is said of a day to come: most likely a slip, but not for a person in another time zone.
#[must_use]
pub fn ahead_text(day: Date) -> Option<String> {
    (day > today()).then(|| format!("{day} is still to come"))
}

/// An instant of the register as `2026-11-21 10:04` in the zone of this computer.
#[must_use]
pub fn local_time(at: &str) -> String {
    let zoned = at.parse::<Timestamp>().map(|instant| instant.to_zoned_datetime(TimeZone::system()));
    zoned.map_or_else(|_| at.to_owned(), |zoned| zoned.strftime("%Y-%m-%d %H:%M").to_string())
}

/// The day of an instant of the register in the zone of this computer.
#[must_use]
pub fn local_day(at: &str) -> String {
    local_time(at).chars().take(10).collect()
}

/// `2.5 l, 30 x 20 x 10 cm, medium, 850 g`
#[must_use]
pub fn bulk_text(bulk: &Bulk) -> String {
    let parts = [
        bulk.volume.map(|volume| volume.to_string()),
        bulk.measures.map(|measures| measures.to_string()),
        bulk.size.clone(),
        bulk.weight.map(|weight| weight.to_string()),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// A text that came from outside in one line, without the control characters that a symbol may carry to the terminal.
#[must_use]
pub fn shown(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    plain.trim().to_owned()
}

/// What failed, and because of what.
#[must_use]
pub fn with_causes(fault: &dyn Error) -> String {
    let mut text = fault.to_string();
    let mut cause = fault.source();
    while let Some(inner) = cause {
        let said = inner.to_string();
        // The database tells the same again with a number before it.
        if !text.contains(&said) && !said.starts_with("Error code") {
            text = format!("{text}\n  because: {said}");
        }
        cause = inner.source();
    }
    text
}
