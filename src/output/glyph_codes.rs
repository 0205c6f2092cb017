//! The faces of a document and the codes of their glyphs, each with the letters that it says.

use std::{ops::Range, sync::Arc};

use crate::{
    font::{FACES, Face, Fonts, PlacedGlyph},
    label::TextRun,
    sheet::Page,
};

/// A face of a document.
pub(super) struct UsedFace {
    pub face: Arc<Face>,
    /// Its name among the document's resources.
    pub name: String,
    /// The used glyphs in the order of their first use, after the one for what is missing. The place
    /// here is the glyph's code.
    pub glyphs: Vec<UsedGlyph>,
    /// The code of each glyph of the face; zero for those that are not used.
    codes: Vec<u16>,
}

/// A glyph of a document.
pub(super) struct UsedGlyph {
    /// Its number in the face.
    pub id: u16,
    /// How far it moves the pen by itself, in units of the em.
    pub advance: u16,
    /// What it says; nothing when that is not one and the same wherever it stands.
    pub letters: String,
}

impl UsedFace {
    /// The code of a glyph in text.
    pub(super) fn code(&self, glyph: u16) -> u16 {
        self.codes.get(usize::from(glyph)).copied().unwrap_or_default()
    }

    /// How far a glyph moves the pen by itself, in units of the em.
    pub(super) fn advance(&self, glyph: u16) -> u16 {
        self.glyphs[usize::from(self.code(glyph))].advance
    }

    /// Whether a reader of the document who knows each glyph's letters gets the cluster's text.
    pub(super) fn says(&self, glyphs: &[PlacedGlyph], text: &str) -> bool {
        let mut rest = text;
        for glyph in glyphs {
            match rest.strip_prefix(self.glyphs[usize::from(self.code(glyph.id))].letters.as_str()) {
                Some(after) => rest = after,
                None => return false,
            }
        }
        rest.is_empty()
    }

    fn note(&mut self, run: &TextRun) {
        for (glyphs, range) in clusters(run) {
            let text = &run.text[range];
            let one_each = glyphs.len() == text.chars().count();
            let mut characters = text.chars();
            for glyph in glyphs {
                let character = characters.next();
                let known = self.note_glyph(glyph.id);
                if known.letters.is_empty() {
                    known.letters = match (glyphs.len(), character) {
                        (1, _) => text.to_owned(),
                        (_, Some(character)) if one_each => character.to_string(),
                        _ => String::new(),
                    };
                }
            }
        }
    }

    fn note_glyph(&mut self, id: u16) -> &mut UsedGlyph {
        let at = usize::from(id);
        if self.codes.len() <= at {
            self.codes.resize(at + 1, 0);
        }
        if self.codes[at] == 0 {
            self.codes[at] = u16::try_from(self.glyphs.len()).unwrap_or_default();
            self.glyphs.push(used_glyph(&self.face, id));
        }
        &mut self.glyphs[usize::from(self.codes[at])]
    }
}

/// The faces of a document in a fixed order.
pub(super) struct UsedFaces(Vec<UsedFace>);

impl UsedFaces {
    pub(super) fn of(pages: &[Page]) -> Self {
        let mut used = Self(Vec::new());
        for run in pages.iter().flat_map(|page| &page.placed).flat_map(|placed| placed.drawing.texts()) {
            let at = used.place(&run.face);
            used.0[at].note(run);
        }
        used
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = &UsedFace> {
        self.0.iter()
    }

    /// The face of a run that was there when the faces were gathered.
    pub(super) fn get(&self, face: &Arc<Face>) -> Option<&UsedFace> {
        self.known(face).map(|at| &self.0[at])
    }

    fn known(&self, face: &Arc<Face>) -> Option<usize> {
        let same = self.0.iter().position(|used| Arc::ptr_eq(&used.face, face));
        same.or_else(|| self.0.iter().position(|used| used.face == *face))
    }

    fn place(&mut self, face: &Arc<Face>) -> usize {
        if let Some(known) = self.known(face) {
            return known;
        }
        let name = resource_name(face, self.0.len());
        let glyphs = vec![used_glyph(face, 0)];
        self.0.push(UsedFace { face: Arc::clone(face), name, glyphs, codes: Vec::new() });
        self.0.len() - 1
    }
}

fn used_glyph(face: &Face, id: u16) -> UsedGlyph {
    let advance = face.glyph_by_id(id).map_or(0, |glyph| glyph.advance);
    UsedGlyph { id, advance, letters: String::new() }
}

/// The weights of the bundled Latin face have their own names, so that the stream can be read by people.
fn resource_name(face: &Arc<Face>, number: usize) -> String {
    let weight = FACES.into_iter().find(|weight| Arc::ptr_eq(Fonts::main(*weight), face));
    weight.map_or_else(|| format!("Face{}", number + 1), |weight| format!("{weight:?}"))
}

/// The glyphs of a run that stand for the same letters, left to right, and where those letters are.
pub(super) fn clusters(run: &TextRun) -> impl Iterator<Item = (&[PlacedGlyph], Range<usize>)> {
    let groups = run.glyphs.chunk_by(|one, next| one.cluster == next.cluster);
    let mut starts: Vec<u16> = Vec::new();
    let is_in_order = run.glyphs.is_sorted_by_key(|glyph| glyph.cluster);
    if !is_in_order {
        starts = run.glyphs.iter().map(|glyph| glyph.cluster).collect();
        starts.sort_unstable();
    }
    let mut at = 0;
    groups.map(move |group| {
        at += group.len();
        let start = group[0].cluster;
        let next = if is_in_order {
            run.glyphs.get(at).map(|glyph| glyph.cluster)
        } else {
            starts.get(starts.partition_point(|other| *other <= start)).copied()
        };
        (group, usize::from(start)..next.map_or(run.text.len(), usize::from))
    })
}
