//! What was earned and spent, sold items from a list of orders, and files for a spreadsheet.

use std::sync::Arc;

use axum::Router;

use super::state::Desk;

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
}
