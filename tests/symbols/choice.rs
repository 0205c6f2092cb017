//! The choice of code sets against another encoder, quick and thorough, and read back by its reader.

use rxing::{
    EncodeHints,
    oned::{Code128Writer, OneDimensionalCodeWriter},
};
use stowmark::symbol::{CodeSet, Linear, Symbol, SymbolError, encode_segments, shortest_segments};

use super::{generator::Generator, raster};

const DIGITS: &str = "0123456789";
const LETTERS: &str = "ABCDFGHJKMNPQRSTVWX";

/// Stock codes, and printable ASCII with runs of digits: half of each.
fn texts(count: usize) -> Vec<String> {
    let mut generator = Generator::new(128);
    (0..count).map(|at| if at % 2 == 0 { stock_code(&mut generator) } else { mixed(&mut generator) }).collect()
}

/// The shape of a stock code; its check letter need not be right here.
fn stock_code(generator: &mut Generator) -> String {
    let area = generator.between(1, 999);
    let letters = generator.between(1, 2);
    let digits = generator.between(2, 6);
    let parts = [(LETTERS, letters), (DIGITS, digits), (LETTERS, 1)];
    let rest: String = parts.map(|(characters, length)| generator.run_of(characters, length)).concat();
    format!("{area}{rest}")
}

/// One to six runs of digits and of other characters, up to 40 characters.
fn mixed(generator: &mut Generator) -> String {
    let printable: String = (' '..='~').collect();
    let runs = generator.between(1, 6);
    let mut run = |at: u64| {
        let characters = if at.is_multiple_of(2) { printable.as_str() } else { DIGITS };
        let length = generator.between(0, 9);
        generator.run_of(characters, length)
    };
    let text: String = (0..runs).map(&mut run).collect();
    let kept: String = text.chars().take(40).collect();
    if kept.is_empty() { "7".into() } else { kept }
}

fn ours(text: &str) -> Linear {
    encode_segments(&shortest_segments(text).unwrap()).unwrap()
}

/// Modules of the other encoder's symbol: its quick choice, or its thorough one.
fn theirs(text: &str, thorough: bool) -> usize {
    let hints = EncodeHints { Code128Compact: Some(thorough), ..EncodeHints::default() };
    Code128Writer.encode_oned_with_hints(text, &hints).unwrap().len()
}

#[test]
fn never_longer_than_the_other_encoder() {
    let mut shorter = 0;
    for text in texts(10_000) {
        let (our, their) = (ours(&text).modules().len(), theirs(&text, false));
        assert!(our <= their, "`{text}`: {our} modules, {their} by the other encoder");
        shorter += usize::from(our < their);
    }
    println!("shorter than the other encoder's quick choice: {shorter} of 10000");
}

#[test]
fn as_short_as_the_thorough_choice_of_the_other_encoder() {
    for text in texts(2_000) {
        assert_eq!(ours(&text).modules().len(), theirs(&text, true), "`{text}`");
    }
}

#[test]
fn segments_join_to_the_text_and_pairs_stay_whole() {
    for text in texts(10_000) {
        let segments = shortest_segments(&text).unwrap();
        let joined: String = segments.iter().map(|(_, part)| *part).collect();
        assert_eq!(joined, text);
        for (set, part) in segments {
            let is_pairs = part.len() % 2 == 0 && part.bytes().all(|byte| byte.is_ascii_digit());
            assert!(!part.is_empty() && (set != CodeSet::C || is_pairs), "`{text}`: {set:?} `{part}`");
        }
    }
}

#[test]
fn every_symbol_is_read_back() {
    let mut read = 0;
    for text in texts(600) {
        assert_eq!(raster::read(&Symbol::code128(&text).unwrap()).as_deref(), Some(text.as_str()));
        read += 1;
    }
    assert_eq!(read, 600);
}

/// Every printable character alone, and the longest text.
#[test]
fn each_character_is_read_back() {
    for character in ' '..='~' {
        let text = format!("{character}{character}");
        assert_eq!(raster::read(&Symbol::code128(&text).unwrap()), Some(text));
    }
    let longest = "4C017R".repeat(14)[..80].to_owned();
    assert_eq!(raster::read(&Symbol::code128(&longest).unwrap()), Some(longest));
}

/// Design: the letters by which the library switches sets are refused before they could be taken for
/// commands, as is all else that is not printable ASCII.
#[test]
fn what_code_128_does_not_hold_is_refused() {
    for wrong in ['À', 'Ɓ', 'Ć', 'Ź', 'ź', 'Ż', 'ż', 'Ž', 'é', '\t', '\0', '\u{7f}', '🫖'] {
        for text in [format!("{wrong}"), format!("4C{wrong}017R")] {
            assert_eq!(Symbol::code128(&text), Err(SymbolError::NotAscii(wrong)), "{text:?}");
        }
    }
    assert_eq!(Symbol::code128(""), Err(SymbolError::Empty));
}
