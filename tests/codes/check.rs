//! The check letter and its general function against published and separately computed values.

use stowmark::code::{LETTERS, StockCode, check_letter, check_value};

/// MOD 37-2: 0 to 9, A to Z as 10 to 35, `*` as 36 (ISO/IEC 7064:2003).
const MOD_37: &str = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";
/// MOD 11-2: 0 to 9, X as 10 (ISO/IEC 7064:2003).
const MOD_11: &str = "0123456789X";

/// The check character by a pure system of radix 2, its values being places in the alphabet.
fn check_in(alphabet: &str, data: &str) -> char {
    let value = |c: char| u32::try_from(alphabet.find(c).unwrap()).unwrap();
    let values: Vec<u32> = data.chars().map(value).collect();
    let check = check_value(&values, u32::try_from(alphabet.len()).unwrap(), 2);
    alphabet.chars().nth(check as usize).unwrap()
}

#[test]
fn published_check_characters_come_out() {
    let cases = [
        // [S] a reference library's own examples of MOD 37-2; the second is also worked out in full in
        // a published annex on the ISBT 128 check character.
        (MOD_37, "G123489654321", 'Y'),
        (MOD_37, "G123498654321", 'H'),
        // [C] by the reference library.
        (MOD_37, "A03K7", '7'),
        (MOD_37, "B12042", 'R'),
        (MOD_37, "Q7X2M9", 'G'),
        // [S] the reference library's own examples of MOD 11-2.
        (MOD_11, "0794", '0'),
        (MOD_11, "079", 'X'),
    ];
    for (alphabet, data, check) in cases {
        assert_eq!(check_in(alphabet, data), check, "{data}");
    }
}

/// [S] the published working of `G123498654321`: the weighted sum without the check is 148354.
#[test]
fn the_published_sum_leads_to_the_check() {
    let value = |c: char| u32::try_from(MOD_37.find(c).unwrap()).unwrap();
    let weighted = "G123498654321".chars().rev().zip(1..).map(|(c, n)| value(c) << n);
    assert_eq!(weighted.sum::<u32>(), 148_354);
    assert_eq!((148_354 + value('H')) % 37, 1);
}

/// [C] by two routes: brute force, and the reference library's MOD 37-2 with a 19-letter alphabet.
#[test]
fn stock_codes_have_the_check_letters_computed_elsewhere() {
    let cases = [("4C017", 'R'), ("4A001", 'F'), ("7F240", 'F'), ("12AB1234", 'R'), ("4A00", 'R'), ("999XX999", 'S')];
    for (data, check) in cases {
        assert_eq!(check_letter(data), Some(check), "{data}");
        let code = StockCode::from_payload(&format!("{data}{check}"));
        assert_eq!(code.map(StockCode::payload), Some(format!("{data}{check}")), "{data}");
    }
}

#[test]
fn letters_are_those_that_survive_people_and_programs() {
    // [S] Crockford's Base32 leaves out I, L, O, U.
    let crockford = "ABCDEFGHJKMNPQRSTVWXYZ";
    // [M] E between digits turns into a power of ten in spreadsheets; [C] Y and Z are swapped on keyboards.
    let expected: Vec<char> = crockford.chars().filter(|c| !"EYZ".contains(*c)).collect();
    assert_eq!(LETTERS.to_vec(), expected);
    for spreadsheet_number in ["4E017R", "12E1234R", "4E00V"] {
        assert_eq!(StockCode::from_payload(spreadsheet_number), None, "{spreadsheet_number}");
    }
}
