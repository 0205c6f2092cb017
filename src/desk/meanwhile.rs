//! What was done to items while a page of them was open, as it is told to the one who comes too late.

use super::{answer::Refusal, words::desk_words};
use crate::{
    job::{Settings, history_since, local_time},
    register::{Item, Register, RegisterError, Terms, Version},
};

/// So many changes are told, the last ones.
const TOLD: usize = 3;

/// A refusal; one of an item that is not any more as it was seen says what was done to it, and when.
pub(super) fn with_what_was_done(register: &Register, terms: &Terms, refusal: Refusal) -> Refusal {
    if refusal != Refusal::from(RegisterError::ItemChanged) {
        return refusal;
    }
    // Where that can't be read, the refusal stands as it is.
    let told = terms.unchanged.iter().find_map(|(id, seen)| {
        let item = register.item(*id).ok().flatten()?;
        told(register, &item, *seen).ok().flatten()
    });
    told.map_or(refusal, Refusal::input)
}

/// `4A-001F was changed elsewhere meanwhile (asking 24.95 → 27.95, 2026-11-25 21:14), so nothing was done.`
fn told(register: &Register, item: &Item, seen: Version) -> Result<Option<String>, RegisterError> {
    let lines = history_since(register, item, seen, &Settings::of(register)?.currency)?;
    let Some(last) = lines.last() else { return Ok(None) };
    let texts: Vec<&str> = lines.iter().rev().take(TOLD).rev().map(|line| line.text.as_str()).collect();
    let (name, texts, at) = (item.name(), texts.join(", "), local_time(&last.at));
    let told = format!("{name} was changed elsewhere meanwhile ({texts}, {at}), so nothing was done.");
    Ok(Some(format!("{} Look at it as it is now, and do it again.", desk_words(&told))))
}
