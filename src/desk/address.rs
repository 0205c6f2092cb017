//! Where the desk listens, and by which names browsers may call it.

use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};

use tokio::net::TcpListener;

/// The first port that is tried where none is named; the next ones follow.
const USUAL_PORT: u16 = 4760;
/// How many are tried.
const PORTS: u16 = 10;

/// Why the desk could not be opened.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    /// Something else listens there.
    #[error("port {port} can't be used; name another with --port, or end the program that has it")]
    Port {
        /// Which.
        port: u16,
        /// What the system said.
        source: std::io::Error,
    },
    /// The usual ports are all taken.
    #[error("ports {USUAL_PORT} to {} are all taken; name a free one with --port", USUAL_PORT + PORTS - 1)]
    Ports,
    /// The computer is on no network that others could reach it by.
    #[error("this computer has no address on a local network; connect it, then try again")]
    NoNetwork,
    /// The system gives no threads, signals or random numbers.
    #[error("the system refused what the desk needs")]
    System(#[from] std::io::Error),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] crate::register::RegisterError),
}

/// Listens on this computer alone: on the port that is named, else on the first free one of the usual ones.
pub(super) async fn listen_here(port: Option<u16>) -> Result<TcpListener, DeskError> {
    if let Some(port) = port {
        return bind(Ipv4Addr::LOCALHOST.into(), port).await.map_err(|source| DeskError::Port { port, source });
    }
    for port in USUAL_PORT..USUAL_PORT + PORTS {
        if let Ok(listener) = bind(Ipv4Addr::LOCALHOST.into(), port).await {
            return Ok(listener);
        }
    }
    Err(DeskError::Ports)
}

/// Listens on each address that this computer has on local networks.
pub(super) async fn listen_around(port: u16) -> Result<Vec<TcpListener>, DeskError> {
    let mut listeners = Vec::new();
    for address in own_addresses() {
        listeners.push(bind(address, port).await.map_err(|source| DeskError::Port { port, source })?);
    }
    if listeners.is_empty() { Err(DeskError::NoNetwork) } else { Ok(listeners) }
}

/// Listens on those addresses that it has by now and did not have before: a laptop comes into another network.
pub(super) async fn listen_also(port: u16, heard: &[IpAddr]) -> Vec<TcpListener> {
    let mut listeners = Vec::new();
    for address in own_addresses().into_iter().filter(|address| !heard.contains(address)) {
        listeners.extend(bind(address, port).await.ok());
    }
    listeners
}

async fn bind(address: IpAddr, port: u16) -> std::io::Result<TcpListener> {
    TcpListener::bind(SocketAddr::new(address, port)).await
}

/// The addresses of this computer on its local networks, those of private ranges (RFC 1918) first.
pub(super) fn own_addresses() -> Vec<IpAddr> {
    let found = if_addrs::get_if_addrs().unwrap_or_default();
    let outward = found.into_iter().map(|one| one.ip()).filter(|ip| ip.is_ipv4() && !ip.is_loopback());
    let mut addresses: Vec<IpAddr> = outward.collect();
    addresses.sort_by_key(|ip| !matches!(ip, IpAddr::V4(four) if four.is_private()));
    addresses.dedup();
    addresses
}

/// The address that a phone is told: the one by which this computer reaches other networks. It may have more, as towards
/// machines within it, of which a phone reaches none.
pub(super) fn phone_address() -> Option<IpAddr> {
    let own = own_addresses();
    outward().filter(|address| own.contains(address)).or_else(|| own.first().copied())
}

/// From where something would be sent to an address that nobody has (RFC 5737); nothing is sent.
fn outward() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(203, 0, 113, 1), 9)).ok()?;
    socket.local_addr().ok().map(|address| address.ip())
}

/// Whether a browser may call the desk by this `Host`: another name that leads here would let a foreign page ask in
/// its own name (DNS rebinding).
pub(super) fn is_own_host(host: &str, port: u16, shared: bool, names: &[String]) -> bool {
    let bare = match host.rsplit_once(':') {
        Some((bare, given)) if given == port.to_string() => bare,
        None if port == 80 => host,
        _ => return false,
    };
    let is_here = ["127.0.0.1", "localhost"].iter().any(|name| bare.eq_ignore_ascii_case(name));
    let is_named = || names.iter().any(|name| bare.eq_ignore_ascii_case(name));
    let is_address = || bare.parse::<IpAddr>().is_ok_and(|ip| own_addresses().contains(&ip));
    is_here || shared && (is_named() || is_address())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_phone_is_told_an_address_of_this_computer_where_there_is_one() {
        let own = own_addresses();
        assert_eq!(phone_address().is_some(), !own.is_empty());
        assert!(phone_address().is_none_or(|address| own.contains(&address)));
    }

    #[test]
    fn only_own_names_with_the_own_port_are_taken() {
        let names = ["loft-pc.local".to_owned()];
        for host in ["127.0.0.1:4760", "localhost:4760", "LOCALHOST:4760"] {
            assert!(is_own_host(host, 4760, false, &names), "{host}");
        }
        for host in
            ["", "127.0.0.1", "127.0.0.1:80", "evil.example:4760", "127.0.0.1.evil.example:4760", "192.0.2.7:4760"]
        {
            assert!(!is_own_host(host, 4760, true, &names), "{host}");
        }
        assert!(is_own_host("loft-pc.local:4760", 4760, true, &names));
        assert!(!is_own_host("loft-pc.local:4760", 4760, false, &names));
        assert!(is_own_host("localhost", 80, false, &names));
    }
}
