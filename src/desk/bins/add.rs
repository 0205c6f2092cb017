//! Bins that are added: an area if it is new, a spot, and how many, in one go.

use std::sync::Arc;

use askama::Template;
use axum::{
    Form,
    extract::{Query, State},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    joined,
    typed::{RoomTexts, filled, kinds, name, of_field},
};
use crate::{
    code::{AreaNumber, BinCode},
    desk::{
        answer::{Go, Page, Refusal},
        pairing::new_secret,
        shell::{Place, Shell, Told, Visitor},
        state::Desk,
    },
    job::{bin_by_text, count, free_area_number, place_text, room_doubt},
    register::{Bin, NewBins, Register, RegisterError, Terms, Title},
};

/// What a refusal begins with, and the field that it is about.
const FIELDS: [(&str, &str); 6] = [
    ("Area", "add-number"),
    ("How many", "add-count"),
    ("Spot", "add-spot"),
    ("Litres", "add-litres"),
    ("Weight limit", "add-kg"),
    ("Inner measures", "add-inside"),
];

/// The form, with what was typed into it.
#[derive(Debug, Clone, Default, Template)]
#[template(path = "bins_add_form.html")]
pub(super) struct AddForm {
    /// What there is to choose from: numbers and names of areas.
    areas: Vec<(String, String)>,
    spots: Vec<String>,
    kinds: Vec<(String, String)>,
    typed: Typed,
    refused: Option<String>,
}

/// What is sent; an area of no number is a new one.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct Typed {
    /// The number of this sending: it adds bins once.
    once: String,
    area: String,
    new_number: String,
    new_name: String,
    spot: String,
    count: String,
    kind: String,
    #[serde(flatten)]
    room: RoomTexts,
}

impl Typed {
    /// Whether more is said than most need.
    fn says_more(&self) -> bool {
        !self.kind.is_empty() || self.room != RoomTexts::default()
    }
}

impl AddForm {
    /// With nothing typed yet.
    pub(super) fn empty(register: &Register) -> Result<Self, RegisterError> {
        let areas = register.areas()?;
        let free = free_area_number(&areas).map(|number| number.to_string()).unwrap_or_default();
        let first = areas.first().map(|area| area.number.to_string()).unwrap_or_default();
        let once = new_secret().unwrap_or_default();
        let typed = Typed { once, area: first, new_number: free, count: "1".into(), ..Typed::default() };
        Self::with(register, typed)
    }

    /// The field that is typed into first: the one that was refused.
    fn first(&self) -> &'static str {
        let refused = self.refused.as_deref().unwrap_or_default();
        let is_about = |(label, _): &(&str, _)| refused.starts_with(label);
        FIELDS.into_iter().find(is_about).map_or("add-name", |(_, field)| field)
    }

    /// What the number of a new area begins its codes with.
    fn number(&self) -> &str {
        let is_number = self.typed.new_number.parse::<AreaNumber>().is_ok();
        if is_number { &self.typed.new_number } else { "1" }
    }

    fn with(register: &Register, typed: Typed) -> Result<Self, RegisterError> {
        let mut spots: Vec<String> = register.spots(None)?.into_iter().map(|known| known.spot.name).collect();
        spots.sort();
        spots.dedup();
        Ok(Self {
            areas: register.areas()?.into_iter().map(|area| (area.number.to_string(), area.name)).collect(),
            spots,
            kinds: kinds(register)?,
            typed,
            refused: None,
        })
    }
}

#[derive(Debug, Template)]
#[template(path = "bins_add.html")]
struct AddPage {
    shell: Shell,
    form: AddForm,
}

#[derive(Debug, Deserialize)]
pub(super) struct Choice {
    #[serde(default)]
    area: String,
    #[serde(default)]
    spot: String,
}

pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Query(choice): Query<Choice>,
) -> Result<Page<impl Template>, Refusal> {
    let mut form = desk.read(AddForm::empty).await?;
    if choice.area == "new" {
        form.typed.area = String::new();
    } else if form.areas.iter().any(|(number, _)| *number == choice.area) {
        form.typed.area = choice.area;
    }
    form.typed.spot = choice.spot;
    Ok(Page(AddPage { shell: visitor.shell(&desk, "Add bins", Place::Bins), form }))
}

/// What is to be added.
struct Wanted {
    area: AreaNumber,
    /// The name of an area that is new.
    name: Option<Title>,
    bins: NewBins,
}

impl Wanted {
    fn of(typed: &Typed) -> Result<Self, Refusal> {
        let area = filled(&typed.area);
        let number = of_field("Area", area.unwrap_or(typed.new_number.trim()).parse())?;
        let new_name =
            if area.is_none() { Some(of_field("Name of the area", Title::new(&typed.new_name))?) } else { None };
        let count = typed.count.trim().parse().ok().filter(|count| *count > 0);
        let count = count.ok_or_else(|| Refusal::input("How many: write a number of bins, from 1 on."))?;
        let (spot, kind) = (name("Spot", &typed.spot)?, name("Kind", &typed.kind)?);
        Ok(Self { area: number, name: new_name, bins: NewBins { count, spot, kind, room: typed.room.read()? } })
    }

    fn add(&self, register: &mut Register) -> Result<Vec<Bin>, RegisterError> {
        match &self.name {
            Some(name) => register.add_area_with_bins(self.area, name, &self.bins),
            None => register.add_bins(self.area, &self.bins),
        }
    }
}

/// Adds them; a form that is sent twice adds them once.
pub(super) async fn add(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(typed): Form<Typed>,
) -> Result<Response, Refusal> {
    let refusal = match try_to_add(&desk, &visitor, &typed).await {
        Ok(go) => return Ok(go.into_response()),
        Err(refusal) => refusal,
    };
    let mut form = desk.read(move |register| AddForm::with(register, typed)).await?;
    form.refused = Some(refusal.text);
    let page = AddPage { shell: visitor.shell(&desk, "Add bins", Place::Bins), form };
    Ok((refusal.status, Page(page)).into_response())
}

async fn try_to_add(desk: &Arc<Desk>, visitor: &Visitor, typed: &Typed) -> Result<Go, Refusal> {
    let wanted = Wanted::of(typed)?;
    let terms = Terms { scan: filled(&typed.once).map(str::to_owned), unchanged: Vec::new() };
    let made = desk
        .change_noting(move |register| match register.on(terms, |register| wanted.add(register)) {
            Err(RegisterError::ScannedBefore(_)) => Ok(None),
            made => made.map(Some),
        })
        .await?;
    let (Some(bins), change) = made else {
        desk.tell(visitor.device.id, Told::done("These bins were added already.", None));
        return Ok(Go("/bins".into()));
    };
    let codes: Vec<BinCode> = bins.iter().map(|bin| bin.code).collect();
    let doubt = bins.first().and_then(|bin| room_doubt(&bin.code.to_string(), &bin.room));
    let said = format!("{} added.", count(bins.len() as u64, "bin"));
    desk.tell(visitor.device.id, Told::doubted(said, doubt, change));
    Ok(Go(format!("/bins/added?codes={}", joined(&codes))))
}

#[derive(Debug, Deserialize)]
pub(super) struct Added {
    #[serde(default)]
    codes: String,
}

#[derive(Debug, Template)]
#[template(path = "bins_added.html")]
struct AddedPage {
    shell: Shell,
    codes: Vec<String>,
    place: String,
    area: u16,
    signs: String,
}

/// What comes next: their signs.
pub(super) async fn added(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Query(added): Query<Added>,
) -> Result<Page<impl Template>, Refusal> {
    let bins = desk
        .read(move |register| {
            let codes = added.codes.split_whitespace();
            codes.map(|code| bin_by_text(register, code)).collect::<Result<Vec<Bin>, _>>()
        })
        .await?;
    let first = bins.first().ok_or_else(|| Refusal::nothing("No bins are named here."))?;
    let codes: Vec<BinCode> = bins.iter().filter(|bin| bin.is_live).map(|bin| bin.code).collect();
    Ok(Page(AddedPage {
        shell: visitor.shell(&desk, "Bins added", Place::Bins),
        place: place_text(&first.place),
        area: first.place.area.get(),
        signs: format!("/labels?what=signs&codes={}", joined(&codes)),
        codes: codes.iter().map(ToString::to_string).collect(),
    }))
}
