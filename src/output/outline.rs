//! A symbol as one path in whole units of a twentieth of a dot.
//!
//! Touching modules are one outline, so that no seams appear; its edges lie one unit inside, since a
//! rasteriser that paints every dot it touches would add a dot where rounding crosses a dot's edge.

use std::fmt::Write;

use crate::{
    label::PlacedSymbol,
    symbol::{Linear, Matrix, Symbol},
};

/// Units of the path in one printer dot.
pub(super) const UNITS_PER_DOT: u32 = 20;
/// How far an edge lies inside of its dots.
const SHORT: i64 = 1;

/// The path operators of a symbol, downwards from its top left corner, without the fill.
pub(super) fn path(placed: &PlacedSymbol) -> String {
    let module = i64::from(placed.x.0 * UNITS_PER_DOT);
    match placed.symbol.as_ref() {
        Symbol::Linear(linear) => bars(linear, module, i64::from(placed.height.0 * UNITS_PER_DOT)),
        Symbol::Matrix(matrix) => outlines(matrix, module),
    }
}

fn bars(linear: &Linear, module: i64, height: i64) -> String {
    let mut path = String::new();
    for (start, width) in linear.bars() {
        let (left, wide) = (module * whole(start) + SHORT, module * whole(width) - 2 * SHORT);
        // Writing to a string can't fail.
        let _ = writeln!(path, "{left} {SHORT} {wide} {} re", height - 2 * SHORT);
    }
    path
}

fn whole(modules: usize) -> i64 {
    i64::try_from(modules).unwrap_or(i64::MAX)
}

/// Directions in which an edge runs, with the dark module on its right hand (downwards is positive).
#[derive(Clone, Copy, PartialEq, Eq)]
enum Run {
    Right,
    Down,
    Left,
    Up,
}

impl Run {
    const ALL: [Self; 4] = [Self::Right, Self::Down, Self::Left, Self::Up];

    fn step(self) -> (i64, i64) {
        match self {
            Self::Right => (1, 0),
            Self::Down => (0, 1),
            Self::Left => (-1, 0),
            Self::Up => (0, -1),
        }
    }

    /// Where the inside of an edge lies: the step turned to the right.
    fn inward(self) -> (i64, i64) {
        let (x, y) = self.step();
        (-y, x)
    }
}

fn outlines(matrix: &Matrix, module: i64) -> String {
    let grid = Grid { matrix, side: whole(matrix.side()) };
    let mut seen = vec![false; (matrix.side() + 1) * (matrix.side() + 1)];
    let mut path = String::new();
    for row in 0..=grid.side {
        for column in 0..=grid.side {
            // Every outline has a top edge that runs right; each is walked once, from its first one.
            if grid.has_edge((column, row), Run::Right) && !seen[grid.index((column, row))] {
                trace(&grid, (column, row), &mut seen, module, &mut path);
            }
        }
    }
    path
}

struct Grid<'a> {
    matrix: &'a Matrix,
    side: i64,
}

impl Grid<'_> {
    fn is_dark(&self, (column, row): (i64, i64)) -> bool {
        match (usize::try_from(column), usize::try_from(row)) {
            (Ok(column), Ok(row)) => self.matrix.is_dark(column, row),
            _ => false,
        }
    }

    /// Whether an outline's edge leaves this corner in this direction.
    fn has_edge(&self, (x, y): (i64, i64), run: Run) -> bool {
        let (right, left) = match run {
            Run::Right => ((x, y), (x, y - 1)),
            Run::Down => ((x - 1, y), (x, y)),
            Run::Left => ((x - 1, y - 1), (x - 1, y)),
            Run::Up => ((x, y - 1), (x - 1, y - 1)),
        };
        self.is_dark(right) && !self.is_dark(left)
    }

    fn index(&self, (x, y): (i64, i64)) -> usize {
        usize::try_from(y * (self.side + 1) + x).unwrap_or_default()
    }
}

/// Walks one outline from a corner whose edge runs right, and writes its shifted corners.
fn trace(grid: &Grid<'_>, start: (i64, i64), seen: &mut [bool], module: i64, path: &mut String) {
    let (mut at, mut run, mut operator) = (start, Run::Right, "m");
    loop {
        if run == Run::Right {
            seen[grid.index(at)] = true;
        }
        let (x, y) = run.step();
        at = (at.0 + x, at.1 + y);
        let next = turn(grid, at, run);
        if next != run {
            let (before, after) = (run.inward(), next.inward());
            let corner = |at: i64, a: i64, b: i64| at * module + (a + b) * SHORT;
            let _ =
                writeln!(path, "{} {} {operator}", corner(at.0, before.0, after.0), corner(at.1, before.1, after.1));
            operator = "l";
        }
        run = next;
        if at == start && run == Run::Right {
            break;
        }
    }
    path.push_str("h\n");
}

/// The way on at a corner. Right turns come first, so that modules that touch at a corner only stay
/// apart.
fn turn(grid: &Grid<'_>, at: (i64, i64), run: Run) -> Run {
    let here = Run::ALL.iter().position(|known| *known == run).unwrap_or_default();
    let ways = [1, 0, 3].map(|turned| Run::ALL[(here + turned) % 4]);
    ways.into_iter().find(|way| grid.has_edge(at, *way)).unwrap_or(run)
}
