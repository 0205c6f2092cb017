//! What is done with the items that are ticked in a list: tags, listed, put into a bin.
//!
//! A tick carries how its item was when the list was made: where another device has changed it since, nothing is done.

use std::sync::Arc;

use axum::{
    Form,
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::{
    super::{
        answer::{Go, Refusal},
        meanwhile::with_what_was_done,
        sent::{Sent, SentForm},
        shell::{Told, Visitor},
        state::Desk,
    },
    label_link,
    list::{KEPT, Ticked, whole},
};
use crate::{
    job::{bin_by_text, count, fresh, move_line, moved_cost, room_warnings},
    register::{Bin, Item, ItemId, Move, Register, Terms, Version},
};

/// The page of labels, with the tags of the items chosen.
pub(super) async fn tags(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(sent): SentForm,
) -> Result<Response, Refusal> {
    let sent = Sent::from(sent);
    let asked = sent.clone();
    let found = desk
        .read(move |register| {
            let items = items(register, &asked)?.0;
            let codes: Vec<String> = items.iter().filter(|item| item.code.is_some()).map(Item::name).collect();
            if codes.is_empty() {
                Err(Refusal::input("Items that wait for a bin have no code yet, so no tag."))
            } else {
                Ok(codes)
            }
        })
        .await;
    match found {
        Ok(codes) => {
            let codes: Vec<&str> = codes.iter().map(String::as_str).collect();
            Ok(Go(label_link(&codes)).into_response())
        }
        Err(refusal) => again(&desk, &visitor, &sent, refusal).await,
    }
}

/// Marks them as listed today.
pub(super) async fn listed(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(sent): SentForm,
) -> Result<Response, Refusal> {
    done(desk, visitor, sent, list).await
}

/// Puts them into a bin.
pub(super) async fn put(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(sent): SentForm,
) -> Result<Response, Refusal> {
    done(desk, visitor, sent, put_into).await
}

async fn done(
    desk: Arc<Desk>,
    visitor: Visitor,
    sent: Vec<(String, String)>,
    make: impl FnOnce(&mut Register, &Sent) -> Result<Told, Refusal> + Send + 'static,
) -> Result<Response, Refusal> {
    let sent = Sent::from(sent);
    let asked = sent.clone();
    match desk.change(move |register| make(register, &asked)).await {
        Ok(told) => {
            desk.tell(visitor.device.id, told);
            Ok(Go(back(&sent)).into_response())
        }
        Err(refusal) => again(&desk, &visitor, &sent, refusal).await,
    }
}

/// The address of the page that the ticks were on.
fn back(sent: &Sent) -> String {
    match sent.one("from") {
        "listing" => "/items/listing".into(),
        _ => here(sent).address("/items"),
    }
}

fn here(sent: &Sent) -> Sent {
    Sent::parse(sent.one("here")).only(&KEPT)
}

/// The list as it was, with what was refused; the ticks stay.
async fn again(desk: &Arc<Desk>, visitor: &Visitor, sent: &Sent, refusal: Refusal) -> Result<Response, Refusal> {
    if sent.one("from") == "listing" {
        return Err(refusal);
    }
    let ticked = Ticked {
        keys: sent.all("item").into_iter().collect(),
        into: sent.one("into").to_owned(),
        fault: Some(refusal.text),
    };
    let page = whole(desk, visitor, here(sent), ticked).await?;
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
}

/// The items that are ticked, and how they were.
fn items(register: &Register, sent: &Sent) -> Result<(Vec<Item>, Terms), Refusal> {
    let (mut items, mut unchanged) = (Vec::new(), Vec::new());
    for key in sent.all("item") {
        let parts = key.split_once('-').and_then(|(id, seen)| Some((ItemId::parse(id)?, Version::parse(seen)?)));
        let (id, seen) = parts.ok_or_else(|| Refusal::input("This is no item."))?;
        items.push(register.item(id)?.ok_or_else(|| Refusal::nothing("There is no such item."))?);
        unchanged.push((id, seen));
    }
    if items.is_empty() {
        return Err(Refusal::input("Nothing is ticked. Tick the items that are meant."));
    }
    Ok((items, Terms { scan: None, unchanged }))
}

fn list(register: &mut Register, sent: &Sent) -> Result<Told, Refusal> {
    let (items, terms) = items(register, sent)?;
    let listed = register.on(terms.clone(), |register| register.list_items(&items, None, None));
    let change = listed.map_err(|fault| with_what_was_done(register, &terms, fault.into()))?;
    let unpriced = items.iter().filter(|item| item.asking.is_none()).count();
    let note = match unpriced {
        0 => String::new(),
        1 => " One has no asking price, so its value is not known.".into(),
        many => format!(" {many} have no asking price, so their value is not known."),
    };
    let done = match sent.one("done") {
        "corrected" => format!("{} corrected.", count(items.len() as u64, "listing")),
        _ => format!("{} marked as listed.{note}", count(items.len() as u64, "item")),
    };
    Ok(Told::done(done, change))
}

fn put_into(register: &mut Register, sent: &Sent) -> Result<Told, Refusal> {
    let (items, terms) = items(register, sent)?;
    let into = sent.one("into");
    if into.is_empty() {
        return Err(Refusal::input("Type or scan the bin that they go into."));
    }
    let bin = bin_by_text(register, into)?;
    let outcome = register.on(terms.clone(), |register| register.move_items(&items, bin.code));
    let (moves, change) = outcome.map_err(|fault| with_what_was_done(register, &terms, fault.into()))?;
    // The items are in, whatever comes of reading all others for a warning.
    let items = fresh(register, &items).unwrap_or(items);
    let warnings = room_warnings(register, &items).unwrap_or_default();
    let elsewhere: Vec<Item> =
        items.into_iter().filter(|item| moves.iter().any(|one| Some(one.code) == item.code)).collect();
    let mut said = vec![put_text(&moves, &bin)];
    if moved_cost(register, &elsewhere)?.tags > 0 {
        said.push("Tags that name another bin stay good: a scan finds the new place.".into());
    }
    said.extend(warnings.iter().map(|warning| format!("{warning}.")));
    Ok(Told { text: said.join(" "), undo: change, is_warning: !warnings.is_empty() })
}

fn put_text(moves: &[Move], bin: &Bin) -> String {
    let recoded = moves.iter().filter(|moved| moved.was.is_some()).count();
    let put = || format!("{} put into {}.", count(moves.len() as u64, "item"), bin.code);
    match (moves, recoded) {
        ([], _) => format!("All of them are in {} already.", bin.code),
        ([only], _) => format!("{}.", move_line(only, &bin.place)),
        (_, 0) => put(),
        (_, 1) => format!("{} 1 of them got a new code: nothing shows the old one yet.", put()),
        (_, many) => format!("{} {many} of them got new codes: nothing shows the old ones yet.", put()),
    }
}
