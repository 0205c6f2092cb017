//! Bins that are said to stand elsewhere or to hold something else, and what that makes wrong.
//!
//! Start with [`edit_bins`].

use crate::{
    code::BinCode,
    register::{Bin, BinEdit, Edit, Register, RegisterError},
};

/// Why a place in a stack was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no place in a stack; count from the top, 1 to 99, or give none")]
pub struct StackError(pub String);

/// A place in a stack from the top, 1 to 99.
///
/// # Errors
/// [`StackError`].
pub fn place_in_stack(text: &str) -> Result<u32, StackError> {
    let place = text.parse().ok().filter(|place| (1..=99).contains(place));
    place.ok_or_else(|| StackError(text.to_owned()))
}

/// Bins as they were before an edit and as they are now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BinsEdited {
    /// As they were.
    pub before: Vec<Bin>,
    /// As they are, in the same order.
    pub after: Vec<Bin>,
}

/// Changes bins, all of them or none.
///
/// # Errors
/// As [`Register::edit_bins`].
pub fn edit_bins(register: &mut Register, codes: &[BinCode], edit: &BinEdit) -> Result<BinsEdited, RegisterError> {
    let before = bins(register, codes)?;
    register.edit_bins(codes, edit)?;
    Ok(BinsEdited { before, after: bins(register, codes)? })
}

fn bins(register: &Register, codes: &[BinCode]) -> Result<Vec<Bin>, RegisterError> {
    codes.iter().map(|code| register.bin(*code)).collect()
}

impl BinsEdited {
    fn pairs(&self) -> impl Iterator<Item = (&Bin, &Bin)> {
        self.before.iter().zip(&self.after)
    }

    /// Those that stand elsewhere now, as they were and as they are: their signs are wrong, and the strips of
    /// [`Self::spots`].
    pub fn moved(&self) -> impl Iterator<Item = (&Bin, &Bin)> {
        self.pairs().filter(|(before, after)| before.place != after.place)
    }

    /// Those that stand at the same spot and have another place in the stack there.
    pub fn restacked(&self) -> impl Iterator<Item = &Bin> {
        let is_restacked = |(before, after): &(&Bin, &Bin)| before.place == after.place && before.stack != after.stack;
        self.pairs().filter(is_restacked).map(|(_, after)| after)
    }

    /// Those that came out of a stack although no word was said of it, as they came to another spot.
    pub fn unstacked(&self, edit: &BinEdit) -> impl Iterator<Item = &Bin> {
        let keeps = edit.stack == Edit::Keep;
        let is_lost = move |(before, after): &(&Bin, &Bin)| keeps && before.stack.is_some() && after.stack.is_none();
        self.pairs().filter(is_lost).map(|(_, after)| after)
    }

    /// The names of the spots that bins left or came to, each once.
    #[must_use]
    pub fn spots(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        let moved: Vec<(&Bin, &Bin)> = self.moved().collect();
        let bins = moved.iter().map(|(before, _)| before).chain(moved.iter().map(|(_, after)| after));
        for spot in bins.filter_map(|bin| bin.place.spot.as_ref()) {
            if !names.contains(&spot.name.as_str()) {
                names.push(&spot.name);
            }
        }
        names
    }
}
