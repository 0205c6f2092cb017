//! The way to all pages, for screens on which the bar has no room for them, and to what is seldom wanted.

use std::sync::Arc;

use askama::Template;
use axum::extract::State;

use super::{
    answer::Page,
    shell::{Place, Shell, Visitor},
    state::Desk,
};

#[derive(Debug, Template)]
#[template(path = "more.html")]
struct MorePage {
    shell: Shell,
}

pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Page<impl Template> {
    Page(MorePage { shell: visitor.shell(&desk, "More", Place::More) })
}
