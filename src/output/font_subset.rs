//! Faces cut down to the glyphs that a document uses, as `printpdf` takes them.

use std::collections::{BTreeMap, BTreeSet};

use printpdf::{FontId, FontMetrics, ParsedFont, PdfFont, PdfFontMetricsStub};
use subsetter::{GlyphRemapper, subset};

use super::OutputError;
use crate::font::{Face, FaceId};

/// The name that a face has in the document.
pub(super) fn font_id(face: FaceId) -> FontId {
    FontId(format!("{face:?}"))
}

/// A face with just these characters.
pub(super) fn subset_font(id: FaceId, characters: &BTreeSet<char>) -> Result<PdfFont, OutputError> {
    let face = id.face();
    let mut remapper = GlyphRemapper::new();
    let (mut glyphs, mut widths) = (BTreeMap::new(), BTreeMap::new());
    for (character, glyph) in characters.iter().filter_map(|c| Some((*c, face.glyph(*c)?))) {
        let gid = remapper.remap(glyph.id);
        glyphs.insert(u32::from(character), gid);
        widths.insert(gid, glyph.advance);
    }
    let bytes = subset(face.bytes(), 0, &remapper).map_err(|source| OutputError::Font { face: id, source })?;
    Ok(PdfFont::new(parsed(id, face, bytes, glyphs, widths)))
}

fn parsed(
    id: FaceId,
    face: &Face,
    bytes: Vec<u8>,
    glyphs: BTreeMap<u32, u16>,
    widths: BTreeMap<u16, u16>,
) -> ParsedFont {
    let (units_per_em, ascent, descent) = face.metrics();
    // Six capitals and a plus mark a subset (ISO 32000-1, 9.6.4).
    let name = format!("STOWMK+AtkinsonHyperlegibleNext-{id:?}");
    let metrics = FontMetrics { ascent, descent };
    let mut font = ParsedFont::with_glyph_data(bytes, 0, Some(name), glyphs, widths, units_per_em, metrics);
    font.pdf_font_metrics = PdfFontMetricsStub { units_per_em, ..PdfFontMetricsStub::default() };
    font
}
