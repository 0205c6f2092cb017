//! The 19 letters that codes are made of, and the value of each character.

/// The letters of codes, in the order of their values. Without I, L, O, U (read wrongly), E (a power
/// of ten to a spreadsheet), and Y and Z (swapped on some keyboards).
pub const LETTERS: [char; 19] =
    ['A', 'B', 'C', 'D', 'F', 'G', 'H', 'J', 'K', 'M', 'N', 'P', 'Q', 'R', 'S', 'T', 'V', 'W', 'X'];

/// The place of a capital letter among [`LETTERS`].
pub(super) fn letter_rank(letter: char) -> Option<u16> {
    LETTERS.iter().zip(0..).find_map(|(known, rank)| (*known == letter).then_some(rank))
}

/// The letter at a place, counted modulo 19.
pub(super) fn letter_at(rank: u16) -> char {
    LETTERS[usize::from(rank) % LETTERS.len()]
}

/// The value of a character in the check sum: digits 0 to 9, letters 0 to 18.
pub(super) fn value(character: char) -> Option<u32> {
    character.to_digit(10).or_else(|| letter_rank(character).map(u32::from))
}
