//! What is said to a reading: large, with a word and a sign beside the colour, and with a sound.

use askama::Template;

use crate::{
    desk::words::desk_words,
    job::{shown, with_causes},
    register::ChangeSummary,
};

/// How an answer sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::desk) enum Sound {
    /// It was done.
    Good,
    /// It was refused, or is to be looked at.
    Bad,
    /// Nothing came of it.
    None,
}

impl Sound {
    /// Its name in the answer's header, and the class of its colours.
    pub(in crate::desk) fn name(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Bad => "bad",
            Self::None => "none",
        }
    }

    fn sign(self) -> &'static str {
        match self {
            Self::Good => "✓",
            Self::Bad => "✕",
            Self::None => "•",
        }
    }
}

/// The answer to a reading.
#[derive(Debug, Clone, PartialEq, Eq, Template)]
#[template(path = "scan_said.html")]
pub(in crate::desk) struct Said {
    pub sound: Sound,
    /// The bin that it is about.
    pub plate: Option<String>,
    /// What happened, in a word or two.
    pub word: &'static str,
    /// What it happened to.
    pub title: String,
    pub text: String,
    pub warnings: Vec<String>,
    /// What is to be done now.
    pub next: Option<String>,
}

impl Said {
    /// With a title and a text alone.
    pub(in crate::desk) fn new(
        sound: Sound,
        word: &'static str,
        title: impl Into<String>,
        text: impl Into<String>,
    ) -> Self {
        let (title, text) = (title.into(), text.into());
        Self { sound, plate: None, word, title, text, warnings: Vec::new(), next: None }
    }

    /// Beside the plate of a bin.
    #[expect(clippy::needless_pass_by_value, reason = "a code, or its text")]
    pub(in crate::desk) fn at(self, bin: impl ToString) -> Self {
        Self { plate: Some(bin.to_string()), ..self }
    }

    /// A reading that was refused.
    pub(in crate::desk) fn refused(text: &str, why: &dyn std::error::Error) -> Self {
        Self::new(Sound::Bad, "Refused", quoted(text), desk_words(&with_causes(why)))
    }

    /// A scan that was taken before; what it changed stands.
    pub(in crate::desk) fn before(change: &ChangeSummary) -> Self {
        Self::new(Sound::Good, "Taken before", desk_words(&change.what), "This scan was taken the first time it came.")
    }
}

/// A reading, shortened where it is long.
pub(in crate::desk) fn quoted(text: &str) -> String {
    let text = shown(text);
    match text.char_indices().nth(60) {
        Some((end, _)) => format!("“{}…”", &text[..end]),
        None => format!("“{text}”"),
    }
}
