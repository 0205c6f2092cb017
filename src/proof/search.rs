//! Symbols on pages of which nothing is known.
//!
//! Start with [`search`]. A page falls into islands of dark that broad white parts; each is read by itself, since a
//! reader of many symbols loses some on a full page.

use super::decode_all;
use crate::{
    output::{OpenPdf, OutputError, Pixels},
    parallel,
    symbol::SymbolKind,
    unit::{Dpi, Mm},
};

/// A symbol that was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// Page, counted from 1.
    pub page: usize,
    /// The symbology.
    pub kind: SymbolKind,
    /// What it says.
    pub text: String,
}

/// The side of a cell of the coarse map.
const CELL: Mm = Mm(0.5);
/// Islands are parted by more white than this: the widest space within a Code 128 is four modules.
const ACROSS: Mm = Mm(2.8);
const DOWN: Mm = Mm(1.0);
/// White around an island: enough for a quiet zone of 10 modules.
const MARGIN: Mm = Mm(7.0);
/// Smaller islands hold no symbol.
const LEAST: Mm = Mm(4.0);

/// Reads all symbols on all pages of a PDF, on all cores. `on_page` is told when a page is done.
///
/// # Errors
/// [`OutputError`] when the PDF can't be drawn.
pub fn search(pdf: &[u8], dpi: Dpi, on_page: &(dyn Fn() + Sync)) -> Result<Vec<Found>, OutputError> {
    let pdf = OpenPdf::new(pdf)?;
    let pages: Vec<usize> = (1..=pdf.pages()).collect();
    let found = parallel::map(&pages, |number| {
        let page = pdf.draw(*number, dpi, false).map(|page| on(&page, dpi));
        on_page();
        page.map(|seen| seen.into_iter().map(|(kind, text)| Found { page: *number, kind, text }).collect::<Vec<_>>())
    });
    Ok(found.into_iter().collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect())
}

fn on(page: &Pixels, dpi: Dpi) -> Vec<(SymbolKind, String)> {
    let islands = islands(page, dpi);
    let found: Vec<_> = islands.iter().flat_map(|island| read(&island.cut(page, dpi))).collect();
    // On a page that is turned, bars fall apart.
    if found.is_empty() { read(page) } else { found }
}

fn read(picture: &Pixels) -> Vec<(SymbolKind, String)> {
    let of = |kind| decode_all(picture, kind).into_iter().map(move |seen| (kind, seen.text));
    SymbolKind::ALL.into_iter().flat_map(of).collect()
}

/// A box of pixels, right and bottom not in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Island {
    left: u32,
    top: u32,
    right: u32,
    bottom: u32,
}

impl Island {
    /// What is in it, on paper: what stands beside it is left out.
    fn cut(&self, page: &Pixels, dpi: Dpi) -> Pixels {
        let margin = dpi.dots_covering(MARGIN).0;
        let part = page.cropped(self.left, self.top, self.right - self.left, self.bottom - self.top);
        let width = part.width + 2 * margin;
        let paper = |rows: u32| std::iter::repeat_n(255, (rows * width) as usize);
        let side = || std::iter::repeat_n(255, margin as usize);
        let rows = part.luma.chunks(part.width.max(1) as usize);
        let middle = rows.flat_map(|row| side().chain(row.iter().copied()).chain(side()));
        let luma = paper(margin).chain(middle).chain(paper(margin)).collect();
        Pixels { width, height: part.height + 2 * margin, luma }
    }
}

/// The islands of a page, from the top.
fn islands(page: &Pixels, dpi: Dpi) -> Vec<Island> {
    let cell = dpi.dots_covering(CELL).0;
    let map = Map::of(page, cell);
    let reach = |gap: Mm| dpi.dots_covering(gap).0.div_ceil(cell) as usize;
    let least = dpi.dots_within(LEAST).0;
    let islands = map.islands(reach(ACROSS), reach(DOWN)).into_iter().map(|[left, top, right, bottom]| Island {
        left: left * cell,
        top: top * cell,
        right: (right * cell).min(page.width),
        bottom: (bottom * cell).min(page.height),
    });
    islands.filter(|island| island.right - island.left >= least && island.bottom - island.top >= least).collect()
}

/// Which cells of a page have something dark in them.
struct Map {
    columns: usize,
    dark: Vec<bool>,
}

impl Map {
    fn of(page: &Pixels, cell: u32) -> Self {
        let (columns, rows) = (page.width.div_ceil(cell) as usize, page.height.div_ceil(cell) as usize);
        let mut dark = vec![false; columns * rows];
        for (y, row) in page.luma.chunks(page.width.max(1) as usize).enumerate() {
            for (column, part) in row.chunks(cell as usize).enumerate() {
                dark[y / cell as usize * columns + column] |= part.iter().any(|luma| *luma < 128);
            }
        }
        Self { columns, dark }
    }

    /// Boxes of cells that hang together over gaps of so many cells: left, top, right, bottom.
    fn islands(mut self, across: usize, down: usize) -> Vec<[u32; 4]> {
        let mut found = Vec::new();
        while let Some(first) = self.dark.iter().position(|dark| *dark) {
            found.push(self.take(first, across, down));
        }
        found
    }

    /// Takes all cells that hang together with one off the map.
    fn take(&mut self, first: usize, across: usize, down: usize) -> [u32; 4] {
        let mut waiting = vec![first];
        let mut found = [u32::MAX, u32::MAX, 0, 0];
        self.dark[first] = false;
        while let Some(at) = waiting.pop() {
            let (column, row) = (at % self.columns, at / self.columns);
            let [x, y] = [column, row].map(|place| u32::try_from(place).unwrap_or(u32::MAX));
            found = [found[0].min(x), found[1].min(y), found[2].max(x + 1), found[3].max(y + 1)];
            for near_row in row.saturating_sub(down)..=(row + down).min(self.dark.len() / self.columns - 1) {
                for near in column.saturating_sub(across)..=(column + across).min(self.columns - 1) {
                    let near = near_row * self.columns + near;
                    if std::mem::take(&mut self.dark[near]) {
                        waiting.push(near);
                    }
                }
            }
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// At 254 dpi ten pixels are a millimetre.
    #[test]
    fn islands_are_parted_by_white() {
        let (width, height) = (400_usize, 200_usize);
        let mut luma = vec![255; width * height];
        let mut fill =
            |x: usize, y: usize| (y..y + 60).for_each(|row| luma[row * width + x..row * width + x + 60].fill(0));
        fill(20, 20);
        // 2 mm on: the same island; 7 mm on: another.
        fill(100, 20);
        fill(230, 20);
        let page = Pixels { width: 400, height: 200, luma };
        let found = islands(&page, Dpi::new(254.0).unwrap());
        let boxes: Vec<_> = found.iter().map(|island| (island.left, island.top, island.right, island.bottom)).collect();
        assert_eq!(boxes, [(20, 20, 160, 80), (230, 20, 290, 80)]);
    }
}
