//! What a reading stands for, given what the register knows.

use crate::code::{Origin, Read, Repair, StockCode, read, repairs};

/// What a reading stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Recognised {
    /// A code of the register; with the keyboard layout that had to be undone, if one had to.
    Code(StockCode, Option<&'static str>),
    /// A code or something like one that is not in the register: only near codes are of use.
    UnknownCode,
    /// No code: words, perhaps.
    Words,
}

/// Decides what a reading stands for; `is_known` tells whether a code is in the register.
///
/// A layout is undone only if just one code comes out that is in the register.
///
/// # Errors
/// Those of `is_known`.
pub fn recognise<E>(
    text: &str,
    origin: Origin,
    mut is_known: impl FnMut(StockCode) -> Result<bool, E>,
) -> Result<Recognised, E> {
    let read = read(text, origin);
    if let Read::Code(code) = read
        && is_known(code)?
    {
        return Ok(Recognised::Code(code, None));
    }
    let mut known: Vec<Repair> = Vec::new();
    for repair in repairs(text) {
        if is_known(repair.code)? {
            known.push(repair);
        }
    }
    Ok(match (known.as_slice(), read) {
        ([only], _) => Recognised::Code(only.code, Some(only.layout)),
        // A bare bin code that is not there is as likely a word of a title.
        (_, Read::Code(code)) if text.trim().eq_ignore_ascii_case(&code.to_string()) && is_bin(code) => {
            Recognised::Words
        }
        // `24 cm` and `4x100` have a code's shape and are measures.
        _ if text.trim().contains(char::is_whitespace) => Recognised::Words,
        (_, Read::Code(_)) if origin == Origin::Typed && text.trim().ends_with(|c: char| c.is_ascii_digit()) => {
            Recognised::Words
        }
        (_, Read::Other) => Recognised::Words,
        _ => Recognised::UnknownCode,
    })
}

fn is_bin(code: StockCode) -> bool {
    matches!(code, StockCode::Bin(_))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(known: &[&str], text: &str) -> Recognised {
        let is_known = |code: StockCode| Ok::<_, ()>(known.contains(&code.payload().as_str()));
        recognise(text, Origin::Scanned, is_known).unwrap()
    }

    #[test]
    fn a_layout_is_undone_only_towards_a_known_code() {
        let code = StockCode::from_payload("4C017R").unwrap();
        assert_eq!(with(&["4C017R"], "'Cà&èR"), Recognised::Code(code, Some("French")));
        assert_eq!(with(&["4A001F"], "'Cà&èR"), Recognised::Words);
    }

    #[test]
    fn wrong_checks_are_not_searched_as_words() {
        assert_eq!(with(&["4C017R"], "4C017F"), Recognised::UnknownCode);
        assert_eq!(with(&["4C017R"], "4A001F"), Recognised::UnknownCode);
        assert_eq!(with(&[], "teapot"), Recognised::Words);
        assert_eq!(with(&[], "4C"), Recognised::Words);
    }
}
