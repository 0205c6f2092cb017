//! Pictures of one bit a pixel, as a decoder of its own reads them.

use std::io::Cursor;

use stowmark::{
    job::{PictureError, write_pngs},
    output::{DocumentInfo, FileError, Pixels, pdf, png_1bit, rasterise},
    sheet::find_sheet,
    symbol::SymbolKind,
};

use super::support::{dpi, label, laid_out};

/// Bits a pixel, pixels a metre and the pixels.
fn read(file: &[u8]) -> (u8, u32, Pixels) {
    let mut reader = png::Decoder::new(Cursor::new(file)).read_info().unwrap();
    let (bits, per_metre) = (reader.info().bit_depth as u8, reader.info().pixel_dims.unwrap());
    assert_eq!((per_metre.xppu, per_metre.unit), (per_metre.yppu, png::Unit::Meter));
    let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
    reader.next_frame(&mut bytes).unwrap();
    let image = image::load_from_memory(file).unwrap().into_luma8();
    (bits, per_metre.xppu, Pixels { width: image.width(), height: image.height(), luma: image.into_raw() })
}

/// [M] PNG, chunk pHYs: pixels a metre as a whole number; 203 dots an inch are 7992, 300 are 11811, 600 are 23622.
#[test]
fn a_picture_has_the_printers_dots_and_says_how_large_they_are() {
    let sheet = find_sheet("roll-57x32").unwrap();
    for (dots, per_metre) in [(203.0, 7992), (300.0, 11811), (600.0, 23622)] {
        let info = DocumentInfo { title: "Item tags".into(), language: "en".into() };
        let pages = laid_out(sheet, &[label(SymbolKind::Qr, 4, sheet.label())], dpi(dots));
        let drawn = rasterise(&pdf(&pages, &info).unwrap(), 1, dpi(dots), false).unwrap();
        assert_eq!(read(&png_1bit(&drawn, dpi(dots)).unwrap()), (1, per_metre, drawn));
    }
}

/// Rows that are no whole number of bytes wide.
#[test]
fn every_width_comes_back() {
    for width in 1..=17 {
        let luma: Vec<u8> = (0..width * 3).map(|at| if at % 3 == 0 { 0 } else { 255 }).collect();
        let pixels = Pixels { width, height: 3, luma };
        assert_eq!(read(&png_1bit(&pixels, dpi(300.0)).unwrap()).2, pixels, "{width}");
    }
}

#[test]
fn pictures_are_written_all_or_none() {
    let folder = tempfile::tempdir().unwrap();
    let pictures = folder.path().join("pictures");
    let sheet = find_sheet("roll-40x30").unwrap();
    let drawings = vec![label(SymbolKind::Qr, 3, sheet.label()); 3];
    let info = DocumentInfo { title: "Item tags".into(), language: "en".into() };
    let bytes = pdf(&laid_out(sheet, &drawings, dpi(300.0)), &info).unwrap();
    std::fs::create_dir(&pictures).unwrap();
    std::fs::write(pictures.join("tags-0002-03.png"), "mine").unwrap();
    let refused = write_pngs(&bytes, &pictures, "tags-0002", dpi(300.0), false);
    assert!(matches!(refused, Err(PictureError::File(FileError::Exists(_)))), "{refused:?}");
    assert_eq!(std::fs::read_dir(&pictures).unwrap().count(), 1);
    let files = write_pngs(&bytes, &pictures, "tags-0002", dpi(300.0), true).unwrap();
    assert_eq!(files, ["01", "02", "03"].map(|page| pictures.join(format!("tags-0002-{page}.png"))));
    assert_eq!(std::fs::read_dir(&pictures).unwrap().count(), 3);
    assert_eq!(read(&std::fs::read(&files[2]).unwrap()).0, 1);
}
