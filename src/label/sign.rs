//! A bin's sign: its code to be read from across a room, area name, spot and symbol; and the sign of its lid.

use super::{
    Drawn, LabelError, Stock, Symbols,
    compose::{Composed, compose},
    design::{Content, Design, Far, Text},
    distance, words,
};
use crate::{code::BinCode, font::FaceId, unit::Mm};

/// From how far a sign is to be read, if nothing else is said.
const READ_FROM: Mm = Mm(3000.0);
/// The least angle of ISO 9241-3 (16') by the preferred one (20').
const LEAST_PER_PREFERRED: f64 = 16.0 / 20.0;
/// Stands wherever a weight does. The words are those of the project's cautions: never that a load is safe.
pub(super) const CAUTION: &str =
    "A guide only: the tub maker's rating, local rules and a qualified person's advice come first.";

/// Which side of a tub a sign is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Form {
    /// The front, which counts.
    #[default]
    Front,
    /// The lid. Lids of equal tubs get swapped: it says whose it is, and that the front counts.
    Lid,
}

/// What a bin's sign says.
#[derive(Debug, Clone, PartialEq)]
pub struct Sign {
    /// The bin's code.
    pub code: BinCode,
    /// The name of its area.
    pub area_name: String,
    /// Where it stands in the area, when that is known.
    pub spot: Option<String>,
    /// Front or lid.
    pub form: Form,
    /// What kind of things are inside.
    pub contents: Option<String>,
    /// A note; where it is about weight or lifting, the caution stands behind it.
    pub note: Option<String>,
    /// A guide weight as it is to be printed, `10.2 kg with the tub; at most 9 kg inside`; with the caution or not at all.
    pub guide_weight: Option<String>,
    /// From how far the code is to be read.
    pub read_from: Mm,
    /// The highest capitals of the code, so that the signs of a run are level: the least of their
    /// [`Self::cap`]. A code that would be too low for its distance is not held down by it.
    pub level: Option<Mm>,
}

impl Sign {
    /// The sign for a tub's front with nothing that is optional, to be read from 3 m.
    #[must_use]
    pub fn new(code: BinCode, area_name: impl Into<String>, spot: Option<String>) -> Self {
        Self {
            code,
            area_name: area_name.into(),
            spot,
            form: Form::Front,
            contents: None,
            note: None,
            guide_weight: None,
            read_from: READ_FROM,
            level: None,
        }
    }

    /// Draws the sign.
    ///
    /// # Errors
    /// [`LabelError`] when the symbol can't be made or printed scannably on this label.
    pub fn draw<'a>(&self, stock: &Stock, symbols: impl Into<Symbols<'a>>) -> Result<Drawn, LabelError> {
        Ok(self.composed(stock, symbols.into())?.drawn)
    }

    /// The height of the code's capitals, as [`Self::draw`] makes them.
    ///
    /// # Errors
    /// As [`Self::draw`].
    pub fn cap<'a>(&self, stock: &Stock, symbols: impl Into<Symbols<'a>>) -> Result<Mm, LabelError> {
        Ok(self.composed(stock, symbols.into())?.cap)
    }

    fn composed(&self, stock: &Stock, symbols: Symbols<'_>) -> Result<Composed, LabelError> {
        let is_lid = self.form == Form::Lid;
        let content = Content {
            payload: self.code.payload(),
            above: is_lid.then(|| "lid of".to_owned()),
            code: vec![(FaceId::Bold, self.code.to_string())],
            texts: self.texts(),
        };
        compose(&content, &self.design(stock), stock, symbols)
    }

    /// Place, contents, note and weight, the first one first to stay; on a lid first of all whose it is.
    fn texts(&self) -> Vec<Text> {
        let regular = |text: &String| Text::new(FaceId::Regular, text);
        let place = match self.form {
            Form::Front => [Some(Text::new(FaceId::Bold, &self.area_name)), self.spot.as_ref().map(regular)],
            Form::Lid => [Some(self.belonging()), Some(Text::new(FaceId::Regular, self.place()))],
        };
        let rest = [
            self.contents.as_ref().map(regular),
            self.note.as_deref().map(note),
            self.guide_weight.as_deref().filter(|weight| !weight.trim().is_empty()).map(weight),
        ];
        words::texts(place.into_iter().chain(rest))
    }

    fn belonging(&self) -> Text {
        Text::new(FaceId::Regular, format!("belongs on {}; the sign at the front counts", self.code))
    }

    fn place(&self) -> String {
        let parts = [Some(self.area_name.as_str()), self.spot.as_deref()];
        parts.into_iter().flatten().filter(|part| !part.trim().is_empty()).collect::<Vec<_>>().join(", ")
    }

    fn design(&self, stock: &Stock) -> Design {
        let high = stock.size.height.min(stock.size.width);
        let preferred = distance::cap_for(self.read_from);
        let level = self.level.map_or(stock.size.height, |level| level.max(preferred));
        Design {
            most_cap: level.min(preferred.max(stock.size.height * 0.55)),
            far: Some(Far { least: preferred * LEAST_PER_PREFERRED, preferred }),
            text_share: if self.texts().len() > 2 { 0.5 } else { 0.34 },
            text_sizes: Design::sizes(Mm((high.0 * 0.1).clamp(3.0, 14.0))),
            lines: if high.0 < 30.0 {
                1
            } else if high.0 < 90.0 {
                2
            } else {
                4
            },
            bars: Mm((high.0 * 0.2).clamp(8.0, 20.0)),
            symbol_right: true,
        }
    }
}

fn note(text: &str) -> Text {
    if is_about_weight(text) {
        Text::whole(FaceId::Regular, format!("{}. {CAUTION}", text.trim().trim_end_matches('.')))
    } else {
        Text::new(FaceId::Regular, text)
    }
}

fn weight(text: &str) -> Text {
    Text::whole(FaceId::Regular, format!("Guide weight {}. {CAUTION}", text.trim()))
}

/// Whether a note speaks of weight, lifting or stacking, in the usual words of English.
fn is_about_weight(note: &str) -> bool {
    const WORDS: [&str; 18] = [
        "kg",
        "kgs",
        "kilo",
        "kilos",
        "kilogram",
        "kilograms",
        "lb",
        "lbs",
        "pound",
        "pounds",
        "weight",
        "weighs",
        "heavy",
        "lift",
        "lifting",
        "load",
        "stack",
        "stacking",
    ];
    let lower = note.to_lowercase();
    let words = lower.split(|c: char| !c.is_alphabetic());
    words.into_iter().any(|word| WORDS.contains(&word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_about_weight_are_known_by_their_words() {
        for note in ["Guide weight 10 kg", "max 10kg", "Heavy, two people", "lift with care", "22 lb", "do not stack"] {
            assert!(is_about_weight(note), "{note}");
        }
        for note in ["", "baking tins", "to be photographed", "kit bags", "stackable cups"] {
            assert!(!is_about_weight(note), "{note}");
        }
    }

    #[test]
    fn the_caution_defers_and_promises_nothing() {
        let lower = CAUTION.to_lowercase();
        assert!(["maker's rating", "local rules", "qualified"].iter().all(|words| lower.contains(words)));
        assert!(!lower.contains("safe"));
    }
}
