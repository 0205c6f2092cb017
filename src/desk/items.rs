//! Items: entered one after the other, imported, listed.

mod chosen;
mod drafts;
mod entry;
mod import;
mod list;
mod listing;
mod look;
mod new;
mod preview;
mod wish;

use std::sync::Arc;

use axum::{
    Router,
    extract::DefaultBodyLimit,
    routing::{get, post},
};

use super::{sent::Sent, state::Desk, table_file};
pub(super) use drafts::{Drafts, Sold, State as DraftState, Upload};

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/items", get(list::page))
        .route("/items/tags", post(chosen::tags))
        .route("/items/listed", post(chosen::listed))
        .route("/items/put", post(chosen::put))
        .route("/items/listing", get(listing::page))
        .route("/items/listing.csv", get(listing::file))
        .route("/items/import", get(import::page))
        .route("/items/import", post(import::give).layer(DefaultBodyLimit::max(table_file::LARGEST)))
        .route("/items/import/{id}", get(import::look))
        .route("/items/import/{id}/refused.csv", get(import::refused))
        .route("/items/import/{id}/enter", post(import::enter))
        .route("/items/import/{id}/forget", post(import::forget))
        .route("/items/new", get(new::page).post(new::enter))
        .route("/items/new/back", post(new::take_back))
}

/// The page of labels with tags of these codes chosen.
fn label_link(codes: &[&str]) -> String {
    Sent::default().with("what", Some("tags")).with("codes", Some(&codes.join(" "))).address("/labels")
}
