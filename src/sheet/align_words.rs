//! What an alignment page says: how to print it, what to measure, what to type.

use super::{
    Correction, Device, Sheet,
    canvas::{Area, Canvas, Side},
};
use crate::{
    font::{FaceId, Fonts},
    unit::{Mm, Point, Size},
};

/// The block of words and its place.
const PANEL: Size = Size { width: Mm(132.0), height: Mm(123.0) };
const TOP: Mm = Mm(74.0);
const PADDING: Mm = Mm(8.0);

const PLAIN: (FaceId, f64) = (FaceId::Regular, 9.5);
const STRONG: (FaceId, f64) = (FaceId::Bold, 9.5);

/// What the words speak of.
pub(super) struct Words<'a> {
    pub printer: &'a str,
    pub sheet: &'a Sheet,
    pub device: &'a Device,
}

/// A row of the block.
enum Row {
    Title(String),
    Heading(&'static str),
    Plain(String),
    Command(String),
    Distance(&'static str, &'static str, &'static str),
}

impl Words<'_> {
    fn is_corrected(&self) -> bool {
        self.device.correction != Correction::NONE
    }

    /// Draws the block in the middle of a page of this width.
    pub(super) fn draw(&self, canvas: &mut Canvas, page_width: Mm) {
        let left = (page_width - PANEL.width) * 0.5;
        let area = Area::new(Point { x: left, y: TOP }, PANEL);
        canvas.block(Point { x: left, y: TOP }, |canvas| {
            canvas.outline(area);
            let mut y = TOP + Mm(4.0);
            for row in self.rows() {
                y = draw(&row, canvas, (area.left + PADDING, area.right - PADDING), y);
            }
        });
        canvas.kept_free.push(area);
    }

    fn rows(&self) -> Vec<Row> {
        let plain = |text: &str| Row::Plain(text.into());
        let mut rows = vec![
            Row::Title(format!("Alignment of printer {}", self.printer)),
            Row::Plain(self.subtitle()),
            Row::Heading("1  Print this page"),
            plain("At actual size (100 %), not fitted to the page; on plain paper, from the tray and"),
            plain("the way round that you use for labels."),
            Row::Heading("2  Measure with a ruler, in millimetres"),
            plain("From the paper's edges, between the middles of the crosses. Bold: the aim."),
        ];
        rows.extend(DISTANCES.map(|(what, should, option)| Row::Distance(what, should, option)));
        rows.push(Row::Heading("3  Type what you measured"));
        rows.extend(self.command().map(Row::Command));
        rows.push(Row::Heading("Also on this page"));
        rows.push(Row::Plain(format!("Thin lines: the labels of {}.", self.sheet.name)));
        rows.push(plain("Hold this page and a label sheet against the light to compare."));
        rows.push(plain("Rulers: the first line that came out shows how much of the paper's edge stays"));
        rows.push(plain("white; more than 4 mm is told with --edge."));
        rows
    }

    fn subtitle(&self) -> String {
        let state = if self.is_corrected() { "corrected by what was measured before" } else { "not corrected" };
        format!("{}, {}, {state}", self.sheet.name, self.device.dpi)
    }

    fn command(&self) -> [String; 2] {
        let start = format!("stowmark printer set {}", self.printer);
        let again = if self.is_corrected() { " --refine" } else { "" };
        [format!("{start}{again}"), "    --left-edge … --top-edge … --span-x … --span-y …".into()]
    }
}

/// What to measure, what it should be, the option that takes it.
const DISTANCES: [(&str, &str, &str); 5] = [
    ("paper's left edge to cross A", "12", "--left-edge"),
    ("paper's top edge to cross A", "10", "--top-edge"),
    ("cross A to cross B", "180", "--span-x"),
    ("cross A to cross C", "250", "--span-y"),
    ("paper's top edge to cross B, if not as at A", "10", "--top-edge-right"),
];

/// Draws a row below `y` and gives where the next one begins.
fn draw(row: &Row, canvas: &mut Canvas, (left, right): (Mm, Mm), y: Mm) -> Mm {
    let mut line = |style, x, down: f64, side, text: &str| {
        canvas.text(style, Point { x, y: y + Mm(down) }, side, text);
        y + Mm(down)
    };
    match row {
        Row::Title(text) => line((FaceId::Bold, title_size(text, right - left)), left, 6.5, Side::Left, text) + Mm(1.4),
        Row::Heading(text) => line(STRONG, left, 7.4, Side::Left, text) + Mm(0.5),
        Row::Plain(text) => line(PLAIN, left, 4.4, Side::Left, text),
        Row::Command(text) => line(STRONG, left, 4.6, Side::Left, text),
        Row::Distance(what, should, option) => {
            line(PLAIN, left, 5.1, Side::Left, what);
            line(STRONG, right - Mm(37.0), 5.1, Side::Right, should);
            line(PLAIN, right - Mm(30.0), 5.1, Side::Left, option);
            let below = y + Mm(6.6);
            canvas.line(Point { x: left, y: below }, Point { x: right, y: below }, canvas.thin());
            y + Mm(5.7)
        }
    }
}

/// 17 pt, or what a long name of a printer leaves.
fn title_size(text: &str, room: Mm) -> f64 {
    let at_one_pt = Mm::from_inches(Fonts::default().width_em(FaceId::Bold, text) / 72.0);
    (room.0 / at_one_pt.0).min(17.0)
}
