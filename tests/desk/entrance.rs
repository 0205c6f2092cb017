//! The way in: pairing, and what those who are not paired see.

use std::net::TcpListener;

use crate::support::Desk;

#[test]
fn a_paired_client_sees_pages_and_others_see_how_to_pair() {
    let desk = Desk::with_items();
    let client = desk.client();
    assert!(client.get("/?q=4A-001F").has("Copper jam pan"));
    let part = client.part("/?q=copper");
    assert!(part.has("Copper jam pan") && !part.has("<html"), "{}", part.body());

    let stranger = desk.stranger().get("/?q=4A-001F");
    assert_eq!(stranger.status, 401);
    assert!(stranger.has("Pair this device") && !stranger.has("Copper"));
}

#[test]
fn commands_and_the_desk_work_on_one_register() {
    let desk = Desk::empty();
    let client = desk.client();
    desk.run(&["area", "add", "4", "Loft"]);
    desk.run(&["bin", "add", "4"]);
    assert!(client.get("/?q=4A").text().contains("Bin 4A"));
}

/// Another program has the desk's port on the local network, and ends then.
#[test]
fn a_phone_is_offered_no_link_where_the_port_is_taken() {
    let desk = Desk::empty();
    let client = desk.client();
    let port: u16 = desk.host().rsplit(':').next().unwrap().parse().unwrap();
    let own = if_addrs::get_if_addrs().unwrap().into_iter().map(|one| one.ip());
    let own = own.filter(|ip| ip.is_ipv4() && !ip.is_loopback());
    let taken: Vec<_> = own.map(|ip| TcpListener::bind((ip, port)).unwrap()).collect();
    let offer = || client.post("/devices/offer", &[("looks_only", "false")]);
    let refused = offer();
    assert_eq!(refused.status, 422);
    if taken.is_empty() {
        println!("this computer is in no network");
        assert!(refused.has("no address on a local network"), "{}", refused.text());
        return;
    }
    assert!(refused.has(&format!("can't listen there at its port {port}")), "{}", refused.text());
    drop(taken);
    assert!(offer().has("/pair/"));
}
