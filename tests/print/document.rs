//! The PDF as a document: what viewers and printers are told, its fonts, its paths, its text.

use std::path::Path;

use lopdf::{
    Dictionary, Document, Object, ObjectId,
    content::{Content, Operation},
    decode_text_string,
};
use stowmark::{
    output::{page_count, pdf, pdf_uncompressed},
    sheet::{find_sheet, sheets},
};

use super::{
    samples::{Label, dpi},
    specimen::{info, pages},
};

/// Twenty-eight labels of all designs: more than a page of most sheets.
const LABELS: u32 = 28;

fn labels(sheet: &str) -> Vec<Label> {
    let stock = find_sheet(sheet).unwrap().stock(dpi(300.0));
    (0..LABELS).map(|number| Label::numbered(number, &stock).unwrap()).collect()
}

fn printed(sheet: &str) -> Vec<u8> {
    pdf(&pages(find_sheet(sheet).unwrap(), &labels(sheet), dpi(300.0)), &info()).unwrap()
}

fn open(sheet: &str) -> Document {
    Document::load_mem(&printed(sheet)).unwrap()
}

fn dictionary<'a>(document: &'a Document, of: &'a Dictionary, key: &str) -> &'a Dictionary {
    let object = of.get(key.as_bytes()).unwrap();
    document.dereference(object).unwrap().1.as_dict().unwrap()
}

fn about(document: &Document) -> &Dictionary {
    dictionary(document, &document.trailer, "Info")
}

#[test]
fn the_same_labels_give_the_same_bytes() {
    assert_eq!(printed("a4-3x7"), printed("a4-3x7"));
    assert_ne!(printed("a4-3x7"), printed("letter-3x10"));
}

#[test]
fn viewers_are_told_to_print_at_actual_size() {
    let document = open("a4-3x7");
    let catalog = document.catalog().unwrap();
    let preferences = dictionary(&document, catalog, "ViewerPreferences");
    assert_eq!(document.version, "1.7");
    assert_eq!(preferences.get(b"PrintScaling").and_then(Object::as_name).unwrap(), b"None");
    assert_eq!(catalog.get(b"Lang").and_then(Object::as_str).unwrap(), b"en");
}

#[test]
fn the_title_is_set_and_no_clock_or_path_is_in_the_file() {
    let document = open("a4-3x7");
    let title = about(&document).get(b"Title").and_then(decode_text_string).unwrap();
    assert_eq!(title, info().title);
    for key in ["CreationDate", "ModDate"] {
        let date = about(&document).get(key.as_bytes()).and_then(decode_text_string).unwrap();
        assert_eq!(date, "D:20000101000000Z", "{key}");
    }
    let on_pages = pages(find_sheet("a4-3x7").unwrap(), &labels("a4-3x7"), dpi(300.0));
    let bytes = pdf_uncompressed(&on_pages, &info()).unwrap();
    let project = env!("CARGO_MANIFEST_DIR");
    let folder = Path::new(project).parent().and_then(Path::to_str).unwrap().to_owned();
    for path in [project.to_owned(), std::env::temp_dir().to_string_lossy().into_owned(), folder + "/"] {
        let is_in = path.len() > 1 && bytes.windows(path.len()).any(|part| part == path.as_bytes());
        assert!(!is_in, "{path}");
    }
}

/// [S] ISO 216 A4 is 210 x 297 mm, ANSI/ASME Y14.1 Letter 8.5 x 11 in; 72 points to the inch.
#[test]
fn pages_have_the_size_of_their_paper() {
    let cases = [
        ("a4-3x7", 595.276, 841.890),
        ("a4-2x1", 595.276, 841.890),
        ("letter-3x10", 612.0, 792.0),
        ("letter-1x1", 612.0, 792.0),
        ("roll-50x30", 141.732, 85.039),
        ("roll-4x6in", 288.0, 432.0),
    ];
    for (sheet, width, height) in cases {
        let document = open(sheet);
        for page in document.get_pages().into_values() {
            for key in ["MediaBox", "CropBox"] {
                let corners = corners(&document, document.get_dictionary(page).unwrap(), key);
                let expected = [0.0, 0.0, width, height];
                let is_close = corners.iter().zip(expected).all(|(found, expected)| (found - expected).abs() < 0.01);
                assert!(is_close && corners.len() == 4, "{sheet} {key}: {corners:?}");
            }
        }
    }
}

fn corners(document: &Document, page: &Dictionary, key: &str) -> Vec<f64> {
    let array = document.dereference(page.get(key.as_bytes()).unwrap()).unwrap().1.as_array().unwrap();
    array.iter().map(|number| f64::from(number.as_float().unwrap())).collect()
}

#[test]
fn every_sheet_has_as_many_pages_as_its_labels_need() {
    for sheet in sheets() {
        let bytes = printed(&sheet.name);
        let expected = LABELS.div_ceil(sheet.slots()) as usize;
        assert_eq!(page_count(&bytes).unwrap(), expected, "{}", sheet.name);
        assert_eq!(Document::load_mem(&bytes).unwrap().get_pages().len(), expected, "{}", sheet.name);
    }
}

/// A font as the document has it: its name, the size of its file and whether its text can be copied.
struct Font {
    name: String,
    file: usize,
    has_unicode: bool,
}

fn fonts(document: &Document) -> Vec<Font> {
    let dictionaries = document.objects.values().filter_map(|object| object.as_dict().ok());
    let composite = |font: &&Dictionary| font.get(b"Subtype").and_then(Object::as_name).ok() == Some(b"Type0");
    dictionaries.filter(composite).map(|font| read_font(document, font)).collect()
}

fn read_font(document: &Document, font: &Dictionary) -> Font {
    let descendants = document.dereference(font.get(b"DescendantFonts").unwrap()).unwrap().1.as_array().unwrap();
    let descendant = document.dereference(&descendants[0]).unwrap().1.as_dict().unwrap();
    let descriptor = dictionary(document, descendant, "FontDescriptor");
    let stream = |of: &Dictionary, key: &str| {
        let object = of.get(key.as_bytes()).and_then(|object| document.dereference(object)).ok()?.1;
        object.as_stream().ok()?.get_plain_content().ok()
    };
    Font {
        name: String::from_utf8_lossy(font.get(b"BaseFont").and_then(Object::as_name).unwrap()).into_owned(),
        file: stream(descriptor, "FontFile2").map_or(0, |file| file.len()),
        has_unicode: stream(font, "ToUnicode").is_some_and(|map| !map.is_empty()),
    }
}

/// Six capitals and a plus mark a subset [S, ISO 32000-1, 9.6.4]; a whole face has about 48 KB [C].
#[test]
fn fonts_are_embedded_and_cut_down() {
    let fonts = fonts(&open("a4-3x7"));
    assert_eq!(fonts.len(), 3);
    for font in fonts {
        assert!(font.name.starts_with("STOWMK+"), "{}", font.name);
        assert!((100..20_000).contains(&font.file), "{}: {} bytes", font.name, font.file);
        assert!(font.has_unicode, "{} has no ToUnicode", font.name);
    }
}

type Operations = Content<Vec<Operation>>;

/// What is drawn before the first text: the symbols.
fn shapes(document: &Document, page: ObjectId) -> Operations {
    let mut content = Content::decode(&document.get_page_content(page)).unwrap();
    let is_text = |operation: &Operation| operation.operator == "BT";
    let text = content.operations.iter().position(is_text).unwrap_or(content.operations.len());
    // The text of each label begins in its own coordinates.
    content.operations.truncate(text.saturating_sub(2));
    content
}

fn operators(content: &Operations, name: &str) -> Vec<Operation> {
    content.operations.iter().filter(|operation| operation.operator == name).cloned().collect()
}

/// One path and one fill a symbol: the samples have no hollow boxes, which would be filled one by one.
#[test]
fn each_symbol_is_one_path() {
    for sheet in ["a4-3x7", "letter-2x5", "roll-57x32"] {
        let document = open(sheet);
        let mut left = LABELS as usize;
        for page in document.get_pages().into_values() {
            let symbols = left.min(find_sheet(sheet).unwrap().slots() as usize);
            let shapes = shapes(&document, page);
            assert_eq!(operators(&shapes, "f").len(), symbols, "{sheet}");
            assert_eq!(operators(&shapes, "cm").len(), symbols, "{sheet}");
            left -= symbols;
        }
        assert_eq!(left, 0, "{sheet}");
    }
}

/// Nothing is stroked, shaded or drawn as a picture: black fills and text.
#[test]
fn pages_hold_fills_and_text_only() {
    let document = open("a4-3x7");
    let known = ["q", "Q", "cm", "BT", "ET", "Tf", "Tm", "Tj", "TJ", "re", "f"];
    for page in document.get_pages().into_values() {
        for operation in &Content::decode(&document.get_page_content(page)).unwrap().operations {
            assert!(known.contains(&operation.operator.as_str()), "{operation:?}");
        }
    }
}

/// What a viewer would copy: codes in their parts, titles with their accents. The reader here puts
/// spaces wherever the pen is moved, so spaces are left aside.
#[test]
fn text_can_be_selected() {
    let solid = |text: &str| text.replace(['\n', ' '], "");
    let text = solid(&open("a4-3x7").extract_text(&[1]).unwrap());
    let runs = labels("a4-3x7")
        .into_iter()
        .take(21)
        .flat_map(|label| label.drawn.drawing.texts().map(|run| run.text.clone()).collect::<Vec<String>>());
    for run in runs {
        assert!(text.contains(&solid(&run)), "`{run}` is not in `{text}`");
    }
    for expected in ["1A-001G", "Gugelhupfform, Ø 22 cm", "Küche"] {
        assert!(text.contains(&solid(expected)), "`{expected}` is not in `{text}`");
    }
}
