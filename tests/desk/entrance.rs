//! The way in: pairing, and what those who are not paired see.

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
