//! What must hold of a printed label and of a printed page. Each says what is wrong, if anything.

use stowmark::{
    output::Pixels,
    proof::decode,
    sheet::{Paper, Sheet},
    symbol::{Matrix, Symbol, SymbolKind},
    unit::Dpi,
};

use super::{
    picture::{self, Area, BLACK, WHITE},
    specimen::{Specimen, label_area},
};

/// What went wrong.
pub type Fault = Option<String>;

fn unless(holds: bool, fault: impl FnOnce() -> String) -> Fault {
    (!holds).then(fault)
}

/// The label cut out along its nominal edges is read as what was coded.
pub fn is_read(specimen: &Specimen<'_>) -> Fault {
    reading_fault(specimen, &specimen.picture)
}

/// The same with everything around it dark: a reader gets no more white than the label has.
pub fn is_read_in_dark_surround(specimen: &Specimen<'_>) -> Fault {
    reading_fault(specimen, &picture::framed(&specimen.picture, specimen.pixels(5.0)))
}

/// And turned by half a turn, as tags are held.
pub fn is_read_upside_down(specimen: &Specimen<'_>) -> Fault {
    let mut turned = specimen.picture.clone();
    turned.luma.reverse();
    reading_fault(specimen, &turned)
}

fn reading_fault(specimen: &Specimen<'_>, picture: &Pixels) -> Fault {
    let read = decode(picture, specimen.label.design.kind).map(|seen| seen.text);
    unless(read.as_ref() == Some(&specimen.label.payload), || format!("read as {read:?}"))
}

/// The symbol in pixels of its label, without quiet zones.
fn symbol_area(specimen: &Specimen<'_>) -> Area {
    let placed = specimen.symbol();
    let (left, top) = (placed.left.0 as usize, placed.top.0 as usize);
    let wide = (placed.symbol.modules() * placed.x.0) as usize;
    Area { left, top, right: left + wide, bottom: top + placed.height.0 as usize }
}

fn quiet(specimen: &Specimen<'_>) -> usize {
    // [S] 10 modules beside Code 128, 4 around QR.
    let modules = if specimen.label.design.kind == SymbolKind::Code128 { 10 } else { 4 };
    modules * specimen.symbol().x.0 as usize
}

/// The symbol with its quiet zones lies on the label by its measures.
pub fn has_room_for_quiet_zones(specimen: &Specimen<'_>) -> Fault {
    let (area, quiet, label) = (symbol_area(specimen), quiet(specimen), specimen.drawing().size);
    let above = if specimen.label.design.kind == SymbolKind::Qr { quiet } else { 0 };
    let length = |pixels| picture::millimetres(pixels, specimen.dpi.get());
    let across = area.left >= quiet && length(area.right + quiet) <= label.width.0 + 1e-6;
    let down = area.top >= above && length(area.bottom + above) <= label.height.0 + 1e-6;
    unless(across && down, || format!("{area:?} with {quiet} pixels of quiet zone on {label}"))
}

/// Design: at least 0.25 mm a module in whole dots; [S] bars of at least 5 mm or 15 % of the width.
pub fn is_large_enough(specimen: &Specimen<'_>) -> Fault {
    let placed = specimen.symbol();
    let length = |dots: u32| f64::from(dots) * 25.4 / specimen.dpi.get();
    let (x, width) = (length(placed.x.0), length(placed.x.0 * placed.symbol.modules()));
    let least = if specimen.label.design.kind == SymbolKind::Code128 { (width * 0.15).max(5.0) } else { width };
    let holds = x >= 0.25 && length(placed.height.0) >= least - 1e-6;
    unless(holds, || format!("{x} mm a module, {} mm high", length(placed.height.0)))
}

/// Every pixel of the symbol and of its quiet zones is what its module says.
pub fn has_exact_modules(specimen: &Specimen<'_>) -> Fault {
    has_room_for_quiet_zones(specimen).or_else(|| wrong_row(specimen))
}

fn wrong_row(specimen: &Specimen<'_>) -> Fault {
    let (area, quiet) = (symbol_area(specimen), quiet(specimen));
    let (left, right) = (area.left - quiet, area.right + quiet);
    let rows = expected_rows(specimen, quiet);
    let above = rows.iter().take_while(|(is_symbol, _)| !is_symbol).count();
    let top = area.top - above;
    let wrong = rows
        .iter()
        .enumerate()
        .find(|(at, (_, expected))| picture::row(&specimen.picture, top + at, left, right) != *expected);
    wrong.map(|(at, _)| format!("row {} of {area:?} is not as its modules", top + at))
}

/// The rows of pixels from the upper to the lower quiet zone (one row for bars), and whether each is of
/// the symbol itself.
fn expected_rows(specimen: &Specimen<'_>, quiet: usize) -> Vec<(bool, Vec<u8>)> {
    let placed = specimen.symbol();
    let x = placed.x.0 as usize;
    let line = |modules: Vec<bool>| pixel_line(&modules, x, quiet);
    let white = |rows| std::iter::repeat_n((false, line(vec![false; placed.symbol.modules() as usize])), rows);
    let (around, rows) = match placed.symbol.as_ref() {
        Symbol::Linear(bars) => (1, vec![line(bars.modules().to_vec()); placed.height.0 as usize]),
        Symbol::Matrix(matrix) => (quiet, matrix_rows(matrix, x, quiet)),
    };
    white(around).chain(rows.into_iter().map(|row| (true, row))).chain(white(around)).collect()
}

fn matrix_rows(matrix: &Matrix, x: usize, quiet: usize) -> Vec<Vec<u8>> {
    let modules = |row| (0..matrix.side()).map(|column| matrix.is_dark(column, row)).collect::<Vec<bool>>();
    (0..matrix.side()).flat_map(|row| vec![pixel_line(&modules(row), x, quiet); x]).collect()
}

fn pixel_line(modules: &[bool], x: usize, quiet: usize) -> Vec<u8> {
    let mut line = vec![WHITE; quiet];
    for dark in modules {
        line.extend(std::iter::repeat_n(if *dark { BLACK } else { WHITE }, x));
    }
    line.extend(vec![WHITE; quiet]);
    line
}

/// The dark pixels begin and end within 0.1 mm of where the sheet's measures put the symbol.
pub fn is_in_its_place(specimen: &Specimen<'_>) -> Fault {
    let (placed, dots) = (specimen.symbol(), specimen.dpi.get());
    let corner = specimen.sheet.corner(specimen.slot);
    let length = |dots_long: u32| f64::from(dots_long) * 25.4 / dots;
    let (left, top) = (corner.x.0 + length(placed.left.0), corner.y.0 + length(placed.top.0));
    let (width, height) = (length(placed.symbol.modules() * placed.x.0), length(placed.height.0));
    let Some(found) = picture::dark_box(&specimen.picture, search_area(specimen)) else {
        return Some("nothing dark".into());
    };
    let along = |pixel: usize, offset: usize| picture::millimetres(pixel + offset, dots);
    let edges = [
        (along(found.left, specimen.area.left), left),
        (along(found.right, specimen.area.left), left + width),
        (along(found.top, specimen.area.top), top),
        (along(found.bottom, specimen.area.top), top + height),
    ];
    unless(edges.iter().all(|(found, expected)| (found - expected).abs() <= 0.1), || format!("{edges:?} mm"))
}

/// The symbol with its quiet zones beside it, and a little above and below.
fn search_area(specimen: &Specimen<'_>) -> Area {
    let (area, quiet) = (symbol_area(specimen), quiet(specimen));
    let above = if specimen.label.design.kind == SymbolKind::Qr { quiet } else { 2 };
    Area { left: area.left - quiet, top: area.top - above, right: area.right + quiet, bottom: area.bottom + above }
}

/// Nothing dark comes nearer to a label's edge than 1 mm, less what rounding to pixels takes.
pub fn has_clear_edges(specimen: &Specimen<'_>) -> Fault {
    let (wide, high) = (specimen.picture.width as usize, specimen.picture.height as usize);
    let edge = specimen.pixels(0.9);
    let edges = [
        ("top", Area { left: 0, top: 0, right: wide, bottom: edge }),
        ("bottom", Area { left: 0, top: high - edge, right: wide, bottom: high }),
        ("left", Area { left: 0, top: 0, right: edge, bottom: high }),
        ("right", Area { left: wide - edge, top: 0, right: wide, bottom: high }),
    ];
    let (name, _) = edges.into_iter().find(|(_, area)| picture::first_dark_row(&specimen.picture, *area).is_some())?;
    Some(format!("dark within {edge} pixels of the {name}"))
}

/// Nothing lies outside of the labels, and nothing on what office printers leave unprinted.
pub fn page_fault(page: &Pixels, sheet: &Sheet, dpi: Dpi) -> Fault {
    unprinted_edge_fault(page, sheet, dpi).or_else(|| outside_fault(page, sheet, dpi))
}

fn outside_fault(page: &Pixels, sheet: &Sheet, dpi: Dpi) -> Fault {
    let mut page = page.clone();
    for slot in 1..=sheet.slots() {
        picture::blank(&mut page, label_area(sheet, slot, dpi));
    }
    let all = Area { left: 0, top: 0, right: page.width as usize, bottom: page.height as usize };
    picture::first_dark_row(&page, all).map(|row| format!("dark outside of the labels in row {row}"))
}

/// About 4.2 mm of a page stay unprinted (common practice); checked to 4 mm.
fn unprinted_edge_fault(page: &Pixels, sheet: &Sheet, dpi: Dpi) -> Fault {
    if sheet.paper == Paper::Roll {
        return None;
    }
    let (wide, high) = (page.width as usize, page.height as usize);
    let edge = picture::nearest_pixel(4.0, dpi.get());
    let edges = [
        Area { left: 0, top: 0, right: wide, bottom: edge },
        Area { left: 0, top: high - edge, right: wide, bottom: high },
        Area { left: 0, top: 0, right: edge, bottom: high },
        Area { left: wide - edge, top: 0, right: wide, bottom: high },
    ];
    let dark = edges.into_iter().find_map(|area| picture::first_dark_row(page, area));
    dark.map(|row| format!("dark within 4 mm of the paper's edge in row {row}"))
}
