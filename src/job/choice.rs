//! Which labels are wanted.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::{
    LabelJob,
    reference::{ReferenceError, bin_by_text, item_by_text},
};
use crate::{
    code::AreaNumber,
    register::{Bin, ItemFilter, Register, RegisterError, RunKind, Spot},
};

/// Which labels are wanted, as a user says it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Choice {
    /// Those that have none yet.
    Waiting,
    /// These, by their codes.
    Of(Vec<String>),
    /// Those in a bin (tags) or an area (signs).
    Within(String),
    /// Those in the bins of an area.
    InArea(String),
    /// All.
    All,
}

impl Choice {
    /// From the options of a command: codes, a bin or an area, or all; without any, those that wait.
    #[must_use]
    pub fn new(codes: &[String], within: Option<&str>, all: bool) -> Self {
        match (codes, within) {
            ([], Some(within)) => Self::Within(within.to_owned()),
            ([], None) if all => Self::All,
            ([], None) => Self::Waiting,
            (codes, _) => Self::Of(codes.to_vec()),
        }
    }

    /// The tags that are wanted.
    ///
    /// # Errors
    /// [`ReferenceError`] for a code that stands for no item or no bin.
    pub fn tags(&self, register: &Register) -> Result<Vec<LabelJob>, ReferenceError> {
        let items = match self {
            Self::Of(codes) => codes.iter().map(|code| item_by_text(register, code)).collect::<Result<_, _>>()?,
            Self::Within(bin) => register.items(&ItemFilter::within(live_bin(register, bin)?.code))?,
            Self::InArea(area) => {
                let area = Some(area.parse().map_err(RegisterError::Code)?);
                register.items(&ItemFilter { area, ..ItemFilter::stowed() })?
            }
            Self::All => register.items(&ItemFilter::stowed())?,
            Self::Waiting => register.items(&ItemFilter::untagged())?,
        };
        if let Some(uncoded) = items.iter().find(|item| item.code.is_none()) {
            return Err(ReferenceError::NoCodeYet(uncoded.name()));
        }
        Ok(items.into_iter().filter_map(LabelJob::tag).collect())
    }

    /// The signs that are wanted.
    ///
    /// # Errors
    /// [`ReferenceError`] for a code that stands for no bin, or an area that is not there.
    pub fn signs(&self, register: &Register) -> Result<Vec<LabelJob>, ReferenceError> {
        Ok(self.bins(register, RunKind::Signs)?.into_iter().map(LabelJob::Sign).collect())
    }

    /// The signs of lids that are wanted.
    ///
    /// # Errors
    /// As [`Self::signs`].
    pub fn lids(&self, register: &Register) -> Result<Vec<LabelJob>, ReferenceError> {
        Ok(self.bins(register, RunKind::Lids)?.into_iter().map(LabelJob::Lid).collect())
    }

    /// The lists of what is in these bins, as of a day.
    ///
    /// # Errors
    /// As [`Self::signs`].
    pub fn contents(&self, register: &Register, date: Date) -> Result<Vec<LabelJob>, ReferenceError> {
        self.bins(register, RunKind::Contents)?.into_iter().map(|bin| contents(register, bin, date)).collect()
    }

    fn bins(&self, register: &Register, kind: RunKind) -> Result<Vec<Bin>, ReferenceError> {
        let bins = match self {
            Self::Of(codes) => codes.iter().map(|code| live_bin(register, code)).collect::<Result<_, _>>()?,
            Self::Within(area) | Self::InArea(area) => {
                let area: AreaNumber = area.parse().map_err(RegisterError::Code)?;
                register.bins(Some(area))?
            }
            Self::All => register.bins(None)?,
            Self::Waiting => register.bins_without(kind)?,
        };
        Ok(bins)
    }
}

/// The bin of this code, if it is in use.
fn live_bin(register: &Register, text: &str) -> Result<Bin, ReferenceError> {
    let bin = bin_by_text(register, text)?;
    bin.require_live()?;
    Ok(bin)
}

/// The list of what is in a bin.
pub(super) fn contents(register: &Register, bin: Bin, date: Date) -> Result<LabelJob, ReferenceError> {
    let items = register.items(&ItemFilter::within(bin.code))?;
    Ok(LabelJob::Contents(bin, items, date))
}

/// The strips of all spots, or of those of an area, or of one spot there by its name.
///
/// # Errors
/// [`RegisterError::UnknownArea`].
pub fn strips(
    register: &Register,
    area: Option<AreaNumber>,
    spot: Option<&str>,
) -> Result<Vec<LabelJob>, RegisterError> {
    let mut spots: BTreeMap<(AreaNumber, i64), (Spot, Vec<Bin>)> = BTreeMap::new();
    for bin in register.bins(area)? {
        let Some(own) = bin.place.spot.clone().filter(|own| spot.is_none_or(|name| is_named(own, name))) else {
            continue;
        };
        spots.entry((bin.place.area, own.walk_order)).or_insert_with(|| (own, Vec::new())).1.push(bin);
    }
    Ok(spots.into_values().map(|(spot, bins)| LabelJob::Strip(spot, bins)).collect())
}

fn is_named(spot: &Spot, name: &str) -> bool {
    spot.name.to_lowercase() == name.trim().to_lowercase()
}

/// The signs of these areas, or of all.
///
/// # Errors
/// [`RegisterError::UnknownArea`].
pub fn area_signs(register: &Register, numbers: &[AreaNumber]) -> Result<Vec<LabelJob>, RegisterError> {
    let areas = register.areas()?;
    if let Some(unknown) = numbers.iter().find(|number| !areas.iter().any(|area| area.number == **number)) {
        return Err(RegisterError::UnknownArea(*unknown));
    }
    let wanted = areas.into_iter().filter(|area| numbers.is_empty() || numbers.contains(&area.number));
    Ok(wanted.map(LabelJob::Area).collect())
}
