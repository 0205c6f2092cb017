//! Faces cut down to the glyphs that a document uses, as `printpdf` takes them.

use std::collections::BTreeMap;

use printpdf::{
    Codepoint, FontId, FontMetrics, Op, ParsedFont, PdfFont, PdfFontHandle, PdfFontMetricsStub, Pt, TextItem,
};
use subsetter::{GlyphRemapper, subset};

use super::{
    OutputError,
    glyph_codes::{UsedFace, UsedGlyph},
};

/// The name that a face has in the document.
pub(super) fn font_id(used: &UsedFace) -> FontId {
    FontId(used.name.clone())
}

/// A face with just the glyphs that are used.
pub(super) fn subset_font(used: &UsedFace) -> Result<PdfFont, OutputError> {
    let face = &used.face;
    let mut widths = BTreeMap::new();
    let mut remapper = GlyphRemapper::new();
    for glyph in &used.glyphs {
        widths.insert(remapper.remap(glyph.id), glyph.advance);
    }
    let failed = |source| OutputError::Font { face: face.name().to_owned(), source };
    let bytes = subset(face.bytes(), 0, &remapper).map_err(failed)?;
    Ok(PdfFont::new(parsed(used, bytes, widths)))
}

fn parsed(used: &UsedFace, bytes: Vec<u8>, widths: BTreeMap<u16, u16>) -> ParsedFont {
    let (units_per_em, ascent, descent) = used.face.metrics();
    // Six capitals and a plus mark a subset (ISO 32000-1, 9.6.4).
    let name = format!("STOWMK+{}", used.face.name());
    let metrics = FontMetrics { ascent, descent };
    let mut font = ParsedFont::with_glyph_data(bytes, 0, Some(name), BTreeMap::new(), widths, units_per_em, metrics);
    font.pdf_font_metrics = PdfFontMetricsStub { units_per_em, ..PdfFontMetricsStub::default() };
    font
}

/// Operators that show each glyph once, from which `printpdf` learns what each says. They never reach
/// the file.
pub(super) fn glyph_list(used: &UsedFace) -> [Op; 2] {
    let glyph = |(gid, used): (u16, &UsedGlyph)| Codepoint { gid, offset: 0.0, cid: Some(used.letters.clone()) };
    let items = vec![TextItem::GlyphIds((0..).zip(&used.glyphs).skip(1).map(glyph).collect())];
    [Op::SetFont { font: PdfFontHandle::External(font_id(used)), size: Pt(1.0) }, Op::ShowText { items }]
}
