//! A strip for a spot: the codes of all bins that stand there, side by side in equal cells.

use super::{
    Drawing, Drawn, LabelError, LabelWarning, Mark, Stock,
    code_line::CodeLine,
    compose::padded,
    design::{Design, Text, tidy},
    fit::{GAP, LEAST_CAP},
    stack, text, words,
};
use crate::{
    code::BinCode,
    font::{FaceId, Fonts},
    unit::{Mm, Point, Size},
};

/// The part of the strip that the place may take.
const PLACE_SHARE: f64 = 0.3;
/// The part of a cell's width that its code may take.
const CELL_SHARE: f64 = 0.8;
/// Of its height.
const CELL_HEIGHT_SHARE: f64 = 0.68;
/// Codes stand in one row unless more rows make them this much larger.
const WORTH_A_ROW: f64 = 1.7;
const RULE: Mm = Mm(0.35);

/// What a shelf strip says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShelfStrip {
    /// The bins that stand there, in the order in which they stand.
    pub codes: Vec<BinCode>,
    /// The name of the area.
    pub area_name: String,
    /// The spot.
    pub spot: String,
}

/// The cells of a strip.
struct Grid {
    at: Point,
    cell: Size,
    columns: usize,
    rows: usize,
    cap: Mm,
}

impl ShelfStrip {
    /// Draws the strip; it has no symbol.
    ///
    /// # Errors
    /// [`LabelError::NoRoom`] when the codes would be too small to be read.
    pub fn draw(&self, stock: &Stock) -> Result<Drawn, LabelError> {
        let stock = &padded(stock);
        let fonts = &stock.fonts;
        let at = Point { x: stock.inset_x, y: stock.inset_y };
        let room = Size { width: stock.size.width - at.x * 2.0, height: stock.size.height - at.y * 2.0 };
        let (mut marks, place_height, shortened) = self.place(fonts, at, room);
        let over = if place_height == Mm::ZERO { Mm::ZERO } else { place_height + GAP + RULE };
        let cells = Size { height: room.height - over, ..room };
        let grid = self.grid(fonts, at, cells).ok_or_else(|| self.no_room(stock))?;
        marks.extend(self.codes(fonts, &grid));
        marks.extend(rules(&grid, cells, place_height > Mm::ZERO));
        let name = self.codes.first().map_or_else(|| self.spot.clone(), ToString::to_string);
        let missing = text::missing(fonts, &tidy(format!("{}{}", self.area_name, self.spot)), FaceId::Regular);
        let missing =
            (!missing.is_empty()).then(|| LabelWarning::MissingCharacters { characters: missing, code: name.clone() });
        let warnings = missing.into_iter().chain(shortened.then_some(LabelWarning::Shortened(name))).collect();
        Ok(Drawn { drawing: Drawing { size: stock.size, marks }, warnings })
    }

    fn no_room(&self, stock: &Stock) -> LabelError {
        LabelError::NoRoom {
            what: format!("a shelf strip of {} bins", self.codes.len()),
            label: stock.size,
            hint: "choose a wider label, or print two strips".into(),
        }
    }

    /// Area and spot at the foot, on one line where they fit; their height, and whether they are shortened.
    fn place(&self, fonts: &Fonts, at: Point, room: Size) -> (Vec<Mark>, Mm, bool) {
        let texts = words::texts([
            Some(Text::new(FaceId::Bold, &self.area_name)),
            Some(Text::new(FaceId::Regular, &self.spot)),
        ]);
        let sizes = Design::sizes(Mm((room.height.0 * 0.16).clamp(3.0, 10.0)));
        let share = Size { height: (room.height * PLACE_SHARE).max(text::height_of_line(sizes.smallest)), ..room };
        let line: Vec<Text> = one_line(fonts, &texts, share.width, sizes.smallest).into_iter().collect();
        let texts = if line.is_empty() { &texts } else { &line };
        let set = stack::set(fonts, texts, share, sizes, 1);
        let height = set.height();
        (set.marks(Point { x: at.x, y: at.y + room.height - height }), height, set.shortened)
    }

    /// One row of cells, or as many as make the codes much larger.
    fn grid(&self, fonts: &Fonts, at: Point, room: Size) -> Option<Grid> {
        let count = self.codes.len().max(1);
        let grid = |columns: usize| {
            let rows = count.div_ceil(columns);
            let cell = Size { width: room.width * (1.0 / number(columns)), height: room.height * (1.0 / number(rows)) };
            Grid { at, cell, columns, rows, cap: self.cap(fonts, cell) }
        };
        let single = grid(count);
        let best = (1..count).map(grid).max_by(|a, b| a.cap.0.total_cmp(&b.cap.0));
        let chosen = match best {
            Some(best) if best.cap.0 > single.cap.0 * WORTH_A_ROW || single.cap < LEAST_CAP => best,
            _ => single,
        };
        (chosen.cap >= LEAST_CAP).then_some(chosen)
    }

    /// The height of capitals at which all codes fit their cells.
    fn cap(&self, fonts: &Fonts, cell: Size) -> Mm {
        let room = Size { width: cell.width * CELL_SHARE, height: cell.height * CELL_HEIGHT_SHARE };
        let cap = |code: &BinCode| CodeLine::new(fonts, &parts(*code)).cap_within(room);
        self.codes.iter().map(cap).fold(room.height, Mm::min)
    }

    /// The codes in the middle of their cells, on level base lines.
    fn codes(&self, fonts: &Fonts, grid: &Grid) -> Vec<Mark> {
        let mut marks = Vec::new();
        for (at, code) in self.codes.iter().enumerate() {
            let (row, column) = (at / grid.columns, at % grid.columns);
            let parts = parts(*code);
            let line = CodeLine::new(fonts, &parts);
            let size = line.size(grid.cap);
            let left = grid.at.x + grid.cell.width * number(column) + (grid.cell.width - size.width) * 0.5;
            let middle = grid.at.y + grid.cell.height * (number(row) + 0.5);
            let top = middle + grid.cap * 0.5 - line.ascent(grid.cap);
            let lowest = grid.at.y + grid.cell.height * (number(row) + 1.0) - size.height;
            marks.extend(line.marks(grid.cap, Point { x: left, y: top.min(lowest) }));
        }
        marks
    }
}

fn parts(code: BinCode) -> [(FaceId, String); 1] {
    [(FaceId::Bold, code.to_string())]
}

/// All texts in the face of the first, if they fit one line.
fn one_line(fonts: &Fonts, texts: &[Text], width: Mm, em: Mm) -> Option<Text> {
    let first = texts.first()?;
    let line = texts.iter().map(|text| text.words.trim()).collect::<Vec<_>>().join(", ");
    let fits = fonts.width_em(first.face, &line) * em.0 <= width.0;
    fits.then(|| Text::new(first.face, line))
}

/// Thin lines between the cells, and one above the place.
fn rules(grid: &Grid, room: Size, has_place: bool) -> Vec<Mark> {
    let (top, left) = (grid.at.y, grid.at.x);
    let half = RULE * 0.5;
    let down = (1..grid.columns).map(|column| Mark::Rect {
        at: Point { x: left + grid.cell.width * number(column) - half, y: top },
        size: Size { width: RULE, height: room.height - GAP },
    });
    let across = (1..grid.rows).map(|row| Mark::Rect {
        at: Point { x: left, y: top + grid.cell.height * number(row) - half },
        size: Size { width: room.width, height: RULE },
    });
    let foot = has_place.then_some(Mark::Rect {
        at: Point { x: left, y: top + room.height - RULE },
        size: Size { width: room.width, height: RULE },
    });
    down.chain(across).chain(foot).collect()
}

fn number(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}
