//! Which labels are wanted.

use super::{
    LabelJob,
    reference::{ReferenceError, bin_by_text, item_by_text},
};
use crate::{code::AreaNumber, register::Register};

/// Which labels are wanted, as a user says it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Choice {
    /// Those that have none yet.
    Waiting,
    /// These, by their codes.
    Of(Vec<String>),
    /// Those in a bin (tags) or an area (signs).
    Within(String),
    /// All.
    All,
}

impl Choice {
    /// From the options of a command: codes, a bin or an area, or all; without any, those that wait.
    #[must_use]
    pub fn new(codes: &[String], within: Option<&str>, all: bool) -> Self {
        match (codes, within) {
            ([], Some(within)) => Self::Within(within.to_owned()),
            ([], None) if all => Self::All,
            ([], None) => Self::Waiting,
            (codes, _) => Self::Of(codes.to_vec()),
        }
    }

    /// The tags that are wanted.
    ///
    /// # Errors
    /// [`ReferenceError`] for a code that stands for no item or no bin.
    pub fn tags(&self, register: &Register) -> Result<Vec<LabelJob>, ReferenceError> {
        let items = match self {
            Self::Of(codes) => codes.iter().map(|code| item_by_text(register, code)).collect::<Result<_, _>>()?,
            Self::Within(bin) => register.items(Some(bin_by_text(register, bin)?.code), false)?,
            Self::All => register.items(None, false)?,
            Self::Waiting => register.items(None, true)?,
        };
        Ok(items.into_iter().map(LabelJob::Tag).collect())
    }

    /// The signs that are wanted.
    ///
    /// # Errors
    /// [`ReferenceError`] for a code that stands for no bin, or an area that is not there.
    pub fn signs(&self, register: &Register) -> Result<Vec<LabelJob>, ReferenceError> {
        let bins = match self {
            Self::Of(codes) => codes.iter().map(|code| bin_by_text(register, code)).collect::<Result<_, _>>()?,
            Self::Within(area) => {
                let area: AreaNumber = area.parse().map_err(crate::register::RegisterError::Code)?;
                register.bins(Some(area))?
            }
            Self::All => register.bins(None)?,
            Self::Waiting => register.bins_without_sign()?,
        };
        Ok(bins.into_iter().map(LabelJob::Sign).collect())
    }
}
