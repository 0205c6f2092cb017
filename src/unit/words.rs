//! Numbers of things, and lists of them, in words.
//!
//! Start with [`count`] and [`listed`]. Nouns with another plural than an s are worded where they are used.

use std::borrow::Borrow;

/// `1 item`, `2 items`
#[must_use]
pub fn count(number: u64, noun: &str) -> String {
    if number == 1 { format!("1 {noun}") } else { format!("{number} {noun}s") }
}

/// `a, b and c`
#[must_use]
pub fn listed(parts: &[impl Borrow<str>]) -> String {
    joined(parts, "and")
}

/// `a, b or c`
#[must_use]
pub fn joined(parts: &[impl Borrow<str>], by: &str) -> String {
    match parts {
        [] => String::new(),
        [only] => only.borrow().to_owned(),
        [before @ .., last] => format!("{} {by} {}", before.join(", "), last.borrow()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_thing_has_no_plural() {
        assert_eq!([0, 1, 2].map(|number| count(number, "item")), ["0 items", "1 item", "2 items"]);
    }

    #[test]
    fn the_last_of_a_list_is_joined_by_a_word() {
        let cases: [(&[&str], &str); 4] =
            [(&[], ""), (&["a"], "a"), (&["a", "b"], "a or b"), (&["a", "b", "c"], "a, b or c")];
        for (parts, expected) in cases {
            assert_eq!(joined(parts, "or"), expected);
        }
        assert_eq!(listed(&["a".to_owned(), "b".to_owned()]), "a and b");
    }
}
