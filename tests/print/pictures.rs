//! Each design on a few sheets against a picture in `tests/refs`, short and long texts side by side.
//!
//! A missing picture is written and fails the run once; `STOWMARK_BLESS=1` rewrites those that differ. For
//! one that differs, old, new and the difference are written side by side, and the path is told.

use std::{env, fs, path::PathBuf};

use image::{GrayImage, ImageReader};
use stowmark::{label::SymbolChoice, output::Pixels};

use super::{contact, designs, samples::dpi};

const SHEETS: [&str; 4] = ["a4-3x7", "letter-4x20", "roll-57x32", "cut-90x55"];
/// Dots an inch of the pictures.
const DOTS: f64 = 100.0;
/// A pixel differs from this much grey on: other processors round a little otherwise.
const GREY: u8 = 48;
/// So many pixels may differ.
const TOLERATED: usize = 4;

fn drawn(name: &str, sheet: &str) -> Pixels {
    let stock = designs::sheet(sheet).stock(dpi(300.0));
    let draw = |is_long| {
        let both = designs::draw(name, is_long, &stock, SymbolChoice::Both);
        both.or_else(|_| designs::draw(name, is_long, &stock, SymbolChoice::Auto)).unwrap()
    };
    let row = [false, true].into_iter().filter_map(|is_long| draw(is_long).into_iter().next());
    contact::shown(contact::page(&[row.map(|drawn| drawn.drawing).collect()], dpi(300.0), false), DOTS)
}

fn reference(name: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "tests", "refs", &format!("{name}.png")].iter().collect()
}

fn read(path: &PathBuf) -> Option<GrayImage> {
    Some(ImageReader::open(path).ok()?.decode().unwrap().into_luma8())
}

/// The pixels that differ, or all when the sizes do.
fn differing(known: &GrayImage, found: &GrayImage) -> usize {
    if known.dimensions() != found.dimensions() {
        return found.len();
    }
    known.as_raw().iter().zip(found.as_raw()).filter(|(known, found)| known.abs_diff(**found) >= GREY).count()
}

/// Old, new and their difference one below the other.
fn difference(known: &GrayImage, found: &GrayImage) -> GrayImage {
    let (width, height) = (known.width().max(found.width()), known.height().max(found.height()));
    let at = |image: &GrayImage, x, y| image.get_pixel_checked(x, y).map_or(255, |pixel| pixel.0[0]);
    GrayImage::from_fn(width, height * 3, |x, y| {
        let (old, new) = (at(known, x, y % height), at(found, x, y % height));
        image::Luma([[old, new, 255 - old.abs_diff(new)][(y / height) as usize]])
    })
}

/// What is wrong with one picture.
fn fault(name: &str, sheet: &str) -> Option<String> {
    let (pixels, name) = (drawn(name, sheet), format!("{name}-{sheet}"));
    let (path, png) = (reference(&name), pixels.png().unwrap());
    let Some(known) = read(&path) else {
        fs::write(&path, png).unwrap();
        return Some(format!("{name}.png was missing and is written now; look at it and run again"));
    };
    let found = GrayImage::from_raw(pixels.width, pixels.height, pixels.luma).unwrap();
    let count = differing(&known, &found);
    if count <= TOLERATED {
        return None;
    }
    if env::var_os("STOWMARK_BLESS").is_some_and(|value| value == "1") {
        fs::write(&path, png).unwrap();
        return None;
    }
    let shown = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-difference.png"));
    difference(&known, &found).save(&shown).unwrap();
    Some(format!("{name}.png: {count} pixels differ; {} shows old, new and difference", shown.display()))
}

#[test]
fn each_design_looks_as_in_its_picture() {
    let pairs = designs::NAMES.iter().flat_map(|name| SHEETS.map(|sheet| (name, sheet)));
    let faults: Vec<String> = pairs.filter_map(|(name, sheet)| fault(name, sheet)).collect();
    assert!(faults.is_empty(), "{}\nSTOWMARK_BLESS=1 takes what is drawn now", faults.join("\n"));
}

/// The comparison itself: a stroke that moved is seen, the rounding of a few pixels is not.
#[test]
fn a_moved_stroke_is_seen() {
    let white = GrayImage::from_pixel(40, 20, image::Luma([255]));
    let mut stroke = white.clone();
    (0..10).for_each(|y| stroke.put_pixel(5, y, image::Luma([0])));
    let mut rounded = white.clone();
    (0..20).for_each(|y| rounded.put_pixel(5, y, image::Luma([230])));
    assert!(differing(&white, &stroke) > TOLERATED);
    assert!(differing(&white, &rounded) <= TOLERATED);
    assert!(differing(&white, &GrayImage::new(41, 20)) > TOLERATED);
    assert_eq!(difference(&white, &stroke).get_pixel(5, 45).0, [0]);
}
