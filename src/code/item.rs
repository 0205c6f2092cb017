//! Item codes, and what a symbol can carry: an item or a bin.

use std::fmt;

use super::{BinCode, CodeError, check_letter};

/// The running number of an item within the bin that it was first stowed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Serial(u32);

impl Serial {
    /// The last serial of a bin; six digits still fit a label.
    pub const MAX: u32 = 999_999;

    /// A serial.
    ///
    /// # Errors
    /// [`CodeError::Serial`] outside of 1 to [`Self::MAX`].
    pub fn new(number: u32) -> Result<Self, CodeError> {
        if (1..=Self::MAX).contains(&number) { Ok(Self(number)) } else { Err(CodeError::Serial(number)) }
    }

    /// The number.
    #[must_use]
    pub fn get(self) -> u32 {
        self.0
    }
}

impl fmt::Display for Serial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:03}", self.0)
    }
}

/// An item's code: the bin that it was first stowed in, a serial and a check letter, `4C-017R`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemCode {
    /// The bin that the code names; the item may have moved since.
    pub bin: BinCode,
    /// The number within that bin.
    pub serial: Serial,
}

impl ItemCode {
    /// The check letter.
    #[must_use]
    pub fn check(self) -> char {
        check_letter(&self.data()).unwrap_or_default()
    }

    /// What the item's symbol carries: `4C017R`.
    #[must_use]
    pub fn payload(self) -> String {
        format!("{}{}", self.data(), self.check())
    }

    fn data(self) -> String {
        format!("{}{}", self.bin, self.serial)
    }
}

impl fmt::Display for ItemCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}{}", self.bin, self.serial, self.check())
    }
}

/// What a symbol stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StockCode {
    /// A bin's sign.
    Bin(BinCode),
    /// An item's tag.
    Item(ItemCode),
}

impl StockCode {
    /// What the symbol carries: `4C00V`, `4C017R`.
    #[must_use]
    pub fn payload(self) -> String {
        match self {
            Self::Bin(bin) => bin.payload(),
            Self::Item(item) => item.payload(),
        }
    }

    /// A code by what its symbol carries, check letter and all, in capitals and without hyphen.
    #[must_use]
    pub fn from_payload(payload: &str) -> Option<Self> {
        let (data, check) = payload.split_at_checked(payload.len().checked_sub(1)?)?;
        Self::from_data(data).filter(|_| check_letter(data) == check.chars().next())
    }

    /// A code by what its symbol carries before the check letter: digits, letters, digits.
    pub(super) fn from_data(data: &str) -> Option<Self> {
        let (number, rest) = split_while(data, |c| c.is_ascii_digit());
        let (letters, serial) = split_while(rest, |c| c.is_ascii_uppercase());
        let bin = BinCode::from_parts(number, letters)?;
        if serial == "00" {
            return Some(Self::Bin(bin));
        }
        let serial = Serial::new(serial.parse().ok()?).ok().filter(|known| known.to_string() == serial)?;
        Some(Self::Item(ItemCode { bin, serial }))
    }
}

impl fmt::Display for StockCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Bin(bin) => bin.fmt(f),
            Self::Item(item) => item.fmt(f),
        }
    }
}

fn split_while(text: &str, holds: impl Fn(char) -> bool) -> (&str, &str) {
    let end = text.find(|c| !holds(c)).unwrap_or(text.len());
    text.split_at(end)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn payloads_have_one_shape_and_two_digits_mean_a_bin() {
        for payload in ["4C017R", "4A001F", "7F240F", "12AB1234R", "4A00R", "999XX999S", "4C00V"] {
            assert_eq!(StockCode::from_payload(payload).map(StockCode::payload), Some(payload.into()), "{payload}");
        }
        assert_eq!(StockCode::from_payload("4C017R").unwrap().to_string(), "4C-017R");
        assert_eq!(StockCode::from_payload("4C00V").unwrap().to_string(), "4C");
    }

    #[test]
    fn other_shapes_are_no_codes() {
        for wrong in ["", "R", "4C017", "4C017G", "4C17R", "4C0017R", "04C017R", "4C000R", "4C017RR", "é", "4É00R"] {
            assert_eq!(StockCode::from_payload(wrong), None, "{wrong}");
        }
    }
}
