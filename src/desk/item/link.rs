//! Where the QR of a link tag or a link sign leads: the page of what has that code.

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::{IntoResponse, Response},
};

use super::item_path;
use crate::{
    code::Origin,
    desk::{
        answer::{Go, Refusal},
        find::unknown,
        shell::Visitor,
        state::Desk,
    },
    job::find,
    register::Found,
};

/// Leads to the item or the bin.
pub(super) async fn follow(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(payload): Path<String>,
) -> Result<Response, Refusal> {
    let asked = payload.clone();
    let answer = desk.read(move |register| find(register, &asked, Origin::Scanned, 1)).await?;
    Ok(match answer.matches.first() {
        Some(Found::Item(item)) => Go(item_path(&item.name())).into_response(),
        Some(Found::Bin(bin)) => Go(format!("/b/{}", bin.code)).into_response(),
        None => unknown(&visitor, &desk, payload, answer.near),
    })
}
