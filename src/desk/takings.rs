//! What was earned and spent, sold items from a list of orders, and files for a spreadsheet.
//!
//! Start with [`routes`]. All figures are sums of what was entered; nothing here knows about taxes.

mod expenses;
mod figures;
mod files;
mod orders;

use std::sync::Arc;

use axum::{
    Router,
    extract::DefaultBodyLimit,
    routing::{get, post},
};

use super::{state::Desk, table_file};

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/takings", get(figures::page))
        .route("/takings/takings.csv", get(figures::file))
        .route("/takings/expenses", get(expenses::page).post(expenses::save))
        .route("/takings/expenses/remove", post(expenses::remove))
        .route("/takings/orders", get(orders::page))
        .route("/takings/orders", post(orders::give).layer(DefaultBodyLimit::max(table_file::LARGEST)))
        .route("/takings/orders/{id}", get(orders::look))
        .route("/takings/orders/{id}/refused.csv", get(orders::refused))
        .route("/takings/orders/{id}/enter", post(orders::enter))
        .route("/takings/files", get(files::page))
        .route("/export/{name}", get(files::file))
}
