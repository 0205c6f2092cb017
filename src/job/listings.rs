//! Items whose listings have something to be done: those without one, and those whose listing shows an old code.

use crate::register::{Item, ItemFilter, ItemOrder, ItemPage, Register, RegisterError, Status};

/// Items in a bin that are not listed yet, by their bins, at most so many; and how many there are.
///
/// # Errors
/// [`RegisterError`] when the file can't be read.
pub fn unlisted(register: &Register, most: usize) -> Result<(Vec<Item>, usize), RegisterError> {
    let filter = ItemFilter { states: vec![Status::Held], ..ItemFilter::default() };
    register.item_page(&ItemPage { filter, order: ItemOrder::Bin, most, ..ItemPage::default() })
}

/// Listed items whose listing still shows a code that they had before.
///
/// # Errors
/// [`RegisterError`] when the file can't be read.
pub fn recoded(register: &Register) -> Result<Vec<Item>, RegisterError> {
    let listed = register.items(&ItemFilter { states: vec![Status::Listed], ..ItemFilter::default() })?;
    Ok(listed.into_iter().filter(|item| item.listing_code.is_some()).collect())
}
