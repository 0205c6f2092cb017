//! What a reading or a few words stand for.

use super::{
    meant::{Meant, meant},
    reference::known_near,
    words::shown,
};
use crate::{
    code::{BinCode, Origin},
    plan::Recognised,
    register::{Found, ItemId, Register, RegisterError, Words},
};

/// The answer to a question.
#[derive(Debug, Clone, PartialEq)]
pub struct FindAnswer {
    /// What was asked.
    pub query: String,
    /// What it stands for.
    pub matches: Vec<Found>,
    /// The labels from before of each of them.
    pub old_codes: Vec<Vec<String>>,
    /// For each of them that was taken to be moved: the bin that it was in, and the one that it goes to.
    pub in_hand: Vec<Option<(BinCode, BinCode)>>,
    /// For each the bin in which it was not found when it was to be moved by plan.
    pub missed_in: Vec<Option<BinCode>>,
    /// Codes that may have been meant.
    pub near: Vec<String>,
    /// Whether there are more matches than the limit.
    pub more: bool,
    /// The keyboard layout that was undone.
    pub repaired: Option<&'static str>,
}

impl FindAnswer {
    /// Of what was found already.
    pub(super) fn of(register: &Register, query: &str, matches: Vec<Found>) -> Result<Self, RegisterError> {
        let old_codes = matches.iter().map(|found| old_codes(register, found)).collect::<Result<_, _>>()?;
        let in_hand = matches.iter().map(|found| in_hand(register, found)).collect::<Result<_, _>>()?;
        let missed_in = matches.iter().map(|found| missed_in(register, found)).collect::<Result<_, _>>()?;
        let (query, near) = (query.to_owned(), Vec::new());
        Ok(Self { query, matches, old_codes, in_hand, missed_in, near, more: false, repaired: None })
    }

    /// What was found, each with its labels from before.
    pub fn found(&self) -> impl Iterator<Item = (&Found, &[String])> {
        self.matches.iter().zip(self.old_codes.iter().map(Vec::as_slice))
    }

    /// ``read `'Cà&èR` as typed on a French keyboard; …``, or nothing.
    #[must_use]
    pub fn repaired_text(&self) -> Option<String> {
        let layout = self.repaired?;
        Some(format!(
            "read `{}` as typed on a {layout} keyboard; set the reader to that layout to be sure",
            shown(&self.query)
        ))
    }

    /// `in hand: taken from 4A for 4B`, `not found in 4A when it was to be moved by plan`, or nothing.
    #[must_use]
    pub fn in_hand_note(&self, at: usize) -> Option<String> {
        let taken = self.in_hand.get(at).copied().flatten();
        let missed = self.missed_in.get(at).copied().flatten();
        let taken = taken.map(|(from, to)| format!("in hand: taken from {from} for {to}"));
        taken.or_else(|| missed.map(|bin| format!("not found in {bin} when it was to be moved by plan")))
    }

    /// The same behind a line: ` (in hand: taken from 4A for 4B)`, or nothing.
    #[must_use]
    pub fn in_hand_text(&self, at: usize) -> String {
        self.in_hand_note(at).map(|note| format!(" ({note})")).unwrap_or_default()
    }
}

/// Finds by code, tolerantly read, by a label from before, or by words of titles; at most `limit` matches. A code that
/// lacks its check letter may be such a label as well: both are found then.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn find(register: &Register, text: &str, origin: Origin, limit: usize) -> Result<FindAnswer, RegisterError> {
    let (mut matches, repaired) = match ItemId::parse(text) {
        Some(id) => (register.item(id)?.into_iter().map(Found::Item).collect(), None),
        None => by_code_or_words(register, text, origin, limit)?,
    };
    let is_number = ItemId::parse(text).is_some();
    let near = if matches.is_empty() && !is_number { known_near(register, text)? } else { Vec::new() };
    let more = matches.len() > limit;
    matches.truncate(limit);
    Ok(FindAnswer { near, more, repaired, ..FindAnswer::of(register, text, matches)? })
}

type Matches = (Vec<Found>, Option<&'static str>);

fn by_code_or_words(register: &Register, text: &str, origin: Origin, limit: usize) -> Result<Matches, RegisterError> {
    let Meant { recognised, own, old } = meant(register, text, origin)?;
    let matches: Vec<Found> = own.into_iter().chain(old.map(Found::Item)).collect();
    match recognised {
        Recognised::Code(_, repaired) => Ok((matches, repaired)),
        Recognised::Words if matches.is_empty() => Ok((by_words(register, text, limit)?, None)),
        _ => Ok((matches, None)),
    }
}

fn old_codes(register: &Register, found: &Found) -> Result<Vec<String>, RegisterError> {
    match found {
        Found::Item(item) => register.old_codes(item),
        Found::Bin(bin) => Ok(register.former_codes(bin)?.iter().map(ToString::to_string).collect()),
    }
}

fn in_hand(register: &Register, found: &Found) -> Result<Option<(BinCode, BinCode)>, RegisterError> {
    match found {
        Found::Item(item) => register.in_hand(item.id()),
        Found::Bin(_) => Ok(None),
    }
}

fn missed_in(register: &Register, found: &Found) -> Result<Option<BinCode>, RegisterError> {
    match found {
        Found::Item(item) => register.missed_in(item.id()),
        Found::Bin(_) => Ok(None),
    }
}

/// One more than the limit, to know whether there are more.
fn by_words(register: &Register, text: &str, limit: usize) -> Result<Vec<Found>, RegisterError> {
    let Some(words) = Words::new(text) else { return Ok(Vec::new()) };
    Ok(register.search(&words, limit.saturating_add(1))?.into_iter().map(Found::Item).collect())
}
