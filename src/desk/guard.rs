//! What every request passes: the name that the browser calls the desk by, the page that it comes from, the device.
//!
//! Start with [`guard`]. What is refused here was not read any further: neither its body nor its address.

use std::sync::Arc;

use axum::{
    extract::{Request, State},
    http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header},
    middleware::Next,
    response::{IntoResponse, Response},
};

use super::{
    address::is_own_host, answer::Refusal, devices::unpaired_page, pairing::cookie_in, shell::Visitor, state::Desk,
};
use crate::register::Device;

/// Pages may show and run what the desk itself serves, and nothing else: no inline script or style either.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' blob: data:; \
    connect-src 'self'; form-action 'self'; object-src 'self'; frame-src 'self'; frame-ancestors 'self'; base-uri 'none'";

/// What may be asked for without being paired.
const OPEN: [&str; 4] = ["/desk.css", "/desk.js", "/icon.svg", "/pair/"];
/// What is sent but changes nothing, so that devices for looking only may send it.
const LOOKING: [&str; 2] = ["/photo", "/devices/leave"];

/// Lets a request through to its page, or refuses it.
pub(super) async fn guard(State(desk): State<Arc<Desk>>, mut request: Request, next: Next) -> Response {
    let mut response = match check(&desk, &request) {
        Ok(Pass::Open) => next.run(request).await,
        Ok(Pass::Paired(device)) => {
            desk.saw(&device);
            let wants_part = request.headers().contains_key("x-part");
            request.extensions_mut().insert(Visitor { device, wants_part });
            next.run(request).await
        }
        Ok(Pass::Unpaired) => unpaired_page(&desk, &request).into_response(),
        Err(refusal) => refusal.into_response(),
    };
    protect(response.headers_mut());
    response
}

enum Pass {
    Open,
    Paired(Device),
    Unpaired,
}

fn check(desk: &Desk, request: &Request) -> Result<Pass, Refusal> {
    let headers = request.headers();
    let host = text(headers, &header::HOST).unwrap_or_default();
    if !is_own_host(host, desk.port, *desk.shared.borrow(), &desk.names) {
        return Err(Refusal::new(
            StatusCode::MISDIRECTED_REQUEST,
            "The desk is not called by this name. Use the address that it has shown.",
        ));
    }
    let looks = matches!(*request.method(), Method::GET | Method::HEAD);
    if !looks && !comes_from_here(headers, host) {
        return Err(Refusal::new(
            StatusCode::FORBIDDEN,
            "This came from another site, so nothing was done. Use the desk's own pages.",
        ));
    }
    let path = request.uri().path();
    if looks && OPEN.iter().any(|open| path == *open || open.ends_with('/') && path.starts_with(open)) {
        return Ok(Pass::Open);
    }
    let secret = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    let device = secret.filter_map(|value| cookie_in(value, desk.port)).find_map(|secret| desk.device(secret));
    let Some(device) = device else { return Ok(Pass::Unpaired) };
    if !looks && device.looks_only && !LOOKING.contains(&path) {
        return Err(Refusal::new(
            StatusCode::FORBIDDEN,
            "This device was paired for looking only, so nothing was done. Pair it anew from the desk's devices page to change something.",
        ));
    }
    Ok(Pass::Paired(device))
}

/// Whether the page that sends this is the desk's own. Browsers say so with everything that is sent (Fetch standard,
/// 3.2), and who leaves it out is none.
fn comes_from_here(headers: &HeaderMap, host: &str) -> bool {
    let is_own_origin = text(headers, &header::ORIGIN).is_some_and(|origin| origin == format!("http://{host}"));
    let site = text(headers, &HeaderName::from_static("sec-fetch-site"));
    is_own_origin && site.is_none_or(|site| site == "same-origin")
}

fn text<'h>(headers: &'h HeaderMap, name: &HeaderName) -> Option<&'h str> {
    headers.get(name).and_then(|value| value.to_str().ok())
}

fn protect(headers: &mut HeaderMap) {
    for (name, value) in [
        ("content-security-policy", POLICY),
        ("x-content-type-options", "nosniff"),
        ("x-frame-options", "SAMEORIGIN"),
        ("referrer-policy", "same-origin"),
        ("cross-origin-opener-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
        ("permissions-policy", "camera=(), geolocation=(), microphone=()"),
    ] {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
}
