//! The bundled faces, and the measuring of their glyphs.
//!
//! Start with [`FaceId::face`]. The faces are Latin only; a character that they lack is for the
//! caller to show and to report. No shaping, no kerning.

use std::{collections::BTreeMap, sync::LazyLock};

/// The bundled faces: Atkinson Hyperlegible Next (SIL OFL 1.1, see `fonts/OFL.txt`) in three weights.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaceId {
    /// For what can wait: check letters.
    Light,
    /// For reading.
    Regular,
    /// For what the eye meets first.
    Bold,
}

/// All faces, in the order of their weight.
pub const FACES: [FaceId; 3] = [FaceId::Light, FaceId::Regular, FaceId::Bold];

impl FaceId {
    /// The face, parsed once.
    #[must_use]
    pub fn face(self) -> &'static Face {
        static PARSED: LazyLock<[Face; 3]> = LazyLock::new(|| FACES.map(Face::parse));
        &PARSED[self as usize]
    }

    fn bytes(self) -> &'static [u8] {
        match self {
            Self::Light => include_bytes!("../fonts/AtkinsonHyperlegibleNext-Light.ttf"),
            Self::Regular => include_bytes!("../fonts/AtkinsonHyperlegibleNext-Regular.ttf"),
            Self::Bold => include_bytes!("../fonts/AtkinsonHyperlegibleNext-Bold.ttf"),
        }
    }
}

/// The faces that text is set in. Cheap to clone; start with its default, the bundled faces.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Fonts(());

impl Fonts {
    /// Width of a text in ems.
    #[must_use]
    pub fn width_em(&self, weight: FaceId, text: &str) -> f64 {
        weight.face().width_em(text)
    }

    /// The ink of a text; round letters reach beyond the height of capitals, and a Q below the line.
    #[must_use]
    pub fn ink(&self, weight: FaceId, text: &str) -> Ink {
        weight.face().ink(text)
    }

    /// Height of capitals and digits in ems.
    #[must_use]
    pub fn cap_height_em(&self, weight: FaceId) -> f64 {
        weight.face().cap_height_em()
    }
}

/// One glyph: its number in the face and its advance in units of the em.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Glyph {
    /// Its number in the face.
    pub id: u16,
    /// How far the pen moves, in units of the em.
    pub advance: u16,
    /// The box of its ink; none for blanks.
    pub ink: Option<GlyphInk>,
}

/// The box of a glyph's ink in units of the em, from the pen and the base line, upwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GlyphInk {
    /// Left edge.
    pub left: i16,
    /// Lowest point.
    pub bottom: i16,
    /// Right edge.
    pub right: i16,
    /// Highest point.
    pub top: i16,
}

/// How far the ink of a text reaches from its pen and base line, in ems.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Ink {
    /// From the pen to its left edge; below zero where it lies before the pen.
    pub left: f64,
    /// From the pen to its right edge.
    pub right: f64,
    /// Above the base line.
    pub above: f64,
    /// Below the base line.
    pub below: f64,
}

impl Ink {
    /// Both together, the other one that far to the right.
    #[must_use]
    pub fn and(self, other: Self, pen: f64) -> Self {
        Self {
            left: self.left.min(pen + other.left),
            right: self.right.max(pen + other.right),
            above: self.above.max(other.above),
            below: self.below.max(other.below),
        }
    }
}

/// A face with what is needed to measure text and to embed it.
#[derive(Debug)]
pub struct Face {
    bytes: &'static [u8],
    glyphs: BTreeMap<char, Glyph>,
    /// Glyphs of the characters up to U+00FF, where nearly all text lies.
    latin: Vec<Option<Glyph>>,
    units_per_em: u16,
    cap_height: i16,
    ascender: i16,
    descender: i16,
}

const LATIN: u32 = 0x100;

impl Face {
    fn parse(id: FaceId) -> Self {
        let bytes = id.bytes();
        let face = ttf_parser::Face::parse(bytes, 0).expect("the bundled faces are whole");
        let glyphs = glyphs_of(&face);
        let latin = (0..LATIN).map(|code| char::from_u32(code).and_then(|c| glyphs.get(&c).copied())).collect();
        let cap_height = face.capital_height().unwrap_or(668);
        let (units_per_em, ascender, descender) = (face.units_per_em(), face.ascender(), face.descender());
        Self { bytes, glyphs, latin, units_per_em, cap_height, ascender, descender }
    }

    /// The font file.
    #[must_use]
    pub fn bytes(&self) -> &'static [u8] {
        self.bytes
    }

    /// The glyph of a character, or `None` when the face has none.
    #[must_use]
    pub fn glyph(&self, character: char) -> Option<Glyph> {
        match self.latin.get(character as usize) {
            Some(known) => *known,
            None => self.glyphs.get(&character).copied(),
        }
    }

    /// Width of a text in ems; a missing character is as wide as [`MISSING_EM`].
    #[must_use]
    pub fn width_em(&self, text: &str) -> f64 {
        text.chars().map(|c| self.advance_em(c)).sum()
    }

    /// Advance of a character in ems.
    #[must_use]
    pub fn advance_em(&self, character: char) -> f64 {
        self.glyph(character).map_or(MISSING_EM, |glyph| self.in_em(i32::from(glyph.advance)))
    }

    /// The ink of a text; round letters reach beyond the height of capitals, and a Q below the line.
    #[must_use]
    pub fn ink(&self, text: &str) -> Ink {
        let (mut pen, mut ink): (f64, Option<Ink>) = (0.0, None);
        for character in text.chars() {
            if let Some(found) = self.glyph(character).and_then(|glyph| glyph.ink) {
                let (left, right) = (self.in_em(found.left.into()), self.in_em(found.right.into()));
                let (above, below) = (self.in_em(found.top.into()), -self.in_em(found.bottom.into()));
                let here = Ink { left: pen + left, right: pen + right, above, below };
                ink = Some(ink.map_or(here, |ink| ink.and(here, 0.0)));
            }
            pen += self.advance_em(character);
        }
        ink.unwrap_or_default()
    }

    /// Height of capitals and digits in ems.
    #[must_use]
    pub fn cap_height_em(&self) -> f64 {
        self.in_em(i32::from(self.cap_height))
    }

    /// Units per em, ascender and descender, as the font file has them.
    #[must_use]
    pub fn metrics(&self) -> (u16, i16, i16) {
        (self.units_per_em, self.ascender, self.descender)
    }

    fn in_em(&self, units: i32) -> f64 {
        f64::from(units) / f64::from(self.units_per_em)
    }
}

/// Width in ems that a character takes which no face has.
pub const MISSING_EM: f64 = 0.6;

fn glyphs_of(face: &ttf_parser::Face<'_>) -> BTreeMap<char, Glyph> {
    let mut glyphs = BTreeMap::new();
    let subtables = face.tables().cmap.into_iter().flat_map(|cmap| cmap.subtables);
    for subtable in subtables.filter(ttf_parser::cmap::Subtable::is_unicode) {
        subtable.codepoints(|code| {
            let Some(character) = char::from_u32(code) else { return };
            let Some(id) = subtable.glyph_index(code) else { return };
            let advance = face.glyph_hor_advance(id).unwrap_or_default();
            let ink = face.glyph_bounding_box(id).map(|ink| GlyphInk {
                left: ink.x_min,
                bottom: ink.y_min,
                right: ink.x_max,
                top: ink.y_max,
            });
            glyphs.insert(character, Glyph { id: id.0, advance, ink });
        });
    }
    glyphs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_face_has_the_characters_of_codes_and_of_western_titles() {
        for id in FACES {
            for character in "0123456789ABCDFGHJKMNPQRSTVWX- äöüßéèñçøåŁžš€£…".chars() {
                assert!(id.face().glyph(character).is_some(), "{character} in {id:?}");
            }
            assert!(id.face().glyph('🫖').is_none());
            assert!((id.face().cap_height_em() - 0.668).abs() < 1e-6);
        }
    }
}
