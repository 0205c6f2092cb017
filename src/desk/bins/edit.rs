//! What can be done with a bin: where it stands, how much it holds, another area, out of use and back.

use std::sync::Arc;

use axum::{
    Form,
    extract::{Path, State},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    bin::{FormName, Typed, again},
    typed::{RoomTexts, name, of_field, require_seen, seen, stack, to},
};
use crate::{
    code::AreaNumber,
    desk::{
        answer::{Go, Refusal},
        shell::{Told, Visitor},
        state::Desk,
    },
    job::{BinsEdited, bin_by_text, count, edit_bins, listed, place_text, room_doubt},
    register::{AreaChange, Bin, BinEdit, ChangeId, Register, Title},
};

/// The bin, if it is as it was when the form was made.
fn seen_bin(register: &Register, code: &str, form: &str) -> Result<Bin, Refusal> {
    let bin = bin_by_text(register, code).map_err(|fault| Refusal::nothing(Refusal::from(fault).text))?;
    require_seen(form, &seen(&bin))?;
    Ok(bin)
}

fn back_to(desk: &Desk, visitor: &Visitor, code: impl std::fmt::Display, told: Told) -> Response {
    desk.tell(visitor.device.id, told);
    Go(format!("/b/{code}")).into_response()
}

fn nothing_new(change: Option<ChangeId>) -> Option<Told> {
    change.is_none().then(|| Told::done("All of this is so already.", None))
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct PlaceForm {
    seen: String,
    spot: String,
    stack: String,
}

/// Where it stands.
pub(super) async fn place(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(code): Path<String>,
    Form(form): Form<PlaceForm>,
) -> Result<Response, Refusal> {
    let (asked, typed) = (code.clone(), form.clone());
    let edited = desk.change_noting(move |register| place_bin(register, &asked, &typed)).await;
    match edited {
        Ok((edited, change)) => {
            let told = nothing_new(change).unwrap_or_else(|| Told::done(placed_text(&edited), change));
            Ok(back_to(&desk, &visitor, code, told))
        }
        Err(refusal) => {
            let typed = move |typed| Typed { spot: form.spot, stack: form.stack, ..typed };
            again(&desk, &visitor, code, typed, (FormName::Place, refusal)).await
        }
    }
}

/// Whoever moves a bin and leaves its old place in the stack in the form did not mean it for the new spot.
fn place_bin(register: &mut Register, code: &str, form: &PlaceForm) -> Result<BinsEdited, Refusal> {
    let bin = seen_bin(register, code, &form.seen)?;
    let now = bin.place.spot.as_ref().and_then(|spot| Title::new(&spot.name).ok());
    let (spot, stack) = (to(now.as_ref(), name("Spot", &form.spot)?), to(bin.stack.as_ref(), stack(&form.stack)?));
    Ok(edit_bins(register, &[bin.code], &BinEdit { spot, stack, ..BinEdit::default() })?)
}

fn placed_text(edited: &BinsEdited) -> String {
    let stacked = edited.restacked().next().map(|bin| match bin.stack {
        Some(place) => format!("{} has place {place} in its stack now.", bin.code),
        None => format!("{} is in no stack now.", bin.code),
    });
    let moved = edited.moved().next().map(|(before, bin)| {
        let spots: Vec<String> = edited.spots().into_iter().map(|spot| format!("“{spot}”")).collect();
        let strips = if spots.is_empty() { String::new() } else { format!(", and the strips of {}", listed(&spots)) };
        let stack = match (before.stack, bin.stack) {
            (Some(_), None) => " It is in no stack there.",
            _ => "",
        };
        format!(
            "{} stands at {} now.{stack} Items keep their codes and tags. Its sign{strips} show the old place if they were printed before.",
            bin.code,
            place_text(&bin.place)
        )
    });
    moved.or(stacked).unwrap_or_default()
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct RoomForm {
    seen: String,
    kind: String,
    litres: String,
    max_kg: String,
    inside: String,
}

impl RoomForm {
    fn texts(&self) -> RoomTexts {
        RoomTexts { litres: self.litres.clone(), max_kg: self.max_kg.clone(), inside: self.inside.clone() }
    }
}

/// How much it holds.
pub(super) async fn room(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(code): Path<String>,
    Form(form): Form<RoomForm>,
) -> Result<Response, Refusal> {
    let (asked, typed) = (code.clone(), form.clone());
    let edited = desk.change_noting(move |register| room_bin(register, &asked, &typed)).await;
    match edited {
        Ok((edited, change)) => {
            let doubt = edited.after.first().and_then(|bin| room_doubt(&bin.code.to_string(), &bin.room));
            let saved = || Told::done("Saved.", change);
            let doubted =
                |doubt| Told { text: format!("Saved. Look at the figures: {doubt}."), undo: change, is_warning: true };
            let told = nothing_new(change).unwrap_or_else(|| doubt.map_or_else(saved, doubted));
            Ok(back_to(&desk, &visitor, code, told))
        }
        Err(refusal) => {
            let typed = move |typed| Typed { room: form.texts(), kind: form.kind, ..typed };
            again(&desk, &visitor, code, typed, (FormName::Room, refusal)).await
        }
    }
}

fn room_bin(register: &mut Register, code: &str, form: &RoomForm) -> Result<BinsEdited, Refusal> {
    let bin = seen_bin(register, code, &form.seen)?;
    let (own, wanted) = (bin.own_room, form.texts().read()?);
    let now = bin.kind.as_deref().and_then(|kind| Title::new(kind).ok());
    let edit = BinEdit {
        kind: to(now.as_ref(), name("Kind", &form.kind)?),
        volume: to(own.volume.as_ref(), wanted.volume),
        max_weight: to(own.max_weight.as_ref(), wanted.max_weight),
        inside: to(own.inside.as_ref(), wanted.inside),
        ..BinEdit::default()
    };
    Ok(edit_bins(register, &[bin.code], &edit)?)
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct AreaForm {
    seen: String,
    area: String,
    area_spot: String,
}

/// It goes to another area, and gets a code of it.
pub(super) async fn area(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(code): Path<String>,
    Form(form): Form<AreaForm>,
) -> Result<Response, Refusal> {
    let (asked, typed) = (code.clone(), form.clone());
    let changed = desk.change_noting(move |register| change_area(register, &asked, &typed)).await;
    match changed {
        Ok((changed, change)) => {
            Ok(back_to(&desk, &visitor, changed.bin.code, Told::done(changed_text(&changed), change)))
        }
        Err(refusal) => {
            let typed = move |typed| Typed { area: form.area, area_spot: form.area_spot, ..typed };
            again(&desk, &visitor, code, typed, (FormName::Area, refusal)).await
        }
    }
}

fn change_area(register: &mut Register, code: &str, form: &AreaForm) -> Result<AreaChange, Refusal> {
    let bin = seen_bin(register, code, &form.seen)?;
    let area: AreaNumber = of_field("Area", form.area.parse())?;
    Ok(register.change_area(bin.code, area, name("Spot", &form.area_spot)?.as_ref())?)
}

fn changed_text(AreaChange { from, bin, tags }: &AreaChange) -> String {
    let tags = match *tags {
        0 => String::new(),
        tags => format!(
            " {} in it show{} another code, and go on being found.",
            count(tags as u64, "tag"),
            if tags == 1 { "s" } else { "" }
        ),
    };
    format!(
        "{from} is {} now, in {}. A scan of its old sign finds it for ever.{tags} Print its new sign below.",
        bin.code,
        place_text(&bin.place)
    )
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct SeenForm {
    seen: String,
}

/// Out of use: an empty bin only.
pub(super) async fn retire(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(code): Path<String>,
    Form(form): Form<SeenForm>,
) -> Result<Response, Refusal> {
    let asked = code.clone();
    let retired = desk
        .change_noting(move |register| {
            let bin = seen_bin(register, &asked, &form.seen)?;
            Ok::<_, Refusal>(register.retire_bins(&[bin.code])?)
        })
        .await;
    match retired {
        Ok((_, change)) => {
            let text = format!(
                "{code} is retired: nothing goes into it any more, and no code of it is given again. Take its sign off."
            );
            Ok(back_to(&desk, &visitor, code, Told::done(text, change)))
        }
        Err(refusal) => again(&desk, &visitor, code, |typed| typed, (FormName::Retire, refusal)).await,
    }
}

/// In use again, at no spot yet.
pub(super) async fn back(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(code): Path<String>,
    Form(form): Form<SeenForm>,
) -> Result<Response, Refusal> {
    let asked = code.clone();
    let back = desk
        .change_noting(move |register| {
            let bin = seen_bin(register, &asked, &form.seen)?;
            Ok::<_, Refusal>(register.use_bins_again(&[bin.code])?)
        })
        .await;
    match back {
        Ok((_, change)) => {
            let text = format!("{code} is in use again. Say below where it stands.");
            Ok(back_to(&desk, &visitor, code, Told::done(text, change)))
        }
        Err(refusal) => again(&desk, &visitor, code, |typed| typed, (FormName::Retire, refusal)).await,
    }
}
