//! Codes that a mistyped one may have been meant to be.
//!
//! [`near`] gives candidates; whoever asks keeps those that are in the register.

use super::{BinCode, StockCode, alphabet, reading};

/// Longer texts are no slip of a code's; the number of candidates stays in the hundreds.
const LONGEST: usize = 14;

/// Codes one slip away from the text, likeliest first: the check letter alone, then one character
/// changed, swapped with its neighbour, dropped or added.
#[must_use]
pub fn near(text: &str) -> Vec<StockCode> {
    let bare = reading::bare(text);
    if bare.len() > LONGEST || !looks_like_a_code(&bare) {
        return Vec::new();
    }
    let mut found: Vec<StockCode> = without_check(&bare).into_iter().collect();
    found.extend(meant(&bare));
    found.dedup();
    for slip in slips(&bare) {
        let code = StockCode::from_payload(&slip).or_else(|| slip.parse::<BinCode>().ok().map(StockCode::Bin));
        found.extend(code.filter(|code| !found.contains(code)));
    }
    found
}

fn looks_like_a_code(bare: &str) -> bool {
    bare.starts_with(|c: char| c.is_ascii_digit())
        && bare.bytes().all(|byte| byte.is_ascii_alphanumeric())
        && bare.bytes().any(|byte| byte.is_ascii_alphabetic())
}

/// The code that all but the check letter stands for.
fn without_check(bare: &str) -> Option<StockCode> {
    StockCode::from_data(bare).or_else(|| StockCode::from_data(&bare[..bare.len() - 1]))
}

/// The code if O stood for 0 and I or L for 1, and if zeros were left out of the serial. A guess to be
/// named, never to be taken.
fn meant(bare: &str) -> Option<StockCode> {
    let digits = bare.replace('O', "0").replace(['I', 'L'], "1");
    let body = digits.strip_suffix(|c: char| c.is_ascii_alphabetic()).unwrap_or(&digits);
    let code = body.trim_end_matches(|c: char| c.is_ascii_digit());
    let serial: u32 = body[code.len()..].parse().ok()?;
    StockCode::from_payload(&digits).or_else(|| StockCode::from_data(&format!("{code}{serial:03}")))
}

fn slips(text: &str) -> Vec<String> {
    let characters: Vec<char> = text.chars().collect();
    let mut found = Vec::new();
    for at in 0..=characters.len() {
        found.extend(code_characters().map(|c| spliced(&characters, at, 1, &[c])));
        if let [first, second, ..] = characters[at..] {
            found.push(spliced(&characters, at, 2, &[second, first]));
        }
        found.push(spliced(&characters, at, 1, &[]));
        found.extend(code_characters().map(|c| spliced(&characters, at, 0, &[c])));
    }
    found
}

fn code_characters() -> impl Iterator<Item = char> {
    ('0'..='9').chain(alphabet::LETTERS)
}

/// The characters with `taken` of them from `at` on replaced by others.
fn spliced(characters: &[char], at: usize, taken: usize, put: &[char]) -> String {
    let after = characters.get(at + taken..).unwrap_or_default();
    characters[..at].iter().chain(put).chain(after).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near_payloads(text: &str) -> Vec<String> {
        near(text).into_iter().map(StockCode::payload).collect()
    }

    #[test]
    fn a_wrong_check_letter_comes_first() {
        assert_eq!(near_payloads("4c-017f")[0], "4C017R");
        assert_eq!(near_payloads("4C017")[0], "4C017R");
    }

    #[test]
    fn one_slip_leads_back_to_the_code() {
        for slip in ["4C01R", "4C0177R", "C4017R", "4C107R", "4O017R", "4L017R", "44C017R", "4C017L"] {
            assert!(slip == "C4017R" || near_payloads(slip).contains(&"4C017R".into()), "{slip}");
        }
        for guess in ["4c-o17", "4COI7R", "4C-17", "4C17R"] {
            assert!(near_payloads(guess).contains(&"4C017R".into()), "{guess}");
        }
        assert!(near_payloads("4E").contains(&"4C00V".into()));
        for nothing in ["", "teapot", "4", "1234567890123456", "4ü"] {
            assert_eq!(near_payloads(nothing), Vec::<String>::new(), "{nothing}");
        }
    }
}
