//! What other keyboard layouts make of a reader's typing, and whether the code is still found.

use stowmark::code::{Origin, Read, StockCode, check_letter, layout::LAYOUTS, read, repairs};

use super::sample::sample;

/// What a computer's keyboard layout makes of a reader that types as on a US keyboard: what is sent and
/// what arrives, character for character. [C] from Debian's xkb-data 2.35.1.
struct Keyboard {
    name: &'static str,
    /// Capitals and digits that change, with what arrives.
    changed: &'static [(&'static str, &'static str)],
}

const Y_AND_Z: (&str, &str) = ("YZyz", "ZYzy");
const FRENCH_LETTERS: (&str, &str) = ("AQZWMaqzwm", "QAWZ?qawz,");

const KEYBOARDS: [Keyboard; 19] = [
    Keyboard { name: "British", changed: &[] },
    Keyboard { name: "Polish", changed: &[] },
    Keyboard { name: "German", changed: &[Y_AND_Z, ("-", "ß")] },
    Keyboard { name: "Austrian", changed: &[Y_AND_Z, ("-", "ß")] },
    Keyboard { name: "Swiss German", changed: &[Y_AND_Z, ("-", "'")] },
    Keyboard { name: "Swiss French", changed: &[Y_AND_Z, ("-", "'")] },
    Keyboard { name: "Czech", changed: &[Y_AND_Z, ("0123456789", "é+ěščřžýáí")] },
    Keyboard { name: "Hungarian", changed: &[Y_AND_Z, ("0", "ö"), ("-", "ü")] },
    Keyboard { name: "French", changed: &[FRENCH_LETTERS, ("0123456789", "à&é\"'(-è_ç"), ("-", ")")] },
    Keyboard { name: "Belgian", changed: &[FRENCH_LETTERS, ("0123456789", "à&é\"'(§è!ç")] },
    Keyboard { name: "Spanish", changed: &[("-", "'")] },
    Keyboard { name: "Italian", changed: &[("-", "'")] },
    Keyboard { name: "Portuguese", changed: &[("-", "'")] },
    Keyboard { name: "Dutch", changed: &[("-", "/")] },
    Keyboard { name: "Swedish", changed: &[("-", "+")] },
    Keyboard { name: "Danish", changed: &[("-", "+")] },
    Keyboard { name: "Norwegian", changed: &[("-", "+")] },
    Keyboard { name: "Finnish", changed: &[("-", "+")] },
    // The digits and letters of codes stay as they are; its hyphen too.
    Keyboard { name: "Canadian French", changed: &[] },
];

impl Keyboard {
    /// What a computer with this layout shows when a reader sends the text.
    fn shows(&self, sent: &str) -> String {
        let key =
            |c: char| self.changed.iter().find_map(|(from, to)| to.chars().nth(from.chars().position(|f| f == c)?));
        sent.chars().map(|c| key(c).unwrap_or(c)).collect()
    }

    /// What the program's layout of this name makes of what arrived; without one it stays.
    fn undo(&self, arrived: &str) -> Option<String> {
        let layout = LAYOUTS.iter().find(|layout| layout.name().split(", ").any(|name| name == self.name));
        layout.map_or_else(|| Some(arrived.to_owned()), |layout| layout.undo(arrived))
    }
}

/// Codes whose letters and digits meet every key that moves: A, M, Q, W and all ten digits.
const CODES: [&str; 7] = ["4C017R", "123AM456", "789QW1203", "4C00", "16M608", "105W999", "97A1000"];

fn with_check(text: &str) -> String {
    let data = text.trim_end_matches(|c: char| !c.is_ascii_digit());
    format!("{data}{}", check_letter(data).unwrap())
}

/// With a hyphen where people write it.
fn hyphenated(payload: &str) -> String {
    let letters = payload.find(|c: char| c.is_ascii_uppercase()).unwrap();
    let serial = letters + payload[letters..].find(|c: char| c.is_ascii_digit()).unwrap();
    format!("{}-{}", &payload[..serial], &payload[serial..])
}

/// Whether the code is what a reading says, as it is or by undoing a layout.
fn is_found(arrived: &str, payload: &str) -> bool {
    let code = StockCode::from_payload(payload).unwrap();
    read(arrived, Origin::Scanned) == Read::Code(code) || repairs(arrived).iter().any(|repair| repair.code == code)
}

#[test]
fn codes_are_found_through_every_keyboard() {
    for (keyboard, code) in KEYBOARDS.iter().flat_map(|keyboard| CODES.map(|code| (keyboard, with_check(code)))) {
        let arrived = keyboard.shows(&code);
        assert!(is_found(&arrived, &code), "{} shows `{arrived}` for {code}", keyboard.name);
        // Caps Lock inverts case; keys without case stay.
        let locked = keyboard.shows(&code.to_ascii_lowercase());
        assert!(is_found(&locked, &code), "{} shows `{locked}` for {code}", keyboard.name);
    }
}

#[test]
fn hyphens_are_found_through_every_keyboard_that_moves_them() {
    let moves = |keyboard: &&Keyboard| keyboard.shows("-") != "-";
    let keyboards: Vec<&Keyboard> = KEYBOARDS.iter().filter(moves).collect();
    assert_eq!(keyboards.len(), 14);
    for (keyboard, code) in keyboards.into_iter().flat_map(|keyboard| CODES.map(|code| (keyboard, with_check(code)))) {
        let arrived = keyboard.shows(&hyphenated(&code));
        assert!(is_found(&arrived, &code), "{} shows `{arrived}` for {code}", keyboard.name);
    }
}

#[test]
fn layouts_take_back_each_changed_key() {
    for keyboard in &KEYBOARDS {
        for (sent, arrived) in keyboard.changed {
            assert_eq!(keyboard.undo(arrived).as_deref(), Some(*sent), "{}", keyboard.name);
        }
    }
}

/// [C] letters that arrive unchanged on all 20 layouts.
#[test]
fn letters_that_no_layout_moves_stay() {
    for layout in LAYOUTS {
        let letters = "BCDEFGHIJKLNOPRSTUVX";
        assert_eq!(layout.undo(letters), None, "{}", layout.name());
        assert_eq!(layout.undo(&letters.to_ascii_lowercase()), None, "{}", layout.name());
    }
    for unmoved in ["British", "Polish"] {
        assert!(LAYOUTS.iter().all(|layout| !layout.name().contains(unmoved)), "{unmoved}");
    }
}

/// A repair names its layout, each code once, and never says anything about a plain reading.
#[test]
fn repairs_say_what_they_undid() {
    let found = repairs("'Cà&èR");
    let said: Vec<(String, &str)> = found.iter().map(|repair| (repair.code.payload(), repair.layout)).collect();
    assert_eq!(said, [("4C017R".to_owned(), "French")]);
    for plain in ["", "4C017R", "4C-017R", "teapot", "🫖", "]C04C017R", "ßßß"] {
        assert_eq!(repairs(plain), Vec::new(), "{plain}");
    }
}

/// Design: a reading with plain digits is never French, Belgian or Czech.
#[test]
fn plain_digits_are_never_repaired_into_other_codes() {
    for text in sample() {
        assert_eq!(repairs(&text), Vec::new(), "{text}");
    }
}
