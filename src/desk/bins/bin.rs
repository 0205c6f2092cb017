//! A bin: where it stands, how full it is, what is in it, what was printed of it, and what can be done with it.

use std::sync::Arc;

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use jiff::{ZonedDateTime, civil::Date};
use serde::Deserialize;

use super::{
    labels::{LabelRow, labels},
    tub::{Fullness, items_text},
    typed::{RoomTexts, kinds, seen},
};
use crate::{
    desk::{
        answer::{Go, Page, Refusal},
        shell::{Place, Shell, Visitor},
        state::Desk,
    },
    job::{
        HistoryLine, Settings, assumed_of, bin_by_text, count, fate, fills, history, local_time, place_text, room_text,
    },
    register::{Bin, Found, Item, ItemFilter, Register},
};

/// Lines of the history that are shown.
const LINES: usize = 200;
/// Items that are shown.
const ITEMS: usize = 1000;

#[derive(Debug, Template)]
#[template(path = "bin.html")]
struct BinPage {
    shell: Shell,
    view: BinView,
    typed: Typed,
    refused: Option<Refused>,
}

/// What is known of a bin.
#[derive(Debug)]
pub(super) struct BinView {
    bin: Bin,
    code: String,
    place: String,
    items_text: String,
    full: Option<Fullness>,
    assumed: Option<String>,
    holds: String,
    former: Vec<String>,
    items: Vec<ItemView>,
    more: usize,
    labels: Vec<LabelRow>,
    spots: Vec<String>,
    kinds: Vec<(String, String)>,
    /// The other areas.
    areas: Vec<(String, String)>,
    history: Vec<HistoryLine>,
    seen: String,
}

#[derive(Debug)]
struct ItemView {
    code: String,
    title: String,
    state: String,
    /// For how many days it is listed.
    days: String,
}

/// What stands in the forms; each sends its own part.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct Typed {
    /// How the bin was when the form was made.
    pub seen: String,
    pub spot: String,
    pub stack: String,
    pub kind: String,
    #[serde(flatten)]
    pub room: RoomTexts,
    pub area: String,
    pub area_spot: String,
}

/// The fields of each form, by what a refusal of them begins with; the last is for all else.
const FORMS: [(&str, &[(&str, &str)]); 3] = [
    ("place", &[("Place in the stack", "stack"), ("", "spot")]),
    ("room", &[("Weight limit", "max_kg"), ("Inner measures", "inside"), ("", "litres")]),
    ("area", &[("Spot", "area_spot"), ("", "area")]),
];

/// Why something was refused, and in which form.
#[derive(Debug)]
pub(super) struct Refused {
    pub form: FormName,
    pub text: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FormName {
    Place,
    Room,
    Area,
    Retire,
}

impl Typed {
    pub(super) fn of(bin: &Bin) -> Self {
        Self {
            spot: bin.place.spot.as_ref().map(|spot| spot.name.clone()).unwrap_or_default(),
            stack: bin.stack.map(|place| place.to_string()).unwrap_or_default(),
            kind: bin.kind.clone().unwrap_or_default(),
            room: RoomTexts::of(&bin.own_room),
            ..Self::default()
        }
    }

    /// With what one of the forms sent.
    fn with(self, form: FormName, sent: Self) -> Self {
        match form {
            FormName::Place => Self { spot: sent.spot, stack: sent.stack, ..self },
            FormName::Room => Self { kind: sent.kind, room: sent.room, ..self },
            FormName::Area => Self { area: sent.area, area_spot: sent.area_spot, ..self },
            FormName::Retire => self,
        }
    }
}

impl BinPage {
    /// Whether the cursor stands in this field: the one that was refused, or the first of its form.
    fn has_cursor(&self, field: &str) -> bool {
        let reason = self.reason();
        let fields: &[(&str, &str)] = match FORMS.iter().find(|(form, _)| self.is_refused(form)) {
            Some((_, fields)) => fields,
            None => return false,
        };
        fields.iter().find(|(label, _)| reason.starts_with(label)).is_some_and(|(_, name)| *name == field)
    }

    fn is_refused(&self, form: &str) -> bool {
        let name = match self.refused.as_ref().map(|refused| refused.form) {
            Some(FormName::Place) => "place",
            Some(FormName::Room) => "room",
            Some(FormName::Area) => "area",
            Some(FormName::Retire) => "retire",
            None => "",
        };
        name == form
    }

    fn reason(&self) -> &str {
        self.refused.as_ref().map_or("", |refused| &refused.text)
    }
}

fn item_view(item: &Item, today: Date) -> ItemView {
    let days = item.listed.map(|since| u64::try_from((today - since).get_days()).unwrap_or_default());
    ItemView {
        code: item.name(),
        title: item.title.clone(),
        state: fate(item).unwrap_or_else(|| item.status.word().to_owned()),
        days: days.map(|days| count(days, "day")).unwrap_or_default(),
    }
}

impl BinView {
    pub(super) fn of(register: &Register, code: &str) -> Result<Self, Refusal> {
        let bin = bin_by_text(register, code).map_err(|fault| Refusal::nothing(Refusal::from(fault).text))?;
        let (items, fill) =
            (register.items(&ItemFilter::within(bin.code))?, fills(register, std::slice::from_ref(&bin))?);
        let fill = fill.and_then(|fills| fills.first().copied());
        let (found, currency) = (Found::Bin(bin.clone()), Settings::of(register)?.currency);
        let mut history = history(register, &found, &currency, Some(LINES), (None, None))?.lines;
        history.reverse();
        for line in &mut history {
            line.at = local_time(&line.at);
        }
        let today = ZonedDateTime::now().date();
        let areas = register.areas()?.into_iter().filter(|area| area.number != bin.place.area);
        Ok(Self {
            code: bin.code.to_string(),
            place: place_text(&bin.place),
            items_text: items_text(&bin),
            full: fill.as_ref().and_then(|fill| Fullness::of(&bin.room, fill)),
            assumed: assumed_of(fill.iter().map(|fill| (&bin.room, fill))).map(|text| Refusal::words(&text)),
            holds: room_text(bin.kind.as_deref(), bin.room),
            former: register.former_codes(&bin)?.iter().map(ToString::to_string).collect(),
            more: items.len().saturating_sub(ITEMS),
            items: items.iter().take(ITEMS).map(|item| item_view(item, today)).collect(),
            labels: if bin.is_live { labels(register, &bin)? } else { Vec::new() },
            spots: register.spots(Some(bin.place.area))?.into_iter().map(|known| known.spot.name).collect(),
            kinds: kinds(register)?,
            areas: areas.map(|area| (area.number.to_string(), area.name)).collect(),
            history,
            seen: seen(&bin),
            bin,
        })
    }

    /// Whether anything in it is listed.
    fn has_days(&self) -> bool {
        self.items.iter().any(|item| !item.days.is_empty())
    }

    /// `Retired since 2026-11-25.`
    fn out_of_use(&self) -> Option<String> {
        match self.bin.retired {
            _ if self.bin.is_live => None,
            Some(since) => {
                Some(format!("Retired since {since}. Nothing goes into it any more, and no code of it is given again."))
            }
            None => Some("Its entry was taken back. Its code stays known, and is not given again.".into()),
        }
    }
}

/// The page; an old code leads to the present one.
pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(code): Path<String>,
) -> Result<Response, Refusal> {
    let asked = code.clone();
    let view = desk.read(move |register| BinView::of(register, &asked)).await?;
    if view.code != code {
        return Ok(Go(format!("/b/{}", view.code)).into_response());
    }
    let typed = Typed::of(&view.bin);
    Ok(Page(BinPage { shell: shell(&desk, &visitor, &view), view, typed, refused: None }).into_response())
}

/// The page again, with what was typed and why it was refused.
pub(super) async fn again(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    code: String,
    sent: Typed,
    (form, refusal): (FormName, Refusal),
) -> Result<Response, Refusal> {
    if refusal.status == StatusCode::NOT_FOUND {
        return Err(refusal);
    }
    let view = desk.read(move |register| BinView::of(register, &code)).await?;
    let typed = Typed::of(&view.bin).with(form, sent);
    let refused = Some(Refused { form, text: refusal.text });
    let page = BinPage { shell: shell(desk, visitor, &view), view, typed, refused };
    Ok((refusal.status, Page(page)).into_response())
}

fn shell(desk: &Desk, visitor: &Visitor, view: &BinView) -> Shell {
    visitor.shell(desk, &format!("Bin {}", view.code), Place::Bins)
}
