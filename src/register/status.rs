//! What can become of an item.

use serde::Serialize;

/// What has become of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// Entered, without a bin and a code yet.
    Waiting,
    /// In its bin, not listed.
    Held,
    /// In its bin and listed.
    Listed,
    /// Sold, and still in its bin.
    Sold,
    /// Sold and taken from its bin.
    Picked,
    /// Lost, broken, given away.
    Gone,
    /// Its entry was taken back.
    Undone,
}

impl Status {
    /// All that an item can be in that was not taken back, in their order.
    pub const ALL: [Self; 6] = [Self::Waiting, Self::Held, Self::Listed, Self::Sold, Self::Picked, Self::Gone];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Waiting => "waiting",
            Self::Held => "held",
            Self::Listed => "listed",
            Self::Sold => "sold",
            Self::Picked => "picked",
            Self::Gone => "gone",
            Self::Undone => "undone",
        }
    }

    /// The status of this word.
    #[must_use]
    pub fn by_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().chain([Self::Undone]).find(|status| status.word() == word)
    }
}
