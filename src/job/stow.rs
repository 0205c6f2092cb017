//! A session that puts items into bins: a bin is read, then the items that go into it, then the next bin.
//!
//! Start with [`Stow::new`] and hand each reading to [`Stow::take`], which never fails: what can't be done is refused,
//! and the session goes on. Each item is a change of its own, on disk before the answer is given.

use super::{
    RoomWarning, RoomWatch,
    reading::{Meaning, Unread, meaning},
};
use crate::register::{Bin, ChangeId, Found, Item, ItemId, Move, Register, RegisterError};

/// The word that takes the last item back.
const UNDO: &str = "undo";

/// A session.
#[derive(Debug, Clone, Default)]
pub struct Stow {
    bin: Option<Bin>,
    /// What was put so far and was not taken back, the last one last.
    done: Vec<Done>,
    refused: usize,
    /// How full bins are, from the first item on.
    watch: Option<RoomWatch>,
    warnings: Vec<RoomWarning>,
}

#[derive(Debug, Clone)]
struct Done {
    change: ChangeId,
    item: ItemId,
    moved: Move,
}

/// What became of a reading.
#[derive(Debug, Clone, PartialEq)]
pub enum Stowing {
    /// Items go into this bin from here on.
    Bin(Bin, StowRepair),
    /// The item is in the bin now; without a move it was there already.
    Put(Item, Option<Move>, StowRepair),
    /// The last item was taken back: the item as it is now, and the move that it had made.
    Undone(Item, Move),
}

/// The keyboard layout that had to be undone, if one had to.
pub type StowRepair = Option<&'static str>;

/// Why a reading was refused. Nothing has been changed then.
#[derive(Debug, thiserror::Error)]
pub enum StowError {
    /// It stands for nothing.
    #[error(transparent)]
    Unread(#[from] Unread),
    /// An item came before any bin.
    #[error("no bin was read yet; scan the sign of the bin that {0} goes into, then {0} again")]
    NoBin(String),
    /// Nothing of this session is left to be taken back.
    #[error("nothing of this session is left to take back")]
    NothingToUndo,
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

impl Stow {
    /// A session that has not seen a bin yet, or begins with one.
    ///
    /// # Errors
    /// [`RegisterError::BinTakenBack`]; [`RegisterError::BinRetired`].
    pub fn new(bin: Option<Bin>) -> Result<Self, RegisterError> {
        bin.as_ref().map_or(Ok(()), Bin::require_live)?;
        Ok(Self { bin, ..Self::default() })
    }

    /// Does what a reading says; `is_cut` when it was too long to be kept.
    ///
    /// # Errors
    /// [`StowError`]; the session goes on.
    pub fn take(&mut self, register: &mut Register, text: &str, is_cut: bool) -> Result<Stowing, StowError> {
        self.warnings.clear();
        let taken = if text.trim().eq_ignore_ascii_case(UNDO) {
            self.undo(register)
        } else {
            self.read(register, text, is_cut)
        };
        self.refused += usize::from(taken.is_err());
        taken
    }

    /// The bin that items go into.
    #[must_use]
    pub fn bin(&self) -> Option<&Bin> {
        self.bin.as_ref()
    }

    /// Items go into this bin from here on, as its user sees it, unless nothing goes into it any more.
    pub fn goes_into(&mut self, bin: Bin) {
        if bin.require_live().is_ok() {
            self.bin = Some(bin);
        }
    }

    /// Reads anew how full bins are: others may have moved things meanwhile.
    pub fn look_anew(&mut self) {
        self.watch = None;
    }

    /// How many moves of this session stand.
    #[must_use]
    pub fn stowed(&self) -> usize {
        self.done.len()
    }

    /// How many readings were refused.
    #[must_use]
    pub fn refused(&self) -> usize {
        self.refused
    }

    /// What is to be said of the bin that the last reading has put something into. It is in there all the same.
    #[must_use]
    pub fn warnings(&self) -> &[RoomWarning] {
        &self.warnings
    }

    fn read(&mut self, register: &mut Register, text: &str, is_cut: bool) -> Result<Stowing, StowError> {
        match meaning(register, text, is_cut)? {
            Meaning::Nothing(why) => Err(why.into()),
            Meaning::Found(Found::Bin(bin), repair) => {
                bin.require_live()?;
                self.bin = Some(bin.clone());
                Ok(Stowing::Bin(bin, repair))
            }
            Meaning::Found(Found::Item(item), repair) => self.put(register, item, repair),
        }
    }

    fn put(&mut self, register: &mut Register, item: Item, repair: StowRepair) -> Result<Stowing, StowError> {
        let Some(bin) = self.bin.as_ref().map(|bin| bin.code) else { return Err(StowError::NoBin(item.name())) };
        self.watch_room(register);
        let (moves, change) = register.move_items(std::slice::from_ref(&item), bin)?;
        let last = moves.into_iter().next();
        if let Some((moved, change)) = last.clone().zip(change) {
            self.done.push(Done { change, item: item.id(), moved });
        }
        // The change stands, whatever comes of reading the item once more for the answer.
        let item = register.item(item.id()).ok().flatten().unwrap_or(item);
        if let Some(watch) = &mut self.watch {
            if let Some(moved) = &last {
                watch.moved(item.id(), moved.from, Some(moved.to));
            }
            self.warnings = watch.warnings(&item, bin);
        }
        Ok(Stowing::Put(item, last, repair))
    }

    /// Read once, before the first move. What can't be read is not warned of: the session is about moves.
    fn watch_room(&mut self, register: &Register) {
        if self.watch.is_none() {
            self.watch = Some(RoomWatch::of(register).unwrap_or_default());
        }
    }

    /// What others have built on stays, and stays the next to be taken back.
    fn undo(&mut self, register: &mut Register) -> Result<Stowing, StowError> {
        let Some(last) = self.done.last().cloned() else { return Err(StowError::NothingToUndo) };
        let before = register.item(last.item)?.ok_or(StowError::NothingToUndo)?;
        let undone = register.undo(&[last.change]);
        if matches!(undone, Ok(_) | Err(RegisterError::UndoneBefore(_))) {
            self.done.pop();
        }
        undone?;
        if let Some(watch) = &mut self.watch {
            watch.moved(last.item, Some(last.moved.to), last.moved.from);
        }
        let item = register.item(last.item).ok().flatten().unwrap_or(before);
        Ok(Stowing::Undone(item, last.moved))
    }
}
