//! What a reading of a scanning session stands for.

use super::{
    meant::{Meant, meant},
    reference::known_near,
};
use crate::{
    code::{Origin, Read, read},
    plan::Recognised,
    register::{Found, ItemId, Register, RegisterError},
};

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
    #[error("its check letter is missing or wrong, so it may be misread{}; scan it again", perhaps(near))]
    Unchecked {
        /// Codes of the register that may have been meant.
        near: Vec<String>,
    },
    /// It is a label from before of one item, and a code of another one behind a misfit keyboard layout.
    #[error("it may be {own}, or {old} by its old code; type the code of the one in full")]
    Two {
        /// What has that code, by its name.
        own: String,
        /// What has that label, by its name.
        old: String,
    },
    /// The register does not know it.
    #[error("the register does not know it{}; `stowmark find WORDS` looks for titles", perhaps(near))]
    Unknown {
        /// Codes of the register that may have been meant.
        near: Vec<String>,
    },
}

fn perhaps(near: &[String]) -> String {
    if near.is_empty() { String::new() } else { format!(" (meant may be {})", near.join(" or ")) }
}

/// Looks a reading up: a code in full, tolerantly read, a label from before, or the number of an item as `#12`.
pub(super) fn meaning(register: &Register, text: &str, is_cut: bool) -> Result<Meaning, RegisterError> {
    let bare = text.trim_matches(|c: char| c.is_whitespace() || c.is_control());
    if is_cut || bare.is_empty() {
        return Ok(Meaning::Nothing(if is_cut { Unread::TooLong } else { Unread::Blank }));
    }
    if let Some(id) = ItemId::parse(bare) {
        let found = register.item(id)?.map(|item| Meaning::Found(Found::Item(item), None));
        return Ok(found.unwrap_or(Meaning::Nothing(Unread::Unknown { near: Vec::new() })));
    }
    Ok(match meant(register, bare, Origin::Scanned)? {
        Meant { own: Some(own), old: Some(old), .. } => {
            Meaning::Nothing(Unread::Two { own: name(&own), old: old.name() })
        }
        Meant { own: Some(found), recognised, .. } => Meaning::Found(found, repair(recognised)),
        Meant { old: Some(item), .. } => Meaning::Found(Found::Item(item), None),
        _ => Meaning::Nothing(nothing(register, bare)?),
    })
}

fn nothing(register: &Register, text: &str) -> Result<Unread, RegisterError> {
    let near = known_near(register, text)?;
    let is_unchecked = read(text, Origin::Scanned) == Read::Unchecked;
    Ok(if is_unchecked { Unread::Unchecked { near } } else { Unread::Unknown { near } })
}

fn repair(recognised: Recognised) -> Option<&'static str> {
    if let Recognised::Code(_, repair) = recognised { repair } else { None }
}

fn name(found: &Found) -> String {
    match found {
        Found::Item(item) => item.name(),
        Found::Bin(bin) => format!("bin {}", bin.code),
    }
}
