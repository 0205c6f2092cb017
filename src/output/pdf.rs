//! Pages to PDF through `printpdf`, with the symbols of a page in one form in label-local coordinates.

use std::{
    collections::{BTreeMap, BTreeSet},
    fmt::Write as _,
    io::Write as _,
};

use flate2::{Compression, write::ZlibEncoder};
use lopdf::{Dictionary, Document, Object, StringFormat};
use printpdf::{
    CurTransMat, DictItem, ExternalStream, ExternalXObject, Op, PdfDocument, PdfFontHandle, PdfPage, PdfSaveOptions,
    Pt, TextItem, TextMatrix, XObject, XObjectId, XObjectTransform,
};

use super::{
    font_subset::{font_id, subset_font},
    path::{self, units_per_module},
    sha256,
};
use crate::{
    font::FaceId,
    label::{Mark, PlacedSymbol, TextRun},
    sheet::{Page, Placed},
    unit::{Dpi, Mm, Point, Size},
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
    #[error("the bundled face {face:?} could not be embedded")]
    Font {
        /// Which.
        face: FaceId,
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

/// Writes pages as a PDF. The same pages give the same bytes: no clock, no file name is in them.
///
/// # Errors
/// [`OutputError`] when a face can't be embedded or the stream can't be packed.
pub fn pdf(pages: &[Page], info: &DocumentInfo) -> Result<Vec<u8>, OutputError> {
    let mut document = assemble(pages, info)?;
    pack(&mut document)?;
    finish(document)
}

/// The same with its streams as they are, to be read by people in tests.
///
/// # Errors
/// As [`pdf`].
pub fn pdf_uncompressed(pages: &[Page], info: &DocumentInfo) -> Result<Vec<u8>, OutputError> {
    finish(assemble(pages, info)?)
}

fn assemble(pages: &[Page], info: &DocumentInfo) -> Result<Document, OutputError> {
    let mut source = PdfDocument::new(&info.title);
    for (face, characters) in used_characters(pages) {
        source.resources.fonts.map.insert(font_id(face), subset_font(face, &characters)?);
    }
    for (number, page) in pages.iter().enumerate() {
        let form = XObjectId(format!("S{}", number + 1));
        source.resources.xobjects.map.insert(form.clone(), XObject::External(shapes(page)));
        source.pages.push(pdf_page(page, form));
    }
    let options = PdfSaveOptions { optimize: false, subset_fonts: false, secure: true, image_optimization: None };
    let mut warnings = Vec::new();
    Ok(dressed(printpdf::serialize::to_lopdf_doc(&source, &options, &mut warnings), info))
}

fn used_characters(pages: &[Page]) -> BTreeMap<FaceId, BTreeSet<char>> {
    let mut used: BTreeMap<FaceId, BTreeSet<char>> = BTreeMap::new();
    for text in pages.iter().flat_map(|page| &page.placed).flat_map(|placed| placed.drawing.texts()) {
        used.entry(text.face).or_default().extend(text.text.chars());
    }
    used
}

/// Everything but text on a page, as one form: a page's labels look alike to the packer.
fn shapes(page: &Page) -> ExternalXObject {
    let mut content = String::new();
    for placed in &page.placed {
        for mark in &placed.drawing.marks {
            match mark {
                Mark::Symbol(symbol) => symbol_shape(&mut content, page, placed, symbol),
                Mark::Rect { at, size } => rectangle(&mut content, page, placed.at, *at, *size),
                Mark::Text(_) => {}
            }
        }
    }
    for mark in &page.cut_marks {
        rectangle(&mut content, page, Point::default(), mark.at, mark.size);
    }
    let number = |length: Mm| DictItem::Real(points(length));
    let zero = || DictItem::Int(0);
    let name = |name: &str| DictItem::Name(name.into());
    let corners = vec![zero(), zero(), number(page.size.width), number(page.size.height)];
    let dict = [("Type", name("XObject")), ("Subtype", name("Form")), ("BBox", DictItem::Array(corners))];
    let dict = dict.into_iter().map(|(key, value)| (key.to_owned(), value)).collect();
    let stream = ExternalStream { dict, content: content.into_bytes(), compress: false };
    ExternalXObject { stream, width: None, height: None, dpi: None }
}

fn symbol_shape(content: &mut String, page: &Page, placed: &Placed, symbol: &PlacedSymbol) {
    let x = placed.at.x + page.dpi.length(symbol.left);
    let y = placed.at.y + page.dpi.length(symbol.top);
    let unit = page.dpi.length(symbol.x).to_pt() / f64::from(units_per_module(symbol.x));
    // Writing to a string can't fail.
    let _ = writeln!(
        content,
        "q {unit:.9} 0 0 -{unit:.9} {:.4} {:.4} cm\n{}f Q",
        x.to_pt(),
        (page.size.height - y).to_pt(),
        path::path(symbol)
    );
}

fn rectangle(content: &mut String, page: &Page, label: Point, at: Point, size: Size) {
    let (x, y) = (label.x + at.x, page.size.height - label.y - at.y - size.height);
    let _ = writeln!(
        content,
        "{:.3} {:.3} {:.3} {:.3} re f",
        x.to_pt(),
        y.to_pt(),
        size.width.to_pt(),
        size.height.to_pt()
    );
}

fn pdf_page(page: &Page, form: XObjectId) -> PdfPage {
    let mut ops = vec![Op::UseXobject { id: form, transform: XObjectTransform::default() }];
    for placed in &page.placed {
        label_text(&mut ops, page, placed);
    }
    // Given in points: millimetres would come out a hair off.
    let (width, height) = (Pt(points(page.size.width)), Pt(points(page.size.height)));
    let mut made = PdfPage::new(width.into(), height.into(), ops);
    for area in [&mut made.media_box, &mut made.trim_box, &mut made.crop_box] {
        (area.width, area.height) = (width, height);
    }
    made
}

fn label_text(ops: &mut Vec<Op>, page: &Page, placed: &Placed) {
    let corner = (placed.at.x, page.size.height - placed.at.y);
    ops.push(Op::SaveGraphicsState);
    ops.push(Op::SetTransformationMatrix {
        matrix: CurTransMat::Translate(Pt(points(corner.0)), Pt(points(corner.1))),
    });
    ops.push(Op::StartTextSection);
    for text in placed.drawing.texts() {
        show(ops, text);
    }
    ops.push(Op::EndTextSection);
    ops.push(Op::RestoreGraphicsState);
}

fn show(ops: &mut Vec<Op>, text: &TextRun) {
    let at = TextMatrix::Translate(Pt(points(text.left)), Pt(-points(text.baseline)));
    ops.push(Op::SetFont { font: PdfFontHandle::External(font_id(text.face)), size: Pt(points(text.em)) });
    ops.push(Op::SetTextMatrix { matrix: at });
    ops.push(Op::ShowText { items: vec![TextItem::Text(text.text.clone())] });
}

/// A length in points, to the thousandth.
#[expect(clippy::cast_possible_truncation, reason = "PDF numbers have single precision")]
fn points(length: Mm) -> f32 {
    ((length.to_pt() * 1000.0).round() / 1000.0) as f32
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

fn pack(document: &mut Document) -> Result<(), OutputError> {
    for object in document.objects.values_mut() {
        let Object::Stream(stream) = object else { continue };
        let mut packer = ZlibEncoder::new(Vec::with_capacity(stream.content.len() / 4), Compression::new(LEVEL));
        packer.write_all(&stream.content)?;
        let small = packer.finish()?;
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
