//! Codes of every shape to make slips in.

use std::collections::BTreeSet;

use stowmark::code::{AreaNumber, BinCode, ItemCode, Serial, StockCode};

fn payload(area: u16, rank: u16, serial: u32) -> String {
    let bin = BinCode::at(AreaNumber::new(area).unwrap(), rank).unwrap();
    ItemCode { bin, serial: Serial::new(serial).unwrap() }.payload()
}

fn bin_payload(area: u16, rank: u16) -> String {
    BinCode::at(AreaNumber::new(area).unwrap(), rank).unwrap().payload()
}

/// Areas of one to three digits.
const AREAS: [u16; 6] = [1, 4, 12, 97, 105, 999];
/// Bins of one and two letters: A, D, X, AA, AB, MW, XX.
const RANKS: [u16; 7] = [0, 3, 18, 19, 20, 207, 379];
/// Serials of three and four digits.
const SERIALS: [u32; 7] = [1, 17, 240, 808, 999, 1000, 9876];

/// Item codes of all shapes and the bins that they are in: an equal share of each shape.
pub fn every_shape() -> Vec<String> {
    let bins = AREAS.into_iter().flat_map(|area| RANKS.map(|rank| (area, rank)));
    let items = bins.clone().flat_map(|(area, rank)| SERIALS.map(|serial| payload(area, rank, serial)));
    let signs = bins.map(|(area, rank)| bin_payload(area, rank));
    items.chain(signs).collect()
}

/// The codes of a small register: nine areas, bins of one letter, serials of three digits.
pub fn short() -> Vec<String> {
    let bins = (1..=9).flat_map(|area| (0..19).map(move |rank| (area, rank)));
    bins.flat_map(|(area, rank)| [2, 61, 537].map(|serial| payload(area, rank, serial))).collect()
}

/// One bin of 1,200 items, the serials of which pass 999.
pub fn full_bin() -> Vec<String> {
    (1..=1200).map(|serial| payload(4, 2, serial)).collect()
}

/// Codes drawn evenly from all areas, bins and serials to 1200, the same on each run.
pub fn even() -> Vec<String> {
    let draw = |state: &u32| Some(state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223));
    let drawn: Vec<u32> = std::iter::successors(Some(19), draw).take(3 * 600).map(|state| state >> 8).collect();
    let below = |number: u32, limit: u16| u16::try_from(number % u32::from(limit)).unwrap();
    let code = |of: &[u32]| payload(1 + below(of[0], 999), below(of[1], 380), 1 + of[2] % 1200);
    drawn.chunks_exact(3).map(code).collect()
}

/// All of them.
pub fn sample() -> Vec<String> {
    [every_shape(), full_bin(), even()].concat()
}

/// A code with 9 for each digit and A for each letter.
pub fn shape(text: &str) -> String {
    text.chars().map(|c| if c.is_ascii_digit() { '9' } else { 'A' }).collect()
}

#[test]
fn the_sample_holds_codes_of_every_shape() {
    let sample = sample();
    assert_eq!(sample.len(), 6 * 7 * (7 + 1) + 1200 + 600);
    let shapes: BTreeSet<String> = every_shape().iter().map(|text| shape(text)).collect();
    // Areas of 1 to 3 digits, 1 or 2 letters, serials of 2 (bins), 3 and 4 digits.
    assert_eq!(shapes.len(), 3 * 2 * 3, "{shapes:?}");
    assert!(sample.iter().all(|text| StockCode::from_payload(text).is_some()));
}
