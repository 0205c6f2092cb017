//! What readers and people put around a code, and what they leave out.

use stowmark::code::{Origin, Read, StockCode, read};

fn known(payload: &str) -> Read {
    Read::Code(StockCode::from_payload(payload).unwrap())
}

#[test]
fn prefixes_suffixes_and_links_are_taken_off() {
    // [S] ISO/IEC 15424: `]C0` Code 128, `]C1` GS1-128, `]Q1` QR model 2.
    let prefixes = ["", "]C0", "]C1", "]Q1"];
    // Common practice: Enter in its forms, or Tab.
    let suffixes = ["", "\r", "\n", "\r\n", "\t"];
    for (prefix, suffix) in prefixes.into_iter().flat_map(|prefix| suffixes.map(|suffix| (prefix, suffix))) {
        for text in ["4C017R", "4c017r", "4C-017R", "HTTP://192.0.2.7:8080/S/4C017R"] {
            let arrived = format!("{prefix}{text}{suffix}");
            for origin in [Origin::Typed, Origin::Scanned] {
                assert_eq!(read(&arrived, origin), known("4C017R"), "{arrived:?} {origin:?}");
            }
        }
    }
}

#[test]
fn a_missing_check_letter_is_taken_from_typed_text_only() {
    // Design: a text without check letter ends in a digit, so the two can't be confused.
    let cases = [("4C-017", "4C017R"), ("4c017", "4C017R"), ("12AB1234", "12AB1234R"), ("4A00", "4A00R")];
    for (text, code) in cases {
        assert_eq!(read(text, Origin::Typed), known(code), "{text}");
        assert_eq!(read(text, Origin::Scanned), Read::Unchecked, "{text}");
    }
}

#[test]
fn what_is_no_code_is_told_from_a_wrong_check() {
    // Design: leading zeros are never dropped, look-alikes never mapped.
    for unchecked in ["4C017F", "4C-017A", "4C00R", "4O017R", "4I017R", "4C0017R", "04C017R"] {
        assert_eq!(read(unchecked, Origin::Typed), Read::Unchecked, "{unchecked}");
    }
    for other in ["", " \r\n", "cake tin", "R", "4", "017R", "4CCC017R", "ß", "]C0", "://", "4Cß017R", "١C017R"] {
        assert_eq!(read(other, Origin::Typed), Read::Other, "{other:?}");
    }
}

#[test]
fn bins_are_read_by_their_short_name_and_by_their_symbol() {
    for text in ["4C", "4c", " 4C\r\n", "4C00V", "]C04C00V", "http://192.0.2.7/s/4c00v"] {
        assert_eq!(read(text, Origin::Scanned), known("4C00V"), "{text:?}");
    }
    // Design: a check letter is left out by people only; a symbol and a link have it.
    for text in ["http://192.0.2.7/s/4c", "]C04C"] {
        assert_ne!(read(text, Origin::Scanned), known("4C00V"), "{text:?}");
    }
}
