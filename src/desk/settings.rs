//! What is set once: paper, printer dots, currency; named sizes, kinds of bins, backups.

use std::sync::Arc;

use axum::Router;

use super::state::Desk;

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
}
