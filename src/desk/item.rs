//! An item: where it is, what has become of it, and what can be done with it.

use std::sync::Arc;

use axum::Router;

use super::state::Desk;

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
}
