//! What a reading of a scanning session stands for.

use crate::{
    code::{Origin, Read, read, without_aim},
    plan::{Recognised, recognise},
    register::{Found, ItemId, Register, RegisterError},
};

use super::reference::known_near;

/// What a reading stands for.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Meaning {
    /// An item or a bin; with the keyboard layout that had to be undone, if one had to.
    Found(Found, Option<&'static str>),
    /// Nothing that can be taken.
    Nothing(Unread),
}

/// Why nothing was taken from a reading.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unread {
    /// There was nothing in it.
    #[error("nothing was read; scan a tag or a sign")]
    Blank,
    /// It went on for longer than any symbol.
    #[error("it is longer than any symbol; set the reader to end each reading with Enter or Tab")]
    TooLong,
    /// It looks like a code, without its check letter or with a wrong one.
    #[error("its check letter is missing or wrong, so it may be misread{}; scan it again", meant(near))]
    Unchecked {
        /// Codes of the register that may have been meant.
        near: Vec<String>,
    },
    /// The register does not know it.
    #[error("the register does not know it{}; `stowmark find WORDS` looks for titles", meant(near))]
    Unknown {
        /// Codes of the register that may have been meant.
        near: Vec<String>,
    },
}

fn meant(near: &[String]) -> String {
    if near.is_empty() { String::new() } else { format!(" (meant may be {})", near.join(" or ")) }
}

/// Looks a reading up: a code in full, tolerantly read, a label from before, or the number of an item as `#12`.
pub(super) fn meaning(register: &Register, text: &str, is_cut: bool) -> Result<Meaning, RegisterError> {
    let bare = text.trim_matches(|c: char| c.is_whitespace() || c.is_control());
    if is_cut || bare.is_empty() {
        return Ok(Meaning::Nothing(if is_cut { Unread::TooLong } else { Unread::Blank }));
    }
    let by_number = |id| register.item(id).map(|item| item.map(|item| (Found::Item(item), None)));
    let found = match ItemId::parse(bare) {
        Some(id) => by_number(id)?,
        None => by_code(register, bare)?,
    };
    if let Some((found, repaired)) = found {
        return Ok(Meaning::Found(found, repaired));
    }
    let near = known_near(register, bare)?;
    let is_unchecked = read(bare, Origin::Scanned) == Read::Unchecked;
    Ok(Meaning::Nothing(if is_unchecked { Unread::Unchecked { near } } else { Unread::Unknown { near } }))
}

fn by_code(register: &Register, text: &str) -> Result<Option<(Found, Option<&'static str>)>, RegisterError> {
    let is_known = |code| register.look_up(code).map(|found| found.is_some());
    if let Recognised::Code(code, repaired) = recognise(text, Origin::Scanned, is_known)? {
        return Ok(register.look_up(code)?.map(|found| (found, repaired)));
    }
    for label in [text, without_aim(text)] {
        if let Some(item) = register.item_by_old_code(label)? {
            return Ok(Some((Found::Item(item), None)));
        }
    }
    Ok(None)
}
