//! The desk's own style, script and picture, built in.

use std::sync::LazyLock;

use axum::{http::header, response::IntoResponse};

use crate::output::sha256;

const STYLE: &str = concat!(
    include_str!("own/base.css"),
    include_str!("own/find.css"),
    include_str!("own/item.css"),
    include_str!("own/bins.css"),
    include_str!("own/items.css"),
    include_str!("own/labels.css"),
    include_str!("own/scan.css"),
    include_str!("own/photo.css"),
    include_str!("own/takings.css"),
);
const SCRIPT: &str = concat!(
    include_str!("own/base.js"),
    include_str!("own/items.js"),
    include_str!("own/labels.js"),
    include_str!("own/scan.js")
);
const ICON: &str = include_str!("own/icon.svg");

/// Changes with the style and the script.
pub(super) static VERSION: LazyLock<String> =
    LazyLock::new(|| sha256(format!("{STYLE}{SCRIPT}").as_bytes()).chars().take(12).collect());

pub(super) async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8"), KEPT], STYLE)
}

pub(super) async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8"), KEPT], SCRIPT)
}

pub(super) async fn icon() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "image/svg+xml"), KEPT], ICON)
}

/// Its address changes with what is in it.
const KEPT: (header::HeaderName, &str) = (header::CACHE_CONTROL, "private, max-age=86400");
