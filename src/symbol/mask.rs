//! The mask of a QR symbol: the one with the least penalty (ISO/IEC 18004, 7.8), a row of modules at
//! a time.
//!
//! The choice is the encoder's own, to the module, in a twentieth of its time; a test sets both side by
//! side. Symbols wider than 64 modules are left to the encoder.

use std::sync::OnceLock;

use qrcode::{
    EcLevel, Version,
    canvas::{Canvas, MaskPattern},
};

const MASKS: [MaskPattern; 8] = [
    MaskPattern::Checkerboard,
    MaskPattern::HorizontalLines,
    MaskPattern::VerticalLines,
    MaskPattern::DiagonalLines,
    MaskPattern::LargeCheckerboard,
    MaskPattern::Fields,
    MaskPattern::Diamonds,
    MaskPattern::Meadow,
];
/// The versions of at most 64 modules.
const VERSIONS: usize = 11;

/// Modules by rows and by columns, the first one in the lowest bit.
#[derive(Clone)]
struct Grid {
    rows: Vec<u64>,
    columns: Vec<u64>,
}

impl Grid {
    fn of(canvas: &Canvas, side: i16) -> Self {
        let dark = |x, y, bit: i16| u64::from(canvas.get(x, y).is_dark()) << bit;
        let row = |y| (0..side).fold(0, |bits, x| bits | dark(x, y, x));
        let column = |x| (0..side).fold(0, |bits, y| bits | dark(x, y, y));
        Self { rows: (0..side).map(row).collect(), columns: (0..side).map(column).collect() }
    }

    /// The modules in which just one of both is dark.
    fn differing(&self, other: &Self) -> Self {
        let lines = |one: &[u64], other: &[u64]| one.iter().zip(other).map(|(one, other)| one ^ other).collect();
        Self { rows: lines(&self.rows, &other.rows), columns: lines(&self.columns, &other.columns) }
    }
}

/// What all symbols of a version have.
struct Template {
    /// The patterns that carry no data.
    canvas: Canvas,
    /// The symbol whose data are all zeros, without a mask.
    bare: Grid,
    /// The same with each of the masks.
    masked: Vec<Grid>,
}

impl Template {
    fn new(version: Version, level: EcLevel, zeros: &[u8]) -> Self {
        let side = version.width();
        let mut canvas = Canvas::new(version, level);
        canvas.draw_all_functional_patterns();
        let mut bare = canvas.clone();
        bare.draw_data(zeros, &[]);
        let masked = |mask: &MaskPattern| {
            let mut masked = bare.clone();
            masked.apply_mask(*mask);
            Grid::of(&masked, side)
        };
        Self { masked: MASKS.iter().map(masked).collect(), bare: Grid::of(&bare, side), canvas }
    }
}

/// The rows of the symbol with these codewords at level M, its first module in the lowest bit; `None`
/// when it is wider than 64 modules.
pub(super) fn rows(version: Version, data: &[u8], correction: &[u8]) -> Option<Vec<u64>> {
    static TEMPLATES: [OnceLock<Template>; VERSIONS] = [const { OnceLock::new() }; VERSIONS];
    let Version::Normal(number) = version else { return None };
    let place = TEMPLATES.get(usize::try_from(number).ok()?.checked_sub(1)?)?;
    let zeros = || vec![0; data.len() + correction.len()];
    let template = place.get_or_init(|| Template::new(version, EcLevel::M, &zeros()));
    let mut canvas = template.canvas.clone();
    canvas.draw_data(data, correction);
    let drawn = Grid::of(&canvas, version.width()).differing(&template.bare);
    let masked = template.masked.iter().map(|masked| masked.differing(&drawn));
    masked.min_by_key(penalty).map(|best| best.rows)
}

/// The penalty points of a symbol.
fn penalty(grid: &Grid) -> u32 {
    let side = grid.rows.len();
    let lines = || grid.rows.iter().chain(&grid.columns);
    let dark: u32 = grid.rows.iter().map(|row| row.count_ones()).sum();
    let part = dark as usize * 200 / (side * side);
    let balance = u32::try_from(part.abs_diff(100)).unwrap_or(u32::MAX);
    let along: u32 = lines().map(|line| runs(*line, side) + 40 * finders(*line, side)).sum();
    let squares: u32 = grid.rows.windows(2).map(|pair| squares(pair[0], pair[1], side)).sum();
    along + 3 * squares + balance
}

/// The lowest so many bits.
fn lowest(count: usize) -> u64 {
    u64::MAX >> (64 - count)
}

/// Where a module is as the next one.
fn like_next(line: u64, side: usize) -> u64 {
    !(line ^ (line >> 1)) & lowest(side - 1)
}

/// For each run of five or more like modules, its length less two.
fn runs(line: u64, side: usize) -> u32 {
    let same = like_next(line, side);
    let fives = same & (same >> 1) & (same >> 2) & (same >> 3);
    fives.count_ones() + 2 * (fives & !(fives << 1)).count_ones()
}

/// Squares of four like modules.
fn squares(line: u64, next: u64, side: usize) -> u32 {
    let same = !(line ^ next);
    (like_next(line, side) & same & (same >> 1)).count_ones()
}

/// Patterns like those in the corners, `#.###.#`, with four light modules before or after.
fn finders(line: u64, side: usize) -> u32 {
    let found = line & !(line >> 1) & (line >> 2) & (line >> 3) & (line >> 4) & !(line >> 5) & (line >> 6);
    let before = (line << 1) | (line << 2) | (line << 3) | (line << 4);
    let after = (line >> 7) | (line >> 8) | (line >> 9) | (line >> 10);
    (found & !(before & after) & lowest(side - 6)).count_ones()
}
