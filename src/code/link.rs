//! Where a QR leads a phone: the address of this computer on its network, and a code behind it.

use std::{fmt, str::FromStr};

/// Longer names of hosts there are not (RFC 1035).
const LONGEST_HOST: usize = 253;

/// The address before a code in a QR that is a link: `HTTP://HOST:PORT`, in capitals.
///
/// Scheme and host mean the same in capitals (RFC 3986, 3.1 and 3.2.2; RFC 4343), and a QR of capitals,
/// digits and `$%*+-./:` only takes little more than half of the room.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LinkBase(String);

/// Why an address was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{text}` is no address for links, since {why}; write it as http://HOST:PORT, such as http://192.168.1.20:8080"
)]
pub struct LinkError {
    text: String,
    why: &'static str,
}

impl LinkBase {
    /// The whole link: `HTTP://HOST:PORT/S/4C017R`.
    #[must_use]
    pub fn link(&self, payload: &str) -> String {
        format!("{}/S/{payload}", self.0)
    }
}

impl FromStr for LinkBase {
    type Err = LinkError;

    fn from_str(text: &str) -> Result<Self, LinkError> {
        let refused = |why| LinkError { text: text.to_owned(), why };
        let upper = text.trim().to_ascii_uppercase();
        let address = upper.strip_prefix("HTTP://").ok_or_else(|| refused("it does not begin with http://"))?;
        let address = address.strip_suffix('/').unwrap_or(address);
        let (host, port) = address.rsplit_once(':').ok_or_else(|| refused("it has no port"))?;
        if !is_host(host) {
            return Err(refused("its host is neither a name nor four numbers"));
        }
        if !is_port(port) {
            return Err(refused("its port is no number from 1 to 65535"));
        }
        Ok(Self(format!("HTTP://{host}:{port}")))
    }
}

impl fmt::Display for LinkBase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Names of letters, digits and hyphens, parted by dots (RFC 1123); so are four numbers.
fn is_host(host: &str) -> bool {
    let is_plain = |label: &str| label.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
    let is_label = |label: &str| {
        !label.is_empty() && label.len() <= 63 && is_plain(label) && !label.starts_with('-') && !label.ends_with('-')
    };
    let is_number = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    let is_address = !host.split('.').all(is_number) || host.parse::<std::net::Ipv4Addr>().is_ok();
    host.len() <= LONGEST_HOST && host.split('.').all(is_label) && is_address
}

fn is_port(port: &str) -> bool {
    let is_plain = port.bytes().all(|byte| byte.is_ascii_digit()) && !port.starts_with('0');
    is_plain && port.parse::<u16>().is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn links_are_in_capitals() {
        for (text, link) in [
            ("http://192.168.1.20:8080", "HTTP://192.168.1.20:8080/S/4C017R"),
            (" HTTP://loft-pc.local:80/ ", "HTTP://LOFT-PC.LOCAL:80/S/4C017R"),
        ] {
            assert_eq!(text.parse::<LinkBase>().unwrap().link("4C017R"), link);
        }
    }

    #[test]
    fn what_is_no_plain_address_is_refused_with_the_reason() {
        for (text, why) in [
            ("", "begin"),
            ("https://loft:80", "begin"),
            ("loft:80", "begin"),
            ("http://loft", "port"),
            ("http://loft:", "port"),
            ("http://loft:0", "port"),
            ("http://loft:080", "port"),
            ("http://loft:65536", "port"),
            ("http://loft:80/stow", "port"),
            ("http://:80", "host"),
            ("http://me@loft:80", "host"),
            ("http://lo_ft:80", "host"),
            ("http://-loft:80", "host"),
            ("http://loft..local:80", "host"),
            ("http://256.1.1.1:80", "host"),
            ("http://1.2.3:80", "host"),
            ("http://[::1]:80", "host"),
            ("http://löft:80", "host"),
        ] {
            let error = text.parse::<LinkBase>().unwrap_err().to_string();
            assert!(error.contains(why) && error.contains(&format!("`{text}`")), "{error}");
        }
    }
}
