//! Codes that a user typed as arguments, looked up in the register.

use super::meant::{Meant, meant};
use crate::{
    code::{Origin, StockCode, near},
    register::{Bin, Found, Item, ItemId, Register, RegisterError},
};

/// Why a typed code was refused.
#[derive(Debug, thiserror::Error)]
pub enum ReferenceError {
    /// It stands for nothing.
    #[error("there is nothing with the code `{text}`{}", hint(near))]
    Unknown {
        /// What was typed.
        text: String,
        /// Codes of the register that may have been meant.
        near: Vec<String>,
    },
    /// It may be a code of this program without its check letter, and is a label from before as well.
    #[error("`{text}` may be {own}, or {old} by its old code; give the code of the one in full")]
    Two {
        /// What was typed.
        text: String,
        /// What has that code, by its name.
        own: String,
        /// What has that label, by its name.
        old: String,
    },
    /// It stands for a bin where an item is wanted.
    #[error("`{0}` is a bin; give the code of an item, such as 4A-001F")]
    NotAnItem(String),
    /// It stands for an item where a bin is wanted.
    #[error("`{0}` is an item; give the code of a bin, such as 4A")]
    NotABin(String),
    /// It has no code yet.
    #[error("{0} waits for a bin and has no code yet; `stowmark put '{0}' --in BIN` gives it both")]
    NoCodeYet(String),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

fn hint(near: &[String]) -> String {
    match near {
        [] => "; `stowmark find WORDS` looks for titles".into(),
        near => format!("; did you mean {}?", near.join(" or ")),
    }
}

/// A code of a symbol as people write it; other texts as they are.
pub(super) fn code_text(payload: &str) -> String {
    match StockCode::from_payload(payload) {
        Some(StockCode::Item(code)) => code.to_string(),
        Some(StockCode::Bin(code)) => code.to_string(),
        None => payload.to_owned(),
    }
}

/// The item or bin that a typed code stands for.
///
/// # Errors
/// [`ReferenceError::Unknown`] with near codes.
pub fn found_by_text(register: &Register, text: &str) -> Result<Found, ReferenceError> {
    found(register, text, Origin::Typed)
}

/// The item or bin whose label was read: a code without its check letter is not taken.
///
/// # Errors
/// As [`found_by_text`].
pub fn found_by_scan(register: &Register, text: &str) -> Result<Found, ReferenceError> {
    found(register, text, Origin::Scanned)
}

fn found(register: &Register, text: &str, origin: Origin) -> Result<Found, ReferenceError> {
    if let Some(id) = ItemId::parse(text) {
        let item = register.item(id)?.map(Found::Item);
        return item.ok_or_else(|| ReferenceError::Unknown { text: text.to_owned(), near: Vec::new() });
    }
    match meant(register, text, origin)? {
        Meant { own: Some(own), old: Some(old), .. } => {
            Err(ReferenceError::Two { text: text.to_owned(), own: called(&own), old: called(&Found::Item(old)) })
        }
        Meant { own: Some(found), .. } => Ok(found),
        Meant { old: Some(item), .. } => Ok(Found::Item(item)),
        _ => Err(ReferenceError::Unknown { text: text.to_owned(), near: known_near(register, text)? }),
    }
}

/// By what a thing is told from others: `4A-001F (Copper jam pan)`.
fn called(found: &Found) -> String {
    match found {
        Found::Item(item) => format!("{} ({})", item.name(), item.title),
        Found::Bin(bin) => format!("bin {}", bin.code),
    }
}

/// The item that a typed code stands for.
///
/// # Errors
/// [`ReferenceError`].
pub fn item_by_text(register: &Register, text: &str) -> Result<Item, ReferenceError> {
    match found_by_text(register, text)? {
        Found::Item(item) => Ok(item),
        Found::Bin(_) => Err(ReferenceError::NotAnItem(text.to_owned())),
    }
}

/// The items that typed codes stand for, each once.
///
/// # Errors
/// [`ReferenceError`] for the first that stands for none.
pub fn items_by_text(register: &Register, codes: &[String]) -> Result<Vec<Item>, ReferenceError> {
    let mut items: Vec<Item> = Vec::with_capacity(codes.len());
    for code in codes {
        let item = item_by_text(register, code)?;
        if !items.iter().any(|known| known.id() == item.id()) {
            items.push(item);
        }
    }
    Ok(items)
}

/// The same items as they are now.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn fresh(register: &Register, items: &[Item]) -> Result<Vec<Item>, RegisterError> {
    items.iter().filter_map(|item| register.item(item.id()).transpose()).collect()
}

/// The bin that a typed code stands for.
///
/// # Errors
/// [`ReferenceError`].
pub fn bin_by_text(register: &Register, text: &str) -> Result<Bin, ReferenceError> {
    match found_by_text(register, text)? {
        Found::Bin(bin) => Ok(bin),
        Found::Item(_) => Err(ReferenceError::NotABin(text.to_owned())),
    }
}

/// At most this many near codes are named.
const MOST_NEAR: usize = 5;

/// Codes of the register that are one slip away from a text.
pub(super) fn known_near(register: &Register, text: &str) -> Result<Vec<String>, RegisterError> {
    let mut known = Vec::new();
    for code in near(text) {
        let present = register.look_up(code)?.map(|found| match found {
            Found::Item(item) => item.name(),
            Found::Bin(bin) => bin.code.to_string(),
        });
        known.extend(present.filter(|code| !known.contains(code)));
        if known.len() == MOST_NEAR {
            break;
        }
    }
    Ok(known)
}
