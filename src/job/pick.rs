//! Picks confirmed one by one with a reader.
//!
//! Start with [`PickSession`]. What can't be done is refused, and the session goes on.

use jiff::civil::Date;

use super::reading::{Meaning, Unread, meaning};
use crate::{
    code::BinCode,
    register::{ChangeId, Found, Item, ItemFilter, Pick, Register, RegisterError, Status},
};

/// The word that takes the last pick back.
const UNDO: &str = "undo";

/// What became of a reading.
#[derive(Debug, Clone, PartialEq)]
pub enum Picking {
    /// The item, as it was in its bin, was picked.
    Picked(Box<Item>, Pick),
    /// The last pick was taken back.
    Undone(Pick),
}

/// Why a reading was refused. Nothing has been changed then.
#[derive(Debug, thiserror::Error)]
pub enum PickRefusal {
    /// It stands for nothing.
    #[error(transparent)]
    Unread(#[from] Unread),
    /// It stands for a bin.
    #[error("{bin} is a bin; {}", wanted_text(wanted))]
    Bin {
        /// Which.
        bin: BinCode,
        /// What is to be picked from it.
        wanted: Vec<Item>,
    },
    /// Nothing of this session is left to be taken back.
    #[error("nothing of this session is left to take back")]
    NothingToUndo,
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

fn wanted_text(wanted: &[Item]) -> String {
    let names: Vec<String> = wanted.iter().map(Item::name).collect();
    if names.is_empty() {
        "nothing is to be picked from it".into()
    } else {
        format!("scan the tags of what is to be picked from it: {}", names.join(", "))
    }
}

/// The picks of one session, so that they can be taken back, the last one first.
#[derive(Debug)]
pub struct PickSession {
    day: Date,
    done: Vec<(ChangeId, Pick)>,
}

impl PickSession {
    /// Picks of this day.
    #[must_use]
    pub fn new(day: Date) -> Self {
        Self { day, done: Vec::new() }
    }

    /// Picks from here on are of this day.
    pub fn set_day(&mut self, day: Date) {
        self.day = day;
    }

    /// How many picks of this session stand.
    #[must_use]
    pub fn picked(&self) -> usize {
        self.done.len()
    }

    /// Does what a reading says; it is saved when this returns. `is_cut` when it was too long to be kept.
    ///
    /// # Errors
    /// [`PickRefusal`]; the session goes on.
    pub fn take(&mut self, register: &mut Register, text: &str, is_cut: bool) -> Result<Picking, PickRefusal> {
        if text.trim().eq_ignore_ascii_case(UNDO) {
            return self.undo(register).map(Picking::Undone);
        }
        match meaning(register, text, is_cut)? {
            Meaning::Nothing(why) => Err(why.into()),
            Meaning::Found(Found::Item(item), _) => self.pick(register, item),
            Meaning::Found(Found::Bin(bin), _) => {
                let sold = ItemFilter { bin: Some(bin.code), states: vec![Status::Sold], ..ItemFilter::default() };
                Err(PickRefusal::Bin { bin: bin.code, wanted: register.items(&sold)? })
            }
        }
    }

    fn pick(&mut self, register: &mut Register, item: Item) -> Result<Picking, PickRefusal> {
        let (picks, change) = register.pick_items(std::slice::from_ref(&item), self.day)?;
        let pick = picks.into_iter().next().zip(change);
        let (pick, change) = pick.ok_or_else(|| RegisterError::NotSold { item: item.name(), status: item.status })?;
        self.done.push((change, pick.clone()));
        Ok(Picking::Picked(Box::new(item), pick))
    }

    /// What others have built on stays, and stays the next to be taken back.
    fn undo(&mut self, register: &mut Register) -> Result<Pick, PickRefusal> {
        let (change, pick) = self.done.last().cloned().ok_or(PickRefusal::NothingToUndo)?;
        let undone = register.undo(&[change]);
        if matches!(undone, Ok(_) | Err(RegisterError::UndoneBefore(_))) {
            self.done.pop();
        }
        undone?;
        Ok(pick)
    }
}
