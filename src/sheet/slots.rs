//! Lists of label positions as people type them: `3,7-9`, and page by page `2:4-9`.
//!
//! Start with [`SlotList::parse`]. Nothing is guessed: what is not on the sheet is refused.

use std::collections::BTreeSet;

use super::SlotOnPage;

/// Why a list of slots was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SlotError {
    /// Nothing is in it.
    #[error("the list of slots is empty; write slots as 3,7-9")]
    Empty,
    /// A part that is no slot.
    #[error("`{part}` is no slot; write slots as 3,7-9{}", if *.paged { ", on page 2 as 2:3,7-9" } else { "" })]
    NotASlot {
        /// The part.
        part: String,
        /// Whether pages may be named.
        paged: bool,
    },
    /// A range that runs backwards.
    #[error("`{0}` runs backwards; write the lower slot first")]
    Backwards(String),
    /// Not on the sheet.
    #[error("there is no slot {slot} on {sheet}; its slots are 1 to {slots}")]
    OutOfRange {
        /// The slot.
        slot: u32,
        /// The sheet's name.
        sheet: String,
        /// How many it has.
        slots: u32,
    },
    /// Several pages, and none is named.
    #[error("`{part}` may be on any of {pages} pages; name the page too, as 2:{part}")]
    WhichPage {
        /// The part.
        part: String,
        /// How many pages there are.
        pages: usize,
    },
    /// No such page.
    #[error("there is no page {page}; the run has {pages}")]
    NoPage {
        /// The page.
        page: usize,
        /// How many there are.
        pages: usize,
    },
}

/// Ranges of slots, each on the page that is named before it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SlotList(Vec<Part>);

#[derive(Debug, Clone, PartialEq, Eq)]
struct Part {
    text: String,
    page: Option<usize>,
    first: u32,
    last: u32,
}

impl SlotList {
    /// Reads `3,7-9`.
    ///
    /// # Errors
    /// [`SlotError`].
    pub fn parse(text: &str) -> Result<Self, SlotError> {
        Self::read(text, false)
    }

    /// Reads `3,7-9` and `2:4-9,3:1`; a page holds until another is named.
    ///
    /// # Errors
    /// [`SlotError`].
    pub fn parse_paged(text: &str) -> Result<Self, SlotError> {
        Self::read(text, true)
    }

    fn read(text: &str, paged: bool) -> Result<Self, SlotError> {
        if text.trim().is_empty() {
            return Err(SlotError::Empty);
        }
        let mut page = None;
        let mut parts = Vec::new();
        for part in text.split(',').map(str::trim) {
            let wrong = || SlotError::NotASlot { part: part.to_owned(), paged };
            let slots = match part.split_once(':').filter(|_| paged) {
                Some((number, slots)) => {
                    page = Some(counted(number).ok_or_else(wrong)? as usize);
                    slots
                }
                None => part,
            };
            let (first, last) = slots.split_once('-').unwrap_or((slots, slots));
            let (first, last) = counted(first).zip(counted(last)).ok_or_else(wrong)?;
            if last < first {
                return Err(SlotError::Backwards(slots.to_owned()));
            }
            parts.push(Part { text: slots.to_owned(), page, first, last });
        }
        Ok(Self(parts))
    }

    /// The slots, all of which a sheet with so many must have.
    ///
    /// # Errors
    /// [`SlotError::OutOfRange`].
    pub fn on(&self, sheet: &str, slots: u32) -> Result<BTreeSet<u32>, SlotError> {
        self.within(sheet, slots)?;
        Ok(self.0.iter().flat_map(|part| part.first..=part.last).collect())
    }

    /// The slots on the pages of a file; where it has but one page, that one is meant.
    ///
    /// # Errors
    /// [`SlotError`] for a slot or a page that is not there, or when it is not said which page is meant.
    pub fn on_pages(&self, sheet: &str, slots: u32, pages: usize) -> Result<BTreeSet<SlotOnPage>, SlotError> {
        self.within(sheet, slots)?;
        let mut all = BTreeSet::new();
        for part in &self.0 {
            let page = match part.page {
                Some(page) if page > pages => return Err(SlotError::NoPage { page, pages }),
                Some(page) => page,
                None if pages == 1 => 1,
                None => return Err(SlotError::WhichPage { part: part.text.clone(), pages }),
            };
            all.extend((part.first..=part.last).map(|slot| SlotOnPage { page, slot }));
        }
        Ok(all)
    }

    fn within(&self, sheet: &str, slots: u32) -> Result<(), SlotError> {
        match self.0.iter().find(|part| part.last > slots) {
            Some(part) => Err(SlotError::OutOfRange { slot: part.last, sheet: sheet.to_owned(), slots }),
            None => Ok(()),
        }
    }
}

/// A number counted from 1, in plain digits.
fn counted(text: &str) -> Option<u32> {
    let text = text.trim();
    let is_plain = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    text.parse().ok().filter(|number| is_plain && *number > 0)
}

/// Slots for people: `3, 7 to 9`.
#[must_use]
pub fn slots_text(slots: &[u32]) -> String {
    let runs = slots.chunk_by(|a, b| a + 1 == *b);
    let texts = runs.filter_map(|run| match run {
        [] => None,
        [only] => Some(only.to_string()),
        [first, last] => Some(format!("{first}, {last}")),
        [first, .., last] => Some(format!("{first} to {last}")),
    });
    texts.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_are_read() {
        let cases: [(&str, &[u32]); 4] =
            [("3,7-9", &[3, 7, 8, 9]), (" 1 - 2 , 2", &[1, 2]), ("21", &[21]), ("5-5", &[5])];
        for (text, slots) in cases {
            let read = SlotList::parse(text).unwrap().on("a4-3x7", 21).unwrap();
            assert_eq!(read.into_iter().collect::<Vec<_>>(), slots, "{text}");
        }
    }

    #[test]
    fn a_page_holds_until_another_is_named() {
        let read = SlotList::parse_paged("2:4-5,7,3:1").unwrap().on_pages("a4-3x7", 21, 3).unwrap();
        let pairs: Vec<_> = read.into_iter().map(|at| (at.page, at.slot)).collect();
        assert_eq!(pairs, [(2, 4), (2, 5), (2, 7), (3, 1)]);
        let read = SlotList::parse_paged("4").unwrap().on_pages("a4-3x7", 21, 1).unwrap();
        assert_eq!(read.into_iter().collect::<Vec<_>>(), [SlotOnPage { page: 1, slot: 4 }]);
    }

    #[test]
    fn slips_are_told() {
        let plain = [
            ("", "the list of slots is empty"),
            (" ", "the list of slots is empty"),
            ("3,,4", "`` is no slot"),
            ("x", "`x` is no slot"),
            ("0", "`0` is no slot"),
            ("+3", "`+3` is no slot"),
            ("3-", "`3-` is no slot"),
            ("-3", "`-3` is no slot"),
            ("1-2-3", "`1-2-3` is no slot"),
            ("99999999999", "is no slot"),
            ("2:4", "`2:4` is no slot; write slots as 3,7-9"),
            ("9-7", "`9-7` runs backwards"),
            ("1-4294967295", "there is no slot 4294967295 on a4-3x7; its slots are 1 to 21"),
            ("22", "there is no slot 22 on a4-3x7; its slots are 1 to 21"),
        ];
        for (text, why) in plain {
            let told = SlotList::parse(text).and_then(|list| list.on("a4-3x7", 21)).unwrap_err().to_string();
            assert!(told.contains(why), "{text}: {told}");
        }
        let paged = [
            ("4-9", "`4-9` may be on any of 2 pages; name the page too, as 2:4-9"),
            ("3:1", "there is no page 3; the run has 2"),
            ("0:1", "`0:1` is no slot; write slots as 3,7-9, on page 2 as 2:3,7-9"),
            ("2:", "`2:` is no slot"),
            ("1:2:3", "`1:2:3` is no slot"),
            ("2:30", "there is no slot 30"),
        ];
        for (text, why) in paged {
            let read = SlotList::parse_paged(text).and_then(|list| list.on_pages("a4-3x7", 21, 2));
            let told = read.unwrap_err().to_string();
            assert!(told.contains(why), "{text}: {told}");
        }
    }

    #[test]
    fn slots_are_told_as_ranges() {
        assert_eq!(slots_text(&[3, 7, 8, 9, 11, 12]), "3, 7 to 9, 11, 12");
    }
}
