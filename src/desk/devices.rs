//! Devices: how one is paired, which are, and how a pairing is ended.

use std::{
    net::IpAddr,
    sync::Arc,
    time::{Duration, Instant},
};

use askama::Template;
use axum::{
    Form,
    extract::{Path, Request, State},
    http::{HeaderMap, Method, StatusCode, header},
    response::{IntoResponse, Response},
};
use serde::Deserialize;
use tokio::sync::oneshot;

use super::{
    address::phone_address,
    answer::{Go, Page, Refusal},
    code_svg::qr_svg,
    guard::known_by,
    pairing::{OPEN_FOR, Offer, device_name, new_secret, set_cookie},
    serve::phone_link,
    shell::{Place, Shell, Told, Visitor},
    state::Desk,
};
use crate::{
    output::sha256,
    register::{Device, DeviceId},
};

#[derive(Debug, Template)]
#[template(path = "unpaired.html")]
struct Unpaired {
    shell: Shell,
    /// Whether it may only seem so: some browsers hold the cookie back when another program opened the page.
    asks_again: bool,
}

/// What a device sees that is not paired: how to pair it.
pub(super) fn unpaired_page(_: &Desk, request: &Request) -> Response {
    let is_first =
        request.method() == Method::GET && request.uri().query().is_none_or(|query| !query.contains("again"));
    let asks_again = is_first && request.uri().path().to_ascii_uppercase().starts_with("/S/");
    let page = Unpaired { shell: Shell::bare("Pair this device", Place::None), asks_again };
    (StatusCode::UNAUTHORIZED, Page(page)).into_response()
}

#[derive(Debug, Template)]
#[template(path = "paired.html")]
struct Paired {
    shell: Shell,
}

/// Follows a link: it pairs the device that follows it first.
pub(super) async fn pair(
    State(desk): State<Arc<Desk>>,
    method: Method,
    Path(secret): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Refusal> {
    let guesses =
        |name: &str| headers.get(name).is_some_and(|value| value.to_str().is_ok_and(|text| text.contains("prefetch")));
    let is_meant = method == Method::GET && !guesses("sec-purpose") && !guesses("purpose");
    let offer = if is_meant { desk.offers().take(&secret, Instant::now()) } else { None };
    let Some(offer) = offer else {
        return Err(Refusal::new(
            StatusCode::GONE,
            "This link was used before, or is older than ten minutes. Make a new one on the desk's devices page.",
        ));
    };
    let secret = match known_by(&desk, &headers) {
        // It stays the device that it is, and its cookie lasts from now on.
        Some((known, secret)) if known.looks_only == offer.looks_only => secret.to_owned(),
        known => pair_anew(&desk, &headers, offer, known.map(|(device, _)| device.id)).await?,
    };
    let page = Page(Paired { shell: Shell::bare("Paired", Place::None) });
    Ok(([(header::SET_COOKIE, set_cookie(desk.port, &secret))], page).into_response())
}

/// Pairs a device, in the place of what it was, and gives the secret that it is to show.
async fn pair_anew(
    desk: &Arc<Desk>,
    headers: &HeaderMap,
    offer: Offer,
    was: Option<DeviceId>,
) -> Result<String, Refusal> {
    let agent = headers.get(header::USER_AGENT).and_then(|value| value.to_str().ok()).unwrap_or_default();
    let (name, secret) = (device_name(agent), new_secret()?);
    let hash = sha256(secret.as_bytes());
    desk.change(move |register| {
        register.pair_device(name, &hash, offer.looks_only)?;
        was.map_or(Ok(false), |was| register.unpair_device(was))
    })
    .await?;
    if let Some(was) = was {
        desk.forget(was);
    }
    desk.reload_devices().await?;
    Ok(secret)
}

#[derive(Debug, Template)]
#[template(path = "devices.html")]
struct DevicesPage {
    shell: Shell,
    devices: Vec<Device>,
    own: DeviceId,
    is_shared: bool,
    link: Option<Link>,
}

/// A link that pairs a phone.
#[derive(Debug)]
struct Link {
    url: String,
    svg: String,
    looks_only: bool,
    minutes: u64,
}

/// The devices that are paired.
pub(super) async fn list(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    page(&desk, &visitor, None).await
}

async fn page(desk: &Arc<Desk>, visitor: &Visitor, link: Option<Link>) -> Result<Page<DevicesPage>, Refusal> {
    let devices = desk.read(crate::register::Register::devices).await?;
    let shell = visitor.shell(desk, "Devices", Place::More);
    Ok(Page(DevicesPage { shell, devices, own: visitor.device.id, is_shared: *desk.shared.borrow(), link }))
}

#[derive(Debug, Deserialize)]
pub(super) struct OfferForm {
    #[serde(default)]
    looks_only: bool,
}

/// Shows a link for a phone, and listens on the local network from then on.
pub(super) async fn offer(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<OfferForm>,
) -> Result<Page<impl Template>, Refusal> {
    // Also where it is shared already: this computer may have come into another network since.
    let (share, done) = oneshot::channel();
    let _ = desk.ask_to_share.send(share).await;
    let heard = tokio::time::timeout(Duration::from_secs(2), done).await.ok().and_then(Result::ok);
    let address = address_for_phones(phone_address(), &heard.unwrap_or_default(), desk.port)?;
    let url = phone_link(address, desk.port, &desk.offer(form.looks_only)?);
    let link = Link { svg: qr_svg(&url)?, url, looks_only: form.looks_only, minutes: OPEN_FOR.as_secs() / 60 };
    page(&desk, &visitor, Some(link)).await
}

/// The address that phones reach the desk by, of those that it listens at.
fn address_for_phones(own: Option<IpAddr>, heard: &[IpAddr], port: u16) -> Result<IpAddr, Refusal> {
    let address = own.ok_or_else(|| {
        Refusal::input(
            "This computer has no address on a local network. Connect it to the one that the phone is in, then try again.",
        )
    })?;
    if heard.contains(&address) {
        return Ok(address);
    }
    Err(Refusal::input(format!(
        "This computer is on a local network as {address}, but the desk can't listen there at its port {port}: another \
         program may have it. End that program, then try again."
    )))
}

#[derive(Debug, Deserialize)]
pub(super) struct EndForm {
    device: i64,
}

/// Ends a pairing.
pub(super) async fn end(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<EndForm>,
) -> Result<Go, Refusal> {
    unpair(&desk, DeviceId::new(form.device)).await?;
    desk.tell(visitor.device.id, Told::done("The pairing is ended.", None));
    Ok(Go("/devices".into()))
}

/// Ends the pairing of the device that asks.
pub(super) async fn leave(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Go, Refusal> {
    unpair(&desk, visitor.device.id).await?;
    Ok(Go("/".into()))
}

async fn unpair(desk: &Arc<Desk>, id: DeviceId) -> Result<(), Refusal> {
    if !desk.change(move |register| register.unpair_device(id)).await? {
        return Err(Refusal::nothing("This device is not paired any more."));
    }
    desk.forget(id);
    desk.reload_devices().await
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_network_and_a_port_that_is_taken_there_are_told_apart() {
        let [own, other] = [[192, 168, 1, 20], [10, 0, 0, 5]].map(IpAddr::from);
        assert_eq!(address_for_phones(Some(own), &[other, own], 4760), Ok(own));
        let none = address_for_phones(None, &[], 4760).unwrap_err();
        assert!(none.text.contains("no address on a local network"), "{}", none.text);
        for heard in [&[][..], &[other]] {
            let taken = address_for_phones(Some(own), heard, 4760).unwrap_err();
            assert!(taken.text.contains("as 192.168.1.20") && taken.text.contains("port 4760"), "{}", taken.text);
        }
    }
}
