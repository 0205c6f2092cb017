//! What must hold of every sheet with either symbol at every resolution.

use stowmark::symbol::SymbolKind;

use super::sweep::{OUTCOME, looked_at};

/// Design: six characters fit every known sheet and roll, with either symbol, at every resolution.
#[test]
fn no_short_code_is_refused() {
    assert_eq!(OUTCOME.refused, []);
}

/// Floors of labels read, by resolution and symbol; with no fault each label looked at was read.
#[test]
fn every_label_is_read_exactly() {
    let floors = [
        (203.0, SymbolKind::Code128, 128),
        (203.0, SymbolKind::Qr, 129),
        (300.0, SymbolKind::Code128, 128),
        (300.0, SymbolKind::Qr, 129),
        (600.0, SymbolKind::Code128, 128),
        (600.0, SymbolKind::Qr, 129),
    ];
    OUTCOME.assert_no_fault("read");
    for (dots, kind, floor) in floors {
        let read = looked_at(dots, kind);
        println!("{kind} at {dots} dpi: {read} of {read} labels read");
        assert!(read >= floor, "only {read} {kind} labels at {dots} dpi");
    }
}

#[test]
fn every_label_is_read_upside_down() {
    OUTCOME.assert_no_fault("read upside down");
}

/// Every sheet at every resolution with tags and signs of either symbol.
#[test]
fn nothing_is_left_out() {
    assert_eq!(OUTCOME.combinations.len(), 31 * 3 * 4);
}

#[test]
fn every_label_is_read_in_a_dark_surround() {
    OUTCOME.assert_no_fault("read in a dark surround");
}

#[test]
fn quiet_zones_lie_on_the_label() {
    OUTCOME.assert_no_fault("quiet zones");
}

#[test]
fn modules_and_bars_are_large_enough() {
    OUTCOME.assert_no_fault("large enough");
}

/// Whole dots a module, each pixel as its module, nothing in the quiet zones.
#[test]
fn every_pixel_of_a_symbol_is_its_module() {
    OUTCOME.assert_no_fault("exact modules");
}

#[test]
fn symbols_lie_within_a_tenth_of_a_millimetre() {
    OUTCOME.assert_no_fault("place");
}

#[test]
fn nothing_comes_near_an_edge() {
    OUTCOME.assert_no_fault("clear edges");
}

#[test]
fn nothing_lies_beside_the_labels_or_on_the_unprinted_edge() {
    OUTCOME.assert_no_fault("page");
    println!("{} pages drawn", OUTCOME.pages);
}
