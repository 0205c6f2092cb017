//! Titles of items, and the other short texts that end up on labels.

use unicode_normalization::UnicodeNormalization;

/// Why a title was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TitleError {
    /// Nothing but white space.
    #[error("the title or name is empty")]
    Empty,
    /// Longer than [`Title::MAX_CHARS`].
    #[error("the title or name has {0} characters; at most {max} are kept", max = Title::MAX_CHARS)]
    TooLong(usize),
}

/// A short text on one line: composed (Unicode NFC), single spaces, no control characters, never empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Title(String);

impl Title {
    /// The longest title, in characters.
    pub const MAX_CHARS: usize = 500;

    /// Tidies a text up into a title.
    ///
    /// # Errors
    /// [`TitleError`] when nothing is left of it or it is too long.
    pub fn new(text: &str) -> Result<Self, TitleError> {
        let blank = |c: char| c.is_whitespace() || c.is_control();
        let words: Vec<&str> = text.split(blank).filter(|word| !word.is_empty()).collect();
        let tidy: String = words.join(" ").nfc().collect();
        match tidy.chars().count() {
            0 => Err(TitleError::Empty),
            count if count > Self::MAX_CHARS => Err(TitleError::TooLong(count)),
            _ => Ok(Self(tidy)),
        }
    }

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// A text as it is searched: without accents in any script, and with the letters spelt out that are no
/// plain letter with an accent, `große` as `grosse`.
pub(super) fn spelt_out(text: &str) -> String {
    let letter = |c: char| match c {
        'ß' | 'ẞ' => "ss".into(),
        'æ' | 'Æ' => "ae".into(),
        'œ' | 'Œ' => "oe".into(),
        'ø' | 'Ø' => "o".into(),
        'ł' | 'Ł' => "l".into(),
        'đ' | 'Đ' | 'ð' | 'Ð' => "d".into(),
        'þ' | 'Þ' => "th".into(),
        'ı' => "i".into(),
        other => other.to_string(),
    };
    text.nfd().filter(|c| !matches!(c, '\u{300}'..='\u{36f}')).map(letter).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn titles_are_tidied_and_never_empty() {
        let title = Title::new(" Cafetie\u{300}re\tfor\r\n 4 \u{0}").unwrap();
        assert_eq!(title.as_str(), "Cafetière for 4");
        assert_eq!(Title::new(" \t\u{a0}"), Err(TitleError::Empty));
        assert_eq!(Title::new(&"x".repeat(501)), Err(TitleError::TooLong(501)));
    }
}
