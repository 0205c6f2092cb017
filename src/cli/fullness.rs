//! How full bins are, as columns and lines for people and as JSON.

pub(super) use crate::job::{assumed_of, assumed_text as assumed};
use crate::{
    exchange::room_json::FillJson,
    job::{Fill, fill_figures, fill_kilograms, fill_litres},
    register::Room,
};

/// Cells of a bar.
const BAR: u64 = 10;

/// The headings of the columns that [`cells`] fills.
pub(super) const HEADINGS: [&str; 3] = ["full#", "litres#", "kg#"];

/// The cells of a bin: `62 % ██████░░░░`, `22.4 of 36`, `5.2 of 9`.
pub(super) fn cells(room: &Room, fill: Option<&Fill>) -> [String; 3] {
    let Some(fill) = fill else { return Default::default() };
    let bar = fill.percent(room).map(bar).unwrap_or_default();
    [bar, fill_litres(room, fill), fill_kilograms(room, fill)]
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

/// `62 % ██████░░░░  22.4 of 36 l, 5.2 of 9 kg`
pub(super) fn line(room: &Room, fill: &Fill) -> String {
    let figures = fill_figures(room, fill);
    fill.percent(room).map_or_else(|| figures.clone(), |percent| format!("{}  {figures}", bar(percent)))
}

/// How full a bin is, where it has a volume or a weight limit.
#[expect(clippy::cast_precision_loss, reason = "no bin holds that much")]
pub(super) fn json(room: &Room, fill: &Fill) -> Option<FillJson> {
    (room.volume.is_some() || room.max_weight.is_some()).then(|| FillJson {
        litres: fill.millilitres as f64 / 1000.0,
        kg: (room.max_weight.is_some() && fill.knows_weight()).then(|| fill.grams as f64 / 1000.0),
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
