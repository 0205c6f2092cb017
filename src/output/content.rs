//! What stands on one page, as a content stream: first the symbols, each one path in units of its own,
//! then the text of each label in coordinates of the label. So a page's labels look alike to the packer.

use std::fmt::Write as _;

use super::{
    glyph_codes::{UsedFace, UsedFaces, clusters},
    numbers::{hexadecimal, thousandths},
    path::{self, units_per_module},
};
use crate::{
    font::PlacedGlyph,
    label::{Mark, PlacedSymbol, TextRun},
    sheet::{Page, Placed, Turn},
    unit::{Mm, Point, Size},
};

/// The content stream of a page.
pub(super) fn content(page: &Page, faces: &UsedFaces) -> String {
    let mut out = String::new();
    turn(&mut out, page);
    for placed in &page.placed {
        for symbol in placed.drawing.symbols() {
            symbol_shape(&mut out, page, placed, symbol);
        }
    }
    for placed in &page.placed {
        label_text(&mut out, page, placed, faces);
    }
    for mark in &page.cut_marks {
        lengths(
            &mut out,
            &[mark.at.x, page.size.height - mark.at.y - mark.size.height, mark.size.width, mark.size.height],
        );
        out.push_str(" re f\n");
    }
    out
}

/// What turns all that follows; nothing for an upright page.
fn turn(out: &mut String, page: &Page) {
    if page.turn == Turn::None {
        return;
    }
    for number in page.turn.matrix(page.size, page.dpi) {
        thousandths(out, number);
        out.push(' ');
    }
    out.push_str("cm\n");
}

fn symbol_shape(out: &mut String, page: &Page, placed: &Placed, symbol: &PlacedSymbol) {
    let x = placed.at.x + page.dpi.length(symbol.left);
    let y = placed.at.y + page.dpi.length(symbol.top);
    let unit = page.dpi.length(symbol.x).to_pt() / f64::from(units_per_module(symbol.x));
    let (x, y) = (x.to_pt(), (page.size.height - y).to_pt());
    // Writing to a string can't fail.
    let _ = writeln!(out, "q {unit:.9} 0 0 -{unit:.9} {x:.4} {y:.4} cm");
    path::path(out, symbol, page.bar_reduction);
    out.push_str("f Q\n");
}

/// Rectangles and text of a label, from its top left corner.
fn label_text(out: &mut String, page: &Page, placed: &Placed, faces: &UsedFaces) {
    let marks = &placed.drawing.marks;
    if marks.iter().all(|mark| matches!(mark, Mark::Symbol(_))) {
        return;
    }
    out.push_str("q 1 0 0 1");
    lengths(out, &[placed.at.x, page.size.height - placed.at.y]);
    out.push_str(" cm\n");
    for mark in marks {
        if let Mark::Rect { at, size } = mark {
            rectangle(out, *at, *size);
        }
    }
    show_all(out, placed.drawing.texts(), faces);
    out.push_str("Q\n");
}

fn rectangle(out: &mut String, at: Point, size: Size) {
    lengths(out, &[at.x, Mm::ZERO - at.y - size.height, size.width, size.height]);
    out.push_str(" re f\n");
}

fn show_all<'a>(out: &mut String, runs: impl Iterator<Item = &'a TextRun>, faces: &UsedFaces) {
    let mut is_open = false;
    for (run, face) in runs.filter_map(|run| Some((run, faces.get(&run.face)?))) {
        if !is_open {
            out.push_str("BT\n");
            is_open = true;
        }
        show(out, run, face);
    }
    if is_open {
        out.push_str("ET\n");
    }
}

fn show(out: &mut String, run: &TextRun, face: &UsedFace) {
    let _ = write!(out, "/{}", face.name);
    lengths(out, &[run.em]);
    out.push_str(" Tf 1 0 0 1");
    lengths(out, &[run.left, Mm::ZERO - run.baseline]);
    out.push_str(" Tm\n");
    let mut line = Line { out, face, em: run.em, start: None, is_array: false, owed: 0.0, up: 0 };
    for (glyphs, range) in clusters(run) {
        line.cluster(glyphs, &run.text[range]);
    }
    line.close();
    line.down();
}

fn lengths(out: &mut String, lengths: &[Mm]) {
    for length in lengths {
        out.push(' ');
        thousandths(out, length.to_pt());
    }
}

/// Glyphs of a run on their way into strings, with moves of the pen between them.
struct Line<'a> {
    out: &'a mut String,
    face: &'a UsedFace,
    em: Mm,
    /// Where the open string or array begins, if one is open.
    start: Option<usize>,
    /// Whether it is an array.
    is_array: bool,
    /// How far the pen still has to move, in thousandths of the em.
    owed: f64,
    /// How far above the base line glyphs are drawn, in units of the em.
    up: i16,
}

impl Line<'_> {
    /// Shows the glyphs of some letters; with these beside them where the glyphs don't tell.
    fn cluster(&mut self, glyphs: &[PlacedGlyph], text: &str) {
        let is_told = self.face.says(glyphs, text);
        if !is_told {
            self.close();
            self.out.push_str("/Span<</ActualText<FEFF");
            for unit in text.encode_utf16() {
                hexadecimal(self.out, unit);
            }
            self.out.push_str(">>>BDC\n");
        }
        for glyph in glyphs {
            self.glyph(glyph);
        }
        if !is_told {
            self.close();
            self.out.push_str("EMC\n");
        }
    }

    fn glyph(&mut self, glyph: &PlacedGlyph) {
        if glyph.up != self.up {
            self.close();
            thousandths(self.out, self.em.to_pt() * self.face.face.in_em(i32::from(glyph.up)));
            self.out.push_str(" Ts\n");
            self.up = glyph.up;
        }
        self.owed += self.thousandths_of_em(i32::from(glyph.right));
        self.open();
        hexadecimal(self.out, self.face.code(glyph.id));
        let own = i32::from(self.face.advance(glyph.id));
        self.owed = self.thousandths_of_em(glyph.advance - own - i32::from(glyph.right));
    }

    fn thousandths_of_em(&self, units: i32) -> f64 {
        self.face.face.in_em(units) * 1000.0
    }

    /// Brings the pen to where the next glyph begins, within an open string.
    fn open(&mut self) {
        let start = *self.start.get_or_insert(self.out.len());
        if self.owed.abs() > 0.05 {
            self.turn_into_array(start);
            // A move to the right is written below zero.
            thousandths(self.out, -self.owed);
            self.out.push('<');
        } else if start == self.out.len() {
            self.out.push('<');
        }
        self.owed = 0.0;
    }

    /// A string that the pen moves within is an array of strings.
    fn turn_into_array(&mut self, start: usize) {
        if start < self.out.len() {
            self.out.push('>');
        }
        if !self.is_array {
            self.out.insert(start, '[');
            self.is_array = true;
        }
    }

    /// Back to the base line: what rises stays so from text to text.
    fn down(&mut self) {
        if self.up != 0 {
            self.out.push_str("0 Ts\n");
        }
    }

    fn close(&mut self) {
        if self.start.take().is_some() {
            self.out.push_str(if self.is_array { ">]TJ\n" } else { ">Tj\n" });
            self.is_array = false;
        }
    }
}
