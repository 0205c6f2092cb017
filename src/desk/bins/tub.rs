//! A bin in few words: its code, how many items are in it, how full it is.

use crate::{
    job::{Fill, Standing, count, fill_figures},
    register::{Bin, Room},
};

/// A bin as it is shown among others.
#[derive(Debug)]
pub(super) struct Tub {
    pub code: String,
    /// `12 items`
    pub items: String,
    pub full: Option<Fullness>,
}

/// How full a bin is.
#[derive(Debug)]
pub(super) struct Fullness {
    /// 0 to 100, for a bar.
    pub percent: u64,
    /// `62 % full`, `over-full, 120 %`
    pub text: String,
    /// `22.4 of 36 l, 5.2 of 9 kg`
    pub figures: String,
    /// Whether it holds more than it should.
    pub is_over: bool,
}

impl From<&Standing> for Tub {
    fn from(Standing { bin, fill }: &Standing) -> Self {
        let full = fill.as_ref().and_then(|fill| Fullness::of(&bin.room, fill));
        Self { code: bin.code.to_string(), items: items_text(bin), full }
    }
}

/// `empty`, `12 items`
pub(super) fn items_text(bin: &Bin) -> String {
    if bin.items == 0 { "empty".into() } else { count(bin.items.into(), "item") }
}

impl Fullness {
    /// Of a bin that has a volume or a weight limit.
    pub(super) fn of(room: &Room, fill: &Fill) -> Option<Self> {
        let (volume, weight) = (fill.percent(room), fill.weight_percent(room));
        let (over, heavy) = (fill.is_over_volume(room), fill.is_over_weight(room));
        let volume_text =
            volume.map(|percent| if over { format!("over-full, {percent} %") } else { format!("{percent} % full") });
        let weight_text = match (heavy, weight) {
            (true, _) => Some("too heavy".to_owned()),
            (_, Some(percent)) if volume.is_none() => Some(format!("{percent} % of its weight")),
            _ => None,
        };
        let text = [volume_text, weight_text].into_iter().flatten().collect::<Vec<_>>().join(", ");
        let percent = if over || heavy { 100 } else { volume.or(weight)?.min(100) };
        Some(Self { percent, text, figures: fill_figures(room, fill), is_over: over || heavy })
    }
}
