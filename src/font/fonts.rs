//! The faces that a text may be set in, in the order in which they are asked for a character.

use std::{
    fmt,
    sync::{Arc, LazyLock},
};

use super::{
    Direction, Face, FaceId, Ink, Shaped, UserFont, cover,
    face::Data,
    latin::{self, Letter},
    shape,
};

/// The bundled faces.
struct Bundled {
    /// Atkinson Hyperlegible Next in three weights, for Latin.
    main: [Arc<Face>; 3],
    /// Noto Sans, regular and bold, for Greek, Cyrillic and the Latin letters that the others lack.
    more: [Arc<Face>; 2],
}

static BUNDLED: LazyLock<Bundled> = LazyLock::new(|| {
    macro_rules! face {
        ($name:literal, $file:literal) => {
            Face::new($name.into(), Data::Bundled(include_bytes!(concat!("../../fonts/", $file))))
                .expect("the bundled faces are whole")
        };
    }
    Bundled {
        main: [
            face!("AtkinsonHyperlegibleNext-Light", "AtkinsonHyperlegibleNext-Light.ttf"),
            face!("AtkinsonHyperlegibleNext-Regular", "AtkinsonHyperlegibleNext-Regular.ttf"),
            face!("AtkinsonHyperlegibleNext-Bold", "AtkinsonHyperlegibleNext-Bold.ttf"),
        ]
        .map(|face| Arc::new(face.with_short_way())),
        more: [
            face!("NotoSans-Regular", "NotoSans-Regular-subset.ttf"),
            face!("NotoSans-Bold", "NotoSans-Bold-subset.ttf"),
        ]
        .map(Arc::new),
    }
});

/// The faces that text is set in: the bundled ones, then those of the user in their order. Cheap to
/// clone. The default has the bundled faces only.
#[derive(Clone, Default)]
pub struct Fonts {
    own: Arc<[Arc<Face>]>,
}

/// Other faces are set so much smaller or larger, at most, that their capitals are as high as those
/// of the bundled Latin face.
const SCALES: std::ops::RangeInclusive<f64> = 0.75..=1.25;

impl Fonts {
    /// The bundled faces with these behind them.
    #[must_use]
    pub fn with(own: &[UserFont]) -> Self {
        Self { own: own.iter().map(|font| Arc::clone(&font.face)).collect() }
    }

    /// The bundled Latin face of a weight.
    #[must_use]
    pub fn main(weight: FaceId) -> &'static Arc<Face> {
        &BUNDLED.main[weight as usize]
    }

    /// The faces for a weight, in the order in which they are asked.
    pub fn faces(&self, weight: FaceId) -> impl Iterator<Item = &Arc<Face>> {
        let more = &BUNDLED.more[usize::from(weight == FaceId::Bold)];
        [Self::main(weight), more].into_iter().chain(self.own.iter())
    }

    /// How much larger than the bundled Latin face another one is set.
    pub(super) fn scale(weight: FaceId, face: &Face) -> f64 {
        let (ours, theirs) = (Self::main(weight).cap_height_em(), face.cap_height_em());
        if theirs > 0.0 { (ours / theirs).clamp(*SCALES.start(), *SCALES.end()) } else { 1.0 }
    }

    /// A line as glyphs, in the order in which they are seen.
    #[must_use]
    pub fn shape(&self, weight: FaceId, line: &str, direction: Direction) -> Shaped {
        if direction == Direction::LeftToRight
            && let Some(shaped) = shape::shape_latin(Self::main(weight), line)
        {
            return shaped;
        }
        shape::shape_any(self, weight, line, direction)
    }

    /// Width of a text on one line, in ems; a letter that no face has is as wide as
    /// [`super::MISSING_EM`].
    #[must_use]
    pub fn width_em(&self, weight: FaceId, text: &str) -> f64 {
        let face = Self::main(weight);
        let units = latin::letters(face, text).try_fold(0, |units, letter| Some(units + letter?.advance));
        units.map_or_else(|| self.shape(weight, text, Direction::of(text)).width_em, |units| face.in_em(units))
    }

    /// Where each letter of a Latin text begins and ends, in ems from its start; `None` for any other.
    pub(crate) fn latin_edges(weight: FaceId, text: &str) -> Option<Vec<LetterEdges>> {
        let face = Self::main(weight);
        let mut pen = 0;
        let edges = |letter: Letter| {
            let (start, end) = (pen, pen + i32::from(letter.glyph.advance));
            pen += letter.advance;
            LetterEdges { at: letter.at, start: face.in_em(start), end: face.in_em(end) }
        };
        let letters: Option<Vec<Letter>> = latin::letters(face, text).collect();
        Some(letters?.into_iter().map(edges).collect())
    }

    /// The ink of a text; round letters reach beyond the height of capitals, and a Q below the line.
    #[must_use]
    pub fn ink(&self, weight: FaceId, text: &str) -> Ink {
        self.shape(weight, text, Direction::of(text)).ink
    }

    /// Height of capitals and digits in ems.
    #[must_use]
    pub fn cap_height_em(&self, weight: FaceId) -> f64 {
        Self::main(weight).cap_height_em()
    }

    /// The characters of a text that no face has, each once.
    #[must_use]
    pub fn missing(&self, weight: FaceId, text: &str) -> Vec<char> {
        let main = Self::main(weight);
        if text.chars().all(|character| main.has(character)) {
            return Vec::new();
        }
        cover::missing(self, weight, text)
    }
}

/// A letter of a Latin text: the byte where it stands, and where it begins and ends in ems.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LetterEdges {
    pub at: usize,
    pub start: f64,
    pub end: f64,
}

impl PartialEq for Fonts {
    fn eq(&self, other: &Self) -> bool {
        self.own == other.own
    }
}

impl fmt::Debug for Fonts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entry(&"bundled").entries(self.own.iter()).finish()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::font::FACES;

    #[test]
    fn every_weight_has_the_characters_of_codes_and_of_western_titles() {
        let fonts = Fonts::default();
        for weight in FACES {
            for character in "0123456789ABCDFGHJKMNPQRSTVWX- äöüßéèñçøåŁžš€£…".chars() {
                assert!(Fonts::main(weight).glyph(character).is_some(), "{character} in {weight:?}");
            }
            assert_eq!(fonts.missing(weight, "a🫖b🫖茶"), ['🫖', '茶']);
            assert!((fonts.cap_height_em(weight) - 0.668).abs() < 1e-6);
        }
    }

    #[test]
    fn greek_cyrillic_and_vietnamese_come_from_the_bundled_fallback() {
        let fonts = Fonts::default();
        for text in [
            "Μπρίκι του καφέ Ω",
            "Чайник, самовар №2, Ђурђевак Їжак",
            "Ấm trà, đĩa sứ",
            "Ĉapelo ŝtofa",
            "e\u{323}\u{302}",
        ] {
            assert_eq!(fonts.missing(FaceId::Bold, text), [], "{text}");
            assert_eq!(fonts.missing(FaceId::Light, text), [], "{text}");
        }
    }
}
