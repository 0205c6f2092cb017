//! Picks confirmed one by one with a reader.
//!
//! Start with [`PickSession`].

use jiff::civil::Date;

use super::reference::known_near;
use crate::{
    code::Origin,
    plan::{Recognised, recognise},
    register::{Bin, ChangeId, Found, Item, ItemFilter, Pick, Register, RegisterError, Status},
};

/// Why a reading picked nothing.
#[derive(Debug, thiserror::Error)]
pub enum PickRefusal {
    /// It stands for nothing.
    #[error("unknown{}", near_text(near))]
    Unknown {
        /// Codes of the register that may have been meant.
        near: Vec<String>,
    },
    /// It stands for a bin.
    #[error("{} is a bin; {}", bin.code, wanted_text(wanted))]
    Bin {
        /// Which.
        bin: Bin,
        /// What is to be picked from it.
        wanted: Vec<Item>,
    },
    /// Nothing was picked in this session that could be taken back.
    #[error("nothing was picked here yet")]
    NothingToUndo,
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

fn near_text(near: &[String]) -> String {
    if near.is_empty() { String::new() } else { format!("; did you mean {}?", near.join(" or ")) }
}

fn wanted_text(wanted: &[Item]) -> String {
    let names: Vec<String> = wanted.iter().map(Item::name).collect();
    if names.is_empty() {
        "nothing is to be picked from it".into()
    } else {
        format!("scan the tags in it: {}", names.join(", "))
    }
}

/// The picks of one session, so that the last can be taken back.
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

    /// Picks the item that was read; it is saved when this returns.
    ///
    /// # Errors
    /// [`PickRefusal`].
    pub fn pick(&mut self, register: &mut Register, text: &str) -> Result<Item, PickRefusal> {
        let item = item_read(register, text)?;
        let (picks, change) = register.pick_items(std::slice::from_ref(&item), self.day)?;
        self.done.extend(change.into_iter().zip(picks));
        Ok(item)
    }

    /// Takes the last pick of this session back, and gives it.
    ///
    /// # Errors
    /// [`PickRefusal::NothingToUndo`]; [`PickRefusal::Register`] where other changes stand on it.
    pub fn undo(&mut self, register: &mut Register) -> Result<Pick, PickRefusal> {
        let (change, pick) = self.done.last().cloned().ok_or(PickRefusal::NothingToUndo)?;
        register.undo(&[change])?;
        self.done.pop();
        Ok(pick)
    }
}

/// The item that a reader's text stands for; words of a title never do.
fn item_read(register: &Register, text: &str) -> Result<Item, PickRefusal> {
    let is_known = |code| register.look_up(code).map(|found| found.is_some());
    let found = match recognise(text, Origin::Scanned, is_known)? {
        Recognised::Code(code, _) => register.look_up(code)?,
        Recognised::UnknownCode | Recognised::Words => register.item_by_old_code(text)?.map(Found::Item),
    };
    match found {
        Some(Found::Item(item)) if item.status != Status::Undone => Ok(item),
        Some(Found::Bin(bin)) => {
            let sold = ItemFilter { bin: Some(bin.code), states: vec![Status::Sold], ..ItemFilter::default() };
            Err(PickRefusal::Bin { wanted: register.items(&sold)?, bin })
        }
        _ => Err(PickRefusal::Unknown { near: known_near(register, text)? }),
    }
}
