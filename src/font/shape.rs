//! A line of text as glyphs, in the order in which they are seen.

use std::sync::Arc;

use harfrust::{Buffer, ShapeOptions, ShaperFont, shape};

use super::{
    Direction, Face, FaceId, Fonts, Ink, MISSING_EM,
    bidi::visual_runs,
    cover::{self, covered},
    face::{Glyph, measured},
    latin::{self, Letter},
};

/// A glyph in its place, all lengths in units of its face's em.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlacedGlyph {
    /// Its number in the face.
    pub id: u16,
    /// The byte of the run's text at which the letters begin that it stands for; glyphs that stand for
    /// the same letters have the same.
    pub cluster: u16,
    /// How far the pen moves after it.
    pub advance: i32,
    /// How far right of the pen it is drawn.
    pub right: i16,
    /// How far above the base line it is drawn.
    pub up: i16,
}

/// Glyphs of one face, left to right.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// The face.
    pub face: Arc<Face>,
    /// How many times larger than the line's em its own em is.
    pub scale: f64,
    /// Where it begins, in ems of the line.
    pub at_em: f64,
    /// What it says, in the order of reading.
    pub text: String,
    /// The glyphs.
    pub glyphs: Vec<PlacedGlyph>,
}

/// A piece of a line.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// Glyphs.
    Run(Run),
    /// The place of a letter that no face has, [`MISSING_EM`] wide.
    Missing {
        /// Where it begins, in ems.
        at_em: f64,
    },
}

/// A line as shaped.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shaped {
    /// Its pieces, left to right.
    pub parts: Vec<Part>,
    /// Its width in ems, from the first pen to the last.
    pub width_em: f64,
    /// Its ink in ems; that of hollow boxes counts.
    pub ink: Ink,
}

/// A line of Latin letters the short way; `None` when there are others.
pub(super) fn shape_latin(face: &Arc<Face>, line: &str) -> Option<Shaped> {
    let (mut glyphs, mut ink) = (Vec::with_capacity(line.len()), Inked::default());
    let mut pen = 0;
    for letter in latin::letters(face, line) {
        let Letter { glyph, at, advance } = letter?;
        ink.add(face, glyph, pen, 0);
        glyphs.push(PlacedGlyph { id: glyph.id, cluster: short(at), advance, right: 0, up: 0 });
        pen += advance;
    }
    let run = Run { face: Arc::clone(face), scale: 1.0, at_em: 0.0, text: line.to_owned(), glyphs };
    let parts = if line.is_empty() { Vec::new() } else { vec![Part::Run(run)] };
    Some(Shaped { parts, width_em: face.in_em(pen), ink: ink.0.unwrap_or_default() })
}

/// A line of any letters: its directions, its faces, then the shaper for each word.
pub(super) fn shape_any(fonts: &Fonts, weight: FaceId, line: &str, direction: Direction) -> Shaped {
    let mut shaped = Shaped::default();
    let mut ink = Inked::default();
    for (range, from_right) in visual_runs(line, direction) {
        let mut pieces = covered(fonts, weight, &line[range]);
        if from_right {
            pieces.reverse();
        }
        for piece in pieces {
            let face = piece.face.and_then(|index| fonts.faces(weight).nth(index));
            let run = face.and_then(|face| shape_piece(face, piece.text, from_right));
            match (face, run) {
                (Some(face), Some(glyphs)) => add_run(&mut shaped, &mut ink, (weight, face), piece.text, glyphs),
                _ => add_missing(&mut shaped, &mut ink, weight, piece.text),
            }
        }
    }
    shaped.ink = ink.0.unwrap_or_default();
    shaped
}

fn add_run(
    shaped: &mut Shaped,
    ink: &mut Inked,
    (weight, face): (FaceId, &Arc<Face>),
    text: &str,
    glyphs: Vec<PlacedGlyph>,
) {
    let (scale, at_em) = (Fonts::scale(weight, face), shaped.width_em);
    let mut own = Inked::default();
    let outlines = face.outlines();
    let mut pen = 0;
    for glyph in &glyphs {
        if let Some(outlines) = &outlines {
            own.add(face, measured(outlines, glyph.id), pen + i32::from(glyph.right), glyph.up);
        }
        pen += glyph.advance;
    }
    if let Some(own) = own.0 {
        ink.join(own.scaled(scale), at_em);
    }
    shaped.width_em += (face.in_em(pen) * scale).max(0.0);
    let same_face =
        |run: &Run| Arc::ptr_eq(&run.face, face) && glyphs_in_order(&run.glyphs) && glyphs_in_order(&glyphs);
    match shaped.parts.last_mut() {
        Some(Part::Run(run)) if same_face(run) && run.text.len() + text.len() < usize::from(u16::MAX) => {
            let shift = short(run.text.len());
            run.text.push_str(text);
            run.glyphs.extend(glyphs.into_iter().map(|glyph| PlacedGlyph { cluster: glyph.cluster + shift, ..glyph }));
        }
        _ => {
            let run = Run { face: Arc::clone(face), scale, at_em, text: text.to_owned(), glyphs };
            shaped.parts.push(Part::Run(run));
        }
    }
}

/// Whether glyphs stand in the order of reading; only such runs are joined.
fn glyphs_in_order(glyphs: &[PlacedGlyph]) -> bool {
    glyphs.is_sorted_by_key(|glyph| glyph.cluster) && glyphs.first().is_none_or(|glyph| glyph.cluster == 0)
}

/// A hollow box for each letter.
fn add_missing(shaped: &mut Shaped, ink: &mut Inked, weight: FaceId, text: &str) {
    use unicode_segmentation::UnicodeSegmentation;
    let above = Fonts::main(weight).cap_height_em();
    for _ in text.graphemes(true).filter(|letter| !letter.chars().all(cover::is_unseen)) {
        ink.join(Ink { left: 0.0, right: MISSING_EM, above, below: 0.0 }, shaped.width_em);
        shaped.parts.push(Part::Missing { at_em: shaped.width_em });
        shaped.width_em += MISSING_EM;
    }
}

/// What the shaper makes of a piece of one face and direction; `None` when the face lacks a glyph
/// after all.
fn shape_piece(face: &Face, text: &str, from_right: bool) -> Option<Vec<PlacedGlyph>> {
    let mut buffer = Buffer::new();
    buffer.push_str(text);
    let from_left = harfrust::Direction::LeftToRight;
    buffer.set_direction(if from_right { harfrust::Direction::RightToLeft } else { from_left });
    buffer.guess_segment_properties();
    let plan = face.plan(buffer.direction(), buffer.script());
    shape(&ShaperFont::new(face.font()), &mut buffer, ShapeOptions::new().plan(Some(&plan))).ok()?;
    let places = buffer.glyph_infos().iter().zip(buffer.glyph_positions());
    places
        .map(|(info, place)| {
            Some(PlacedGlyph {
                id: u16::try_from(info.glyph_id).ok().filter(|id| *id != 0)?,
                cluster: u16::try_from(info.cluster).ok()?,
                advance: place.x_advance,
                right: i16::try_from(place.x_offset).ok()?,
                up: i16::try_from(place.y_offset).ok()?,
            })
        })
        .collect()
}

fn short(at: usize) -> u16 {
    u16::try_from(at).unwrap_or(u16::MAX)
}

/// Ink gathered so far.
#[derive(Default)]
struct Inked(Option<Ink>);

impl Inked {
    fn add(&mut self, face: &Face, glyph: Glyph, pen: i32, up: i16) {
        let Some(ink) = glyph.ink else { return };
        let (left, right) = (face.in_em(i32::from(ink.left)), face.in_em(i32::from(ink.right)));
        let above = face.in_em(i32::from(ink.top) + i32::from(up));
        let below = -face.in_em(i32::from(ink.bottom) + i32::from(up));
        self.join(Ink { left, right, above, below }, face.in_em(pen));
    }

    fn join(&mut self, ink: Ink, pen: f64) {
        let at_start = Ink { left: pen + ink.left, right: pen + ink.right, ..ink };
        self.0 = Some(self.0.map_or(at_start, |known| known.and(at_start, 0.0)));
    }
}
