//! The names for sizes of items: those that are usual, and those that the user has set.
//!
//! Start with [`sizes`] and [`size_by_text`].

use super::Stockroom;
use crate::{
    plan::{NamedSize, is_usual, named_sizes},
    register::{Bulk, Register, RegisterError, Title},
    unit::Volume,
};

/// Why a name for a size was refused.
#[derive(Debug, thiserror::Error)]
pub enum SizeError {
    /// There is none of that name.
    #[error(
        "there is no size `{name}`; there are {}, and `stowmark size set NAME LITRES` makes others",
        known.join(", ")
    )]
    Unknown {
        /// What was asked for.
        name: String,
        /// Those there are.
        known: Vec<String>,
    },
    /// The user has not set it.
    #[error("`{0}` is a usual size that was not set, so there is nothing to remove; `stowmark size set` changes it")]
    NotSet(String),
    /// Items have it, and nothing would be known of it any more.
    #[error("the size `{name}` stays: {}; `stowmark item edit CODE --size NAME` gives another one", used_text(*items))]
    InUse {
        /// Its name.
        name: String,
        /// How many items have it.
        items: u32,
    },
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

fn used_text(items: u32) -> String {
    if items == 1 { "an item has it".into() } else { format!("{items} items have it") }
}

/// All names for sizes, by volume.
///
/// # Errors
/// [`RegisterError`] when the file can't be read.
pub fn sizes(register: &Register) -> Result<Vec<NamedSize>, RegisterError> {
    Ok(named_sizes(&register.set_sizes()?))
}

/// A name for a size, and what items of it count as.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CountedSize {
    /// The name.
    pub size: NamedSize,
    /// What an item counts as of which nothing else is known.
    pub counts_as: Volume,
    /// Whether that is the median of those that are measured.
    pub is_median: bool,
}

/// All names for sizes with what items of them count as.
///
/// # Errors
/// [`RegisterError`] when the file can't be read.
pub fn counted_sizes(register: &Register) -> Result<Vec<CountedSize>, RegisterError> {
    let (records, sizes) = (register.bulks()?, sizes(register)?);
    let of_size = |size: &NamedSize| Bulk { size: Some(size.name.clone()), ..Bulk::default() };
    let asked: Vec<Bulk> = sizes.iter().map(of_size).collect();
    let (_, loads) = Stockroom::reckoned(register, &records, &asked.iter().collect::<Vec<_>>())?;
    let is_measured = |bulk: &Bulk| bulk.volume.is_some() || bulk.measures.is_some();
    let counted = sizes.into_iter().zip(&loads[records.len()..]).map(|(size, load)| CountedSize {
        counts_as: Volume::from_millilitres(load.millilitres.into()).unwrap_or(size.volume),
        is_median: !size.is_set
            && records.iter().any(|of| of.bulk.size.as_ref() == Some(&size.name) && is_measured(&of.bulk)),
        size,
    });
    Ok(counted.collect())
}

/// The size of this name, in any capitals if only one is meant then.
///
/// # Errors
/// [`SizeError::Unknown`] with those there are.
pub fn size_by_text(register: &Register, text: &str) -> Result<NamedSize, SizeError> {
    size_among(&sizes(register)?, text)
}

/// The same among sizes that were read already.
pub(super) fn size_among(sizes: &[NamedSize], text: &str) -> Result<NamedSize, SizeError> {
    let name = text.trim();
    let exact = sizes.iter().find(|size| size.name == name);
    let mut alike = sizes.iter().filter(|size| size.name.to_lowercase() == name.to_lowercase());
    let only = alike.next().filter(|_| alike.next().is_none());
    let known = || sizes.iter().map(|size| size.name.clone()).collect();
    exact.or(only).cloned().ok_or_else(|| SizeError::Unknown { name: name.to_owned(), known: known() })
}

/// Sets what a name for a size stands for: one that there is, in any capitals, or a new one.
///
/// # Errors
/// [`SizeError`].
pub fn set_size(register: &mut Register, name: &Title, volume: Volume) -> Result<NamedSize, SizeError> {
    let known = size_by_text(register, name.as_str()).ok().and_then(|size| Title::new(&size.name).ok());
    let name = known.unwrap_or_else(|| name.clone());
    register.set_size(&name, volume)?;
    size_by_text(register, name.as_str())
}

/// Forgets what a name for a size was set to. One of the user's own is no more then; a usual one is as it was.
///
/// # Errors
/// [`SizeError`].
pub fn remove_size(register: &mut Register, text: &str) -> Result<NamedSize, SizeError> {
    let size = size_by_text(register, text)?;
    if !size.is_set {
        return Err(SizeError::NotSet(size.name));
    }
    let items = register.items_of_size(&size.name)?;
    if items > 0 && !is_usual(&size.name) {
        return Err(SizeError::InUse { name: size.name, items });
    }
    register.remove_size(&size.name)?;
    Ok(size)
}
