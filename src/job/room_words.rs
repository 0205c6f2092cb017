//! How much bins hold and how full they are, in words.
//!
//! Start with [`fill_figures`] and [`room_text`]. Bars and columns are the front end's.

use super::{Fill, count};
use crate::register::Room;

impl Fill {
    /// Whether anything is known of the weight: nothing is said of it else.
    #[must_use]
    pub fn knows_weight(&self) -> bool {
        self.grams > 0 || self.items == 0
    }
}

/// `22.4 of 36`, in litres.
#[must_use]
pub fn fill_litres(room: &Room, fill: &Fill) -> String {
    let of = room.volume.map(|volume| format!(" of {}", volume.litres())).unwrap_or_default();
    let over = if fill.is_over_volume(room) { " over" } else { "" };
    format!("{}{of}{over}", rounded(fill.millilitres))
}

/// Weights matter where there is a limit. Nothing is said of one where none is known of any item.
#[must_use]
pub fn fill_kilograms(room: &Room, fill: &Fill) -> String {
    let Some(most) = room.max_weight else { return String::new() };
    let over = if fill.is_over_weight(room) { " over" } else { "" };
    let weight = if fill.knows_weight() { rounded(fill.grams) } else { "?".into() };
    format!("{weight} of {}{over}", most.kilograms())
}

/// Thousandths in tenths of the whole; what is over by less than that is said to be over in words.
fn rounded(thousandths: u64) -> String {
    let tenths = (thousandths + 50) / 100;
    if tenths.is_multiple_of(10) { (tenths / 10).to_string() } else { format!("{}.{}", tenths / 10, tenths % 10) }
}

/// `22.4 of 36 l, 5.2 of 9 kg`; nothing where neither is known.
#[must_use]
pub fn fill_figures(room: &Room, fill: &Fill) -> String {
    let unit = |figures: String, unit: &str| match figures.strip_suffix(" over") {
        Some(figures) => format!("{figures} {unit}, over"),
        None => format!("{figures} {unit}"),
    };
    let litres = room.volume.map(|_| unit(fill_litres(room, fill), "l"));
    let kilograms = room.max_weight.map(|_| unit(fill_kilograms(room, fill), "kg"));
    [litres, kilograms].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// `of 12 items 5 sizes and 7 weights are assumed`; nothing where nothing is.
#[must_use]
pub fn assumed_text(items: usize, sizes: usize, weights: usize) -> Option<String> {
    let named =
        [(sizes, "size"), (weights, "weight")].map(|(number, noun)| (number > 0).then(|| count(number as u64, noun)));
    let named: Vec<String> = named.into_iter().flatten().collect();
    let are = if sizes + weights == 1 { "is" } else { "are" };
    (!named.is_empty()).then(|| format!("of {} {} {are} assumed", count(items as u64, "item"), named.join(" and ")))
}

/// The same of several bins; of weights only where a bin has a limit.
#[must_use]
pub fn assumed_of<'f>(fills: impl Iterator<Item = (&'f Room, &'f Fill)>) -> Option<String> {
    let (mut items, mut sizes, mut weights) = (0, 0, 0);
    for (room, fill) in fills {
        items += fill.items;
        sizes += fill.volumes_assumed * usize::from(room.volume.is_some());
        weights += fill.weights_assumed * usize::from(room.max_weight.is_some());
    }
    assumed_text(items, sizes, weights)
}

/// `tub-m, 36 l, at most 9 kg, 58 x 38 x 28 cm inside`
#[must_use]
pub fn room_text(kind: Option<&str>, room: Room) -> String {
    let parts = [
        kind.map(str::to_owned),
        room.volume.map(|volume| volume.to_string()),
        room.max_weight.map(|weight| format!("at most {weight}")),
        room.inside.map(|inside| format!("{inside} inside")),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// What is said of a volume that can't be right: `4A: 80 l are more than 58 x 38 x 28 cm hold, 61.712 l`.
#[must_use]
pub fn room_doubt(name: &str, room: &Room) -> Option<String> {
    let (volume, inside) = (room.volume?, room.inside?);
    (volume > inside.volume()).then(|| {
        format!(
            "{name}: {volume} are more than {inside} hold, {}; litres are those that can be used, about 80 % of what the maker says",
            inside.volume()
        )
    })
}
