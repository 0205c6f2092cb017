//! The guard against fields that a spreadsheet would take for a formula.
//!
//! [`guard`] each field on its way out, [`unguard`] it on its way in; every text comes back as it was.
//! Amounts are numbers and need no guard; nothing here knows which field is one.

use std::borrow::Cow;

const MARK: char = '\'';
/// First characters that make a formula of a field (OWASP, "CSV Injection"; CWE-1236).
const DANGEROUS: [char; 7] = ['=', '+', '-', '@', '\t', '\r', '\n'];

/// Puts a `'` in front if the text, past all its leading `'`, begins with `=`, `+`, `-`, `@`, tab, CR or LF.
#[must_use]
pub fn guard(text: &str) -> Cow<'_, str> {
    if is_dangerous(text) { Cow::Owned(format!("{MARK}{text}")) } else { Cow::Borrowed(text) }
}

/// Takes off the `'` that [`guard`] put in front, and no other.
#[must_use]
pub fn unguard(text: &str) -> Cow<'_, str> {
    match text.strip_prefix(MARK) {
        Some(bare) if is_dangerous(bare) => Cow::Borrowed(bare),
        _ => Cow::Borrowed(text),
    }
}

/// Marks that are already there count as none, or a text that begins with one would come back without it.
fn is_dangerous(text: &str) -> bool {
    text.trim_start_matches(MARK).starts_with(DANGEROUS)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// OWASP, "CSV Injection"; CWE-1236.
    #[test]
    fn fields_that_begin_a_formula_are_guarded() {
        let cases = [
            ("=1+1", "'=1+1"),
            ("+1", "'+1"),
            ("-1", "'-1"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("\tx", "'\tx"),
            ("\rx", "'\rx"),
            ("\nx", "'\nx"),
            ("'=x", "''=x"),
            ("''-", "'''-"),
        ];
        for (text, guarded) in cases {
            assert_eq!(guard(text), guarded, "{text:?}");
            assert_eq!(unguard(guarded), text, "{guarded:?}");
        }
    }

    #[test]
    fn other_fields_are_left_alone() {
        for text in ["", "'", "'''", "'70s fondue set", "Pan", "a=b", " =x", "12\" pan"] {
            assert_eq!(guard(text), text, "{text:?}");
            assert_eq!(unguard(text), text, "{text:?}");
        }
    }

    #[test]
    fn every_text_comes_back() {
        let mut texts = vec![String::new()];
        let mut last = texts.clone();
        for _ in 0..4 {
            last = last.iter().flat_map(|text| ["'", "=", "a", "-", "\t"].map(|c| format!("{text}{c}"))).collect();
            texts.extend(last.clone());
        }
        assert_eq!(texts.len(), 1 + 5 + 25 + 125 + 625);
        for text in texts {
            assert_eq!(unguard(&guard(&text)), text, "{text:?}");
            assert!(!guard(&text).starts_with(DANGEROUS), "{text:?}");
        }
    }
}
