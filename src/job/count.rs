//! A count of a bin: what is in it is read and held against the register.
//!
//! Start with [`Count::begin`], hand each reading to [`Count::take`], and end with [`Count::finish`]; what was ticked
//! on a page instead goes into [`Count::ticked`]. What was in the bin when it was read counts as present, also when
//! another program moves it before the end; missing is what was in the bin from the beginning to the end and was not
//! read. Sold items that are not picked yet belong in their bin.

use super::{
    reading::{Meaning, Unread, meaning},
    reference::{ReferenceError, items_by_text},
    was,
};
use crate::{
    code::BinCode,
    plan::{Accuracy, Tally},
    register::{Bin, ChangeId, Fixed, Found, Item, ItemFilter, ItemId, NewTally, Register, RegisterError, Status},
};

/// The word that ends a count.
const END: &str = "done";

/// A count that goes on.
#[derive(Debug, Clone)]
pub struct Count {
    /// The bin that is counted.
    pub bin: Bin,
    /// What the register had in it at the beginning.
    expected: Vec<Item>,
    present: Vec<Item>,
    elsewhere: Vec<Item>,
    unknown: Vec<String>,
    ignored: Vec<(String, Ignored)>,
    is_ticked: bool,
}

/// What a reading of a count was.
#[derive(Debug, Clone, PartialEq)]
pub enum Reckoned {
    /// It belongs here.
    Present(Item),
    /// The register has it elsewhere, or nowhere.
    Misplaced(Item),
    /// The register has nothing of the kind.
    Unknown(Unread),
    /// It had no effect.
    Ignored(Ignored),
    /// The word that ends the count.
    End,
}

/// Why a reading had no effect.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Ignored {
    /// The item was read before.
    #[error("read before")]
    Again,
    /// The sign of the bin that is counted.
    #[error("the sign of the bin that is counted")]
    ThisBin,
    /// The sign of another one.
    #[error("the sign of another bin; {0} is counted")]
    OtherBin(BinCode),
    /// Nothing was read.
    #[error("nothing was read")]
    Blank,
}

/// Why a count was refused.
#[derive(Debug, thiserror::Error)]
pub enum CountError {
    /// A code that stands for no bin or no item.
    #[error(transparent)]
    Reference(#[from] ReferenceError),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
    /// An item that the register does not have in the bin can't be missing there.
    #[error("{item} can't be missing in {bin}: the register does not have it there; leave it out")]
    NotInBin {
        /// What it is called by.
        item: String,
        /// The bin.
        bin: BinCode,
    },
    /// Nothing was read, which is no reason to call all of it gone.
    #[error("nothing was read, so nothing is marked as gone; if {0} is empty, name what is missing with --missing")]
    NothingRead(BinCode),
    /// An item can't be both.
    #[error("{0} is named as missing and as found; name it once")]
    MissingAndFound(String),
}

/// What a count found.
#[derive(Debug, Clone, PartialEq)]
pub struct Counted {
    /// The bin.
    pub bin: Bin,
    /// Those that are there as they should.
    pub present: Vec<Item>,
    /// Those that are not there.
    pub missing: Vec<Item>,
    /// Those that are there and that the register has elsewhere or nowhere.
    pub misplaced: Vec<Item>,
    /// Readings that stand for nothing in the register.
    pub unknown: Vec<String>,
    /// Readings that had no effect, and why.
    pub ignored: Vec<(String, Ignored)>,
    /// Records that were right, of those counted.
    pub accuracy: Accuracy,
    /// What was put right; `None` when that was not asked for.
    pub fixed: Option<Fixed>,
    /// The change that recorded it; `None` while it is not.
    pub change: Option<ChangeId>,
}

impl Count {
    /// Begins the count of a bin.
    ///
    /// # Errors
    /// [`RegisterError::BinTakenBack`]; [`RegisterError::BinRetired`].
    pub fn begin(register: &Register, bin: Bin) -> Result<Self, RegisterError> {
        bin.require_live()?;
        let expected = register.items(&ItemFilter::within(bin.code))?;
        let (present, elsewhere) = (Vec::new(), Vec::new());
        let (unknown, ignored) = (Vec::new(), Vec::new());
        Ok(Self { bin, expected, present, elsewhere, unknown, ignored, is_ticked: false })
    }

    /// A count that was ticked on a page: all is there but what is missing; and what was found and belongs elsewhere.
    ///
    /// # Errors
    /// [`CountError`].
    pub fn ticked(register: &Register, bin: Bin, missing: &[String], found: &[String]) -> Result<Self, CountError> {
        let mut count = Self::begin(register, bin)?;
        let missing = items_by_text(register, missing)?;
        if let Some(stranger) = missing.iter().find(|item| !has(&count.expected, item.id())) {
            return Err(CountError::NotInBin { item: stranger.name(), bin: count.bin.code });
        }
        for item in items_by_text(register, found)? {
            if has(&missing, item.id()) {
                return Err(CountError::MissingAndFound(item.name()));
            }
            count.reckon(item);
        }
        let rest = count.expected.iter().filter(|item| !has(&missing, item.id()) && !has(&count.present, item.id()));
        let rest: Vec<Item> = rest.cloned().collect();
        count.present.extend(rest);
        Ok(Self { is_ticked: true, ..count })
    }

    /// Those of the bin that were not read yet.
    pub fn left(&self) -> impl Iterator<Item = &Item> {
        self.expected.iter().filter(|item| !has(&self.present, item.id()))
    }

    /// Those that were read and belong elsewhere.
    #[must_use]
    pub fn elsewhere(&self) -> &[Item] {
        &self.elsewhere
    }

    /// Readings that stand for nothing.
    #[must_use]
    pub fn unknown(&self) -> &[String] {
        &self.unknown
    }

    /// How many items were read so far.
    #[must_use]
    pub fn read(&self) -> usize {
        self.present.len() + self.elsewhere.len()
    }

    /// How many of those that were read belong here.
    #[must_use]
    pub fn present(&self) -> usize {
        self.present.len()
    }

    /// How many the register had in the bin at the beginning.
    #[must_use]
    pub fn expected(&self) -> usize {
        self.expected.len()
    }

    /// Takes a reading in.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn take(&mut self, register: &Register, text: &str, is_cut: bool) -> Result<Reckoned, RegisterError> {
        if text.trim().eq_ignore_ascii_case(END) {
            return Ok(Reckoned::End);
        }
        Ok(match meaning(register, text, is_cut)? {
            Meaning::Nothing(Unread::Blank) => self.ignore(text, Ignored::Blank),
            Meaning::Nothing(why) => self.stranger(text, why),
            Meaning::Found(Found::Bin(bin), _) if bin.code == self.bin.code => self.ignore(text, Ignored::ThisBin),
            Meaning::Found(Found::Bin(_), _) => self.ignore(text, Ignored::OtherBin(self.bin.code)),
            Meaning::Found(Found::Item(item), _) if self.has_read(item.id()) => self.ignore(text, Ignored::Again),
            // Its entry was taken back, so there is no record of it that could be right or wrong.
            Meaning::Found(Found::Item(item), _) if item.status == Status::Undone => {
                self.stranger(text, Unread::Unknown { near: Vec::new() })
            }
            Meaning::Found(Found::Item(item), _) => self.reckon(item),
        })
    }

    /// Ends the count and records it, with `fix` also what it found.
    ///
    /// # Errors
    /// [`CountError`]; nothing is recorded then. [`CountError::NothingRead`] only with `fix` after readings.
    pub fn finish(self, register: &mut Register, fix: bool) -> Result<Counted, CountError> {
        if fix && !self.is_ticked && self.read() == 0 && !self.expected.is_empty() {
            return Err(CountError::NothingRead(self.bin.code));
        }
        let mut counted = self.found(register)?;
        let tally = NewTally {
            bin: &counted.bin,
            present: counted.present.len(),
            missing: &counted.missing,
            misplaced: &counted.misplaced,
            unknown: counted.unknown.len(),
            fix,
        };
        let (fixed, change) = register.record_tally(&tally)?;
        (counted.fixed, counted.change) = (fix.then_some(fixed), change);
        Ok(counted)
    }

    /// What the count found so far; nothing is recorded.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn found(self, register: &Register) -> Result<Counted, RegisterError> {
        let now = register.items(&ItemFilter::within(self.bin.code))?;
        let missing: Vec<Item> = self.expected.into_iter().filter(|item| has(&now, item.id())).collect();
        let missing: Vec<Item> = missing.into_iter().filter(|item| !has(&self.present, item.id())).collect();
        let (arrived, misplaced): (Vec<Item>, Vec<Item>) =
            self.elsewhere.into_iter().partition(|item| has(&now, item.id()));
        let missing: Vec<Item> = missing.into_iter().filter(|item| !has(&arrived, item.id())).collect();
        let mut present = [self.present, arrived].concat();
        present.sort_by_key(|item| (item.code, item.id()));
        let accuracy = accuracy(&self.bin, [present.len(), missing.len(), misplaced.len()]);
        let (bin, unknown, ignored) = (self.bin, self.unknown, self.ignored);
        Ok(Counted { bin, present, missing, misplaced, unknown, ignored, accuracy, fixed: None, change: None })
    }

    fn reckon(&mut self, item: Item) -> Reckoned {
        let is_here = item.bin() == Some(self.bin.code);
        if is_here { &mut self.present } else { &mut self.elsewhere }.push(item.clone());
        if is_here { Reckoned::Present(item) } else { Reckoned::Misplaced(item) }
    }

    fn has_read(&self, id: ItemId) -> bool {
        has(&self.present, id) || has(&self.elsewhere, id)
    }

    fn ignore(&mut self, text: &str, why: Ignored) -> Reckoned {
        if why != Ignored::Blank {
            self.ignored.push((text.trim().to_owned(), why.clone()));
        }
        Reckoned::Ignored(why)
    }

    /// Named once, however often it is read.
    fn stranger(&mut self, text: &str, why: Unread) -> Reckoned {
        let text = text.trim().to_owned();
        if self.unknown.contains(&text) {
            return self.ignore(&text, Ignored::Again);
        }
        self.unknown.push(text);
        Reckoned::Unknown(why)
    }
}

fn has(items: &[Item], id: ItemId) -> bool {
    items.iter().any(|item| item.id() == id)
}

fn accuracy(bin: &Bin, counts: [usize; 3]) -> Accuracy {
    let [present, missing, misplaced] = counts.map(|count| u32::try_from(count).unwrap_or(u32::MAX));
    Accuracy::of(&[Tally { bin: bin.code, day: jiff::civil::Date::default(), present, missing, misplaced }])
}

/// `4A-001F  Copper jam pan (sold, to be picked)`
#[must_use]
pub fn missing_line(item: &Item) -> String {
    let sold = if item.status == Status::Sold { " (sold, to be picked)" } else { "" };
    format!("{}  {}{sold}", item.name(), item.title)
}

/// What was put right, a line for each.
#[must_use]
pub fn fixed_lines(fixed: &Fixed) -> Vec<String> {
    let gone = fixed.gone.iter().map(|item| format!("{}  {}: gone from now on", item.name(), item.title));
    let moved = fixed.moved.iter().map(|moved| match moved.from {
        Some(from) => format!("{}{}: from {from} to {}", moved.code, was(moved), moved.to),
        None => format!("{}{}: into {}", moved.code, was(moved), moved.to),
    });
    let left = fixed.left.iter().map(|item| format!("{}: left as it is, {}", item.name(), item.status.word()));
    gone.chain(moved).chain(left).collect()
}
