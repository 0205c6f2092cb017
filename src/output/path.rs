//! A symbol as one path in whole units of about a twentieth of a dot.
//!
//! Its outer edges lie one unit inside, since a rasteriser that paints every dot it touches would add a
//! dot where rounding crosses a dot's edge. Touching modules of a QR are joined first, so that no seams
//! appear. A module is 100 units, or a small multiple: numbers that end alike pack well.

use super::numbers::whole;
use crate::{
    label::PlacedSymbol,
    symbol::{Linear, Matrix, Symbol},
    unit::Dots,
};

/// How far an edge lies inside of its dots.
const SHORT: usize = 1;

/// Units in a module of so many dots, for about 20 in a dot: 100 up to 7 dots, 200 up to 15, and so on.
pub(super) fn units_per_module(x: Dots) -> u32 {
    100 * (x.0 / 8 + 1)
}

/// Writes the path operators of a symbol, downwards from its top left corner, without the fill. With
/// `reduction` all that is dark is narrower by whole dots, for a printer whose ink spreads.
pub(super) fn path(out: &mut String, placed: &PlacedSymbol, reduction: bool) {
    let units = units_per_module(placed.x);
    let module = units as usize;
    let short = if reduction { Short::by_dots(placed.x, module) } else { Short::HAIR };
    match placed.symbol.as_ref() {
        Symbol::Linear(linear) => bars(out, linear, module, (placed.height.0 * units / placed.x.0) as usize, short),
        Symbol::Matrix(matrix) => squares(out, matrix, module, short),
    }
}

/// How much shorter a dark part is at its left and upper, and at its right and lower edge, in units.
#[derive(Debug, Clone, Copy)]
struct Short {
    before: usize,
    after: usize,
}

impl Short {
    const HAIR: Self = Self { before: SHORT, after: SHORT };

    /// A dot from 3 dots a module on, two from 6 on, one at each side then. Rounded up to whole units, so
    /// that no part of a dot is left.
    fn by_dots(x: Dots, module: usize) -> Self {
        let dot = SHORT + module.div_ceil(x.0 as usize);
        match x.0 {
            ..3 => Self::HAIR,
            3..6 => Self { before: SHORT, after: dot },
            6.. => Self { before: dot, after: dot },
        }
    }
}

/// Bars keep their height: only their width is read.
fn bars(path: &mut String, linear: &Linear, module: usize, height: usize, short: Short) {
    for (start, width) in linear.bars() {
        rectangle(path, (module * start, module * width), (0, height), [short, Short::HAIR]);
    }
}

/// Blocks overlap wherever modules touch, so that each may be cut short by itself.
fn squares(path: &mut String, matrix: &Matrix, module: usize, short: Short) {
    for Block { left, top, width, height } in blocks(matrix) {
        let [left, top, width, height] = [left, top, width, height].map(|modules| modules * module);
        rectangle(path, (left, width), (top, height), [short; 2]);
    }
}

/// A rectangle from its start and length across and down, cut short at its edges.
fn rectangle(path: &mut String, across: (usize, usize), down: (usize, usize), [x, y]: [Short; 2]) {
    let cut =
        |(start, length): (usize, usize), short: Short| (start + short.before, length - short.before - short.after);
    let ((left, width), (top, height)) = (cut(across, x), cut(down, y));
    for number in [left, top, width, height] {
        whole(path, number as u64);
        path.push(' ');
    }
    path.push_str("re\n");
}

/// A rectangle of dark modules. Ordered so that like ones stand together, which packs well.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Block {
    height: usize,
    top: usize,
    left: usize,
    width: usize,
}

impl Block {
    /// All of it in one number: a symbol has at most 177 modules a side.
    fn order(&self) -> u64 {
        [self.height, self.top, self.left, self.width].into_iter().fold(0, |order, part| order << 16 | part as u64)
    }

    fn is_dark(&self, matrix: &Matrix) -> bool {
        let columns = || self.left..self.left + self.width;
        (self.top..self.top + self.height).all(|row| columns().all(|column| matrix.is_dark(column, row)))
    }
}

/// Blocks that together are just the dark modules, and that overlap wherever modules touch: the runs
/// of each row as high as they go, the runs of each column as wide as they go, and squares of four
/// modules whose middle would else stay open.
fn blocks(matrix: &Matrix) -> Vec<Block> {
    let side = matrix.side();
    let rows = runs(side, |row, column| matrix.is_dark(column, row));
    let columns = runs(side, |column, row| matrix.is_dark(column, row));
    let high = rows.map(|(top, left, width)| Block { height: 1, top, left, width }).map(|run| grown_down(run, matrix));
    let wide =
        columns.map(|(left, top, height)| Block { height, top, left, width: 1 }).map(|run| grown_across(run, matrix));
    let mut found: Vec<Block> = high.chain(wide).collect();
    let mut held = vec![false; side * side];
    for block in &found {
        let rows = block.top..block.top + block.height - 1;
        for at in rows.flat_map(|row| (block.left..block.left + block.width - 1).map(move |left| row * side + left)) {
            held[at] = true;
        }
    }
    let squares = (0..side * side).filter(|at| !held[*at]);
    let squares = squares.map(|at| Block { height: 2, top: at / side, left: at % side, width: 2 });
    found.extend(squares.filter(|square| square.is_dark(matrix)));
    found.sort_unstable_by_key(Block::order);
    found.dedup();
    found
}

/// Runs of dark modules along each line: line, start, length.
fn runs(side: usize, is_dark: impl Fn(usize, usize) -> bool) -> impl Iterator<Item = (usize, usize, usize)> {
    let mut found: Vec<(usize, usize, usize)> = Vec::new();
    for (line, at) in (0..side * side).map(|at| (at / side, at % side)).filter(|(line, at)| is_dark(*line, *at)) {
        match found.last_mut() {
            Some((known, start, length)) if *known == line && *start + *length == at => *length += 1,
            _ => found.push((line, at, 1)),
        }
    }
    found.into_iter()
}

fn grown_down(mut block: Block, matrix: &Matrix) -> Block {
    let row = |top: usize| Block { height: 1, top, ..block };
    let up = (0..block.top).rev().take_while(|top| row(*top).is_dark(matrix)).count();
    let down = (block.top + 1..matrix.side()).take_while(|top| row(*top).is_dark(matrix)).count();
    block.top -= up;
    block.height += up + down;
    block
}

fn grown_across(mut block: Block, matrix: &Matrix) -> Block {
    let column = |left: usize| Block { width: 1, left, ..block };
    let before = (0..block.left).rev().take_while(|left| column(*left).is_dark(matrix)).count();
    let after = (block.left + 1..matrix.side()).take_while(|left| column(*left).is_dark(matrix)).count();
    block.left -= before;
    block.width += before + after;
    block
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whether a block covers a point given in half modules: odd are middles, even are edges.
    fn covers(block: &Block, x: usize, y: usize) -> bool {
        let within = |at: usize, start: usize, length: usize| at > 2 * start && at < 2 * (start + length);
        within(x, block.left, block.width) && within(y, block.top, block.height)
    }

    #[test]
    fn blocks_are_the_dark_modules_without_seams() {
        for number in 1..=60 {
            let Ok(Symbol::Matrix(matrix)) = Symbol::qr(&format!("4C{number:03}R")) else { panic!("no QR") };
            let blocks = blocks(&matrix);
            for (x, y) in (1..2 * matrix.side()).flat_map(|y| (1..2 * matrix.side()).map(move |x| (x, y))) {
                let around = [(x - 1, y - 1), (x, y - 1), (x - 1, y), (x, y)];
                let is_dark = around.iter().all(|(x, y)| matrix.is_dark(x / 2, y / 2));
                assert_eq!(blocks.iter().any(|block| covers(block, x, y)), is_dark, "{number}: {x} {y}");
            }
        }
    }
}
