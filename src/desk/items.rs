//! Items: entered one after the other, imported, listed.

use std::sync::Arc;

use axum::Router;

use super::state::Desk;

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
}
