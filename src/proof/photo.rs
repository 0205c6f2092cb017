//! Tags and signs in photographs: of one tag, or of a whole bin's, at any angle.
//!
//! Start with [`read_photo`]. A picture is looked at several times: softened, as it is, smaller and enlarged for QR, along
//! lines in many directions for Code 128. Nothing is known here of codes in use: what was read may be anybody's.

mod lines;
mod squares;
mod view;

use std::collections::BTreeMap;

use crate::{code::StockCode, output::Pixels, parallel};

/// Larger pictures are halved first: their pixels show no more than half as many would.
const LARGEST: usize = 25_000_000;
/// The least sides of a picture that is looked at.
const SMALLEST: u32 = 40;
/// What one reading counts that corrects its own errors (ISO/IEC 18004), and so is not taken by chance.
const SURE: u32 = 3;

/// What was read, and how often or how surely.
type Readings = Vec<(String, u32)>;

/// What all symbols in a photograph say, each text once, in the order of the alphabet.
#[must_use]
pub fn read_photo(photo: &Pixels) -> Vec<String> {
    read_photo_on(parallel::threads(), photo)
}

/// The same on so many threads.
#[must_use]
pub fn read_photo_on(threads: usize, photo: &Pixels) -> Vec<String> {
    let smaller = (photo.luma.len() > LARGEST).then(|| view::halved(photo));
    let whole = smaller.as_ref().unwrap_or(photo);
    if whole.width < SMALLEST || whole.height < SMALLEST {
        return Vec::new();
    }
    let half = view::halved(whole);
    let quarter = view::halved(&half);
    let looks = looks(whole, &half, &quarter);
    agreed(parallel::map_on(threads, &looks, Look::read))
}

/// Texts of this program's codes have a check letter of their own; others have to be read once more.
fn agreed(readings: Vec<Readings>) -> Vec<String> {
    let mut times: BTreeMap<String, u32> = BTreeMap::new();
    for (text, often) in readings.into_iter().flatten() {
        *times.entry(text).or_default() += often;
    }
    let wanted = |text: &str| if StockCode::from_payload(text).is_some() { 2 } else { SURE };
    times.into_iter().filter(|(text, times)| *times >= wanted(text)).map(|(text, _)| text).collect()
}

/// One way of looking at a picture.
enum Look<'p> {
    /// For QR, as it is.
    Plain(&'p Pixels),
    /// For QR, with the noise smoothed.
    Soft(&'p Pixels),
    /// For QR, a part of it, enlarged by a half.
    Large(&'p Pixels, view::Part),
    /// For Code 128, along lines of this direction in degrees.
    Lines(&'p Pixels, u32),
}

/// The longest ones first, so that all cores are done at the same time.
fn looks<'p>(whole: &'p Pixels, half: &'p Pixels, quarter: &'p Pixels) -> Vec<Look<'p>> {
    let large = view::parts(whole).into_iter().map(|part| Look::Large(whole, part));
    let lines = |picture| lines::DIRECTIONS.map(move |degrees| Look::Lines(picture, degrees));
    let squares = [Look::Soft(whole), Look::Plain(whole), Look::Plain(half), Look::Plain(quarter)];
    large.chain(lines(whole)).chain(squares).chain(lines(half)).collect()
}

impl Look<'_> {
    fn read(&self) -> Readings {
        match self {
            Self::Plain(picture) => squares::read(picture),
            Self::Soft(picture) => squares::read(&view::softened(picture)),
            Self::Large(picture, part) => squares::read(&view::enlarged(picture, *part)),
            Self::Lines(picture, degrees) => lines::read(picture, f64::from(*degrees)),
        }
    }
}
