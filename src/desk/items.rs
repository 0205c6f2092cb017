//! Items: entered one after the other, imported, listed.

mod chosen;
mod entry;
mod list;
mod listing;
mod new;
mod sent;

use std::sync::Arc;

use axum::{
    Router,
    routing::{get, post},
};

use super::state::Desk;
use sent::Sent;

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/items", get(list::page))
        .route("/items/tags", post(chosen::tags))
        .route("/items/listed", post(chosen::listed))
        .route("/items/put", post(chosen::put))
        .route("/items/listing", get(listing::page))
        .route("/items/listing.csv", get(listing::file))
        .route("/items/new", get(new::page).post(new::enter))
        .route("/items/new/back", post(new::take_back))
}

/// The page of labels with tags of these codes chosen.
fn label_link(codes: &[&str]) -> String {
    Sent::default().with("what", Some("tags")).with("codes", Some(&codes.join(" "))).address("/labels")
}
