//! What can be done with a bin: where it stands, how much it holds, another area, out of use and back.
//!
//! Start with [`save`], which takes all of these forms: each says only what it changes, and what is told of that.

use axum::{
    Form,
    extract::{Path, State},
    response::{IntoResponse, Response},
};

use super::{
    Sender,
    bin::{FormName, Typed, again},
    typed::{name, of_field, require_seen, seen, stack, to},
};
use crate::{
    code::{AreaNumber, BinCode},
    desk::{
        answer::{Go, Refusal},
        shell::Told,
    },
    job::{BinsEdited, bin_by_text, count, edit_bins, listed, place_text, room_doubt},
    register::{AreaChange, Bin, BinEdit, Register, Title},
};

/// What a form does with a bin. Gives the code that it has then, and what is told.
type Make = fn(&mut Register, &Bin, &Typed) -> Result<(BinCode, Told), Refusal>;

/// Does with the bin what a form says, if it is as it was when the form was made.
pub(super) async fn save(
    (State(desk), visitor, Path(code)): Sender,
    Form(typed): Form<Typed>,
    form: FormName,
    make: Make,
) -> Result<Response, Refusal> {
    let (asked, wanted) = (code.clone(), typed.clone());
    let saved = desk
        .change_noting(move |register| {
            let bin = bin_by_text(register, &asked).map_err(|fault| Refusal::nothing(Refusal::from(fault).text))?;
            require_seen(&wanted.seen, &seen(&bin))?;
            make(register, &bin, &wanted)
        })
        .await;
    match saved {
        Ok(((code, told), undo)) => {
            let is_new = undo.is_some();
            let told = if is_new { Told { undo, ..told } } else { Told::done("All of this is so already.", None) };
            desk.tell(visitor.device.id, told);
            Ok(Go(format!("/b/{code}")).into_response())
        }
        Err(refusal) => again(&desk, &visitor, code, typed, (form, refusal)).await,
    }
}

/// Where it stands.
pub(super) fn place(register: &mut Register, bin: &Bin, typed: &Typed) -> Result<(BinCode, Told), Refusal> {
    let now = bin.place.spot.as_ref().and_then(|spot| Title::new(&spot.name).ok());
    // Whoever leaves the old place in the stack in the form did not mean it for the new spot.
    let (spot, stack) = (to(now.as_ref(), name("Spot", &typed.spot)?), to(bin.stack.as_ref(), stack(&typed.stack)?));
    let edited = edit_bins(register, &[bin.code], &BinEdit { spot, stack, ..BinEdit::default() })?;
    Ok((bin.code, Told::done(placed_text(&edited), None)))
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

/// How much it holds.
pub(super) fn room(register: &mut Register, bin: &Bin, typed: &Typed) -> Result<(BinCode, Told), Refusal> {
    let (own, wanted) = (bin.own_room, typed.room.read()?);
    let now = bin.kind.as_deref().and_then(|kind| Title::new(kind).ok());
    let edit = BinEdit {
        kind: to(now.as_ref(), name("Kind", &typed.kind)?),
        volume: to(own.volume.as_ref(), wanted.volume),
        max_weight: to(own.max_weight.as_ref(), wanted.max_weight),
        inside: to(own.inside.as_ref(), wanted.inside),
        ..BinEdit::default()
    };
    let edited = edit_bins(register, &[bin.code], &edit)?;
    let doubt = edited.after.first().and_then(|bin| room_doubt(&bin.code.to_string(), &bin.room));
    Ok((bin.code, Told::doubted("Saved.", doubt, None)))
}

/// It goes to another area, and gets a code of it.
pub(super) fn area(register: &mut Register, bin: &Bin, typed: &Typed) -> Result<(BinCode, Told), Refusal> {
    let area: AreaNumber = of_field("Area", typed.area.parse())?;
    let changed = register.change_area(bin.code, area, name("Spot", &typed.area_spot)?.as_ref())?;
    Ok((changed.bin.code, Told::done(changed_text(&changed), None)))
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

/// Out of use: an empty bin only.
pub(super) fn retire(register: &mut Register, bin: &Bin, _: &Typed) -> Result<(BinCode, Told), Refusal> {
    let code = bin.code;
    register.retire_bins(&[code])?;
    let text = format!(
        "{code} is retired: nothing goes into it any more, and no code of it is given again. Take its sign off."
    );
    Ok((code, Told::done(text, None)))
}

/// In use again, at no spot yet.
pub(super) fn back(register: &mut Register, bin: &Bin, _: &Typed) -> Result<(BinCode, Told), Refusal> {
    register.use_bins_again(&[bin.code])?;
    Ok((bin.code, Told::done(format!("{} is in use again. Say below where it stands.", bin.code), None)))
}
