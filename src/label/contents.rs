//! A list of what is in a bin, for the inside of its lid: over as many labels or pages as it takes.

use super::{
    Drawing, Drawn, LabelError, LabelWarning, Mark, Stock,
    code_line::CodeLine,
    compose::padded,
    design::{Design, LEAST_TEXT_CAP, Text, tidy},
    fit::GAP,
    stack,
    text::{self, Sizes},
    words,
};
use crate::{
    code::{BinCode, ItemCode},
    font::{FaceId, Fonts},
    unit::{Mm, Point, Size},
};

const RULE: Mm = Mm(0.35);
/// From base line to base line, in ems, where there is room for it and where there is little.
const ROW_EM: f64 = 1.4;
const TIGHT_ROW_EM: f64 = 1.15;
/// Labels lower than this have little room.
const LOW: Mm = Mm(45.0);

/// What is in a bin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ContentsList {
    /// The bin's code.
    pub code: BinCode,
    /// The name of its area.
    pub area_name: String,
    /// Where it stands in the area, when that is known.
    pub spot: Option<String>,
    /// What is in it, in any order.
    pub items: Vec<Listed>,
    /// The day of the list, as it is to be printed.
    pub date: String,
    /// Whether each item has a box to tick, and lines below take what is not on the list.
    pub ticks: bool,
}

/// An item on a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// Its code.
    pub code: ItemCode,
    /// Its title.
    pub title: String,
}

/// The measures that all labels of a list share.
struct Layout {
    at: Point,
    room: Size,
    head_cap: Mm,
    head_height: Mm,
    em: Mm,
    pitch: Mm,
    /// From the left edge to the codes.
    code_left: Mm,
    /// From the left edge to the titles.
    title_left: Mm,
    rows: usize,
}

impl ContentsList {
    /// Draws the list, sorted by code: a label or page after the other, each with the bin's code, the count,
    /// the date and, if there are more, its own number.
    ///
    /// # Errors
    /// [`LabelError::NoRoom`] when not even one row fits below the head.
    pub fn draw(&self, stock: &Stock) -> Result<Vec<Drawn>, LabelError> {
        let mut items: Vec<&Listed> = self.items.iter().collect();
        items.sort_by_key(|item| item.code);
        let layout = self.layout(stock).ok_or_else(|| self.no_room(stock))?;
        let parts: Vec<&[&Listed]> = if items.is_empty() { vec![&[]] } else { items.chunks(layout.rows).collect() };
        let drawn = parts.iter().zip(1..).map(|(part, number)| self.part(part, (number, parts.len()), &layout, stock));
        Ok(drawn.collect())
    }

    fn no_room(&self, stock: &Stock) -> LabelError {
        LabelError::NoRoom {
            what: format!("the list of what is in {}", self.code),
            label: stock.size,
            hint: "choose a larger label, or a page such as --sheet a4-1x1".into(),
        }
    }

    fn layout(&self, stock: &Stock) -> Option<Layout> {
        let (fonts, stock) = (&stock.fonts, padded(stock));
        let at = Point { x: stock.inset_x, y: stock.inset_y };
        let room = Size { width: stock.size.width - at.x * 2.0, height: stock.size.height - at.y * 2.0 };
        let low = room.height < LOW;
        let cap_em = Fonts::main(FaceId::Regular).cap_height_em();
        let em = Mm((room.width.min(room.height).0 * 0.05).clamp(LEAST_TEXT_CAP.0 / cap_em, 4.2));
        let pitch = em * if low { TIGHT_ROW_EM } else { ROW_EM };
        let code = parts(self.code);
        let two_lines = text::height_of_line(em) * 2.0 + em * 0.3;
        let least = if room.height.0 < two_lines.0 * 2.5 { Mm(3.4) } else { two_lines };
        let head = Size { width: room.width * 0.28, height: (room.height * 0.16).min(Mm(20.0)).max(least) };
        let head_cap = CodeLine::new(fonts, &code).cap_within(head);
        let head_height = CodeLine::new(fonts, &code).size(head_cap).height.max(text::height_of_line(em)).max(least);
        let left_over = room.height - head_height - head_gap(low) * 2.0 - RULE;
        let widths = self.items.iter().map(|item| CodeLine::new(fonts, &item_parts(item.code)).size(em * cap_em).width);
        let code_left = if self.ticks { em * 1.6 } else { Mm::ZERO };
        let title_left = code_left + widths.fold(Mm::ZERO, Mm::max) + em * 0.9;
        let rows = (1..1000).take_while(|rows| rows_height(*rows, em, pitch) <= left_over + Mm(1e-6)).count();
        let is_legible = rows > 0 && (room.width - title_left).0 > em.0 * 2.0;
        is_legible.then_some(Layout { at, room, head_cap, head_height, em, pitch, code_left, title_left, rows })
    }

    /// The label of this number, of so many.
    fn part(&self, items: &[&Listed], number: (usize, usize), layout: &Layout, stock: &Stock) -> Drawn {
        let mut marks = self.head(&stock.fonts, number, layout);
        let low = layout.room.height < LOW;
        let mut top = layout.at.y + layout.head_height + head_gap(low);
        let size = Size { width: layout.room.width, height: RULE };
        marks.push(Mark::Rect { at: Point { x: layout.at.x, y: top }, size });
        top = top + RULE + head_gap(low);
        for item in items {
            marks.extend(row(&stock.fonts, item, top, layout));
            if self.ticks {
                marks.extend(tick_box(Point { x: layout.at.x, y: top }, layout.em));
            }
            top = top + layout.pitch;
        }
        if self.ticks && number.0 == number.1 {
            marks.extend(further(&stock.fonts, top, layout.rows - items.len(), layout));
        }
        Drawn { drawing: Drawing { size: stock.size, marks }, warnings: self.missing(&stock.fonts, items) }
    }

    /// The bin's code, and beside it the place and the count.
    fn head(&self, fonts: &Fonts, number: (usize, usize), layout: &Layout) -> Vec<Mark> {
        let code = parts(self.code);
        let line = CodeLine::new(fonts, &code);
        let size = line.size(layout.head_cap);
        let down = (layout.head_height - size.height) * 0.5;
        let mut marks = line.marks(layout.head_cap, Point { x: layout.at.x, y: layout.at.y + down });
        let left = size.width + (layout.em * 0.9).max(layout.head_cap * 0.3);
        let room = Size { width: layout.room.width - left, height: layout.head_height };
        let sizes = Sizes { largest: (layout.em * 1.3).max(layout.head_cap * 0.36), ..Design::sizes(layout.em) };
        let set = stack::set(fonts, &self.place_and_count(number), room, sizes, 1);
        let middle = (layout.head_height - set.height()) * 0.5;
        marks.extend(set.marks(Point { x: layout.at.x + left, y: layout.at.y + middle }));
        marks
    }

    fn place_and_count(&self, (number, of): (usize, usize)) -> Vec<Text> {
        let place = [Some(self.area_name.as_str()), self.spot.as_deref()];
        let place: Vec<&str> = place.into_iter().flatten().filter(|part| !part.trim().is_empty()).collect();
        let noun = if self.items.len() == 1 { "item" } else { "items" };
        let part = if of > 1 { format!("{number} of {of}, ") } else { String::new() };
        let count = format!("{part}{} {noun}, {}", self.items.len(), self.date);
        words::texts([Some(Text::new(FaceId::Bold, place.join(", "))), Some(Text::new(FaceId::Regular, count))])
    }

    fn missing(&self, fonts: &Fonts, items: &[&Listed]) -> Vec<LabelWarning> {
        let warning = |characters: String, code: String| {
            (!characters.is_empty()).then_some(LabelWarning::MissingCharacters { characters, code })
        };
        let place = tidy(format!("{}{}", self.area_name, self.spot.as_deref().unwrap_or_default()));
        let of_place = warning(text::missing(fonts, &place, FaceId::Bold), self.code.to_string());
        let of_items = items.iter().map(|item| {
            warning(text::missing(fonts, &tidy(item.title.clone()), FaceId::Regular), item.code.to_string())
        });
        of_place.into_iter().chain(of_items.flatten()).collect()
    }
}

fn head_gap(low: bool) -> Mm {
    if low { GAP * 0.6 } else { GAP * 2.5 }
}

fn rows_height(rows: usize, em: Mm, pitch: Mm) -> Mm {
    let further = u32::try_from(rows.saturating_sub(1)).unwrap_or(u32::MAX);
    text::height_of_line(em) + pitch * f64::from(further)
}

fn parts(code: BinCode) -> [(FaceId, String); 1] {
    [(FaceId::Bold, code.to_string())]
}

/// As on its tag.
fn item_parts(code: ItemCode) -> [(FaceId, String); 3] {
    [
        (FaceId::Bold, code.bin.to_string()),
        (FaceId::Regular, format!("-{}", code.serial)),
        (FaceId::Light, code.check().to_string()),
    ]
}

/// An item's code and its title, shortened to the line.
fn row(fonts: &Fonts, item: &Listed, top: Mm, layout: &Layout) -> Vec<Mark> {
    let parts = item_parts(item.code);
    let line = CodeLine::new(fonts, &parts);
    let cap = layout.em * Fonts::main(FaceId::Regular).cap_height_em();
    let left = layout.at.x + layout.title_left;
    let room = Size { width: layout.room.width - layout.title_left, height: text::height_of_line(layout.em) };
    let sizes = Sizes { largest: layout.em, smallest: layout.em };
    let title = text::fit(fonts, &tidy(item.title.clone()), FaceId::Regular, room, sizes, 1);
    let baseline = top + layout.em * text::ASCENT_EM;
    let mut marks = line.marks(cap, Point { x: layout.at.x + layout.code_left, y: baseline - line.ascent(cap) });
    marks.extend(title.marks(Point { x: left, y: top }));
    marks
}

/// How thick the lines of boxes are, and those to write on.
const TICK_LINE: Mm = Mm(0.2);
/// At most so many lines to write on.
const MOST_FURTHER: usize = 6;

/// An empty box, as high as a capital and a little more, on the row's base line.
fn tick_box(at: Point, em: Mm) -> [Mark; 4] {
    let side = em * (Fonts::main(FaceId::Regular).cap_height_em() + 0.16);
    let at = Point { x: at.x, y: at.y + em * (text::ASCENT_EM + 0.08) - side };
    let far = side - TICK_LINE;
    let line = |x: Mm, y: Mm, width: Mm, height: Mm| Mark::Rect {
        at: Point { x: at.x + x, y: at.y + y },
        size: Size { width, height },
    };
    [
        line(Mm::ZERO, Mm::ZERO, side, TICK_LINE),
        line(Mm::ZERO, far, side, TICK_LINE),
        line(Mm::ZERO, Mm::ZERO, TICK_LINE, side),
        line(far, Mm::ZERO, TICK_LINE, side),
    ]
}

/// Lines for what is in the bin and not on the list, where so many rows are left.
fn further(fonts: &Fonts, top: Mm, rows: usize, layout: &Layout) -> Vec<Mark> {
    if rows < 3 {
        return Vec::new();
    }
    let room = Size { width: layout.room.width, height: text::height_of_line(layout.em) };
    let sizes = Sizes { largest: layout.em * 0.9, smallest: layout.em * 0.9 };
    let words = text::fit(fonts, "Found here and not on this list:", FaceId::Regular, room, sizes, 1);
    let top = top + layout.pitch * 0.6;
    let mut marks = words.marks(Point { x: layout.at.x, y: top });
    for line in (1u32..).take(((rows - 1) / 2).min(MOST_FURTHER)) {
        let y = top + layout.pitch * (1.5 * f64::from(line) + 0.8);
        let size = Size { width: layout.room.width, height: TICK_LINE };
        marks.push(Mark::Rect { at: Point { x: layout.at.x, y }, size });
    }
    marks
}
