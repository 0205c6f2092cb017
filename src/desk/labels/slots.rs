//! The slots of the sheet in the printer: which are used, and where each lies on its page.
//!
//! Start with [`SlotsPart::of`]. Where a slot lies is said by a style sheet of its own for each sheet, since pages may
//! hold no style themselves.

use std::{collections::BTreeSet, fmt::Write, sync::Arc};

use axum::{
    extract::{Path, Query, State},
    http::header,
    response::IntoResponse,
};
use serde::Deserialize;

use super::{
    super::{answer::Refusal, bins::fingerprint, state::Desk},
    choices::Choices,
};
use crate::{
    job::{Start, sheet_by_name, sheet_in_use},
    register::Register,
    sheet::Sheet,
};

/// A slot of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Slot {
    pub number: u32,
    pub is_used: bool,
}

/// The slots of the first sheet, to be said used or free.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct SlotsPart {
    pub sheet: String,
    /// A few letters that change with the sheet's measures.
    pub measures: String,
    pub slots: Vec<Slot>,
    pub is_fresh: bool,
}

impl SlotsPart {
    /// `None` for a sheet of which no slots are remembered.
    pub(super) fn of(register: &Register, sheet: &Sheet, choices: &Choices) -> Result<Option<Self>, Refusal> {
        if !sheet.remembers_slots() {
            return Ok(None);
        }
        let used = match said(sheet, choices) {
            _ if choices.is_fresh => BTreeSet::new(),
            Some(said) => said,
            None => known(register, sheet)?,
        };
        let slots = (1..=sheet.slots()).map(|number| Slot { number, is_used: used.contains(&number) }).collect();
        Ok(Some(Self { sheet: sheet.name.clone(), measures: fingerprint(sheet), slots, is_fresh: choices.is_fresh }))
    }
}

/// On which slots the run begins.
pub(super) fn start(register: &Register, sheet: &Sheet, choices: &Choices) -> Result<Start, Refusal> {
    if !sheet.remembers_slots() {
        return Ok(Start::GoOn);
    }
    let known = known(register, sheet)?;
    Ok(match said(sheet, choices) {
        _ if choices.is_fresh => Start::Fresh,
        None => Start::GoOn,
        Some(said) if said == known => Start::GoOn,
        Some(said) if said.is_empty() => Start::Fresh,
        Some(said) => {
            let list: Vec<String> = said.iter().map(ToString::to_string).collect();
            Start::new(sheet, None, Some(&list.join(",")), false)?
        }
    })
}

/// What the user said of this sheet.
fn said(sheet: &Sheet, choices: &Choices) -> Option<BTreeSet<u32>> {
    let on_sheet = |slot: &u32| (1..=sheet.slots()).contains(slot);
    (choices.on == sheet.name).then(|| choices.used.iter().copied().filter(on_sheet).collect())
}

fn known(register: &Register, sheet: &Sheet) -> Result<BTreeSet<u32>, Refusal> {
    Ok(sheet_in_use(register, sheet)?.map(|last| last.spent).unwrap_or_default())
}

/// The least side of what is pressed with a thumb, in CSS pixels.
const THUMB: f64 = 44.0;
/// The page's border in the style sheet.
const BORDER: f64 = 1.0;

#[derive(Debug, Deserialize)]
pub(super) struct Measured {
    /// The measures that the page was made with.
    #[serde(default)]
    v: String,
}

/// The style sheet that puts each slot in its place on the page.
pub(super) async fn style(
    State(desk): State<Arc<Desk>>,
    Path(name): Path<String>,
    Query(measured): Query<Measured>,
) -> Result<impl IntoResponse, Refusal> {
    let name = name.strip_suffix(".css").unwrap_or(&name).to_owned();
    let sheet = desk.read(move |register| sheet_by_name(register, &name)).await?;
    // A sheet of the same name may have other measures one day.
    let keep = if measured.v == fingerprint(&sheet) { "private, max-age=600" } else { "no-store" };
    Ok(([(header::CONTENT_TYPE, "text/css; charset=utf-8"), (header::CACHE_CONTROL, keep)], css(&sheet)))
}

fn css(sheet: &Sheet) -> String {
    let (page, name) = (sheet.page(), &sheet.name);
    let of = |part: f64, whole: f64| (part / whole * 100_000.0).round() / 1000.0;
    let (width, height) = (of(sheet.label_width.0, page.width.0), of(sheet.label_height.0, page.height.0));
    let mut css = format!(".on-{name}{{aspect-ratio:{}/{}}}\n", page.width.0, page.height.0);
    let _ = writeln!(css, ".on-{name} .slot{{width:{width}%;height:{height}%}}");
    // On a phone the page is as wide as a thumb needs it, and is moved sideways in its box.
    let thumb = (THUMB * page.width.0 / sheet.label_width.0.min(sheet.label_height.0)).ceil() + 2.0 * BORDER;
    let _ = writeln!(css, "@media (max-width:46rem){{.on-{name}:has(.slot){{min-width:{thumb}px}}}}");
    for slot in 1..=sheet.slots() {
        let corner = sheet.corner(slot);
        let (left, top) = (of(corner.x.0, page.width.0), of(corner.y.0, page.height.0));
        let _ = writeln!(css, ".on-{name} .slot-{slot}{{left:{left}%;top:{top}%}}");
    }
    css
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::find_sheet;

    #[test]
    fn each_slot_lies_where_its_label_does() {
        let css = css(find_sheet("a4-3x7").unwrap());
        // 7.2 of 210 mm and 15.15 of 297 mm: the sheet's measures in the table.
        assert!(css.contains(".slot-1{left:3.429%;top:5.101%}"), "{css}");
        assert_eq!(css.matches(".slot-").count(), 21);
        // 210 mm wide with labels of 38.1 mm: 44 px of height take 243, and the border 2.
        assert!(css.contains("{min-width:245px}"), "{css}");
    }
}
