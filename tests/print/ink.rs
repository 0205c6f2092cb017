//! Where the ink of a drawing's texts lies, by the outlines of their glyphs, in millimetres.

use std::sync::Arc;

use stowmark::{
    font::{FACES, FaceId, Fonts},
    label::{Drawing, Mark, TextRun},
    symbol::SymbolKind,
    unit::Dpi,
};
use ttf_parser::{Face, GlyphId};

/// A rectangle on a label.
#[derive(Debug, Clone, Copy)]
pub struct Inked {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Inked {
    fn around(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// By more than a hundredth of a millimetre.
    fn overlaps(self, other: Self) -> bool {
        let beyond = |end: f64, start: f64| end - start > 0.01;
        let across = beyond(self.right, other.left) && beyond(other.right, self.left);
        across && beyond(self.bottom, other.top) && beyond(other.bottom, self.top)
    }
}

/// The outlines of faces, as another reader of fonts than the shaper's has them.
pub struct Outlines(Vec<(FaceId, Face<'static>)>);

impl Outlines {
    pub fn new() -> Self {
        Self(FACES.map(|weight| (weight, Face::parse(Fonts::main(weight).bytes(), 0).unwrap())).into())
    }

    /// The ink of a run of text; none for blanks.
    pub fn of(&self, run: &TextRun) -> Option<Inked> {
        let known = self.0.iter().find(|(weight, _)| Arc::ptr_eq(Fonts::main(*weight), &run.face));
        let other = || Face::parse(run.face.bytes(), 0).unwrap();
        let face = known.map_or_else(other, |(_, face)| face.clone());
        let unit = run.em.0 / f64::from(face.units_per_em());
        let (mut pen, mut found) = (run.left.0, None);
        for glyph in &run.glyphs {
            let at = (pen + f64::from(glyph.right) * unit, run.baseline.0 - f64::from(glyph.up) * unit);
            if let Some(ink) = glyph_ink(&face, GlyphId(glyph.id), at, unit) {
                found = Some(found.map_or(ink, |all: Inked| all.around(ink)));
            }
            pen += f64::from(glyph.advance) * unit;
        }
        found
    }
}

fn glyph_ink(face: &Face<'_>, glyph: GlyphId, (pen, baseline): (f64, f64), unit: f64) -> Option<Inked> {
    let outline = face.glyph_bounding_box(glyph)?;
    let along = |units: i16| f64::from(units) * unit;
    Some(Inked {
        left: pen + along(outline.x_min),
        top: baseline - along(outline.y_max),
        right: pen + along(outline.x_max),
        bottom: baseline - along(outline.y_min),
    })
}

/// What is wrong with a drawing: texts too near an edge, in a symbol or its quiet zone, on each other or on
/// a rule; symbols in each other's quiet zones, or without theirs on the label.
pub fn fault(drawing: &Drawing, dpi: Dpi, outlines: &Outlines) -> Option<String> {
    let inks = inks(drawing, outlines);
    let symbols: Vec<Inked> = symbols(drawing, dpi);
    near_edge(drawing, &inks)
        .or_else(|| on_symbol(&inks, &symbols))
        .or_else(|| on_each_other(&inks))
        .or_else(|| symbols_fault(drawing, dpi, &symbols))
}

/// Thin lines between the parts of a label have this thickness; hollow boxes never do.
const RULE: f64 = 0.35;

fn is_rule(size: stowmark::unit::Size) -> bool {
    [size.width.0, size.height.0].into_iter().any(|side| (side - RULE).abs() < 1e-9)
}

fn symbols_fault(drawing: &Drawing, dpi: Dpi, quiet: &[Inked]) -> Option<String> {
    let dark: Vec<Inked> = drawing.symbols().map(|placed| dark(placed, dpi)).collect();
    let (right, bottom) = (drawing.size.width.0 + 1e-6, drawing.size.height.0 + 1e-6);
    let is_inside = |area: &&Inked| area.left > -1e-6 && area.top > -1e-6 && area.right < right && area.bottom < bottom;
    if let Some(area) = quiet.iter().find(|area| !is_inside(area)) {
        return Some(format!("a quiet zone {area:.2?} is not on {}", drawing.size));
    }
    let edge =
        |area: &&Inked| area.left < EDGE || area.top < EDGE || area.right > right - EDGE || area.bottom > bottom - EDGE;
    if let Some(area) = dark.iter().find(edge) {
        return Some(format!("a symbol {area:.2?} is near the edge of {}", drawing.size));
    }
    let pairs = dark.iter().enumerate().flat_map(|(at, dark)| quiet.iter().enumerate().map(move |it| (at, dark, it)));
    let mut others = pairs.filter(|(at, _, (other, _))| at != other);
    let (_, dark, (_, quiet)) = others.find(|(_, dark, (_, quiet))| dark.overlaps(**quiet))?;
    Some(format!("a symbol {dark:.2?} in the quiet zone {quiet:.2?} of another"))
}

/// The dark part of a symbol.
pub fn dark(placed: &stowmark::label::PlacedSymbol, dpi: Dpi) -> Inked {
    let length = |dots: u32| f64::from(dots) * 25.4 / dpi.get();
    let (left, top) = (length(placed.left.0), length(placed.top.0));
    let (right, bottom) = (left + length(placed.symbol.modules() * placed.x.0), top + length(placed.height.0));
    Inked { left, top, right, bottom }
}

/// A text or a box for a missing character, and its line.
struct Line {
    name: String,
    baseline: f64,
    ink: Inked,
}

fn inks(drawing: &Drawing, outlines: &Outlines) -> Vec<Line> {
    let line = |mark: &Mark| match mark {
        Mark::Text(run) => {
            let ink = outlines.of(run)?;
            Some(Line { name: format!("`{}`", run.text), baseline: run.baseline.0, ink })
        }
        Mark::Rect { at, size } => {
            let (right, bottom) = (at.x.0 + size.width.0, at.y.0 + size.height.0);
            let ink = Inked { left: at.x.0, top: at.y.0, right, bottom };
            let (name, baseline) = if is_rule(*size) { ("a rule", f64::INFINITY) } else { ("a hollow box", f64::NAN) };
            Some(Line { name: name.into(), baseline, ink })
        }
        Mark::Symbol(_) => None,
    };
    drawing.marks.iter().filter_map(line).collect()
}

/// Nothing comes nearer to an edge than 1 mm; a tenth is left to rounding.
const EDGE: f64 = 0.9;

fn near_edge(drawing: &Drawing, lines: &[Line]) -> Option<String> {
    let (right, bottom) = (drawing.size.width.0 - EDGE, drawing.size.height.0 - EDGE);
    let is_inside = |ink: Inked| ink.left >= EDGE && ink.top >= EDGE && ink.right <= right && ink.bottom <= bottom;
    let line = lines.iter().find(|line| !is_inside(line.ink))?;
    Some(format!("{} at {:.2?} of {}", line.name, line.ink, drawing.size))
}

/// Symbols with the quiet zones that they must have: [S] 10 modules beside Code 128, 4 around QR.
fn symbols(drawing: &Drawing, dpi: Dpi) -> Vec<Inked> {
    let length = |dots: u32| f64::from(dots) * 25.4 / dpi.get();
    let area = |placed: &stowmark::label::PlacedSymbol| {
        let (beside, above) = if placed.symbol.kind() == SymbolKind::Qr { (4, 4) } else { (10, 0) };
        let (beside, above) = (length(beside * placed.x.0), length(above * placed.x.0));
        let Inked { left, top, right, bottom } = dark(placed, dpi);
        Inked { left: left - beside, top: top - above, right: right + beside, bottom: bottom + above }
    };
    drawing.symbols().map(area).collect()
}

fn on_symbol(lines: &[Line], symbols: &[Inked]) -> Option<String> {
    let (line, symbol) = lines
        .iter()
        .flat_map(|line| symbols.iter().map(move |symbol| (line, symbol)))
        .find(|(line, symbol)| line.ink.overlaps(**symbol))?;
    Some(format!("{} at {:.2?} on a symbol or its quiet zone {symbol:.2?}", line.name, line.ink))
}

/// Runs of one line may touch; those of different lines may not.
fn on_each_other(lines: &[Line]) -> Option<String> {
    let pairs = lines.iter().enumerate().flat_map(|(at, line)| lines[at + 1..].iter().map(move |other| (line, other)));
    let on_other_lines = |(line, other): &(&Line, &Line)| (line.baseline - other.baseline).abs() > 1e-6;
    let (line, other) = pairs.filter(on_other_lines).find(|(line, other)| line.ink.overlaps(other.ink))?;
    Some(format!("{} at {:.2?} on {} at {:.2?}", line.name, line.ink, other.name, other.ink))
}
