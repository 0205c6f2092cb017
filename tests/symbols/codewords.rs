//! QR down to the codewords of the standard's worked example, taken out of the finished matrix.

use stowmark::symbol::{Matrix, Symbol};

use super::raster;

/// Modules on a side of version 1 [S].
const SIDE: usize = 21;

/// [S] the encoding annex of ISO/IEC 18004: `01234567` as a 1-M symbol, data and error correction.
const DATA: [u8; 16] = [0x10, 0x20, 0x0C, 0x56, 0x61, 0x80, 0xEC, 0x11, 0xEC, 0x11, 0xEC, 0x11, 0xEC, 0x11, 0xEC, 0x11];
const ERROR_CORRECTION: [u8; 10] = [0xA5, 0x24, 0xD4, 0xC1, 0xED, 0x36, 0xC7, 0x87, 0x2C, 0x55];

fn matrix(text: &str) -> Matrix {
    match Symbol::qr(text) {
        Ok(Symbol::Matrix(matrix)) => matrix,
        other => panic!("{other:?}"),
    }
}

/// The 15 bits beside the finder at the top left, with their own mask taken off (from memory; checked
/// by what comes out of them).
fn format_bits(matrix: &Matrix) -> u32 {
    let along_row = [0, 1, 2, 3, 4, 5, 7, 8].map(|column| (column, 8));
    let up_column = [7, 5, 4, 3, 2, 1, 0].map(|row| (8, row));
    let places = along_row.into_iter().chain(up_column);
    let read = places.fold(0, |bits, (column, row)| bits << 1 | u32::from(matrix.is_dark(column, row)));
    read ^ 0b101_0100_0001_0010
}

/// Level M is 00 (from memory).
fn level_bits(matrix: &Matrix) -> u32 {
    format_bits(matrix) >> 13
}

/// Whether a data mask turns a module over (the eight conditions from memory).
fn is_masked(mask: u32, column: usize, row: usize) -> bool {
    let (sum, product) = (column + row, column * row);
    let rest = match mask {
        0 => sum % 2,
        1 => row % 2,
        2 => column % 3,
        3 => sum % 3,
        4 => (row / 2 + column / 3) % 2,
        5 => product % 2 + product % 3,
        6 => (product % 2 + product % 3) % 2,
        _ => (sum % 2 + product % 3) % 2,
    };
    rest == 0
}

/// Finders with their separators, format bits and timing lines.
fn is_function(column: usize, row: usize) -> bool {
    let near = |at: usize| at < 9;
    let far = |at: usize| at >= SIDE - 8;
    let finder = near(column) && near(row) || far(column) && near(row) || near(column) && far(row);
    finder || column == 6 || row == 6
}

/// Pairs of columns from the right, up and down in turn, past the timing column.
fn zigzag() -> impl Iterator<Item = (usize, usize)> {
    let rights = [20, 18, 16, 14, 12, 10, 8, 5, 3, 1];
    let walk = |(turn, right): (usize, usize)| {
        let row = move |step: usize| if turn.is_multiple_of(2) { SIDE - 1 - step } else { step };
        (0..SIDE).flat_map(move |step| [(right, row(step)), (right - 1, row(step))])
    };
    rights.into_iter().enumerate().flat_map(walk).filter(|(column, row)| !is_function(*column, *row))
}

/// All codewords of a version 1 symbol in their order.
fn codewords(matrix: &Matrix) -> Vec<u8> {
    assert_eq!(matrix.side(), SIDE);
    let mask = format_bits(matrix) >> 10 & 0b111;
    let bits: Vec<bool> =
        zigzag().map(|(column, row)| matrix.is_dark(column, row) != is_masked(mask, column, row)).collect();
    bits.chunks(8).map(|byte| byte.iter().fold(0, |value, bit| value << 1 | u8::from(*bit))).collect()
}

fn art(matrix: &Matrix) -> Vec<String> {
    let row = |row| (0..matrix.side()).map(|column| if matrix.is_dark(column, row) { '#' } else { '.' }).collect();
    (0..matrix.side()).map(row).collect()
}

#[test]
fn the_worked_example_has_the_published_codewords() {
    let matrix = matrix("01234567");
    let found = codewords(&matrix);
    assert_eq!(level_bits(&matrix), 0b00);
    assert_eq!(found[..16], DATA);
    assert_eq!(found[16..], ERROR_CORRECTION);
    assert_eq!(found.len(), 26);
}

/// The worked example to look at, `#` for dark.
const WORKED_EXAMPLE: [&str; SIDE] = [
    "#######..#.##.#######",
    "#.....#..####.#.....#",
    "#.###.#.#.....#.###.#",
    "#.###.#.##....#.###.#",
    "#.###.#.#.###.#.###.#",
    "#.....#.#...#.#.....#",
    "#######.#.#.#.#######",
    "........#..##........",
    "#.#####..#..#.#####..",
    "...#.#.##.#.#..#.##..",
    "..#...##.#.#.#..#####",
    "....#....#.....####..",
    "...######..#.#..#....",
    "........#.#####..##..",
    "#######..##.#.##.....",
    "#.....#.#.#####...#.#",
    "#.###.#.#...#..#.##..",
    "#.###.#.##..#..#.....",
    "#.###.#.#.##.#..#.#..",
    "#.....#........##.##.",
    "#######.####.#..#.#..",
];

/// The codewords above make it right; this shows what changed if it ever does.
#[test]
fn the_worked_example_looks_like_this() {
    assert_eq!(art(&matrix("01234567")), WORKED_EXAMPLE);
}

/// Mode indicators [S, the standard's table from memory]: ECI 0111, then designator 26 (UTF-8) in eight
/// bits, then bytes 0100.
#[test]
fn text_beyond_ascii_says_that_it_is_utf_8() {
    for text in ["ü", "Käse", "№ 7", "🫖", "日"] {
        let found = codewords(&matrix(text));
        assert_eq!(found[0], 0b0111_0001, "{text}");
        assert_eq!(found[1], 0b1010_0100, "{text}");
        assert_eq!(usize::from(found[2]), text.len(), "{text}");
        assert_eq!(&found[3..3 + text.len()], text.as_bytes(), "{text}");
    }
}

/// ASCII has no ECI: the first mode is digits 0001, alphanumeric 0010 or bytes 0100.
#[test]
fn plain_text_starts_with_its_own_mode() {
    for (text, mode) in [("01234567", 0b0001), ("4C017R", 0b0010), ("cake tin", 0b0100)] {
        assert_eq!(codewords(&matrix(text))[0] >> 4, mode, "{text}");
    }
}

/// Not only the example: each text is read back, and every mask that comes up is taken off rightly.
#[test]
fn version_1_codewords_hold_what_was_put_in() {
    let mut masks = std::collections::BTreeSet::new();
    for number in 0..200 {
        let text = format!("tin {number}");
        let matrix = matrix(&text);
        masks.insert(format_bits(&matrix) >> 10 & 0b111);
        assert_eq!(bytes_of(&codewords(&matrix)), text.as_bytes(), "{text}");
        assert_eq!(raster::read(&Symbol::Matrix(matrix)), Some(text));
    }
    assert_eq!(masks.len(), 8, "{masks:?}");
}

/// The bytes of a symbol in plain byte mode: four bits of mode, eight of length, then the bytes.
fn bytes_of(codewords: &[u8]) -> Vec<u8> {
    let shifted: Vec<u8> = codewords.windows(2).map(|pair| pair[0] << 4 | pair[1] >> 4).collect();
    shifted[1..=usize::from(shifted[0])].to_vec()
}
