//! Pick: the round, confirmed by scanning and by buttons.

use crate::{
    scanner::{Scanner, fresh},
    support::Desk,
};

fn desk() -> Desk {
    let desk = Desk::with_items();
    desk.run(&["item", "add", "Tea caddy", "--bin", "4B"]);
    desk.run(&["sold", "4A-001F", "--price", "24.95", "--order", "77"]);
    desk.run(&["sold", "4B-001J", "--price", "8"]);
    desk
}

#[test]
fn the_round_is_walked_and_each_item_confirmed() {
    let desk = desk();
    let client = desk.client();
    let mut pick = Scanner::open(&client, "pick", "/pick");
    let page = client.get(&format!("/pick?session={}", pick.session));
    assert!(page.has("2 items from 2 bins to pick") && page.has("order 77") && page.has("Loft, rack 1, level 2"));
    pick.scan("4A002C").is("bad", &["Refused", "is not sold"]);
    pick.scan("4B").is("bad", &["is a bin", "4B-001J"]);
    let scan = fresh();
    pick.send(&scan, "4A001F")
        .is("good", &["✓ Picked", "Copper jam pan", "for order 77", "1 item left", "1 picked, 1 left"]);
    pick.send(&scan, "4A001F").is("good", &["✓ Picked"]);
    pick.scan("undo").is("good", &["Taken back", "2 items left"]);
    pick.scan("4A001F").is("good", &["Picked"]);
    // A button of a row sends what stands in its form.
    let row = client.get(&format!("/pick?session={}", pick.session));
    let texts = row.fields("text");
    let button = texts.iter().find(|text| text.starts_with('#')).unwrap();
    pick.scan(button).is("good", &["Picked", "Tea caddy", "Nothing to pick", "All that is sold is picked"]);
    assert_eq!(desk.number("SELECT count(*) FROM item WHERE state = 'picked'"), 2);
    desk.run(&["check"]);
}

#[test]
fn a_pick_that_comes_again_after_a_power_cut_was_taken_before() {
    let desk = desk();
    let mut pick = Scanner::open(&desk.client(), "pick", "/pick");
    let scan = fresh();
    pick.send(&scan, "4A001F").is("good", &["Picked"]);
    desk.kill_and_open_again();
    pick.client = pick.client.at(&desk.address());
    let dump = desk.dump();
    pick.send(&scan, "4A001F").is("good", &["Taken before"]);
    assert_eq!(desk.dump(), dump);
    pick.scan("4B001J").is("good", &["Picked"]);
}

#[test]
fn the_round_is_there_on_paper() {
    let desk = desk();
    let client = desk.client();
    let pdf = client.get("/pick/round.pdf");
    assert_eq!((pdf.status, pdf.header("content-type")), (200, Some("application/pdf")));
    assert!(pdf.bytes.starts_with(b"%PDF-"));
    desk.run(&["picked", "--all"]);
    assert_eq!(client.get("/pick/round.pdf").status, 404);
    assert!(client.get("/pick").status == 303);
}
