//! Stow, pick, count and regroup: sessions with a reader or a phone.
//!
//! Each reading is sent with its session and a number of its own, and is on disk before it is answered. One that comes
//! again, because the answer was not heard, is answered as before and changes nothing: from what the session remembers,
//! and after a new start of the desk by what the register has noted with the change. Start with [`take::post`].

mod count;
mod end;
mod paper;
mod photo;
mod pick;
mod plan;
mod regroup;
mod said;
mod session;
mod state;
mod stow;
mod take;
mod work;

use std::sync::Arc;

use axum::{
    Router,
    extract::DefaultBodyLimit,
    routing::{get, post},
};

use self::session::Area;
use super::{photo::AROUND, state::Desk};
use crate::job::LARGEST_PHOTO;

pub(super) use session::Sessions;

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    let scans = Area::ALL.into_iter().fold(Router::new(), |router, area| {
        let take = move |desk, visitor, form| take::post(desk, visitor, area, form);
        router.route(&format!("/{}/scan", area.name()), post(take))
    });
    let photos = Area::PHOTOGRAPHED.into_iter().fold(Router::new(), |router, area| {
        let take = move |desk, visitor, form| photo::post(desk, visitor, area, form);
        router
            .route(&format!("/{}/photo", area.name()), post(take).layer(DefaultBodyLimit::max(LARGEST_PHOTO + AROUND)))
    });
    Router::new()
        .route("/stow", get(stow::page))
        .route("/pick", get(|desk, visitor, at| take::own_page(desk, visitor, Area::Pick, at)))
        .route("/pick/round.pdf", get(paper::round))
        .route("/count", get(count::page))
        .route("/count/accuracy", get(count::accuracy))
        .route("/count/list.pdf", get(paper::ticks))
        .route("/count/tick", get(end::tick_page).post(end::tick))
        .route("/count/end", get(end::page).post(end::record))
        .route("/regroup", get(plan::page))
        .route("/regroup/plan", post(plan::make))
        .route("/regroup/drop", post(plan::drop_plan))
        .route("/regroup/moves.pdf", get(paper::moves))
        .route("/regroup/go", get(regroup::page))
        .merge(scans)
        .merge(photos)
}
