//! The labels in the world that are wrong now, and what it would cost to make tags show the bins that items are in.
//!
//! Start with [`stale`]. What a label said when it was printed is held against what it would say now in the look that
//! it had. Labels of what has left, and of bins that are not used any more, don't count. A title is compared as a
//! whole, also where the label had no room for all of it; fonts that came or went since are not looked at.

use std::{
    borrow::Cow,
    collections::{HashMap, HashSet},
    sync::Arc,
};

use jiff::civil::Date;
use serde_json::Value;

use super::{
    Choice, LabelJob, Look, OwnLook, ReferenceError, Settings, area_signs, bin_by_text, items_by_text, strips,
};
use crate::{
    code::{AreaNumber, BinCode},
    parallel,
    plan::{Reason, reasons},
    register::{
        Bin, Item, ItemFilter, ItemId, LabelOwner, LastLabel, Register, RegisterError, RunId, RunKind, SpotId,
        SpotInArea, Status,
    },
    unit::Currency,
};

/// Where labels are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum StaleScope {
    /// Everywhere.
    #[default]
    All,
    /// Of a bin and what is in it.
    Bin(BinCode),
    /// Of an area, its spots, its bins and what is in them.
    Area(AreaNumber),
}

/// A label that is wrong now.
#[derive(Debug, Clone, PartialEq)]
pub struct StaleLabel {
    /// What it is.
    pub kind: RunKind,
    /// The run that printed it.
    pub run: RunId,
    /// The label as it would be now.
    pub job: LabelJob,
    /// The look that it has.
    pub look: Look,
    /// The code that it shows.
    pub shows: Option<String>,
    /// Why it is wrong.
    pub reasons: Vec<Reason>,
}

impl From<StaleLabel> for OwnLook {
    fn from(label: StaleLabel) -> Self {
        Self { job: label.job, look: Some(label.look) }
    }
}

/// What a new code for each item whose code names another bin than it is in would cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct RetagCost {
    /// How many items these are.
    pub items: usize,
    /// Tags of theirs that hang in the world.
    pub tags: usize,
    /// Listings that show their code.
    pub listings: usize,
}

/// What is wrong in the world.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StaleAnswer {
    /// The wrong labels, in walking order.
    pub labels: Vec<StaleLabel>,
    /// What tags cost that show another bin while nothing about them is wrong.
    pub moved: RetagCost,
    /// Spots that have a strip and no bins any more.
    pub bare: Vec<SpotInArea>,
}

/// What hangs in the world and is wrong, and why. Lists would be of this day.
///
/// # Errors
/// [`RegisterError::UnknownBin`]; [`RegisterError::UnknownArea`].
pub fn stale(register: &Register, scope: StaleScope, date: Date) -> Result<StaleAnswer, RegisterError> {
    let (world, labels) = (World::of(register, scope, date)?, register.last_labels()?);
    let (looks, currency) = (looks(register)?, Settings::of(register)?.currency);
    let hanging: Vec<Hanging<'_>> = labels.iter().filter_map(|label| world.hanging(label, &looks)).collect();
    let found = parallel::map(&hanging, |hanging| hanging.reasons(&currency));
    let mut wrong = Vec::new();
    for (hanging, found) in hanging.iter().zip(found) {
        if let Some(Wrong { shows, mut reasons }) = found? {
            reasons.iter_mut().try_for_each(|reason| tell_unused(register, reason))?;
            let Hanging { label, job, look } = hanging;
            let (job, look) = (job.clone().into_owned(), Look::clone(look));
            wrong.push(StaleLabel { kind: label.kind, run: label.run, job, look, shows, reasons });
        }
    }
    wrong.sort_by_cached_key(|label| (label.job.order(), label.kind));
    let item = |label: &LastLabel| if let LabelOwner::Item(item) = label.owner { Some(item) } else { None };
    let tagged: HashSet<ItemId> = labels.iter().filter_map(item).collect();
    let stay = world.tags.values().filter_map(item_of).filter(|item| item.status != Status::Sold);
    let moved = cost(stay, |id| tagged.contains(&id));
    Ok(StaleAnswer { labels: wrong, moved, bare: with_strips(world.bare, &labels) })
}

/// Spots, everywhere or in an area, that have a strip and no bins any more.
///
/// # Errors
/// [`RegisterError::UnknownArea`].
pub fn bare_spots(register: &Register, area: Option<AreaNumber>) -> Result<Vec<SpotInArea>, RegisterError> {
    Ok(with_strips(without_bins(register, area)?, &register.last_labels()?))
}

fn without_bins(register: &Register, area: Option<AreaNumber>) -> Result<Vec<SpotInArea>, RegisterError> {
    Ok(register.spots(area)?.into_iter().filter(|known| known.bins == 0).collect())
}

fn with_strips(mut spots: Vec<SpotInArea>, labels: &[LastLabel]) -> Vec<SpotInArea> {
    spots.retain(|known| labels.iter().any(|label| label.owner == LabelOwner::Spot(known.spot.id)));
    spots
}

/// Tells the bins of a strip that are not used any more from those that stand elsewhere.
fn tell_unused(register: &Register, reason: &mut Reason) -> Result<(), RegisterError> {
    let Reason::Bins { left, retired, undone, .. } = reason else { return Ok(()) };
    for code in std::mem::take(left) {
        let bin = code.parse().ok().map(|code| register.bin(code)).transpose()?;
        match bin {
            Some(bin) if bin.retired.is_some() => retired.push(code),
            Some(bin) if !bin.is_live => undone.push(code),
            _ => left.push(code),
        }
    }
    Ok(())
}

/// What new codes would cost for those of these items that need one.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn retag_cost(register: &Register, items: &[Item]) -> Result<RetagCost, RegisterError> {
    let tagged = register.tagged(items.iter().filter(|item| item.tag_shows().is_some()).map(Item::id))?;
    Ok(cost(items.iter(), |id| tagged.contains(&id)))
}

/// The same for items that moved: sold ones are about to leave, and keep their codes.
///
/// # Errors
/// As [`retag_cost`].
pub fn moved_cost(register: &Register, items: &[Item]) -> Result<RetagCost, RegisterError> {
    let stay: Vec<Item> = items.iter().filter(|item| item.status != Status::Sold).cloned().collect();
    retag_cost(register, &stay)
}

fn cost<'a>(items: impl Iterator<Item = &'a Item>, is_tagged: impl Fn(ItemId) -> bool) -> RetagCost {
    let mut cost = RetagCost::default();
    for item in items.filter(|item| item.tag_shows().is_some()) {
        cost.items += 1;
        cost.tags += usize::from(is_tagged(item.id()));
        cost.listings += usize::from(item.status == Status::Listed);
    }
    cost
}

/// The labels of a kind that are wrong now, of those that are chosen.
///
/// # Errors
/// [`ReferenceError`] for a code that stands for nothing of the kind.
pub fn stale_of(
    register: &Register,
    kind: RunKind,
    choice: &Choice,
    date: Date,
) -> Result<Vec<StaleLabel>, ReferenceError> {
    let scope = scope_of(register, kind, choice)?;
    let mut labels = stale(register, scope, date)?.labels;
    labels.retain(|label| label.kind == kind);
    if let Choice::Of(codes) = choice {
        if kind == RunKind::Tags {
            let items: Vec<ItemId> = items_by_text(register, codes)?.iter().map(Item::id).collect();
            labels.retain(|label| item_of(&label.job).is_some_and(|item| items.contains(&item.id())));
        } else {
            let bins = codes.iter().map(|code| bin_by_text(register, code)).collect::<Result<Vec<Bin>, _>>()?;
            labels.retain(|label| bins.iter().any(|bin| bin_of(&label.job) == Some(bin.code)));
        }
    }
    Ok(labels)
}

fn scope_of(register: &Register, kind: RunKind, choice: &Choice) -> Result<StaleScope, ReferenceError> {
    let area = |area: &str| Ok::<_, RegisterError>(StaleScope::Area(area.parse()?));
    match choice {
        Choice::Within(bin) if kind == RunKind::Tags => Ok(StaleScope::Bin(bin_by_text(register, bin)?.code)),
        Choice::Within(within) | Choice::InArea(within) => Ok(area(within)?),
        _ => Ok(StaleScope::All),
    }
}

fn item_of(job: &LabelJob) -> Option<&Item> {
    if let LabelJob::Tag(_, item) = job { Some(item) } else { None }
}

fn bin_of(job: &LabelJob) -> Option<BinCode> {
    match job {
        LabelJob::Sign(bin) | LabelJob::Lid(bin) | LabelJob::Contents(bin, ..) => Some(bin.code),
        _ => None,
    }
}

/// All that labels can be about, as it is now.
struct World {
    tags: HashMap<ItemId, LabelJob>,
    /// What is in the bins, in the order of lists.
    within: HashMap<BinCode, Vec<ItemId>>,
    bins: HashMap<BinCode, Bin>,
    strips: HashMap<SpotId, LabelJob>,
    areas: HashMap<AreaNumber, LabelJob>,
    bare: Vec<SpotInArea>,
    date: Date,
}

impl World {
    fn of(register: &Register, scope: StaleScope, date: Date) -> Result<Self, RegisterError> {
        let (area, bin) = match scope {
            StaleScope::All => (None, None),
            StaleScope::Area(area) => (Some(area), None),
            StaleScope::Bin(bin) => (None, Some(bin)),
        };
        let items = register.items(&ItemFilter { bin, area, ..ItemFilter::stowed() })?;
        let mut within: HashMap<BinCode, Vec<ItemId>> = HashMap::new();
        for item in &items {
            if let Some(bin) = item.bin() {
                within.entry(bin).or_default().push(item.id());
            }
        }
        // With all its room at once, as it would move the many items again and again while it grows.
        let mut tags = HashMap::with_capacity(items.len());
        tags.extend(items.into_iter().filter_map(|item| Some((item.id(), LabelJob::tag(item)?))));
        if let Some(bin) = bin {
            let bins = [register.bin(bin)?].into_iter().filter(|bin| bin.is_live).map(|bin| (bin.code, bin)).collect();
            let (strips, areas) = (HashMap::new(), HashMap::new());
            return Ok(Self { tags, within, bins, strips, areas, bare: Vec::new(), date });
        }
        let bins = register.bins(area)?.into_iter().map(|bin| (bin.code, bin)).collect();
        let strip = |job: LabelJob| if let LabelJob::Strip(spot, _) = &job { Some((spot.id, job)) } else { None };
        let area_sign = |job: LabelJob| if let LabelJob::Area(area) = &job { Some((area.number, job)) } else { None };
        Ok(Self {
            tags,
            within,
            bins,
            strips: strips(register, area, None)?.into_iter().filter_map(strip).collect(),
            areas: area_signs(register, area.as_slice())?.into_iter().filter_map(area_sign).collect(),
            bare: without_bins(register, area)?,
            date,
        })
    }

    /// A label that hangs in the world, if what it is about is still there.
    fn hanging<'a>(&'a self, label: &'a LastLabel, looks: &HashMap<RunId, Arc<Look>>) -> Option<Hanging<'a>> {
        let job = match label.owner {
            LabelOwner::Item(item) => Cow::Borrowed(self.tags.get(&item)?),
            LabelOwner::Spot(spot) => Cow::Borrowed(self.strips.get(&spot)?),
            LabelOwner::Area(area) => Cow::Borrowed(self.areas.get(&area)?),
            LabelOwner::Bin(bin) => Cow::Owned(self.of_bin(label.kind, self.bins.get(&bin)?.clone())),
        };
        let own = label.look.as_deref().and_then(|look| serde_json::from_str::<Value>(look).ok());
        let look = match own {
            Some(own) => Arc::new(Look::from_json(&own)),
            None => looks.get(&label.run).cloned().unwrap_or_default(),
        };
        Some(Hanging { label, job, look })
    }

    fn of_bin(&self, kind: RunKind, bin: Bin) -> LabelJob {
        match kind {
            RunKind::Lids => LabelJob::Lid(bin),
            RunKind::Contents => {
                let ids = self.within.get(&bin.code).into_iter().flatten();
                let items = ids.filter_map(|id| self.tags.get(id).and_then(item_of).cloned()).collect();
                LabelJob::Contents(bin, items, self.date)
            }
            _ => LabelJob::Sign(bin),
        }
    }
}

fn looks(register: &Register) -> Result<HashMap<RunId, Arc<Look>>, RegisterError> {
    let options = register.run_options()?.into_iter();
    Ok(options.map(|(run, options)| (run, Arc::new(Look::from_json(&options)))).collect())
}

/// A label that hangs in the world, as it would be now.
struct Hanging<'a> {
    label: &'a LastLabel,
    job: Cow<'a, LabelJob>,
    look: Arc<Look>,
}

/// Why a label is wrong, and the code that it shows.
struct Wrong {
    shows: Option<String>,
    reasons: Vec<Reason>,
}

impl Hanging<'_> {
    /// The code that it shows and why it is wrong; `None` where it holds.
    fn reasons(&self, currency: &Currency) -> Result<Option<Wrong>, RegisterError> {
        let now = self.job.says(&self.look, currency);
        let text = now.to_string();
        // Most labels hold, and say so letter for letter.
        if text == self.label.said {
            return Ok(None);
        }
        let then = self.label.members()?;
        let reasons = reasons(&then, &now);
        Ok((!reasons.is_empty()).then(|| Wrong { shows: then["code"].as_str().map(str::to_owned), reasons }))
    }
}
