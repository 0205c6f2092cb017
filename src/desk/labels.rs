//! Labels: chosen, looked at and printed; runs, wrong labels, printers and sheets.
//!
//! Start with [`routes`]. What is chosen stands in the address as a whole, so that a page can be kept and gone back to; the
//! pages that are shown are drawn from the very PDF that is printed then. [`pdf`] answers with any other PDF.

mod choices;
mod offered;
mod page;
mod plan;
mod previews;
mod printers;
mod printing;
mod runs;
mod seen;
mod sheets;
mod slots;
mod stale;
mod ways;

use std::sync::Arc;

use axum::{
    Router,
    routing::{get, post},
};

use super::{answer::FileAnswer, state::Desk};

pub(super) use previews::Previews;

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/labels", get(page::page))
        .route("/labels/print", post(printing::print))
        .route("/labels/page/{hash}/{page}", get(previews::picture))
        .route("/labels/slots/{sheet}", get(slots::style))
        .route("/labels/runs", get(runs::list))
        .route("/labels/runs/{run}", get(runs::page))
        .route("/labels/runs/{run}/file.pdf", get(runs::file))
        .route("/labels/runs/{run}/send", post(runs::hand_over))
        .route("/labels/runs/{run}/cancel", post(runs::cancel_run))
        .route("/labels/stale", get(stale::page))
        .route("/labels/retag", get(stale::retag_page).post(stale::retag_all))
        .route("/labels/printers", get(printers::list).post(printers::add))
        .route("/labels/printers/{name}", get(printers::page).post(printers::change))
        .route("/labels/printers/{name}/measured", post(printers::measured))
        .route("/labels/printers/{name}/forget", post(printers::forget))
        .route("/labels/printers/{name}/default", post(printers::default))
        .route("/labels/printers/{name}/remove", post(printers::remove))
        .route("/labels/printers/{name}/align.pdf", get(printers::align_page))
        .route("/labels/sheets", get(sheets::page).post(sheets::add))
        .route("/labels/sheets/remove", post(sheets::remove))
}

/// A PDF that the browser shows, to be printed from there.
pub(super) fn pdf(name: &str, bytes: Vec<u8>) -> FileAnswer {
    FileAnswer { name: format!("{name}.pdf"), mime: "application/pdf", keep: false, bytes }
}
