//! Which address is which page, and what may be sent there.

use std::sync::Arc;

use axum::{
    Router,
    extract::DefaultBodyLimit,
    http::StatusCode,
    middleware::{from_fn, from_fn_with_state},
    routing::{get, post},
};
use tower_http::{
    catch_panic::CatchPanicLayer,
    timeout::{RequestBodyTimeoutLayer, TimeoutLayer},
};

use super::{
    answer::Refusal,
    bins, changes, devices, find,
    guard::{guard, protect},
    item, items, labels,
    limits::DeskLimits,
    more, own, photo, scan, settings,
    state::Desk,
    takings, work,
};

/// Forms are small.
const FORM: usize = 64 * 1024;

/// All pages of the desk.
pub(super) fn routes(desk: Arc<Desk>, limits: &DeskLimits) -> Router {
    let pages = Router::new()
        .route("/", get(find::page))
        .route("/desk.css", get(own::style))
        .route("/desk.js", get(own::script))
        .route("/icon.svg", get(own::icon))
        .route("/pair/{secret}", get(devices::pair))
        .route("/more", get(more::page))
        .route("/devices", get(devices::list))
        .route("/devices/offer", post(devices::offer))
        .route("/devices/end", post(devices::end))
        .route("/devices/leave", post(devices::leave))
        .route("/progress/{number}", get(work::show))
        .route("/progress/{number}/cancel", post(work::cancel))
        .merge(item::routes())
        .merge(changes::routes())
        .merge(bins::routes())
        .merge(settings::routes())
        .merge(items::routes())
        .merge(labels::routes())
        .merge(scan::routes())
        .merge(photo::routes())
        .merge(takings::routes())
        .fallback(async || Refusal::nothing("There is no such page here."));
    pages
        .layer(DefaultBodyLimit::max(FORM))
        .layer(from_fn_with_state(Arc::clone(&desk), guard))
        .layer(RequestBodyTimeoutLayer::new(limits.pause))
        .layer(TimeoutLayer::with_status_code(StatusCode::REQUEST_TIMEOUT, limits.whole))
        .layer(CatchPanicLayer::new())
        .layer(from_fn(protect))
        .with_state(desk)
}
