//! What is known of a printer, in words.

use super::Printer;
use crate::{sheet::Correction, unit::Mm};

impl Printer {
    /// `600 dpi, taken to print true, queue laser`
    #[must_use]
    pub fn features(&self) -> String {
        let bars = self.thinner.then(|| "thinner bars".to_owned());
        let edge = self.edge.map(|edge| format!("{} mm of the edge stay white", edge.rounded().0));
        let queue = self.queue.as_ref().map(|queue| format!("queue {queue}"));
        let known = [Some(self.dpi.to_string()), Some(correction_text(&self.correction)), bars, edge, queue];
        known.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

/// What a printer does to a page: `corrected for 0.4 mm too far right`
#[must_use]
pub fn correction_text(correction: &Correction) -> String {
    let Correction { shift, scale_x, scale_y, skew } = *correction;
    let way = |mm: Mm, more: &str, less: &str| {
        let by = mm.rounded().0;
        (by != 0.0).then(|| format!("{} mm too far {}", by.abs(), if by > 0.0 { more } else { less }))
    };
    let size = |scale: f64, more: &str, less: &str| {
        let percent = ((scale - 1.0) * 10_000.0).round() / 100.0;
        (percent != 0.0).then(|| format!("{} % too {}", percent.abs(), if percent > 0.0 { more } else { less }))
    };
    let fall = Mm(skew * 100.0).rounded().0;
    let skew = (fall != 0.0)
        .then(|| format!("{} mm {} over 100 mm", fall.abs(), if fall > 0.0 { "falling" } else { "rising" }));
    let all = [
        way(shift.x, "right", "left"),
        way(shift.y, "down", "up"),
        size(scale_x, "wide", "narrow"),
        size(scale_y, "high", "low"),
        skew,
    ];
    let all: Vec<String> = all.into_iter().flatten().collect();
    if all.is_empty() { "taken to print true".into() } else { format!("corrected for {}", all.join(", ")) }
}
