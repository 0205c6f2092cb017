//! Stow, pick, count and regroup: sessions with a reader or a phone.

use std::sync::Arc;

use axum::Router;

use super::state::Desk;

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
}
