//! What items take up and weigh, where that is not known of all of them.
//!
//! Start with [`loads`]. An item of which nothing is known counts as the middle one of those that are known; how much of
//! a sum is assumed is said by each [`Load`]. Litres are taken as they come: nothing is added for gaps.

use std::collections::HashMap;

use crate::unit::{Measures, USUAL_SIZES, Volume, Weight};

/// What was entered of an item.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Entered<'a> {
    /// What it takes up.
    pub volume: Option<Volume>,
    /// Its outer measures.
    pub measures: Option<Measures>,
    /// The name of a size.
    pub size: Option<&'a str>,
    /// What it weighs.
    pub weight: Option<Weight>,
}

/// A name for a size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedSize {
    /// The name.
    pub name: String,
    /// What an item of it takes up.
    pub volume: Volume,
    /// Whether the user has set it, so that it counts for more than what is measured.
    pub is_set: bool,
}

/// What an item is taken to take up and to weigh.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Load {
    /// Its volume.
    pub millilitres: u32,
    /// Its weight; nothing where no weight is known of any item.
    pub grams: u32,
    /// Its longest edge, where its measures are known.
    pub longest_mm: Option<u32>,
    /// Whether its volume is assumed.
    pub volume_is_assumed: bool,
    /// Whether its weight is assumed.
    pub weight_is_assumed: bool,
}

/// The one that counts where nothing at all is known.
const MIDDLE: usize = 1;

/// Whether a size of this name is there without the user setting it.
#[must_use]
pub fn is_usual(name: &str) -> bool {
    USUAL_SIZES.iter().any(|(usual, _)| *usual == name)
}

/// All named sizes by volume: the usual ones, at the volumes that the user has set, and those of the user.
#[must_use]
pub fn named_sizes(set: &[(String, Volume)]) -> Vec<NamedSize> {
    let is_set = |name: &str| set.iter().any(|(own, _)| own == name);
    let usual = USUAL_SIZES.iter().filter(|(name, _)| !is_set(name)).filter_map(|(name, millilitres)| {
        Some(NamedSize {
            name: (*name).to_owned(),
            volume: Volume::from_millilitres((*millilitres).into())?,
            is_set: false,
        })
    });
    let own = set.iter().map(|(name, volume)| NamedSize { name: name.clone(), volume: *volume, is_set: true });
    let mut all: Vec<NamedSize> = usual.chain(own).collect();
    all.sort_by(|one, other| (one.volume, &one.name).cmp(&(other.volume, &other.name)));
    all
}

/// What each item takes up: its litres, else those of its measures, else what its named size stands for: that which the
/// user has set, else the median of the known ones of that name, else the usual one. An item without any counts as the
/// median of all known ones. Weights likewise.
#[must_use]
pub fn loads(items: &[Entered<'_>], sizes: &[NamedSize]) -> Vec<Load> {
    let (volumes, weights) = (Medians::new(items, volume), Medians::new(items, grams));
    items.iter().map(|item| load(item, sizes, &volumes, &weights)).collect()
}

fn load(item: &Entered<'_>, sizes: &[NamedSize], volumes: &Medians<'_>, weights: &Medians<'_>) -> Load {
    let named = item.size.and_then(|size| sizes.iter().find(|known| known.name == size));
    let set = named.filter(|size| size.is_set).map(|size| size.volume.millilitres());
    let usual = named.map(|size| size.volume.millilitres());
    let by_name = set.or_else(|| volumes.of(item.size)).or(usual);
    let middle = USUAL_SIZES[MIDDLE].1;
    let assumed = || by_name.or(volumes.all).unwrap_or(middle);
    let weight = || weights.of(item.size).or(weights.all).unwrap_or_default();
    Load {
        millilitres: volume(item).unwrap_or_else(assumed),
        grams: grams(item).unwrap_or_else(weight),
        longest_mm: item.measures.map(|measures| measures.sides_mm()[0]),
        volume_is_assumed: volume(item).is_none(),
        weight_is_assumed: item.weight.is_none(),
    }
}

fn volume(item: &Entered<'_>) -> Option<u32> {
    let volume = item.volume.or_else(|| item.measures.map(Measures::volume));
    volume.map(Volume::millilitres)
}

fn grams(item: &Entered<'_>) -> Option<u32> {
    item.weight.map(Weight::grams)
}

/// Medians of what is known, of each named size and of all.
struct Medians<'a> {
    by_size: HashMap<&'a str, u32>,
    all: Option<u32>,
}

impl<'a> Medians<'a> {
    fn new(items: &[Entered<'a>], known: impl Fn(&Entered<'a>) -> Option<u32>) -> Self {
        let mut by_size: HashMap<&str, Vec<u32>> = HashMap::new();
        for item in items {
            if let (Some(size), Some(figure)) = (item.size, known(item)) {
                by_size.entry(size).or_default().push(figure);
            }
        }
        let by_size = by_size.into_iter().filter_map(|(size, figures)| Some((size, median(figures)?))).collect();
        Self { by_size, all: median(items.iter().filter_map(known).collect()) }
    }

    fn of(&self, size: Option<&str>) -> Option<u32> {
        size.and_then(|size| self.by_size.get(size).copied())
    }
}

/// The middle one; of two in the middle, half of their sum.
fn median(mut figures: Vec<u32>) -> Option<u32> {
    figures.sort_unstable();
    let middle = figures.len() / 2;
    match figures.len() % 2 {
        1 => Some(figures[middle]),
        _ if figures.is_empty() => None,
        _ => Some(figures[middle - 1].midpoint(figures[middle])),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn litres(text: &str) -> Volume {
        Volume::parse(text).unwrap()
    }

    fn millilitres(items: &[Entered<'_>], set: &[(String, Volume)]) -> Vec<u32> {
        loads(items, &named_sizes(set)).iter().map(|load| load.millilitres).collect()
    }

    #[test]
    fn an_unknown_volume_is_the_median_of_its_named_size() {
        let large = |volume| Entered { size: Some("large"), volume, ..Entered::default() };
        let items = [
            large(Some(litres("4"))),
            large(Some(litres("5"))),
            large(Some(litres("9"))),
            large(None),
            Entered::default(),
        ];
        assert_eq!(millilitres(&items, &[]), [4000, 5000, 9000, 5000, 5000]);
        let set = [("large".to_owned(), litres("7"))];
        assert_eq!(millilitres(&items, &set), [4000, 5000, 9000, 7000, 5000], "what the user set counts for more");
        assert_eq!(millilitres(&[large(None), Entered::default()], &[]), [6000, 2000], "nothing is measured");
    }

    #[test]
    fn what_is_assumed_is_said() {
        let measures = Some(Measures::from_mm([300, 200, 100]).unwrap());
        let items = [Entered { measures, weight: Some(Weight::parse_grams("400").unwrap()), ..Entered::default() }];
        let known = Load { millilitres: 6000, grams: 400, longest_mm: Some(300), ..Load::default() };
        assert_eq!(loads(&items, &[]), [known]);
        let none = loads(&[Entered::default()], &[])[0];
        assert!(none.volume_is_assumed && none.weight_is_assumed && none.grams == 0);
    }

    #[test]
    fn two_in_the_middle_are_halved() {
        assert_eq!(median(vec![4, 1, 9, 2]), Some(3));
        assert_eq!(median(vec![]), None);
    }
}
