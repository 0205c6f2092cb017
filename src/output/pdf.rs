//! Pages to PDF: their content written and packed on all cores, fonts and structure by `printpdf`,
//! the finish by `lopdf`.

use std::io::Write as _;

use flate2::{Compression, write::ZlibEncoder};
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, StringFormat};
use printpdf::{PdfDocument, PdfPage, PdfSaveOptions, Pt};

use super::{
    content::content,
    font_subset::{font_id, glyph_list, subset_font},
    glyph_codes::UsedFaces,
    sha256,
};
use crate::{
    parallel,
    sheet::Page,
    unit::{Dpi, Mm},
};

/// The level at which the size is near its floor and the time still short (measured).
const LEVEL: u32 = 6;
/// A fixed date: the same labels give the same bytes.
const DATE: &str = "D:20000101000000Z";

/// What a document says about itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DocumentInfo {
    /// Shown in a viewer's title bar.
    pub title: String,
    /// A BCP 47 language tag: `en`.
    pub language: String,
}

/// Why no PDF was made.
#[derive(Debug, thiserror::Error)]
pub enum OutputError {
    /// A face could not be cut down.
    #[error("the face {face} could not be embedded")]
    Font {
        /// Which.
        face: String,
        /// What the subsetter said.
        source: subsetter::Error,
    },
    /// Writing into memory or packing failed.
    #[error("the PDF could not be written")]
    Write(#[from] std::io::Error),
    /// The PDF could not be read for drawing it as pixels.
    #[error("the PDF could not be read: {0}")]
    Read(String),
    /// There is no such page.
    #[error("the PDF has no page {0}")]
    NoPage(usize),
    /// A page is too large to be drawn at this resolution.
    #[error("page {page} of the PDF is too large to be drawn at {dpi}")]
    Huge {
        /// Which.
        page: usize,
        /// The resolution.
        dpi: Dpi,
    },
}

/// Writes pages as a PDF, on all cores. The same pages give the same bytes, however many there are: no
/// clock, no file name is in them.
///
/// # Errors
/// [`OutputError`] when a face can't be embedded or the stream can't be packed.
pub fn pdf(pages: &[Page], info: &DocumentInfo) -> Result<Vec<u8>, OutputError> {
    pdf_on(parallel::threads(), pages, info)
}

fn pdf_on(threads: usize, pages: &[Page], info: &DocumentInfo) -> Result<Vec<u8>, OutputError> {
    let faces = UsedFaces::of(pages);
    let contents = parallel::map_on(threads, pages, |page| packed(content(page, &faces).as_bytes()));
    let contents = contents.into_iter().collect::<Result<Vec<_>, _>>()?.into_iter().map(packed_stream).collect();
    let mut document = dressed(structure(pages, &faces, info)?, info);
    pack(&mut document)?;
    fill(&mut document, contents)?;
    finish(document)
}

/// The same with its streams as they are, to be read by people in tests.
///
/// # Errors
/// As [`pdf`].
pub fn pdf_uncompressed(pages: &[Page], info: &DocumentInfo) -> Result<Vec<u8>, OutputError> {
    let faces = UsedFaces::of(pages);
    let stream = |page| Stream::new(Dictionary::new(), content(page, &faces).into_bytes());
    let mut document = dressed(structure(pages, &faces, info)?, info);
    fill(&mut document, pages.iter().map(stream).collect())?;
    finish(document)
}

/// Pages without content, and the fonts.
fn structure(pages: &[Page], faces: &UsedFaces, info: &DocumentInfo) -> Result<Document, OutputError> {
    let mut source = PdfDocument::new(&info.title);
    let mut glyphs = Vec::new();
    for used in faces.iter() {
        source.resources.fonts.map.insert(font_id(used), subset_font(used)?);
        glyphs.extend(glyph_list(used));
    }
    source.pages = pages.iter().map(empty_page).collect();
    if let Some(first) = source.pages.first_mut() {
        first.ops = glyphs;
    }
    let options = PdfSaveOptions { optimize: false, subset_fonts: false, secure: true, image_optimization: None };
    Ok(printpdf::serialize::to_lopdf_doc(&source, &options, &mut Vec::new()))
}

fn empty_page(page: &Page) -> PdfPage {
    // Given in points: millimetres would come out a hair off.
    let paper = page.paper();
    let (width, height) = (Pt(points(paper.width)), Pt(points(paper.height)));
    let mut made = PdfPage::new(width.into(), height.into(), Vec::new());
    for area in [&mut made.media_box, &mut made.trim_box, &mut made.crop_box] {
        (area.width, area.height) = (width, height);
    }
    made
}

/// A length in points, to the thousandth.
#[expect(clippy::cast_possible_truncation, reason = "PDF numbers have single precision")]
fn points(length: Mm) -> f32 {
    ((length.to_pt() * 1000.0).round() / 1000.0) as f32
}

/// Gives the pages their content, and all of them one dictionary of resources.
fn fill(document: &mut Document, contents: Vec<Stream>) -> Result<(), OutputError> {
    let pages: Vec<ObjectId> = document.page_iter().collect();
    let fonts = pages.first().and_then(|page| fonts(document, *page));
    let resources = Dictionary::from_iter(fonts.map(|fonts| ("Font", Object::Reference(fonts))));
    let resources = document.add_object(resources);
    for (page, content) in pages.into_iter().zip(contents) {
        let page = document.get_dictionary_mut(page).map_err(broken)?;
        let own = page.get(b"Resources").and_then(Object::as_reference).map_err(broken)?;
        let place = page.get(b"Contents").and_then(Object::as_reference).map_err(broken)?;
        page.set("Resources", Object::Reference(resources));
        // Nothing but labels is on a page, and they are trimmed where it ends.
        page.remove(b"Annots");
        page.remove(b"TrimBox");
        document.objects.remove(&own);
        document.set_object(place, content);
    }
    Ok(())
}

fn fonts(document: &Document, page: ObjectId) -> Option<ObjectId> {
    let own = document.get_dictionary(page).and_then(|page| page.get(b"Resources")).and_then(Object::as_reference);
    let own = document.get_dictionary(own.ok()?).ok()?;
    own.get(b"Font").and_then(Object::as_reference).ok()
}

fn broken(fault: lopdf::Error) -> OutputError {
    OutputError::Write(std::io::Error::other(fault))
}

/// The document with what `printpdf` leaves to do: actual size, language, version, fixed dates.
fn dressed(mut document: Document, info: &DocumentInfo) -> Document {
    "1.7".clone_into(&mut document.version);
    let actual_size = [("PrintScaling", Object::from("None")), ("DisplayDocTitle", true.into())];
    if let Ok(catalog) = document.catalog_mut() {
        catalog.set("ViewerPreferences", Object::Dictionary(Dictionary::from_iter(actual_size)));
        catalog.set("Lang", Object::string_literal(info.language.as_str()));
        catalog.set("PageLayout", Object::from("SinglePage"));
    }
    let about = document.trailer.get(b"Info").and_then(Object::as_reference);
    if let Ok(about) = about.and_then(|id| document.get_dictionary_mut(id)) {
        about.remove(b"GTS_PDFXVersion");
        for key in ["CreationDate", "ModDate"] {
            about.set(key, Object::string_literal(DATE));
        }
        about.set("Producer", Object::string_literal("stowmark"));
        about.set("Creator", Object::string_literal("stowmark"));
    }
    document
}

fn packed(bytes: &[u8]) -> Result<Vec<u8>, OutputError> {
    let mut packer = ZlibEncoder::new(Vec::with_capacity(bytes.len() / 4), Compression::new(LEVEL));
    packer.write_all(bytes)?;
    Ok(packer.finish()?)
}

fn packed_stream(content: Vec<u8>) -> Stream {
    Stream::new(Dictionary::from_iter([("Filter", Object::from("FlateDecode"))]), content)
}

/// Packs the streams of fonts.
fn pack(document: &mut Document) -> Result<(), OutputError> {
    for object in document.objects.values_mut() {
        let Object::Stream(stream) = object else { continue };
        let small = packed(&stream.content)?;
        stream.dict.set("Filter", Object::from("FlateDecode"));
        stream.set_content(small);
    }
    Ok(())
}

/// Writes the document, its identifier made of its own content.
fn finish(mut document: Document) -> Result<Vec<u8>, OutputError> {
    document.trailer.remove(b"ID");
    let mut bytes = Vec::new();
    document.save_to(&mut bytes)?;
    let id = Object::String(sha256(&bytes).as_bytes()[..32].to_vec(), StringFormat::Literal);
    document.trailer.set("ID", Object::Array(vec![id.clone(), id]));
    let mut bytes = Vec::with_capacity(bytes.len() + 128);
    document.save_to(&mut bytes)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        code::{AreaNumber, BinCode, ItemCode, Serial},
        label::{SymbolChoice, Tag},
        sheet::{find_sheet, lay_out, places},
        unit::Dpi,
    };

    #[test]
    fn the_bytes_are_the_same_whatever_the_number_of_threads() {
        let sheet = find_sheet("a4-3x7").unwrap();
        let bin = BinCode::at(AreaNumber::new(4).unwrap(), 2).unwrap();
        let draw = |number| {
            let title = ["Copper jam pan", "Чайник", "Ấm trà", "Μπρίκι", "AVATAR"][number as usize % 5];
            let tag = Tag::new(ItemCode { bin, serial: Serial::new(number).unwrap() }, title);
            tag.draw(&sheet.stock(Dpi::DEFAULT), SymbolChoice::Auto).unwrap().drawing.into()
        };
        let pages = lay_out(sheet, &(1..150).map(draw).collect::<Vec<_>>(), &places(sheet, &[], 149), Dpi::DEFAULT);
        let info = DocumentInfo { title: "tags".into(), language: "en".into() };
        let one = pdf_on(1, &pages, &info).unwrap();
        for threads in [2, 3, 8] {
            assert!(pdf_on(threads, &pages, &info).unwrap() == one, "{threads}");
        }
    }
}
