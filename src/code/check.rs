//! Check characters by the pure systems of ISO/IEC 7064.

use super::alphabet;

const MODULUS: u32 = 19;
const RADIX: u32 = 2;

/// The check value of a pure system with one check character: each value times a power of the radix,
/// 1 for the rightmost, so that the total with the check is congruent to 1 (ISO/IEC 7064:2003).
///
/// `values` are those of the data, left to right; `modulus` is above `radix`.
#[must_use]
pub fn check_value(values: &[u32], modulus: u32, radix: u32) -> u32 {
    let weighted = values.iter().fold(0, |sum, value| (sum + value) * radix % modulus);
    (modulus + 1 - weighted) % modulus
}

/// The check letter of a code without hyphen and check, such as `4C017`; `None` when a character is
/// in no code.
#[must_use]
pub fn check_letter(data: &str) -> Option<char> {
    let values: Option<Vec<u32>> = data.chars().map(alphabet::value).collect();
    let check = check_value(&values?, MODULUS, RADIX);
    alphabet::LETTERS.get(check as usize).copied()
}
