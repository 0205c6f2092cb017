//! Stops shared out over pages: a stop stays on one page if it fits on one.

use super::{BIN_CAP, BIN_WIDTH, Columns, PickList, PickStop, ROW_GAP, Row, SMALL_PT, STOP_GAP, body_top, em, tidy};
use crate::{
    font::{FaceId, Fonts},
    label::text::{self, Block, Sizes},
    unit::{Mm, Size},
};

/// The heading of a section with the white above and below it.
pub(super) const SECTION_HEIGHT: Mm = Mm(8.4);

/// The heading of a part likewise.
pub(super) const PART_HEIGHT: Mm = Mm(8.4);

/// A page.
pub(super) struct Page<'a> {
    pub parts: Vec<Part<'a>>,
}

/// A stop, or as many of its rows as fit on one page.
pub(super) struct Part<'a> {
    pub stop: &'a PickStop,
    /// What it is a part of where that is to be told.
    pub heading: Option<&'a str>,
    /// Its section where it is to be told.
    pub section: Option<&'a str>,
    pub place: Block,
    pub rows: Vec<Row<'a>>,
    pub height: Mm,
}

/// The pages of a list, at least one.
pub(super) fn pages<'a>(list: &'a PickList, fonts: &Fonts, columns: &Columns) -> Vec<Page<'a>> {
    let room = columns.bottom - body_top(columns);
    let (mut pages, mut left) = (vec![Page { parts: Vec::new() }], room);
    for mut part in list.stops.iter().flat_map(|stop| parts(stop, fonts, columns, room)) {
        let before = pages.last().and_then(|page| page.parts.last()).map(|part| part.stop);
        part.tell_headings(before);
        if before.is_some() && taken(&part) > left {
            part.tell_headings(None);
            pages.push(Page { parts: Vec::new() });
            left = room;
        }
        left = left - taken(&part);
        if let Some(page) = pages.last_mut() {
            page.parts.push(part);
        }
    }
    pages
}

impl Part<'_> {
    /// Those headings that do not hold already after the stop before it on its page.
    fn tell_headings(&mut self, before: Option<&PickStop>) {
        let stop = self.stop;
        let is_new_part = before.is_none_or(|before| before.part != stop.part);
        let is_new_section = is_new_part || before.is_none_or(|before| before.section != stop.section);
        self.heading = Some(stop.part.as_str()).filter(|part| is_new_part && !part.is_empty());
        self.section = Some(stop.section.as_str()).filter(|_| is_new_section);
    }
}

fn taken(part: &Part<'_>) -> Mm {
    let heading = if part.heading.is_some() { PART_HEIGHT } else { Mm::ZERO };
    let section = if part.section.is_some() { SECTION_HEIGHT } else { Mm::ZERO };
    heading + section + part.height + STOP_GAP * 2.0
}

/// A stop in as few parts as fit on a page each.
fn parts<'a>(stop: &'a PickStop, fonts: &Fonts, columns: &Columns, room: Mm) -> Vec<Part<'a>> {
    let most = room - PART_HEIGHT - SECTION_HEIGHT - STOP_GAP * 2.0;
    let mut parts: Vec<Part<'a>> = Vec::new();
    for item in &stop.items {
        let row = Row::new(item, fonts, columns);
        match parts.last_mut() {
            Some(part) if height(&part.rows) + ROW_GAP + row.height <= most => part.rows.push(row),
            _ => parts.push(Part {
                stop,
                heading: None,
                section: None,
                place: place(stop, fonts),
                rows: vec![row],
                height: Mm::ZERO,
            }),
        }
    }
    for part in &mut parts {
        let place = BIN_CAP + Mm(1.6) + part.place.height();
        part.height = height(&part.rows).max(place);
    }
    parts
}

fn height(rows: &[Row<'_>]) -> Mm {
    let gaps = rows.iter().skip(1).map(|_| ROW_GAP).sum::<Mm>();
    rows.iter().map(|row| row.height).sum::<Mm>() + gaps
}

fn place(stop: &PickStop, fonts: &Fonts) -> Block {
    let sizes = Sizes { largest: em(SMALL_PT), smallest: em(SMALL_PT) };
    let room = Size { width: BIN_WIDTH, height: Mm(60.0) };
    text::fit(fonts, &tidy(stop.place.clone()), FaceId::Regular, room, sizes, 3)
}
