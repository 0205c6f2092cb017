//! Large letters for a terminal, two rows of dots in each line of text.

use font8x8::{BASIC_FONTS, UnicodeFonts};

/// A code in letters of four lines, indented by two spaces.
pub(super) fn large(code: &str) -> String {
    let glyphs: Vec<[u8; 8]> = code.chars().map(|c| BASIC_FONTS.get(c).unwrap_or_default()).collect();
    let line = |row: usize| {
        let letter = |glyph: &[u8; 8]| (0..8).map(|column| cell(*glyph, row, column)).collect::<String>();
        format!("  {}", glyphs.iter().map(letter).collect::<String>()).trim_end().to_owned()
    };
    (0..4).map(line).collect::<Vec<_>>().join("\n").trim_end().to_owned()
}

/// Two dots, one above the other.
fn cell(glyph: [u8; 8], row: usize, column: u8) -> char {
    let is_set = |row: usize| glyph[row] >> column & 1 == 1;
    match (is_set(2 * row), is_set(2 * row + 1)) {
        (true, true) => '█',
        (true, false) => '▀',
        (false, true) => '▄',
        (false, false) => ' ',
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_has_four_lines() {
        let shown = large("4C");
        assert_eq!(shown.lines().count(), 4);
        assert!(shown.lines().all(|line| line.starts_with("  ") && line.chars().count() <= 18));
    }
}
