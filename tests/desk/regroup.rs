//! Regroup: a plan is made, looked at, carried out and dropped.

use crate::{
    client::Client,
    scanner::{Scanner, fresh},
    support::Desk,
};

/// Three bins of 36 litres; three items in 4A, one in 4B.
fn desk() -> Desk {
    let desk = Desk::with_items();
    desk.run(&["item", "add", "Tea caddy", "--bin", "4B"]);
    desk.run(&["tag", "--no-proof"]);
    for bin in ["4A", "4B"] {
        desk.run(&["bin", "edit", bin, "--litres", "36"]);
    }
    desk
}

#[test]
fn a_plan_is_made_and_carried_out() {
    let desk = desk();
    let client = desk.client();
    assert!(client.get("/regroup").has("Lifting and stacking"));
    assert_eq!(client.get("/regroup/go").location(), "/regroup");
    let page = client.done("/regroup/plan", &[("empty", ""), ("keep", ""), ("free", ""), ("together", "")]);
    assert!(page.has("1 item moves, and 1 bin becomes free: 4B"), "{}", page.text());
    assert_eq!(client.get("/regroup/moves.pdf").header("content-type"), Some("application/pdf"));
    let mut go = Scanner::open(&client, "regroup", "/regroup/go");
    go.scan("4A001F").is("bad", &["it is not a part of the plan"]);
    go.scan("missing 4B-001J").is("good", &["Marked as missing"]);
    go.scan("undo").is("good", &["Taken back", "take from 4B"]);
    let scan = fresh();
    go.send(&scan, "4B001J").is("good", &["✓ Taken", "Tea caddy", "goes into 4A", "put into 4A"]);
    desk.kill_and_open_again();
    let client = client.at(&desk.address());
    go.client = client.clone();
    let dump = desk.dump();
    go.send(&scan, "4B001J").is("good", &["Taken before"]);
    assert_eq!(desk.dump(), dump);
    go.scan("4A").is("good", &["✓ Put", "1 item put into 4A", "The plan is done: 1 item moved", "1 tag to print"]);
    assert_eq!(desk.json(&["find", "4B-001J"])["matches"][0]["bin"], "4A");
    desk.run(&["check"]);
}

#[test]
fn wishes_that_make_no_sense_are_refused_and_kept() {
    let desk = desk();
    let client = desk.client();
    for (name, value, why) in [("empty", "9Z", "9Z"), ("free", "few", "few"), ("keep", "4A-001F", "is an item")] {
        let page = client.post("/regroup/plan", &[(name, value)]);
        assert_eq!(page.status, 422, "{name}");
        assert!(page.has(why) && page.fields(name) == [value], "{}", page.text());
    }
    let page = client.done("/regroup/plan", &[("keep", "4A, 4B"), ("free", ""), ("together", "note")]);
    assert!(page.has("Nothing to gain: 2 bins in use, and keeping what is in bins allows no fewer"), "{}", page.text());
}

#[test]
fn a_plan_is_dropped_with_what_is_in_hand() {
    let desk = desk();
    let client = desk.client();
    client.done("/regroup/plan", &[]);
    let mut go = Scanner::open(&client, "regroup", "/regroup/go");
    go.scan("4B001J").is("good", &["Taken"]);
    let page = client.done("/regroup/drop", &[("seen", &seen(&client))]);
    assert!(page.has("Plan 1 dropped") && page.has("In hand: 4B-001J"), "{}", page.text());
    go.scan("4A").is("bad", &["The plan was dropped meanwhile"]);
    assert_eq!(client.post("/regroup/drop", &[]).status, 422);
}

/// What stands on the page of the plan that is under way, and how far it is there.
fn seen(client: &Client) -> String {
    client.get("/regroup").field("seen").unwrap_or_default()
}

#[test]
fn a_plan_that_another_device_went_on_with_is_not_dropped_unseen() {
    let desk = desk();
    let (client, other) = (desk.client(), desk.client());
    client.done("/regroup/plan", &[]);
    let old = seen(&client);
    Scanner::open(&other, "regroup", "/regroup/go").scan("4B001J").is("good", &["Taken"]);
    let late = client.post("/regroup/drop", &[("seen", &old)]);
    assert!(late.status == 409 && late.has("changed meanwhile"), "{} {}", late.status, late.text());
    assert_eq!(desk.number("SELECT count(*) FROM regroup WHERE state = 'open'"), 1);
    // The page shows how it is now, and may be gone by.
    let page = client.done("/regroup/drop", &[("seen", &late.field("seen").unwrap())]);
    assert!(page.has("Plan 1 dropped") && page.has("In hand: 4B-001J"), "{}", page.text());
}

/// The device's session is of the plan that was dropped: another one begins with the new plan.
#[test]
fn a_new_plan_is_carried_out_by_the_device_that_had_the_old_one() {
    let desk = desk();
    let client = desk.client();
    client.done("/regroup/plan", &[]);
    let mut old = Scanner::open(&client, "regroup", "/regroup/go");
    old.scan("4A001F").is("bad", &["not a part of the plan"]);
    assert_eq!(Scanner::open(&client, "regroup", "/regroup/go").session, old.session);
    client.done("/regroup/drop", &[("seen", &seen(&client))]);
    client.done("/regroup/plan", &[]);
    let mut new = Scanner::open(&client, "regroup", "/regroup/go");
    assert_ne!(new.session, old.session);
    new.scan("4B001J").is("good", &["Taken"]);
    new.scan("4A").is("good", &["The plan is done"]);
}
