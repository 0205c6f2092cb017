//! One face: its glyphs measured, and what is needed to shape with it and to embed it.

use std::{
    fmt,
    sync::{Arc, PoisonError, RwLock},
};

use harfrust::{Direction, Font, Script, ShapePlan};

use super::latin::Latin;

/// The bytes of a font file, shared by all who need them.
#[derive(Clone)]
pub(super) enum Data {
    Bundled(&'static [u8]),
    Own(Arc<Vec<u8>>),
}

impl Data {
    pub(super) fn bytes(&self) -> &[u8] {
        match self {
            Self::Bundled(bytes) => bytes,
            Self::Own(bytes) => bytes,
        }
    }

    /// The font as the shaper takes it; the first one of a collection.
    pub(super) fn font(&self) -> Option<Font> {
        match self {
            Self::Bundled(bytes) => Font::new(*bytes, 0),
            Self::Own(bytes) => {
                let shared: Arc<dyn AsRef<[u8]> + Send + Sync> = Arc::<Vec<u8>>::clone(bytes);
                Font::new(shared, 0)
            }
        }
    }
}

/// One glyph of a face.
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

    /// The same with the em so many times as large.
    pub(super) fn scaled(self, by: f64) -> Self {
        let Self { left, right, above, below } = self;
        Self { left: left * by, right: right * by, above: above * by, below: below * by }
    }
}

/// A plan of shaping, with the direction and script that it is for.
type Plan = (Direction, Option<Script>, Arc<ShapePlan>);

/// A face with what is needed to measure text, to shape it and to embed the face.
pub struct Face {
    name: String,
    data: Data,
    font: Font,
    latin: Latin,
    plans: RwLock<Vec<Plan>>,
    units_per_em: u16,
    cap_height: i16,
    ascender: i16,
    descender: i16,
}

impl Face {
    /// Parses a face; `None` when the bytes are no font that can be used.
    pub(super) fn new(name: String, data: Data) -> Option<Self> {
        let (font, parsed) = (data.font()?, ttf_parser::Face::parse(data.bytes(), 0).ok()?);
        let latin = Latin::new(&parsed);
        let units_per_em = parsed.units_per_em();
        let cap_height = parsed.capital_height().filter(|height| *height > 0);
        let (cap_height, ascender, descender) = (cap_height.unwrap_or_default(), parsed.ascender(), parsed.descender());
        let plans = RwLock::default();
        Some(Self { name, data, font, latin, plans, units_per_em, cap_height, ascender, descender })
    }

    /// The face with the short way for Latin, which holds for the bundled ones.
    pub(super) fn with_short_way(self) -> Self {
        Self { latin: self.latin.with_pairs(), ..self }
    }

    /// What the face is called in a document: letters, digits and hyphens.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The font file.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        self.data.bytes()
    }

    /// The glyph of a character, or `None` when the face has none.
    #[must_use]
    pub fn glyph(&self, character: char) -> Option<Glyph> {
        if self.latin.is_known(character) {
            return self.latin.glyph(character);
        }
        let id = u16::try_from(self.glyph_id(character)?).ok()?;
        Some(measured(&self.outlines()?, id))
    }

    /// Whether the face has a character.
    pub(super) fn has(&self, character: char) -> bool {
        if self.latin.is_known(character) {
            self.latin.glyph(character).is_some()
        } else {
            self.glyph_id(character).is_some()
        }
    }

    fn glyph_id(&self, character: char) -> Option<u32> {
        self.font.charmap().map_unicode(character).map(harfrust::GlyphId::to_u32).filter(|id| *id != 0)
    }

    /// The glyph of this number.
    #[must_use]
    pub fn glyph_by_id(&self, id: u16) -> Option<Glyph> {
        Some(measured(&self.outlines()?, id))
    }

    /// The outlines, for measuring more than one glyph.
    pub(super) fn outlines(&self) -> Option<ttf_parser::Face<'_>> {
        ttf_parser::Face::parse(self.bytes(), 0).ok()
    }

    /// Height of capitals and digits in ems; zero when the face does not say.
    #[must_use]
    pub fn cap_height_em(&self) -> f64 {
        self.in_em(i32::from(self.cap_height))
    }

    /// Units per em, ascender and descender, as the font file has them.
    #[must_use]
    pub fn metrics(&self) -> (u16, i16, i16) {
        (self.units_per_em, self.ascender, self.descender)
    }

    /// A length in ems.
    #[must_use]
    pub fn in_em(&self, units: i32) -> f64 {
        f64::from(units) / f64::from(self.units_per_em)
    }

    pub(super) fn font(&self) -> &Font {
        &self.font
    }

    pub(super) fn latin(&self) -> &Latin {
        &self.latin
    }

    /// The plan for a direction and script, made once.
    pub(super) fn plan(&self, direction: Direction, script: Option<Script>) -> Arc<ShapePlan> {
        let find = |plans: &[Plan]| {
            let same = plans.iter().find(|plan| plan.0 == direction && plan.1 == script);
            same.map(|plan| Arc::clone(&plan.2))
        };
        if let Some(known) = find(&self.plans.read().unwrap_or_else(PoisonError::into_inner)) {
            return known;
        }
        let plan = Arc::new(ShapePlan::new(&self.font, direction, script, None, &[]));
        self.plans.write().unwrap_or_else(PoisonError::into_inner).push((direction, script, Arc::clone(&plan)));
        plan
    }
}

impl PartialEq for Face {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self, other) || (self.name == other.name && self.bytes() == other.bytes())
    }
}

impl fmt::Debug for Face {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Face").field(&self.name).finish()
    }
}

/// A glyph measured by its advance and its outline.
pub(super) fn measured(face: &ttf_parser::Face<'_>, id: u16) -> Glyph {
    let glyph = ttf_parser::GlyphId(id);
    let ink = face.glyph_bounding_box(glyph).map(|ink| GlyphInk {
        left: ink.x_min,
        bottom: ink.y_min,
        right: ink.x_max,
        top: ink.y_max,
    });
    Glyph { id, advance: face.glyph_hor_advance(glyph).unwrap_or_default(), ink }
}
