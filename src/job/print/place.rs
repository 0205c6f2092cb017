//! On which slots a run goes: the free ones of the sheet in use, or as the user says.

use std::collections::BTreeSet;

use crate::{
    register::{Register, RegisterError, TOLD_OF_PART_USED},
    sheet::{Sheet, SlotError, SlotList, SlotOnPage, places, slots_text},
};

/// On which slots a run begins.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Start {
    /// On the free slots of the sheet in use.
    #[default]
    GoOn,
    /// On a fresh sheet.
    Fresh,
    /// On the sheet that lies in the printer, of which these slots are spent.
    Spent(BTreeSet<u32>),
}

/// Why slots were refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StartError {
    /// A list that makes no sense.
    #[error(transparent)]
    Slots(#[from] SlotError),
    /// A roll, or paper that is cut.
    #[error("no slots are remembered of {0}, so --from, --skip and --fresh-sheet make no sense on it")]
    NotRemembered(String),
    /// Nothing is left.
    #[error("no slot of {0} would be left to print on; put in another sheet and use --fresh-sheet")]
    NothingLeft(String),
}

impl Start {
    /// From what a user says: the first free slot, slots that are spent, or a fresh sheet.
    ///
    /// # Errors
    /// [`StartError`].
    pub fn new(sheet: &Sheet, from: Option<u32>, skip: Option<&str>, fresh: bool) -> Result<Self, StartError> {
        if from.is_none() && skip.is_none() && !fresh {
            return Ok(Self::GoOn);
        }
        if !sheet.remembers_slots() {
            return Err(StartError::NotRemembered(sheet.name.clone()));
        }
        if fresh {
            return Ok(Self::Fresh);
        }
        let (from, slots) = (from.unwrap_or(1), sheet.slots());
        if !(1..=slots).contains(&from) {
            return Err(SlotError::OutOfRange { slot: from, sheet: sheet.name.clone(), slots }.into());
        }
        let skip = skip.map_or(Ok(BTreeSet::new()), |skip| SlotList::parse(skip)?.on(&sheet.name, slots))?;
        let spent: BTreeSet<u32> = (1..from).chain(skip).collect();
        if spent.len() == slots as usize {
            return Err(StartError::NothingLeft(sheet.name.clone()));
        }
        Ok(Self::Spent(spent))
    }
}

/// The first sheet of a run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct FirstSheet {
    /// Which one of the sheets of its name; `None` where none is remembered.
    pub number: Option<u32>,
    /// Its free slots, when others of it are spent.
    pub free: Vec<u32>,
    /// Its slots that the user said to be spent.
    pub declared: Vec<u32>,
}

impl FirstSheet {
    pub(super) fn new(register: &Register, sheet: &Sheet, start: &Start) -> Result<Self, RegisterError> {
        if !sheet.remembers_slots() {
            return Ok(Self { number: None, free: Vec::new(), declared: Vec::new() });
        }
        let last = register.last_sheet(&sheet.name)?;
        let next = last.as_ref().map_or(1, |last| last.number + 1);
        let free = |spent: &BTreeSet<u32>| -> Vec<u32> {
            (1..=sheet.slots()).filter(|slot| !spent.is_empty() && !spent.contains(slot)).collect()
        };
        let fresh = Self { number: Some(next), free: Vec::new(), declared: Vec::new() };
        Ok(match (start, last) {
            (Start::Spent(spent), _) => Self { free: free(spent), declared: spent.iter().copied().collect(), ..fresh },
            (Start::GoOn, Some(last)) if !free(&last.spent).is_empty() => {
                Self { number: Some(last.number), free: free(&last.spent), declared: Vec::new() }
            }
            _ => fresh,
        })
    }

    /// The sheet that a page is printed on.
    pub(super) fn number_of(&self, page: usize) -> Option<u32> {
        let further = u32::try_from(page - 1).unwrap_or(u32::MAX);
        self.number.map(|number| number.saturating_add(further))
    }

    pub(super) fn places(&self, sheet: &Sheet, count: usize) -> Vec<SlotOnPage> {
        places(sheet, &self.free, count)
    }
}

/// What a run does to the sheets, for the user to see before it prints.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetState {
    /// The sheet's name.
    pub sheet: String,
    /// The slots of the part-used sheet that it takes; none when it begins on a fresh one.
    pub slots: Vec<u32>,
    /// How many fresh sheets it takes.
    pub fresh_sheets: usize,
    /// The free slots of its last sheet when it is printed.
    pub free_after: Vec<u32>,
    /// What is worth saying once about part-used sheets.
    pub caution: Option<&'static str>,
}

impl SheetState {
    /// `None` where no slots are remembered.
    pub(super) fn new(sheet: &Sheet, first: &FirstSheet, places: &[SlotOnPage]) -> Option<Self> {
        let (_, last) = (first.number?, places.last()?.page);
        let on = |page| places.iter().filter(move |at| at.page == page).map(|at| at.slot);
        let slots: Vec<u32> = if first.free.is_empty() { Vec::new() } else { on(1).collect() };
        let fresh_sheets = if slots.is_empty() { last } else { last - 1 };
        let taken: BTreeSet<u32> = on(last).collect();
        let could_be = |slot: &u32| last > 1 || first.free.is_empty() || first.free.contains(slot);
        let free_after = (1..=sheet.slots()).filter(|slot| could_be(slot) && !taken.contains(slot)).collect();
        Some(Self { sheet: sheet.name.clone(), slots, fresh_sheets, free_after, caution: None })
    }

    pub(super) fn has_caution(&self) -> bool {
        self.caution.is_some()
    }

    /// What to put into the printer, when a part-used sheet comes first.
    #[must_use]
    pub fn note(&self) -> Option<String> {
        let fresh = match self.fresh_sheets {
            0 => String::new(),
            1 => ", then a fresh sheet".into(),
            sheets => format!(", then {sheets} fresh sheets"),
        };
        let slots = slots_text(&self.slots);
        let noun = if self.slots.len() == 1 { "slot" } else { "slots" };
        let text = format!("sheet in use: {noun} {slots} of {}{fresh} (--fresh-sheet begins a new one)", self.sheet);
        (!self.slots.is_empty()).then_some(text)
    }
}

/// Common practice; makers of label sheets say the same of their own.
const CAUTION: &str = "a part-used sheet goes through a printer a few times at most: after that labels come loose and \
    stick inside (common practice; see the packet)";

/// What is worth saying once a register about part-used sheets, unless it was said.
pub(super) fn caution(register: &Register, state: &SheetState) -> Result<Option<&'static str>, RegisterError> {
    let is_new = !state.slots.is_empty() && register.setting(TOLD_OF_PART_USED)?.is_none();
    Ok(is_new.then_some(CAUTION))
}

/// Remembers that it was said.
pub(super) fn told(register: &mut Register) -> Result<(), RegisterError> {
    register.set_settings(&[(TOLD_OF_PART_USED, "yes".into())])
}
