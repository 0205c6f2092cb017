//! Area numbers and bin codes.

use std::{fmt, str::FromStr};

use super::{CodeError, alphabet, check_letter};

/// How many codes of bins an area has: 19 with one letter, 361 with two.
pub const BINS_PER_AREA: u16 = 380;

/// What `LibreOffice` 7.4 turns into a time or an amount when it opens `4AM` in English, French, Swedish and others, `4FT`
/// in Hungarian, `4KR` in Swedish and Norwegian and `4KM` in Bosnian.
const NEVER_GIVEN: [&str; 6] = ["AM", "FM", "FT", "KM", "KR", "PM"];

const SINGLE: u16 = 19;

/// The number of an area, 1 to 999.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AreaNumber(u16);

impl AreaNumber {
    /// The number of an area.
    ///
    /// # Errors
    /// [`CodeError::Area`] outside of 1 to 999.
    pub fn new(number: u16) -> Result<Self, CodeError> {
        if (1..=999).contains(&number) { Ok(Self(number)) } else { Err(CodeError::Area(number.to_string())) }
    }

    /// The number.
    #[must_use]
    pub fn get(self) -> u16 {
        self.0
    }
}

impl FromStr for AreaNumber {
    type Err = CodeError;

    /// Leading zeros are never dropped: `04` is no area.
    fn from_str(text: &str) -> Result<Self, CodeError> {
        let wrong = || CodeError::Area(text.to_owned());
        let plain = !text.starts_with('0') && text.bytes().all(|byte| byte.is_ascii_digit());
        let number = text.parse().ok().filter(|_| plain).ok_or_else(wrong)?;
        Self::new(number).map_err(|_| wrong())
    }
}

impl fmt::Display for AreaNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// A bin's code: its area's number and one or two letters, such as `4C`. Ordered as bins were added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BinCode {
    area: AreaNumber,
    rank: u16,
}

impl BinCode {
    /// The bin of an area that comes `rank` places after the first (0 is `A`, 18 `X`, 19 `AA`).
    ///
    /// # Errors
    /// [`CodeError::AreaFull`] beyond the last of [`BINS_PER_AREA`].
    pub fn at(area: AreaNumber, rank: u16) -> Result<Self, CodeError> {
        if rank < BINS_PER_AREA { Ok(Self { area, rank }) } else { Err(CodeError::AreaFull(area)) }
    }

    /// The area that the code names.
    #[must_use]
    pub fn area(self) -> AreaNumber {
        self.area
    }

    /// The place among the bins of its area, from 0.
    #[must_use]
    pub fn rank(self) -> u16 {
        self.rank
    }

    /// Whether new bins get this code. A few never do: behind a number a spreadsheet takes their letters for a time of
    /// day or an amount of money.
    #[must_use]
    pub fn is_given(self) -> bool {
        !NEVER_GIVEN.contains(&self.letters().as_str())
    }

    /// The letters alone: `C`, `AA`.
    #[must_use]
    pub fn letters(self) -> String {
        match self.rank.checked_sub(SINGLE) {
            None => alphabet::letter_at(self.rank).to_string(),
            Some(pair) => [pair / SINGLE, pair % SINGLE].into_iter().map(alphabet::letter_at).collect(),
        }
    }

    /// What the bin's symbol carries: `4C00V`.
    #[must_use]
    pub fn payload(self) -> String {
        let data = format!("{self}00");
        let check = check_letter(&data).unwrap_or_default();
        format!("{data}{check}")
    }

    /// A bin by its number and capital letters, as they stand in a code.
    pub(super) fn from_parts(number: &str, letters: &str) -> Option<Self> {
        let area = number.parse().ok()?;
        let ranks: Option<Vec<u16>> = letters.chars().map(alphabet::letter_rank).collect();
        match ranks?.as_slice() {
            [single] => Some(Self { area, rank: *single }),
            [first, second] => Some(Self { area, rank: SINGLE + first * SINGLE + second }),
            _ => None,
        }
    }
}

impl FromStr for BinCode {
    type Err = CodeError;

    fn from_str(text: &str) -> Result<Self, CodeError> {
        let upper = text.trim().to_ascii_uppercase();
        let letters = upper.trim_start_matches(|c: char| c.is_ascii_digit());
        let number = &upper[..upper.len() - letters.len()];
        Self::from_parts(number, letters).ok_or_else(|| CodeError::Bin(text.to_owned()))
    }
}

impl fmt::Display for BinCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.area, self.letters())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bin(rank: u16) -> String {
        BinCode::at(AreaNumber::new(4).unwrap(), rank).unwrap().to_string()
    }

    #[test]
    fn letters_count_up_without_e_and_go_on_in_pairs() {
        assert_eq!([0, 3, 4, 18, 19, 37, 38, 379].map(bin), ["4A", "4D", "4F", "4X", "4AA", "4AX", "4BA", "4XX"]);
        assert!(BinCode::at(AreaNumber::new(4).unwrap(), BINS_PER_AREA).is_err());
    }

    #[test]
    fn letters_that_mean_something_behind_a_number_are_never_given() {
        let all = (0..BINS_PER_AREA).map(|rank| BinCode::at(AreaNumber::new(4).unwrap(), rank).unwrap());
        let never: Vec<String> = all.filter(|bin| !bin.is_given()).map(BinCode::letters).collect();
        assert_eq!(never, NEVER_GIVEN);
    }

    #[test]
    fn every_bin_of_an_area_is_read_back() {
        for rank in 0..BINS_PER_AREA {
            assert_eq!(bin(rank).to_ascii_lowercase().parse::<BinCode>().unwrap().rank(), rank);
        }
        for wrong in ["", "4", "C", "04C", "4E", "4CCC", "1000A", "4-C", "0A", "4Ä"] {
            assert_eq!(wrong.parse::<BinCode>(), Err(CodeError::Bin(wrong.into())), "{wrong}");
        }
    }
}
