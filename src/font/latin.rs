//! The short way for Latin: a glyph for each character, and the kerning of each pair, asked of the
//! shaper once and kept.
//!
//! It holds for faces whose Latin letters are set one by one with pairs kerned, as those of the
//! bundled Latin face are; a test sets it beside the shaper.

use std::sync::atomic::{AtomicI16, Ordering::Relaxed};

use harfrust::{Buffer, Direction, ShapeOptions, ShaperFont, shape};

use super::face::{Face, Glyph, measured};

/// Basic Latin, Latin-1 and Latin Extended-A.
const FIRST: u32 = 0x20;
const LAST: u32 = 0x17F;
const COUNT: usize = (LAST - FIRST + 1) as usize;
/// Kerning that nobody has asked for yet.
const UNKNOWN: i16 = i16::MIN;

/// Glyphs and kerning of Latin letters.
pub(super) struct Latin {
    glyphs: Vec<Option<Glyph>>,
    /// The change of the first one's advance for each pair, in units of the em.
    pairs: Vec<AtomicI16>,
}

impl Latin {
    pub(super) fn new(face: &ttf_parser::Face<'_>) -> Self {
        let glyph = |code| face.glyph_index(char::from_u32(code)?).map(|id| measured(face, id.0));
        Self { glyphs: (FIRST..=LAST).map(glyph).collect(), pairs: Vec::new() }
    }

    /// Makes room for the kerning of pairs, without which there is no short way.
    pub(super) fn with_pairs(mut self) -> Self {
        self.pairs = (0..COUNT * COUNT).map(|_| AtomicI16::new(UNKNOWN)).collect();
        self
    }

    /// Whether a character is Latin, so that it is known here whether the face has it.
    pub(super) fn is_known(&self, character: char) -> bool {
        place(character) < self.glyphs.len()
    }

    /// The glyph of a Latin character.
    pub(super) fn glyph(&self, character: char) -> Option<Glyph> {
        self.glyphs.get(place(character)).copied().flatten()
    }
}

fn place(character: char) -> usize {
    (u32::from(character).wrapping_sub(FIRST)) as usize
}

/// A Latin letter in its place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Letter {
    pub glyph: Glyph,
    /// The byte of the text where it stands.
    pub at: usize,
    /// How far the pen moves, kerning with the next letter included.
    pub advance: i32,
}

/// Walks the letters of a text; `None` at the first that the short way does not have.
pub(super) fn letters<'a>(face: &'a Face, text: &'a str) -> impl Iterator<Item = Option<Letter>> + 'a {
    let latin = face.latin();
    let mut rest = text.char_indices().peekable();
    std::iter::from_fn(move || {
        let (at, character) = rest.next()?;
        let Some(glyph) = latin.glyph(character).filter(|_| !latin.pairs.is_empty()) else {
            return Some(None);
        };
        let kern = rest.peek().map_or(0, |(_, next)| kern(face, character, *next));
        Some(Some(Letter { glyph, at, advance: i32::from(glyph.advance) + i32::from(kern) }))
    })
}

fn kern(face: &Face, first: char, second: char) -> i16 {
    let (row, column) = (place(first), place(second));
    if column >= COUNT {
        return 0;
    }
    let known = &face.latin().pairs[row * COUNT + column];
    match known.load(Relaxed) {
        UNKNOWN => {
            let found = ask(face, first, second);
            known.store(found, Relaxed);
            found
        }
        found => found,
    }
}

/// What the shaper makes of the pair's first letter.
fn ask(face: &Face, first: char, second: char) -> i16 {
    let mut buffer = Buffer::new();
    buffer.push_str(&[first, second].iter().collect::<String>());
    buffer.set_direction(Direction::LeftToRight);
    buffer.set_script(Some(harfrust::Script::LATIN));
    let plan = face.plan(Direction::LeftToRight, Some(harfrust::Script::LATIN));
    let shaped = shape(&ShaperFont::new(face.font()), &mut buffer, ShapeOptions::new().plan(Some(&plan)));
    let alone = face.glyph(first).map_or(0, |glyph| i32::from(glyph.advance));
    match (shaped, buffer.glyph_positions()) {
        (Ok(()), [position, _]) => i16::try_from(position.x_advance - alone).unwrap_or(0),
        _ => 0,
    }
}
