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
    address::is_own_host,
    answer::{BROKEN, Refusal},
    changes::own_page,
    devices::unpaired_page,
    pairing::cookie_in,
    shell::Visitor,
    state::Desk,
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
    let asked = Asked::of(&request);
    match check(&desk, &request) {
        Ok(Pass::Open) => next.run(request).await,
        Ok(Pass::Paired(device)) => {
            desk.saw(&device);
            let wants_part = request.headers().contains_key("x-part");
            let (page, sends) = (looked_at(&request), asked.sends);
            request.extensions_mut().insert(Visitor { device, wants_part, page, sends });
            to_paired(next.run(request).await, &asked)
        }
        Ok(Pass::LooksOnly(refusal)) => unread(refusal.to_paired(&asked)),
        Ok(Pass::Unpaired) => unread(unpaired_page(&desk, &request).into_response()),
        Err(refusal) => unread(refusal.into_response()),
    }
}

/// What is refused, as one who is paired sees it; its status and its headers stay.
fn to_paired(response: Response, asked: &Asked) -> Response {
    let response = in_our_words(response, |refusal| refusal.to_paired(asked));
    let Some(refusal) = response.extensions().get::<Refusal>() else { return response };
    let body = refusal.to_paired(asked).into_body();
    let (mut parts, _) = response.into_parts();
    parts.headers.remove(header::CONTENT_LENGTH);
    Response::from_parts(parts, body)
}

/// How a paired device came to what it asked for.
#[derive(Debug)]
pub(super) struct Asked {
    /// The page of the desk that the browser was on.
    pub from: Option<String>,
    /// Whether something was sent.
    pub sends: bool,
}

impl Asked {
    fn of(request: &Request) -> Self {
        Self { from: came_from(request), sends: request.method() == Method::POST }
    }
}

fn came_from(request: &Request) -> Option<String> {
    let host = only_host(request)?;
    let page = text(request.headers(), &header::REFERER)?.strip_prefix("http://")?.strip_prefix(host)?;
    own_page(page).map(ToOwned::to_owned)
}

/// What was sent may not be read, so that nothing can follow it on this connection.
fn unread(mut response: Response) -> Response {
    response.headers_mut().insert(header::CONNECTION, HeaderValue::from_static("close"));
    response
}

/// The address of the page that is looked at.
fn looked_at(request: &Request) -> String {
    let address = request.uri().path_and_query().filter(|_| request.method() == Method::GET);
    address.map_or_else(|| "/".into(), ToString::to_string)
}

/// The paired device that shows its secret, and that.
pub(super) fn known_by<'h>(desk: &Desk, headers: &'h HeaderMap) -> Option<(Device, &'h str)> {
    let cookies = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    let mut secrets = cookies.filter_map(|value| cookie_in(value, desk.port));
    secrets.find_map(|secret| Some((desk.device(secret)?, secret)))
}

enum Pass {
    Open,
    Paired(Device),
    /// It would change something, and its device may not.
    LooksOnly(Refusal),
    Unpaired,
}

fn check(desk: &Desk, request: &Request) -> Result<Pass, Refusal> {
    let headers = request.headers();
    let host = only_host(request).unwrap_or_default();
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
    let Some((device, _)) = known_by(desk, headers) else { return Ok(Pass::Unpaired) };
    if !looks && device.looks_only && !LOOKING.contains(&path) {
        return Ok(Pass::LooksOnly(Refusal::new(
            StatusCode::FORBIDDEN,
            "This device was paired for looking only, so nothing was done. Pair it anew from the desk's devices page to change something.",
        )));
    }
    Ok(Pass::Paired(device))
}

/// The name that the desk is called by, where it is called by one: an address before the path has to say the same
/// (RFC 9112, 3.2).
fn only_host(request: &Request) -> Option<&str> {
    let mut named = request.headers().get_all(header::HOST).iter();
    let host = named.next().filter(|_| named.next().is_none())?.to_str().ok()?;
    request.uri().authority().is_none_or(|authority| authority == host).then_some(host)
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

/// What goes with every answer, whoever made it: what browsers may do with it, and our words where a library refused.
pub(super) async fn protect(request: Request, next: Next) -> Response {
    // Elsewhere than on this computer there is no https, and browsers complain of what they would need it for.
    let is_here =
        only_host(&request).is_some_and(|host| host.starts_with("127.0.0.1:") || host.starts_with("localhost:"));
    let mut response = in_our_words(next.run(request).await, |refusal| refusal.clone().into_response());
    if response.status() == StatusCode::PAYLOAD_TOO_LARGE {
        response = unread(response);
    }
    let headers = response.headers_mut();
    if is_here {
        headers.insert("cross-origin-opener-policy", HeaderValue::from_static("same-origin"));
    }
    for (name, value) in [
        ("content-security-policy", POLICY),
        ("x-content-type-options", "nosniff"),
        ("x-frame-options", "SAMEORIGIN"),
        ("referrer-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
        ("permissions-policy", "camera=(), geolocation=(), microphone=()"),
    ] {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

/// What reads forms and addresses for us refuses them in plain text of its own.
fn in_our_words(response: Response, show: impl FnOnce(&Refusal) -> Response) -> Response {
    let status = response.status();
    let kind = response.headers().get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok());
    let is_ours = kind.is_some_and(|kind| !kind.starts_with("text/plain"));
    if is_ours || !(status.is_client_error() || status.is_server_error()) {
        return response;
    }
    unread(show(&Refusal::new(status, words_for(status))))
}

fn words_for(status: StatusCode) -> &'static str {
    match status {
        StatusCode::PAYLOAD_TOO_LARGE => "This is more than the desk takes at once, so nothing was done. Send less.",
        StatusCode::REQUEST_TIMEOUT => "This took too long. See whether it was done before you try again.",
        StatusCode::METHOD_NOT_ALLOWED => "Nothing can be sent to this page. Go back and use its buttons.",
        status if status.is_server_error() => BROKEN,
        _ => "What was sent can't be read, so nothing was done. Go back, reload the page and try again.",
    }
}
