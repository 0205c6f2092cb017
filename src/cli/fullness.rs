//! How full bins are, as columns and lines for people and as JSON.

use super::table::count;
use crate::{exchange::room_json::FillJson, job::Fill, register::Room};

/// Cells of a bar.
const BAR: u64 = 10;

/// The headings of the columns that [`cells`] fills.
pub(super) const HEADINGS: [&str; 3] = ["full#", "litres#", "kg#"];

/// The cells of a bin: `62 % ██████░░░░`, `22.4 of 36`, `5.2 of 9`.
pub(super) fn cells(room: &Room, fill: Option<&Fill>) -> [String; 3] {
    let Some(fill) = fill else { return Default::default() };
    let bar = fill.percent(room).map(bar).unwrap_or_default();
    [bar, litres(room, fill), kilograms(room, fill)]
}

/// `62 % ██████░░░░`; what is too full has another bar.
fn bar(percent: u64) -> String {
    if percent > 100 {
        return format!("{percent} % {}", "▒".repeat(BAR.try_into().unwrap_or(0)));
    }
    // One that is not empty shows a cell, and only a full one shows all.
    let full = (percent * BAR / 100).max(u64::from(percent > 0));
    let cells = |number: u64, mark: &str| mark.repeat(usize::try_from(number).unwrap_or(0));
    format!("{percent} % {}{}", cells(full, "█"), cells(BAR - full, "░"))
}

fn litres(room: &Room, fill: &Fill) -> String {
    let of = room.volume.map(|volume| format!(" of {}", volume.litres())).unwrap_or_default();
    let over = if fill.is_over_volume(room) { " over" } else { "" };
    format!("{}{of}{over}", rounded(fill.millilitres))
}

/// Weights matter where there is a limit. Nothing is said of one where none is known of any item.
fn kilograms(room: &Room, fill: &Fill) -> String {
    let Some(most) = room.max_weight else { return String::new() };
    let over = if fill.is_over_weight(room) { " over" } else { "" };
    let weight = if is_weight_known(fill) { rounded(fill.grams) } else { "?".into() };
    format!("{weight} of {}{over}", most.kilograms())
}

fn is_weight_known(fill: &Fill) -> bool {
    fill.grams > 0 || fill.items == 0
}

/// Thousandths in tenths of the whole; what is over by less than that is said to be over in words.
fn rounded(thousandths: u64) -> String {
    let tenths = (thousandths + 50) / 100;
    if tenths.is_multiple_of(10) { (tenths / 10).to_string() } else { format!("{}.{}", tenths / 10, tenths % 10) }
}

/// `62 % ██████░░░░  22.4 of 36 l, 5.2 of 9 kg`
pub(super) fn line(room: &Room, fill: &Fill) -> String {
    let [bar, litres, kilograms] = cells(room, Some(fill));
    let unit = |figures: String, unit: &str| match figures.strip_suffix(" over") {
        Some(figures) => format!("{figures} {unit}, over"),
        None => format!("{figures} {unit}"),
    };
    let litres = room.volume.map(|_| unit(litres, "l"));
    let kilograms = room.max_weight.map(|_| unit(kilograms, "kg"));
    let figures = [litres, kilograms].into_iter().flatten().collect::<Vec<_>>().join(", ");
    if bar.is_empty() { figures } else { format!("{bar}  {figures}") }
}

/// `of 12 items 5 sizes and 7 weights are assumed`; nothing where nothing is.
pub(super) fn assumed(items: usize, sizes: usize, weights: usize) -> Option<String> {
    let named =
        [(sizes, "size"), (weights, "weight")].map(|(number, noun)| (number > 0).then(|| count(number as u64, noun)));
    let named: Vec<String> = named.into_iter().flatten().collect();
    let are = if sizes + weights == 1 { "is" } else { "are" };
    (!named.is_empty()).then(|| format!("of {} {} {are} assumed", count(items as u64, "item"), named.join(" and ")))
}

/// The same of several bins; of weights only where a bin has a limit.
pub(super) fn assumed_of<'f>(fills: impl Iterator<Item = (&'f Room, &'f Fill)>) -> Option<String> {
    let (mut items, mut sizes, mut weights) = (0, 0, 0);
    for (room, fill) in fills {
        items += fill.items;
        sizes += fill.volumes_assumed * usize::from(room.volume.is_some());
        weights += fill.weights_assumed * usize::from(room.max_weight.is_some());
    }
    assumed(items, sizes, weights)
}

/// How full a bin is, where it has a volume or a weight limit.
#[expect(clippy::cast_precision_loss, reason = "no bin holds that much")]
pub(super) fn json(room: &Room, fill: &Fill) -> Option<FillJson> {
    (room.volume.is_some() || room.max_weight.is_some()).then(|| FillJson {
        litres: fill.millilitres as f64 / 1000.0,
        kg: (room.max_weight.is_some() && is_weight_known(fill)).then(|| fill.grams as f64 / 1000.0),
        percent: fill.percent(room),
        sizes_assumed: fill.volumes_assumed * usize::from(room.volume.is_some()),
        weights_assumed: fill.weights_assumed * usize::from(room.max_weight.is_some()),
        over: fill.is_over_volume(room) || fill.is_over_weight(room),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::{Volume, Weight};

    fn room() -> Room {
        Room { volume: Volume::parse("36").ok(), max_weight: Weight::parse_kg("9").ok(), inside: None }
    }

    #[test]
    fn bars_are_full_only_when_bins_are() {
        let cases = [
            (0, "0 % ░░░░░░░░░░"),
            (1, "1 % █░░░░░░░░░"),
            (99, "99 % █████████░"),
            (100, "100 % ██████████"),
            (101, "101 % ▒▒▒▒▒▒▒▒▒▒"),
        ];
        for (percent, expected) in cases {
            assert_eq!(bar(percent), expected);
        }
    }

    #[test]
    fn what_is_over_by_little_is_over() {
        // 36.001 of 36 l are 100.003 %.
        let fill = Fill { items: 2, millilitres: 36_001, grams: 9000, ..Fill::default() };
        assert_eq!(cells(&room(), Some(&fill)), ["101 % ▒▒▒▒▒▒▒▒▒▒", "36 of 36 over", "9 of 9"]);
        assert_eq!(line(&room(), &fill), "101 % ▒▒▒▒▒▒▒▒▒▒  36 of 36 l, over, 9 of 9 kg");
        let nearly = Fill { items: 2, millilitres: 35_665, grams: 5120, ..Fill::default() };
        assert_eq!(cells(&room(), Some(&nearly)), ["99 % █████████░", "35.7 of 36", "5.1 of 9"]);
        let unlimited = Room { max_weight: None, ..room() };
        assert_eq!(cells(&unlimited, Some(&nearly))[2], "");
        assert_eq!(json(&unlimited, &nearly).and_then(|fill| fill.kg), None);
        let unknown = Fill { items: 1, millilitres: 500, weights_assumed: 1, ..Fill::default() };
        assert_eq!(cells(&room(), Some(&unknown))[2], "? of 9");
    }

    #[test]
    fn what_is_assumed_is_counted() {
        assert_eq!(assumed(12, 5, 0).as_deref(), Some("of 12 items 5 sizes are assumed"));
        assert_eq!(assumed(1, 0, 1).as_deref(), Some("of 1 item 1 weight is assumed"));
        assert_eq!(assumed(2, 2, 1).as_deref(), Some("of 2 items 2 sizes and 1 weight are assumed"));
        assert_eq!(assumed(2, 0, 0), None);
    }
}
