//! Words for labels that are wrong: what each is about, and what new codes cost.
//!
//! Start with [`LabelJob::about`]. Tables and hints to what can be done are the front end's.

use super::{LabelJob, RetagCost, StaleLabel, count, place_text};
use crate::register::{Bin, Place};

/// What a label is about, in words.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LabelAbout {
    /// The code of its item or bin.
    pub code: Option<String>,
    /// The title of its item.
    pub title: Option<String>,
    /// The bin that it is about, or that its item is in.
    pub bin: Option<String>,
    /// Where that is.
    pub place: Option<Place>,
    /// All of that in words.
    pub whereabouts: String,
}

impl LabelJob {
    /// What it is about.
    #[must_use]
    pub fn about(&self) -> LabelAbout {
        match self {
            Self::Tag(code, item) => {
                let place = item.stowed.as_ref().map(|stowed| &stowed.place);
                let bin = item.bin().map(|bin| bin.to_string());
                let parts: Vec<String> = bin.iter().cloned().chain(place.map(place_text)).collect();
                LabelAbout {
                    code: Some(code.to_string()),
                    title: Some(item.title.clone()),
                    bin,
                    place: place.cloned(),
                    whereabouts: parts.join(", "),
                }
            }
            Self::Sign(bin) | Self::Lid(bin) | Self::Contents(bin, ..) => {
                LabelAbout { code: Some(bin.code.to_string()), bin: Some(bin.code.to_string()), ..at(bin) }
            }
            Self::Strip(_, bins) => bins.first().map(at).unwrap_or_default(),
            Self::Area(area) => LabelAbout {
                place: Some(Place {
                    area: area.number,
                    area_name: area.name.clone(),
                    area_order: area.order,
                    spot: None,
                }),
                whereabouts: format!("{}, area {}", area.name, area.number),
                ..LabelAbout::default()
            },
        }
    }
}

fn at(bin: &Bin) -> LabelAbout {
    LabelAbout { place: Some(bin.place.clone()), whereabouts: place_text(&bin.place), ..LabelAbout::default() }
}

impl StaleLabel {
    /// Why it is wrong.
    #[must_use]
    pub fn why(&self) -> String {
        self.reasons.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
    }
}

/// `2 tags and 1 listing`
#[must_use]
pub fn cost_text(cost: &RetagCost) -> String {
    format!("{} and {}", count(cost.tags as u64, "tag"), count(cost.listings as u64, "listing"))
}
