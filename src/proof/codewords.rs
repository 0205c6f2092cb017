//! Which modules of a QR symbol carry which codeword, and how much its error correction can mend (ISO/IEC 18004; the
//! tables are those of `rxing`, which reads by them).

use rxing::{
    common::BitMatrix,
    qrcode::common::{ErrorCorrectionLevel, Version},
};

/// The codewords of a symbol at level M, in the order in which they are placed.
#[derive(Debug)]
pub(super) struct Codewords {
    /// The modules of each, column and row, the highest bit first.
    pub(super) modules: Vec<Vec<(usize, usize)>>,
    /// The block of each.
    blocks: Vec<usize>,
    /// How many codewords a block can mend where it is known which are wrong.
    capacity: usize,
}

impl Codewords {
    /// Those of a symbol of so many modules a side; `None` when no version has that side.
    pub(super) fn of(side: usize) -> Option<Self> {
        let number = side.checked_sub(17).filter(|rest| rest % 4 == 0)? / 4;
        let version = Version::getVersionForNumber(u32::try_from(number).ok()?).ok()?;
        let table = version.getECBlocksForLevel(ErrorCorrectionLevel::M);
        let data: Vec<usize> = table
            .getECBlocks()
            .iter()
            .flat_map(|blocks| std::iter::repeat_n(blocks.getDataCodewords() as usize, blocks.getCount() as usize))
            .collect();
        let correction = table.getECCodewordsPerBlock() as usize;
        let blocks = blocks_in_order(&data, correction);
        let places = places(side, &version.buildFunctionPattern().ok()?);
        let modules = places.chunks_exact(8).map(<[_]>::to_vec).take(blocks.len()).collect();
        // Version 1-M keeps two codewords back against misreading (ISO/IEC 18004, from memory).
        Some(Self { modules, blocks, capacity: correction - if number == 1 { 2 } else { 0 } })
    }

    /// The share of its error correction that the worst block has left when these codewords are wrong, below 0 when
    /// there are more than it can mend: `UEC = 1 - 2 t / Ecap` (ISO/IEC 15415, from memory).
    pub(super) fn unused(&self, is_wrong: impl Fn(usize) -> bool) -> f64 {
        let mut wrong = vec![0_u32; self.blocks.iter().max().map_or(0, |last| last + 1)];
        for (at, block) in self.blocks.iter().enumerate().filter(|(at, _)| is_wrong(*at)) {
            wrong[*block] += u32::from(at < self.modules.len());
        }
        let most = wrong.into_iter().max().unwrap_or_default();
        1.0 - 2.0 * f64::from(most) / f64::from(u32::try_from(self.capacity).unwrap_or(u32::MAX))
    }
}

/// Data codewords of all blocks in turn, the shorter blocks ending first; then those of error correction.
fn blocks_in_order(data: &[usize], correction: usize) -> Vec<usize> {
    let longest = data.iter().copied().max().unwrap_or_default();
    let turns = (0..longest).flat_map(|turn| (0..data.len()).filter(move |block| turn < data[*block]));
    turns.chain((0..correction).flat_map(|_| 0..data.len())).collect()
}

/// The modules that carry data: two columns at a time from the right, up and down in turn; the column of the timing
/// pattern is passed over.
fn places(side: usize, function: &BitMatrix) -> Vec<(usize, usize)> {
    let columns: Vec<usize> = (0..side).rev().filter(|column| *column != 6).collect();
    let is_data = |column: usize, row: usize| {
        let at = |place: usize| u32::try_from(place).unwrap_or(u32::MAX);
        !function.get(at(column), at(row))
    };
    let mut places = Vec::new();
    for (turn, pair) in columns.chunks(2).enumerate() {
        for step in 0..side {
            let row = if turn % 2 == 0 { side - 1 - step } else { step };
            places.extend(pair.iter().map(|column| (*column, row)).filter(|(column, row)| is_data(*column, *row)));
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::symbol::{Matrix, Symbol};

    /// All codewords of versions 1 to 6 (ISO/IEC 18004, from memory: 26, 44, 70, 100, 134, 172).
    #[test]
    fn codewords_by_version() {
        for (version, whole) in [(1, 26), (2, 44), (3, 70), (4, 100), (5, 134), (6, 172)] {
            let codewords = Codewords::of(17 + 4 * version).unwrap();
            assert_eq!((codewords.modules.len(), codewords.blocks.len()), (whole, whole), "version {version}");
        }
        for side in [0, 3, 17, 22, 181] {
            assert!(Codewords::of(side).is_none(), "{side}");
        }
    }

    /// The standard's worked example `01234567`, 1-M: data 10 20 0C 56 61 80 EC 11 …, error correction A5 24 D4 …
    /// Read from its modules under the right one of the eight masks.
    #[test]
    fn the_worked_example_is_read_from_its_modules() {
        let expected = [
            0x10, 0x20, 0x0C, 0x56, 0x61, 0x80, 0xEC, 0x11, 0xEC, 0x11, 0xEC, 0x11, 0xEC, 0x11, 0xEC, 0x11, 0xA5, 0x24,
            0xD4, 0xC1, 0xED, 0x36, 0xC7, 0x87, 0x2C, 0x55,
        ];
        let Ok(Symbol::Matrix(matrix)) = Symbol::qr("01234567") else { panic!("no QR") };
        let masks: [fn(usize, usize) -> bool; 8] = [
            |x, y| (x + y) % 2 == 0,
            |_, y| y % 2 == 0,
            |x, _| x % 3 == 0,
            |x, y| (x + y) % 3 == 0,
            |x, y| (x / 3 + y / 2) % 2 == 0,
            |x, y| (x * y) % 2 + (x * y) % 3 == 0,
            |x, y| ((x * y) % 2 + (x * y) % 3) % 2 == 0,
            |x, y| ((x + y) % 2 + (x * y) % 3) % 2 == 0,
        ];
        assert!(masks.into_iter().any(|mask| read(&matrix, mask) == expected));
    }

    fn read(matrix: &Matrix, mask: fn(usize, usize) -> bool) -> Vec<u8> {
        let bit = |(x, y): &(usize, usize)| u8::from(matrix.is_dark(*x, *y) != mask(*x, *y));
        let byte = |modules: &Vec<(usize, usize)>| modules.iter().fold(0, |byte, module| byte << 1 | bit(module));
        Codewords::of(matrix.side()).unwrap().modules.iter().map(byte).collect()
    }

    /// By hand: 1-M has 10 error correction codewords, of which 8 may be used; 2 wrong codewords use 4 of them.
    #[test]
    fn unused_error_correction_of_version_1() {
        let codewords = Codewords::of(21).unwrap();
        for (wrong, left) in [(0, 1.0), (1, 0.75), (2, 0.5), (4, 0.0), (5, -0.25)] {
            assert!((codewords.unused(|at| at < wrong) - left).abs() < 1e-9, "{wrong}");
        }
    }

    /// 4-M has two blocks that take turns: of two wrong neighbours each block has one, 1 - 2 / 18; of two in the same
    /// block that one has both, 1 - 4 / 18 (18 of error correction a block: ISO/IEC 18004, from memory).
    #[test]
    fn the_worst_block_counts() {
        let codewords = Codewords::of(33).unwrap();
        assert!((codewords.unused(|at| at < 2) - (1.0 - 2.0 / 18.0)).abs() < 1e-9);
        assert!((codewords.unused(|at| at == 0 || at == 2) - (1.0 - 4.0 / 18.0)).abs() < 1e-9);
    }
}
