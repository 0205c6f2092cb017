//! The version that a text takes, by the standard's capacities at level M, and texts read back.

use stowmark::symbol::{Symbol, SymbolError};

use super::{generator::Generator, raster};

/// [S] alphanumeric characters of versions 1 to 5 at level M.
const ALPHANUMERIC: [usize; 5] = [20, 38, 61, 90, 122];
/// Bytes of versions 1 to 10 at level M (from memory).
const BYTES: [usize; 10] = [14, 26, 42, 62, 84, 106, 122, 152, 180, 213];

/// [S] the side is 17 + 4V modules.
fn version(text: &str) -> usize {
    let side = usize::try_from(Symbol::qr(text).unwrap().modules()).unwrap();
    assert_eq!((side - 17) % 4, 0, "{text}");
    (side - 17) / 4
}

#[test]
fn the_longest_alphanumeric_text_fits_and_one_more_does_not() {
    for (number, longest) in (1..).zip(ALPHANUMERIC) {
        assert_eq!(version(&"H".repeat(longest)), number, "{longest}");
        assert_eq!(version(&"H".repeat(longest + 1)), number + 1, "{}", longest + 1);
    }
}

#[test]
fn the_longest_bytes_fit_and_one_more_do_not() {
    for (number, longest) in (1..10).zip(BYTES) {
        assert_eq!(version(&"h".repeat(longest)), number, "{longest}");
        assert_eq!(version(&"h".repeat(longest + 1)), number + 1, "{}", longest + 1);
    }
}

/// Bits of an alphanumeric text: mode, length, 11 for two characters, 6 for one (from memory).
fn alphanumeric_bits(characters: usize) -> usize {
    4 + 9 + characters / 2 * 11 + characters % 2 * 6
}

/// A version that holds so many bytes has two codewords more, for mode, length and end: the published
/// row needs just as many bits.
#[test]
fn the_byte_row_agrees_with_the_published_row() {
    for (characters, bytes) in ALPHANUMERIC.into_iter().zip(BYTES) {
        let bits = (bytes + 2) * 8;
        let fitting = alphanumeric_bits(characters)..alphanumeric_bits(characters + 1);
        assert!(fitting.contains(&bits), "{characters} characters, {bytes} bytes");
    }
}

/// Lowercase links to codes, of all lengths that a home network has.
fn links() -> Vec<String> {
    let mut generator = Generator::new(18004);
    (0..1200).map(|at| link(&mut generator, at % 2 == 0)).collect()
}

fn link(generator: &mut Generator, by_name: bool) -> String {
    let host = if by_name {
        format!("{}.local", generator.run_up_to("abcdefghijklmnopqrstuvwxyz-0123456789", 30))
    } else {
        format!("192.168.{}.{}", generator.below(256), generator.below(256))
    };
    let (port, area, serial) = (generator.between(1, 65535), generator.between(1, 999), generator.between(1, 1200));
    format!("http://{host}:{port}/s/{area}c{serial:03}r")
}

/// Bytes alone need the version whose row is the first to hold the text.
fn version_as_bytes(text: &str) -> usize {
    1 + BYTES.iter().position(|longest| text.len() <= *longest).unwrap()
}

#[test]
fn lowercase_links_never_take_a_larger_version_than_bytes() {
    let mut smaller = 0;
    for link in links() {
        let (ours, plain) = (version(&link), version_as_bytes(&link));
        assert!(ours <= plain, "`{link}` takes version {ours}, as bytes {plain}");
        smaller += usize::from(ours < plain);
    }
    println!("smaller than as bytes: {smaller} of 1200 links");
}

/// Mixed texts too: capitals, digits, small letters and marks.
#[test]
fn no_text_takes_a_larger_version_than_bytes() {
    let mut generator = Generator::new(7);
    let printable: String = (' '..='~').collect();
    for _ in 0..2000 {
        let runs = [("0123456789", 9), ("ABCDFGHJKM:/.-", 9), (printable.as_str(), 12), ("0123456789", 6)];
        let text = runs.map(|(characters, most)| generator.run_up_to(characters, most)).concat();
        assert!(version(&text) <= version_as_bytes(&text), "`{text}`");
    }
}

/// Design: never Micro QR, the smallest of which have 11 to 17 modules on a side.
#[test]
fn the_shortest_texts_are_no_micro_symbols() {
    for text in ["1", "A", "a", "ü", "12345", "4C00V", "4C017R", " ", "\n", "\0"] {
        assert_eq!(version(text), 1, "{text:?}");
        assert_eq!(Symbol::qr(text).unwrap().quiet_modules(), 4, "{text:?}");
    }
}

#[test]
fn codes_and_links_in_capitals_are_small() {
    // Design: a code fits version 1, a link to it in capitals version 2.
    for (text, number) in [("4C017R", 1), ("999XX999999S", 1), ("HTTP://192.168.178.20:8080/S/4C017R", 2)] {
        assert_eq!(version(text), number, "{text}");
    }
}

#[test]
fn every_text_is_read_back_exactly() {
    let texts = [
        "4C017R",
        "Käsereibe, emailliert, für 3,50 €",
        "Bañera de cobre",
        "Šálek – žlutý",
        "чайник",
        "茶壺と蓋",
        "ティーポット",
        "🫖 teapot, no lid",
        "àâçéèêëîïôùûü ÿœæ",
        "ﬁne ½ ×",
        "e\u{301} decomposed",
        "Ã¼ is no ü",
        "tab\tand\nline",
    ];
    for text in texts {
        assert_eq!(raster::read(&Symbol::qr(text).unwrap()).as_deref(), Some(text));
    }
}

#[test]
fn generated_codes_and_links_are_read_back() {
    for text in links().into_iter().take(200) {
        assert_eq!(raster::read(&Symbol::qr(&text).unwrap()), Some(text));
    }
}

#[test]
fn nothing_and_far_too_much_is_refused() {
    assert_eq!(Symbol::qr(""), Err(SymbolError::Empty));
    for text in ["h".repeat(3000), "ü".repeat(1500)] {
        assert!(matches!(Symbol::qr(&text), Err(SymbolError::TooLong(..))), "{}", text.len());
    }
}
