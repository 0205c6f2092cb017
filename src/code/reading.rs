//! What a reader or a person typed, read tolerantly as a code.
//!
//! Start with [`read`]; when that gives nothing, [`repairs`] undoes keyboard layouts.
//! Nothing is looked up: whoever asks checks that the code is in the register.

use super::{BinCode, StockCode, layout::LAYOUTS};

/// Where a text came from. Only people leave a check letter out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Typed as an argument of a command.
    Typed,
    /// Read in a scanning session.
    Scanned,
}

/// What a text is taken for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Read {
    /// A code, in full or by the rules for typed ones.
    Code(StockCode),
    /// It has a code's shape, but the check letter is wrong or missing.
    Unchecked,
    /// Something else: words, an own numbering, a misfit keyboard layout.
    Other,
}

/// A reading that makes sense once a keyboard layout is undone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Repair {
    /// The code that was meant.
    pub code: StockCode,
    /// The layout that was undone, for people: `French`.
    pub layout: &'static str,
}

/// Reads a text as a code: small letters, hyphens, an AIM prefix, line ends and a link around it are
/// taken off; a missing check letter is taken from typed text only.
#[must_use]
pub fn read(text: &str, origin: Origin) -> Read {
    let bare = bare(text);
    if let Some(code) = StockCode::from_payload(&bare) {
        return Read::Code(code);
    }
    // People write just `4C` on a list and read it on the sign; a link or a symbol says more.
    if let Ok(bin) = text.parse::<BinCode>() {
        return Read::Code(StockCode::Bin(bin));
    }
    match (StockCode::from_data(&bare), origin) {
        (Some(code), Origin::Typed) => Read::Code(code),
        (Some(_), Origin::Scanned) => Read::Unchecked,
        (None, _) if has_shape(&bare) => Read::Unchecked,
        (None, _) => Read::Other,
    }
}

/// What the text says if it came through a keyboard layout that does not match the reader's. Each
/// passes the check; more than one code means that none may be taken.
#[must_use]
pub fn repairs(text: &str) -> Vec<Repair> {
    let mut found: Vec<Repair> = Vec::new();
    for layout in LAYOUTS {
        let code = layout.undo(text.trim()).and_then(|undone| StockCode::from_payload(&bare(&undone)));
        if let Some(code) = code.filter(|code| !found.iter().any(|repair| repair.code == *code)) {
            found.push(Repair { code, layout: layout.name() });
        }
    }
    found
}

/// The text without what readers, links and people put around and into a code.
pub(super) fn bare(text: &str) -> String {
    let trimmed = text.trim_matches(|c: char| c.is_whitespace() || c.is_control());
    let last = if trimmed.contains("://") { last_part(trimmed) } else { without_aim(trimmed) };
    let filler = |c: &char| c.is_whitespace() || matches!(c, '-' | '\u{2010}'..='\u{2015}' | '−');
    last.chars().filter(|c| !filler(c)).collect::<String>().to_ascii_uppercase()
}

fn last_part(link: &str) -> &str {
    let path = link.split(['?', '#']).next().unwrap_or(link);
    path.trim_end_matches('/').rsplit('/').next().unwrap_or(path)
}

/// Drops an AIM symbology identifier (ISO/IEC 15424): `]`, a letter, a letter or digit.
#[must_use]
pub fn without_aim(text: &str) -> &str {
    match text.as_bytes() {
        [b']', letter, modifier, ..] if letter.is_ascii_alphabetic() && modifier.is_ascii_alphanumeric() => &text[3..],
        _ => text,
    }
}

/// Whether the text is digits, one or two capitals, digits and a capital, of any letters.
fn has_shape(bare: &str) -> bool {
    let upper = |c: char| c.is_ascii_uppercase();
    let Some(body) = bare.strip_suffix(upper) else { return false };
    let serial = body.trim_start_matches(|c: char| c.is_ascii_digit());
    let letters = serial.trim_end_matches(|c: char| c.is_ascii_digit());
    let digits = serial.len() - letters.len();
    body.len() > serial.len() && matches!(letters.len(), 1..=2) && digits >= 2 && letters.chars().all(upper)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn code(payload: &str) -> Read {
        Read::Code(StockCode::from_payload(payload).unwrap())
    }

    #[test]
    fn one_code_is_read_however_it_arrives() {
        let arrivals = [
            "4C017R",
            "4c-017r",
            "4C-017R\r\n",
            "4C017R\t",
            "]C04C017R",
            "]Q14c017r",
            " 4C 017 R ",
            "4C–017R",
            "HTTP://192.0.2.7:8080/S/4C017R",
            "https://host/s/4c-017r/?x=1#y",
        ];
        for text in arrivals {
            assert_eq!(read(text, Origin::Scanned), code("4C017R"), "{text:?}");
        }
    }

    #[test]
    fn a_missing_check_letter_is_taken_from_typed_text_only() {
        assert_eq!(read("4c-017", Origin::Typed), code("4C017R"));
        assert_eq!(read("4C017", Origin::Scanned), Read::Unchecked);
        assert_eq!(read("4c", Origin::Scanned), code("4C00V"));
        assert_eq!(read("4C00", Origin::Typed), code("4C00V"));
    }

    #[test]
    fn wrong_checks_are_told_from_words() {
        for text in ["4C017F", "4c-017l", "4O017R", "4C0017R"] {
            assert_eq!(read(text, Origin::Typed), Read::Unchecked, "{text}");
        }
        for text in ["", "teapot", "1000 pieces", "4", "CC017R", "4C017RX", "1/4C", "🫖", "4CCC017R", "]"] {
            assert_eq!(read(text, Origin::Typed), Read::Other, "{text}");
        }
    }

    #[test]
    fn a_french_keyboard_is_undone() {
        let found = repairs("'C&è_R");
        assert_eq!(found.iter().map(|repair| repair.code.payload()).collect::<Vec<_>>(), Vec::<String>::new());
        let found = repairs("'Cà&èR");
        assert_eq!(found.iter().map(|repair| repair.code.payload()).collect::<Vec<_>>(), ["4C017R"]);
    }
}
