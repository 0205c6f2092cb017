//! Pairing: a link with a secret that works once and for a short time, and the cookie that a device shows from then on.

use std::{
    collections::HashMap,
    time::{Duration, Instant},
};

use crate::output::sha256;

/// How long a link can be used.
pub(super) const OPEN_FOR: Duration = Duration::from_mins(10);
/// Bytes of a secret: 256 bits.
const SECRET: usize = 32;

/// Links that were handed out and not used yet, by the SHA-256 of their secret.
#[derive(Debug, Default)]
pub(super) struct Offers {
    open: HashMap<String, Offer>,
}

/// What a link gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Offer {
    /// Whether the device may look and change nothing.
    pub looks_only: bool,
    until: Instant,
}

impl Offers {
    /// Hands out the secret of a new link.
    pub(super) fn make(&mut self, looks_only: bool, now: Instant) -> std::io::Result<String> {
        self.open.retain(|_, offer| offer.until > now);
        let secret = new_secret()?;
        self.open.insert(sha256(secret.as_bytes()), Offer { looks_only, until: now + OPEN_FOR });
        Ok(secret)
    }

    /// Takes a link in: it works once.
    pub(super) fn take(&mut self, secret: &str, now: Instant) -> Option<Offer> {
        self.open.remove(&sha256(secret.as_bytes())).filter(|offer| offer.until > now)
    }
}

/// A secret that nobody can guess, in hexadecimal digits.
pub(super) fn new_secret() -> std::io::Result<String> {
    let mut bytes = [0; SECRET];
    getrandom::fill(&mut bytes).map_err(std::io::Error::other)?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// The name of the cookie: browsers keep cookies by host and not by port, and two desks may be open.
pub(super) fn cookie_name(port: u16) -> String {
    format!("stowmark-{port}")
}

/// The cookie as it is set: for this site alone, out of the reach of scripts, for as long as browsers keep cookies.
pub(super) fn set_cookie(port: u16, secret: &str) -> String {
    format!("{}={secret}; HttpOnly; SameSite=Strict; Path=/; Max-Age=34560000", cookie_name(port))
}

/// The value of the desk's cookie in a `Cookie` header (RFC 6265, 4.2.1).
pub(super) fn cookie_in(header: &str, port: u16) -> Option<&str> {
    let name = cookie_name(port);
    header
        .split(';')
        .find_map(|pair| pair.trim().split_once('=').filter(|(key, _)| *key == name))
        .map(|(_, value)| value)
}

/// What a device is called until its owner calls it otherwise.
pub(super) fn device_name(user_agent: &str) -> &'static str {
    let kinds = [
        ("iPhone", "iPhone"),
        ("iPad", "iPad"),
        ("Android", "Android device"),
        ("Windows", "Browser on Windows"),
        ("Macintosh", "Browser on a Mac"),
        ("Linux", "Browser on Linux"),
    ];
    kinds.iter().find(|(mark, _)| user_agent.contains(mark)).map_or("Browser", |(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_link_works_once_and_not_for_long() {
        let (mut offers, now) = (Offers::default(), Instant::now());
        let secret = offers.make(true, now).unwrap();
        assert!(secret.len() * 4 >= 128);
        assert_eq!(offers.take("0".repeat(64).as_str(), now), None);
        assert!(offers.take(&secret, now).is_some_and(|offer| offer.looks_only));
        assert_eq!(offers.take(&secret, now), None);
        let late = offers.make(false, now).unwrap();
        assert_eq!(offers.take(&late, now + OPEN_FOR), None);
    }

    #[test]
    fn the_cookie_is_found_among_others() {
        assert_eq!(cookie_in("a=b; stowmark-4760=ff; c=d", 4760), Some("ff"));
        assert_eq!(cookie_in("stowmark-4761=ff", 4760), None);
        assert_eq!(cookie_in("", 4760), None);
    }
}
