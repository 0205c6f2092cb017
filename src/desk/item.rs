//! An item: where it is, what has become of it, and what can be done with it.
//!
//! Start with [`page`]; [`act`] does what a form of the page says. A form carries how the item was when it was looked
//! at: where another device changed it meanwhile nothing is done, and the form comes back with what was typed.

mod deed;
mod deeds;
mod forms;
mod link;
mod typed;
mod view;

use std::sync::Arc;

use axum::{
    Form, Router,
    extract::{Path, Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
    routing::{get, post},
};
use serde::Deserialize;

use self::{
    deed::Deed,
    typed::Typed,
    view::{Asked, ItemPage, Looked, look},
};
use super::{
    answer::{Go, Page, Refusal},
    find::unknown,
    shell::{Place, Visitor},
    state::Desk,
};

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/i/{name}", get(page))
        .route("/i/{name}/{deed}", post(act))
        .route("/S/{payload}", get(link::follow))
        .route("/s/{payload}", get(link::follow))
}

/// The address of an item's page, by what it is called by.
pub(super) fn item_path(name: &str) -> String {
    format!("/i/{}", name.replace('#', "%23"))
}

#[derive(Debug, Deserialize)]
struct Opened {
    /// The form that is to be open.
    open: Option<String>,
}

async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(name): Path<String>,
    Query(opened): Query<Opened>,
) -> Result<Response, Refusal> {
    let asked = Asked { open: opened.open.as_deref().and_then(Deed::by_name), refused: None };
    show(&desk, &visitor, name, asked).await
}

async fn show(desk: &Arc<Desk>, visitor: &Visitor, name: String, asked: Asked) -> Result<Response, Refusal> {
    let status = if asked.refused.is_some() { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    let text = name.clone();
    Ok(match desk.read(move |register| look(register, &text, &asked)).await? {
        Looked::Item(item) => {
            let shell = visitor.shell(desk, &item.title, Place::Items);
            (status, Page(ItemPage { shell, item: *item })).into_response()
        }
        Looked::Bin(code) => Go(format!("/b/{code}")).into_response(),
        Looked::Nothing(near) => unknown(visitor, desk, name, near),
    })
}

/// Does what a form says, or shows the form again with what was typed and why nothing was done.
async fn act(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path((name, deed)): Path<(String, String)>,
    Form(typed): Form<Typed>,
) -> Result<Response, Refusal> {
    let deed = Deed::by_name(&deed).ok_or_else(|| Refusal::nothing("There is no such page here."))?;
    let (text, read) = (name.clone(), typed.clone());
    match desk.change(move |register| deeds::make(register, &text, deed, &read)).await {
        Ok((told, name)) => {
            desk.tell(visitor.device.id, told);
            Ok(Go(item_path(&name)).into_response())
        }
        Err(refusal) if refusal.status == StatusCode::UNPROCESSABLE_ENTITY => {
            let asked = Asked { open: Some(deed), refused: Some((refusal.text, typed)) };
            show(&desk, &visitor, name, asked).await
        }
        Err(refusal) => Err(refusal),
    }
}
