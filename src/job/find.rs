//! What a reading or a few words stand for.

use super::reference::known_near;
use crate::{
    code::Origin,
    plan::{Recognised, recognise},
    register::{Found, ItemId, Register, RegisterError, Words},
};

/// The answer to a question.
#[derive(Debug, Clone, PartialEq)]
pub struct FindAnswer {
    /// What was asked.
    pub query: String,
    /// What it stands for.
    pub matches: Vec<Found>,
    /// Codes that may have been meant.
    pub near: Vec<String>,
    /// Whether there are more matches than the limit.
    pub more: bool,
    /// The keyboard layout that was undone.
    pub repaired: Option<&'static str>,
}

/// Finds by code, tolerantly read, or by words of titles; at most `limit` matches.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn find(register: &Register, text: &str, origin: Origin, limit: usize) -> Result<FindAnswer, RegisterError> {
    if let Some(id) = ItemId::parse(text) {
        let matches = register.item(id)?.into_iter().map(Found::Item).collect();
        return Ok(FindAnswer { query: text.to_owned(), matches, near: Vec::new(), more: false, repaired: None });
    }
    let is_known = |code| register.look_up(code).map(|found| found.is_some());
    let (mut matches, repaired) = match recognise(text, origin, is_known)? {
        Recognised::Code(code, repaired) => (register.look_up(code)?.into_iter().collect(), repaired),
        Recognised::UnknownCode => (Vec::new(), None),
        Recognised::Words => (by_words(register, text, limit)?, None),
    };
    let near = if matches.is_empty() { known_near(register, text)? } else { Vec::new() };
    let more = matches.len() > limit;
    matches.truncate(limit);
    Ok(FindAnswer { query: text.to_owned(), matches, near, more, repaired })
}

/// One more than the limit, to know whether there are more.
fn by_words(register: &Register, text: &str, limit: usize) -> Result<Vec<Found>, RegisterError> {
    let Some(words) = Words::new(text) else { return Ok(Vec::new()) };
    Ok(register.search(&words, limit.saturating_add(1))?.into_iter().map(Found::Item).collect())
}
