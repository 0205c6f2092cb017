//! Where the QR of a link tag or a link sign leads: the page of what has that code.

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::{IntoResponse, Response},
};

use super::item_path;
use crate::{
    desk::{
        answer::{Go, Refusal},
        find::unknown,
        shell::Visitor,
        state::Desk,
    },
    job::{ReferenceError, found_by_scan},
    register::Found,
};

/// Leads to the item or the bin.
pub(super) async fn follow(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(payload): Path<String>,
) -> Result<Response, Refusal> {
    let asked = payload.clone();
    let found = desk.read(move |register| Ok::<_, Refusal>(found_by_scan(register, &asked))).await?;
    Ok(match found {
        Ok(Found::Item(item)) => Go(item_path(&item.name())).into_response(),
        Ok(Found::Bin(bin)) => Go(format!("/b/{}", bin.code)).into_response(),
        Err(ReferenceError::Unknown { near, .. }) => unknown(&visitor, &desk, payload, near),
        Err(other) => return Err(other.into()),
    })
}
