//! The JSON of `stale` and `retag`.

use serde::Serialize;

use crate::register::{Item, Place, Retagged, RunId, RunKind, SpotInArea, Status};

/// A label that is wrong now.
#[derive(Debug, Serialize)]
pub struct StaleJson {
    /// What it is.
    pub kind: RunKind,
    /// The present code of what it is about.
    pub code: Option<String>,
    /// What the item is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// The bin that it is in, or that it is about.
    pub bin: Option<String>,
    /// Where that is.
    #[serde(flatten)]
    pub place: PlaceJson,
    /// The code that it shows.
    pub shows: Option<String>,
    /// The run that printed it.
    pub run: RunId,
    /// Why it is wrong.
    pub reasons: Vec<String>,
}

/// Where something is.
#[derive(Debug, Default, Serialize)]
pub struct PlaceJson {
    /// The area's number.
    pub area: Option<u16>,
    /// Its name.
    pub area_name: Option<String>,
    /// The spot.
    pub spot: Option<String>,
}

impl From<&Place> for PlaceJson {
    fn from(place: &Place) -> Self {
        Self {
            area: Some(place.area.get()),
            area_name: Some(place.area_name.clone()),
            spot: place.spot.as_ref().map(|spot| spot.name.clone()),
        }
    }
}

impl From<&SpotInArea> for PlaceJson {
    fn from(known: &SpotInArea) -> Self {
        Self {
            area: Some(known.area.get()),
            area_name: Some(known.area_name.clone()),
            spot: Some(known.spot.name.clone()),
        }
    }
}

/// How many labels of a kind are wrong, and the command that prints them again.
#[derive(Debug, Serialize)]
pub struct WrongJson {
    /// What they are.
    pub kind: RunKind,
    /// How many.
    pub labels: usize,
    /// What prints them.
    pub command: String,
}

/// What new codes for moved items would cost.
#[derive(Debug, Serialize)]
pub struct MovedJson {
    /// How many items these are.
    pub items: usize,
    /// How many tags show their code.
    pub tags: usize,
    /// How many listings do.
    pub listings: usize,
    /// What gives them new codes; nothing where they have them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub command: Option<String>,
}

/// An item that got a code of its present bin.
#[derive(Debug, Serialize)]
pub struct RetaggedJson {
    code: Option<String>,
    was: String,
    title: String,
    bin: Option<String>,
    status: Status,
}

impl From<&Retagged> for RetaggedJson {
    fn from(retagged: &Retagged) -> Self {
        let Item { code, title, status, .. } = &retagged.item;
        Self {
            code: code.map(|code| code.to_string()),
            was: retagged.was.to_string(),
            title: title.clone(),
            bin: retagged.item.bin().map(|bin| bin.to_string()),
            status: *status,
        }
    }
}
