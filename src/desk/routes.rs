//! Which address is which page, and what may be sent there.

use std::{sync::Arc, time::Duration};

use axum::{
    Router,
    extract::DefaultBodyLimit,
    http::StatusCode,
    middleware::from_fn_with_state,
    routing::{get, post},
};
use tower_http::{
    catch_panic::CatchPanicLayer,
    timeout::{RequestBodyTimeoutLayer, TimeoutLayer},
};

use super::{
    answer::Refusal, bins, changes, devices, find, guard::guard, item, items, labels, more, own, photo, scan, settings,
    state::Desk, takings, work,
};

/// Forms are small.
const FORM: usize = 64 * 1024;
/// The longest pause within what is sent.
const PAUSE: Duration = Duration::from_secs(10);
/// How long a request may take, with what it sends.
const WHOLE: Duration = Duration::from_mins(1);

/// All pages of the desk.
pub(super) fn routes(desk: Arc<Desk>) -> Router {
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
        .route("/work/{number}", get(work::show))
        .route("/work/{number}/cancel", post(work::cancel))
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
        .layer(RequestBodyTimeoutLayer::new(PAUSE))
        .layer(TimeoutLayer::with_status_code(StatusCode::REQUEST_TIMEOUT, WHOLE))
        .layer(CatchPanicLayer::new())
        .with_state(desk)
}
