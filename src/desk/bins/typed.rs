//! What was typed of bins, read as the command line reads it; what is refused says of which field.

use serde::Deserialize;

use crate::{
    desk::answer::Refusal,
    job::{place_in_stack, room_text},
    register::{Bin, BinKind, Edit, Register, RegisterError, Room, Title},
    unit::{Measures, RoomError, Volume, Weight},
};

/// Figures of a bin or a kind, as texts of a form.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(default)]
pub(in crate::desk) struct RoomTexts {
    pub litres: String,
    pub max_kg: String,
    pub inside: String,
}

impl RoomTexts {
    /// As they are known.
    pub(in crate::desk) fn of(room: &Room) -> Self {
        let litres = room.volume.map(|volume| volume.litres().to_string());
        let max_kg = room.max_weight.map(|weight| weight.kilograms().to_string());
        let inside = room.inside.map(|inside| inside.sides_mm().map(|side| f64::from(side) / 10.0));
        let inside = inside.map(|[length, width, height]| format!("{length} x {width} x {height}"));
        Self {
            litres: litres.unwrap_or_default(),
            max_kg: max_kg.unwrap_or_default(),
            inside: inside.unwrap_or_default(),
        }
    }

    /// What they say; an empty text says nothing.
    pub(in crate::desk) fn read(&self) -> Result<Room, Refusal> {
        Ok(Room {
            volume: figure("Litres", &self.litres, Volume::parse)?,
            max_weight: figure("Weight limit", &self.max_kg, Weight::parse_kg)?,
            inside: figure("Inner measures", &self.inside, Measures::parse)?,
        })
    }
}

fn figure<T>(field: &str, text: &str, parse: impl FnOnce(&str) -> Result<T, RoomError>) -> Result<Option<T>, Refusal> {
    filled(text).map(|text| of_field(field, parse(text))).transpose()
}

/// A refusal that names the field.
pub(in crate::desk) fn of_field<T, E: std::error::Error>(field: &str, read: Result<T, E>) -> Result<T, Refusal> {
    read.map_err(|fault| Refusal::input(format!("{field}: {}", Refusal::from(fault).text)))
}

/// A text that says something.
pub(in crate::desk) fn filled(text: &str) -> Option<&str> {
    Some(text.trim()).filter(|text| !text.is_empty())
}

/// A name that may be left out.
pub(in crate::desk) fn name(field: &str, text: &str) -> Result<Option<Title>, Refusal> {
    filled(text).map(|text| of_field(field, Title::new(text))).transpose()
}

/// A place in a stack that may be left out.
pub(super) fn stack(text: &str) -> Result<Option<u32>, Refusal> {
    filled(text).map(|text| of_field("Place in the stack", place_in_stack(text))).transpose()
}

/// To a value where it differs from the one that was there.
pub(super) fn to<T: PartialEq>(now: Option<&T>, wanted: Option<T>) -> Edit<T> {
    Edit::where_it(now != wanted.as_ref(), wanted)
}

/// The kinds to choose from: `tub`, and `tub (36 l, at most 9 kg)`.
pub(super) fn kinds(register: &Register) -> Result<Vec<(String, String)>, RegisterError> {
    let choice = |kind: BinKind| {
        let room = room_text(None, kind.room);
        let text = if room.is_empty() { kind.name.clone() } else { format!("{} ({room})", kind.name) };
        (kind.name, text)
    };
    Ok(register.bin_kinds()?.into_iter().map(choice).collect())
}

/// How a bin stands and what it holds, in a few letters: a form that was made from another state is out of date.
pub(super) fn seen(bin: &Bin) -> String {
    let state = (&bin.place.spot, bin.stack, &bin.kind, bin.own_room, bin.is_live);
    fingerprint(&state)
}

/// A few letters that change with a value.
pub(in crate::desk) fn fingerprint(value: &impl std::fmt::Debug) -> String {
    crate::output::sha256(format!("{value:?}").as_bytes()).chars().take(16).collect()
}

/// Refuses a form that was made from another state than the present one.
pub(in crate::desk) fn require_seen(seen: &str, now: &str) -> Result<(), Refusal> {
    if seen == now {
        return Ok(());
    }
    Err(Refusal::new(
        axum::http::StatusCode::CONFLICT,
        "This was changed meanwhile, on another device or another page. Look at how it is now, then send it again.",
    ))
}
