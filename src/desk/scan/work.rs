//! What a session does with its readings.

use super::{
    count::CountWork, pick::PickWork, regroup::GoWork, said::Said, session::Area, state::State, stow::StowWork,
};
use crate::{
    desk::{answer::Refusal, state::Desk},
    register::Register,
};

/// The work of a session.
#[derive(Debug)]
pub(super) enum Work {
    Stow(StowWork),
    Pick(PickWork),
    Count(CountWork),
    Go(GoWork),
}

impl Work {
    /// Begins it; `bin` is the one that the page names.
    pub(super) fn begin(register: &mut Register, area: Area, bin: &str) -> Result<Self, Refusal> {
        Ok(match area {
            Area::Stow => Self::Stow(StowWork::begin(register, bin)?),
            Area::Pick => Self::Pick(PickWork::begin()),
            Area::Count => Self::Count(CountWork::begin(register, bin)?),
            Area::Regroup => Self::Go(GoWork::begin(register)?),
        })
    }

    /// Takes note of the bin that a page shows which goes on with it.
    pub(super) fn look_at(&mut self, register: &Register, bin: &str) -> Result<(), Refusal> {
        match self {
            Self::Stow(work) => work.look_at(register, bin),
            Self::Pick(_) | Self::Count(_) | Self::Go(_) => Ok(()),
        }
    }

    /// Does what a reading says.
    pub(super) fn take(&mut self, register: &mut Register, text: &str, is_cut: bool) -> Said {
        match self {
            Self::Stow(work) => work.take(register, text, is_cut),
            Self::Pick(work) => work.take(register, text, is_cut),
            Self::Count(work) => work.take(register, text, is_cut),
            Self::Go(work) => work.take(register, text, is_cut),
        }
    }

    /// What the page shows of it.
    pub(super) fn state(&mut self, desk: &Desk, session: &str) -> Result<State, Refusal> {
        Ok(match self {
            Self::Stow(work) => State::Stow(work.state(session)?),
            Self::Pick(work) => State::Pick(desk.ask(|register| work.state(register, session))?),
            Self::Count(work) => State::Count(work.state(session)),
            Self::Go(work) => State::Go(Box::new(desk.ask(|register| work.state(register, session))?)),
        })
    }
}
