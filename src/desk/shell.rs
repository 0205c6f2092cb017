//! What all pages have around them: the way to the others, and what was just done.

use axum::{extract::FromRequestParts, http::request::Parts};

use super::{answer::Refusal, own::VERSION, state::Desk};
use crate::register::{ChangeId, Device};

/// The page that is open, among those that the bar leads to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    Find,
    Bins,
    Items,
    Labels,
    Stow,
    Pick,
    Count,
    Regroup,
    Takings,
    More,
    None,
}

impl Place {
    /// Its name in templates.
    fn name(self) -> &'static str {
        match self {
            Self::Find => "find",
            Self::Bins => "bins",
            Self::Items => "items",
            Self::Labels => "labels",
            Self::Stow => "stow",
            Self::Pick => "pick",
            Self::Count => "count",
            Self::Regroup => "regroup",
            Self::Takings => "takings",
            Self::More => "more",
            Self::None => "",
        }
    }
}

/// Something to be said on the next page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Told {
    /// What was done.
    pub text: String,
    /// The change that a button takes back.
    pub undo: Option<ChangeId>,
    /// Whether it is to be looked at: a warning.
    pub is_warning: bool,
}

impl Told {
    /// Something was done.
    pub(super) fn done(text: impl Into<String>, undo: Option<ChangeId>) -> Self {
        Self { text: text.into(), undo, is_warning: false }
    }

    /// The same, where figures of a bin or a kind may be in doubt.
    pub(super) fn doubted(text: impl Into<String>, doubt: Option<String>, undo: Option<ChangeId>) -> Self {
        let done = Self::done(text, undo);
        match doubt {
            Some(doubt) => {
                Self { text: format!("{} Look at the figures: {doubt}.", done.text), is_warning: true, ..done }
            }
            None => done,
        }
    }
}

/// What a page has around it.
#[derive(Debug, Clone)]
pub(super) struct Shell {
    pub title: String,
    pub here: Place,
    pub looks_only: bool,
    /// Without a visitor there is no way to other pages.
    pub is_paired: bool,
    pub told: Option<Told>,
    /// Its address, where taking something back leads to.
    pub page: String,
    /// Whether it answers what was sent.
    pub is_sent: bool,
    /// Of the style and the script, so that a browser takes new ones at once.
    pub version: &'static str,
}

impl Shell {
    /// Without a way to other pages.
    pub(super) fn bare(title: &str, here: Place) -> Self {
        Self {
            title: title.into(),
            here,
            looks_only: false,
            is_paired: false,
            told: None,
            page: "/".into(),
            is_sent: false,
            version: &VERSION,
        }
    }

    /// Whether the place of this name is open.
    pub(super) fn is(&self, place: &str) -> bool {
        self.here.name() == place
    }
}

/// The paired device that asks.
#[derive(Debug, Clone)]
pub(super) struct Visitor {
    pub device: Device,
    /// Whether a part of a page is asked for, to be put into one that is open.
    pub wants_part: bool,
    /// The address that is asked for.
    pub page: String,
    /// Whether something is sent.
    pub sends: bool,
}

impl Visitor {
    /// What the page has around it; takes what is to be said.
    pub(super) fn shell(&self, desk: &Desk, title: &str, here: Place) -> Shell {
        Shell {
            looks_only: self.device.looks_only,
            is_paired: true,
            page: self.page.clone(),
            is_sent: self.sends,
            told: if self.wants_part { None } else { desk.take_told(self.device.id) },
            ..Shell::bare(title, here)
        }
    }
}

impl<S: Sync> FromRequestParts<S> for Visitor {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Refusal> {
        parts.extensions.get::<Self>().cloned().ok_or_else(Refusal::broken)
    }
}
