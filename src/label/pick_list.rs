//! Pages for a picking round or a moving list: the bins in the order in which they are walked past, and for each thing to take a box to
//! tick.
//!
//! Start with [`PickList::draw`]. The order of the stops is the caller's.

mod pages;

use super::{
    Drawing, Drawn, LabelWarning, Mark, Stock,
    code_line::CodeLine,
    design::tidy,
    text::{self, Block, Sizes},
};
use crate::{
    code::{BinCode, ItemCode},
    font::{FaceId, Fonts},
    unit::{Mm, Point, Size},
};
use pages::{Page, Part, pages};

/// What stays free around the content, or more where a printer leaves more unprinted.
const MARGIN: Mm = Mm(14.0);
/// From the left edge of the content to the boxes; before them stand the bins' codes and places.
const BOXES: Mm = Mm(40.0);
/// The height of a bin code's capitals, and the most that the code may take of the width.
const BIN_CAP: Mm = Mm(6.5);
const BIN_WIDTH: Mm = Mm(36.0);
const BOX: Mm = Mm(4.4);
const RULE: Mm = Mm(0.25);
/// White between columns, and between rows.
const GUTTER: Mm = Mm(4.0);
const ROW_GAP: Mm = Mm(2.4);
const STOP_GAP: Mm = Mm(2.6);
/// The column of what stands beside the items, where there is anything.
const ASIDES: Mm = Mm(30.0);
/// Lines that a title or what stands beside it may take.
const TITLE_LINES: usize = 3;

/// At the foot of a page, where anything stands there.
const FOOT: Mm = Mm(11.0);
/// Stands on lists after which tubs are lifted. The words are those of the project's cautions.
pub const LIFTING: &str = "Lifting and stacking: a full tub is heavy. Keep to the tub maker's rating and your local rules; lift no more and stack no higher than they allow, and ask a qualified person when in doubt.";

const TITLE_PT: f64 = 10.5;
const SMALL_PT: f64 = 8.5;
const PART_PT: f64 = 14.0;
const SECTION_PT: f64 = 11.0;
const HEAD_PT: f64 = 17.0;

/// What is to be done on a way past bins.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PickList {
    /// What it is.
    pub heading: String,
    /// The visits to bins, in their order.
    pub stops: Vec<PickStop>,
    /// What stands beside the heading: the day, and how much it is.
    pub summary: String,
    /// What stands at the foot of each page.
    pub foot: String,
}

/// A visit to a bin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PickStop {
    /// The bin.
    pub bin: BinCode,
    /// What it is a part of, above its section; nothing where the list has no parts.
    pub part: String,
    /// What stands above it and those behind it that have the same: the name of its area, what is done there.
    pub section: String,
    /// Where it stands there.
    pub place: String,
    /// What is to be taken.
    pub items: Vec<PickItem>,
}

/// A thing to take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PickItem {
    /// Its code; without one the text takes its place.
    pub code: Option<ItemCode>,
    /// What it is.
    pub title: String,
    /// What stands beside it: the order that it is for, where it goes.
    pub aside: String,
}

/// An item as set.
struct Row<'a> {
    item: &'a PickItem,
    title: Block,
    aside: Block,
    height: Mm,
}

/// The measures that all pages share.
struct Columns {
    left: Mm,
    right: Mm,
    top: Mm,
    bottom: Mm,
    codes: Mm,
    titles: Mm,
    asides: Mm,
}

impl PickList {
    /// Draws the pages: at least one, each with the heading and its number.
    #[must_use]
    pub fn draw(&self, stock: &Stock) -> Vec<Drawn> {
        let (fonts, columns) = (&stock.fonts, self.columns(stock));
        let pages = pages(self, fonts, &columns);
        let of = pages.len();
        let draw = |(page, number): (&Page<'_>, usize)| {
            let marks = [self.head(fonts, &columns, (number, of)), body(page, fonts, &columns)].concat();
            Drawn { drawing: Drawing { size: stock.size, marks }, warnings: missing(page, fonts) }
        };
        pages.iter().zip(1..).map(draw).collect()
    }

    fn columns(&self, stock: &Stock) -> Columns {
        let foot = if self.foot.is_empty() { Mm::ZERO } else { FOOT };
        let (left, top) = (MARGIN.max(stock.inset_x), MARGIN.max(stock.inset_y));
        let right = stock.size.width - left;
        let items = || self.stops.iter().flat_map(|stop| &stop.items);
        let widths = items()
            .filter_map(|item| item.code)
            .map(|code| CodeLine::new(&stock.fonts, &code_parts(code)).size(cap(TITLE_PT)).width);
        let codes = left + BOXES + BOX + GUTTER;
        let titles = codes + widths.fold(Mm::ZERO, Mm::max) + GUTTER;
        let asides = items().map(|item| tidy(item.aside.clone())).filter(|aside| !aside.trim().is_empty());
        // A hair more than they need, so that no line is broken by rounding.
        let widest = asides.map(|aside| em(TITLE_PT) * (stock.fonts.width_em(FaceId::Regular, &aside) + 0.01));
        let asides = widest.reduce(Mm::max).map_or(right + GUTTER, |widest| right - widest.min(ASIDES));
        Columns { left, right, top, bottom: stock.size.height - top - foot, codes, titles, asides }
    }

    fn head(&self, fonts: &Fonts, columns: &Columns, (number, of): (usize, usize)) -> Vec<Mark> {
        let base = columns.top + Mm(5.0);
        let mut marks = line(fonts, (FaceId::Bold, HEAD_PT), Point { x: columns.left, y: base }, &self.heading);
        let page = format!("{}, page {number} of {of}", self.summary);
        let summary = if of > 1 { page } else { self.summary.clone() };
        marks.extend(line_to(fonts, SMALL_PT, Point { x: columns.right, y: base }, &summary));
        marks.push(rule(columns.left, columns.right, base + Mm(2.6), Mm(0.5)));
        marks.extend(self.foot(fonts, columns));
        marks
    }

    fn foot(&self, fonts: &Fonts, columns: &Columns) -> Vec<Mark> {
        let room = Size { width: columns.right - columns.left, height: FOOT };
        let sizes = Sizes { largest: em(SMALL_PT), smallest: em(SMALL_PT) };
        let text = text::fit(fonts, &tidy(self.foot.clone()), FaceId::Regular, room, sizes, 2);
        text.marks(Point { x: columns.left, y: columns.bottom + FOOT - text.height() })
    }
}

/// Where the first stop may begin.
fn body_top(columns: &Columns) -> Mm {
    columns.top + Mm(9.0)
}

/// The parts of a page from top to bottom.
fn body(page: &Page<'_>, fonts: &Fonts, columns: &Columns) -> Vec<Mark> {
    let (mut marks, mut top) = (Vec::new(), body_top(columns));
    for part in &page.parts {
        if let Some(words) = part.heading {
            let at = Point { x: columns.left, y: top + Mm(7.4) };
            marks.extend(line(fonts, (FaceId::Bold, PART_PT), at, words));
            top = top + pages::PART_HEIGHT;
        }
        if let Some(section) = part.section {
            let at = Point { x: columns.left, y: top + Mm(5.6) };
            marks.extend(line(fonts, (FaceId::Bold, SECTION_PT), at, section));
            top = top + pages::SECTION_HEIGHT;
        }
        marks.push(rule(columns.left, columns.right, top, RULE));
        marks.extend(stop(part, fonts, columns, top + STOP_GAP));
        top = top + part.height + STOP_GAP * 2.0;
    }
    marks
}

/// A bin's code and place, and beside them its rows.
fn stop(part: &Part<'_>, fonts: &Fonts, columns: &Columns, top: Mm) -> Vec<Mark> {
    let code = [(FaceId::Bold, part.stop.bin.to_string())];
    let code = CodeLine::new(fonts, &code);
    let cap = code.cap_within(Size { width: BIN_WIDTH, height: BIN_CAP });
    let mut marks = code.marks(cap, Point { x: columns.left, y: top });
    marks.extend(part.place.marks(Point { x: columns.left, y: top + BIN_CAP + Mm(1.6) }));
    let mut top = top;
    for row in &part.rows {
        marks.extend(row.marks(fonts, columns, top));
        top = top + row.height + ROW_GAP;
    }
    marks
}

impl<'a> Row<'a> {
    fn new(item: &'a PickItem, fonts: &Fonts, columns: &Columns) -> Self {
        let room = |width: Mm| Size { width, height: Mm(60.0) };
        let fit = |words: &str, pt: f64, width: Mm, lines: usize| {
            let sizes = Sizes { largest: em(pt), smallest: em(pt) };
            text::fit(fonts, &tidy(words.to_owned()), FaceId::Regular, room(width), sizes, lines)
        };
        let from = if item.code.is_some() { columns.titles } else { columns.codes };
        let title = fit(&item.title, TITLE_PT, columns.asides - GUTTER - from, TITLE_LINES);
        let aside = fit(&item.aside, TITLE_PT, columns.right - columns.asides, TITLE_LINES);
        let height = BOX.max(title.height()).max(aside.height());
        Self { item, title, aside, height }
    }

    fn marks(&self, fonts: &Fonts, columns: &Columns, top: Mm) -> Vec<Mark> {
        // Box, code and the first lines of the texts are level.
        let text_top = top + (BOX - text::height_of_line(em(TITLE_PT))) * 0.5;
        let baseline = text_top + em(TITLE_PT) * text::ASCENT_EM;
        let mut marks = tick_box(Point { x: columns.left + BOXES, y: top });
        if let Some(code) = self.item.code {
            let parts = code_parts(code);
            let (code, cap) = (CodeLine::new(fonts, &parts), cap(TITLE_PT));
            marks.extend(code.marks(cap, Point { x: columns.codes, y: baseline - code.ascent(cap) }));
        }
        let titles = if self.item.code.is_some() { columns.titles } else { columns.codes };
        marks.extend(self.title.marks(Point { x: titles, y: text_top }));
        marks.extend(self.aside.marks(Point { x: columns.asides, y: text_top }));
        marks
    }
}

/// Characters that no face has, by the code of their item or bin.
fn missing(page: &Page<'_>, fonts: &Fonts) -> Vec<LabelWarning> {
    let warning = |words: String, code: String| {
        let characters = text::missing(fonts, &tidy(words), FaceId::Regular);
        (!characters.is_empty()).then_some(LabelWarning::MissingCharacters { characters, code })
    };
    let of_part = |part: &Part<'_>| {
        let place = format!("{} {}", part.stop.section, part.stop.place);
        let items = part.rows.iter().map(|row| &row.item);
        let of_items = items.map(|item| {
            warning(
                format!("{} {}", item.title, item.aside),
                item.code.map_or_else(|| part.stop.bin.to_string(), |code| code.to_string()),
            )
        });
        std::iter::once(warning(place, part.stop.bin.to_string())).chain(of_items).collect::<Vec<_>>()
    };
    page.parts.iter().flat_map(of_part).flatten().collect()
}

fn em(pt: f64) -> Mm {
    Mm::from_inches(pt / 72.0)
}

/// The height of capitals in this size.
fn cap(pt: f64) -> Mm {
    em(pt) * Fonts::main(FaceId::Regular).cap_height_em()
}

/// As on its tag.
fn code_parts(code: ItemCode) -> [(FaceId, String); 3] {
    [
        (FaceId::Bold, code.bin.to_string()),
        (FaceId::Regular, format!("-{}", code.serial)),
        (FaceId::Light, code.check().to_string()),
    ]
}

/// A line of text from a place on its base line on.
fn line(fonts: &Fonts, (face, pt): (FaceId, f64), at: Point, words: &str) -> Vec<Mark> {
    text::text_marks(fonts, face, em(pt), at, &tidy(words.to_owned()))
}

/// A line of text up to a place on its base line.
fn line_to(fonts: &Fonts, pt: f64, at: Point, words: &str) -> Vec<Mark> {
    let width = em(pt) * fonts.width_em(FaceId::Regular, words);
    line(fonts, (FaceId::Regular, pt), Point { x: at.x - width, y: at.y }, words)
}

fn rule(left: Mm, right: Mm, y: Mm, thickness: Mm) -> Mark {
    Mark::Rect { at: Point { x: left, y }, size: Size { width: right - left, height: thickness } }
}

fn tick_box(at: Point) -> Vec<Mark> {
    let stroke = Mm(0.35);
    let bar = |x: Mm, y: Mm, width: Mm, height: Mm| Mark::Rect { at: Point { x, y }, size: Size { width, height } };
    vec![
        bar(at.x, at.y, BOX, stroke),
        bar(at.x, at.y + BOX - stroke, BOX, stroke),
        bar(at.x, at.y + stroke, stroke, BOX - stroke * 2.0),
        bar(at.x + BOX - stroke, at.y + stroke, stroke, BOX - stroke * 2.0),
    ]
}
