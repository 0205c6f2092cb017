//! The part of a session's page that changes with each reading.

use std::fmt;

use super::{count::CountState, pick::PickState, regroup::GoState, session::new_id, stow::StowState};
use crate::desk::answer::Refusal;

/// What a session's page shows of its work.
#[derive(Debug)]
pub(super) enum State {
    Stow(StowState),
    Pick(PickState),
    Count(CountState),
    Go(Box<GoState>),
}

impl State {
    /// The session that it is of.
    pub(super) fn session(&self) -> &str {
        match self {
            Self::Stow(state) => &state.session,
            Self::Pick(state) => &state.session,
            Self::Count(state) => &state.session,
            Self::Go(state) => &state.session,
        }
    }

    /// The bin that the page names with its next reading.
    pub(super) fn bin(&self) -> &str {
        match self {
            Self::Stow(state) => state.bin.as_deref().unwrap_or_default(),
            Self::Count(state) => &state.bin,
            Self::Pick(_) | Self::Go(_) => "",
        }
    }
}

impl fmt::Display for State {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stow(state) => state.fmt(f),
            Self::Pick(state) => state.fmt(f),
            Self::Count(state) => state.fmt(f),
            Self::Go(state) => state.fmt(f),
        }
    }
}

/// What a button of the page sends in place of a reading. Without script it is sent as it stands here.
#[derive(Debug, Clone)]
pub(super) struct Button {
    pub session: String,
    pub scan: String,
    pub text: String,
}

impl Button {
    pub(super) fn new(session: &str, text: impl Into<String>) -> Result<Self, Refusal> {
        Ok(Self { session: session.to_owned(), scan: new_id()?, text: text.into() })
    }
}
