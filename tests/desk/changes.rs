//! Changes: what was done, and taking it back.

use crate::support::Desk;

#[test]
fn a_change_is_taken_back_and_brought_back() {
    let desk = Desk::with_items();
    desk.run(&["put", "4A-001F", "--in", "4C"]);
    let client = desk.client();
    let page = client.get("/changes");
    let change = page.field("change").unwrap();
    let undone = client.post("/undo", &[("change", &change), ("back", "/changes?from=&to=&page=0")]);
    assert_eq!((undone.status, undone.location()), (303, "/changes?from=&to=&page=0"));
    let page = client.follow(&undone);
    assert!(page.has("Taken back: put 4A-001F into 4C.") && page.has("Bring it back"), "{}", page.text());
    assert_eq!(desk.json(&["find", "copper"])["matches"][0]["bin"], "4A");

    let again = client.post("/undo", &[("change", &change)]);
    assert_eq!(again.status, 422);
    assert!(again.has("was taken back already"), "{}", again.text());

    let brought = client.done("/undo", &[("change", &client.get("/changes").field("change").unwrap())]);
    assert!(brought.has("Brought back: put 4A-001F into 4C."), "{}", brought.text());
    assert_eq!(desk.json(&["find", "copper"])["matches"][0]["bin"], "4C");
}

#[test]
fn what_stands_on_a_change_is_named() {
    let desk = Desk::with_items();
    desk.run(&["put", "4A-001F", "--in", "4C"]);
    let client = desk.client();
    let change = client.get("/changes").field("change").unwrap();
    desk.run(&["put", "4A-001F", "--in", "4D"]);
    let before = desk.dump();
    let refused = client.post("/undo", &[("change", &change)]);
    assert_eq!(refused.status, 422);
    assert!(refused.has("stays, since other things stand on it") && refused.has("into 4D"), "{}", refused.text());
    // The first button is the one that takes the later change back.
    let later = refused.field("change").unwrap();
    assert_ne!(later, change);
    assert_eq!(desk.dump(), before);
    client.done("/undo", &[("change", &later)]);
    client.done("/undo", &[("change", &change)]);
    assert_eq!(desk.json(&["find", "copper"])["matches"][0]["bin"], "4A");
}

#[test]
fn the_way_back_leads_to_no_other_site() {
    let desk = Desk::with_items();
    let client = desk.client();
    for back in ["//evil.example", "https://evil.example/", "/\\evil.example", "javascript:alert(1)", ""] {
        desk.run(&["put", "4A-001F", "--in", "4C"]);
        let change = client.get("/changes").field("change").unwrap();
        let undone = client.post("/undo", &[("change", &change), ("back", back)]);
        assert_eq!((undone.status, undone.location()), (303, "/changes"), "{back}");
    }
    for change in ["", "x", "-1", "99999999999", "0", "4000000000"] {
        assert_eq!(client.post("/undo", &[("change", change)]).status, 422, "{change}");
    }
}

#[test]
fn what_was_just_done_is_taken_back_on_the_same_page() {
    let desk = Desk::with_items();
    let client = desk.client();
    let seen = client.get("/i/4A-002C").field("seen").unwrap();
    let page = client.done("/i/4A-002C/put", &[("seen", &seen), ("bin", "4B")]);
    let (change, back) = (page.field("change").unwrap(), page.field("back").unwrap());
    let undone = client.post("/undo", &[("change", &change), ("back", &back)]);
    assert_eq!(undone.status, 303);
    assert!(undone.location().starts_with("/i/4"), "{}", undone.location());
    assert!(client.follow(&undone).has("Taken back: put"));
    assert_eq!(desk.json(&["find", "geese"])["matches"][0]["bin"], "4A");
}

#[test]
fn older_changes_come_by_a_link_and_days_are_chosen() {
    let desk = Desk::with_items();
    for number in 0..55 {
        desk.run(&["item", "edit", "4A-001F", "--note", &number.to_string()]);
    }
    let client = desk.client();
    let first = client.get("/changes");
    assert_eq!(first.fields("change").len(), 50);
    assert!(first.has("Older") && !first.has("Newer"));
    let second = client.get("/changes?from=&to=&page=1");
    assert!(second.has("Newer") && !second.has("Older") && second.has("Add area 4."), "{}", second.text());
    let none = client.get("/changes?from=2001-01-01&to=2001-12-31");
    assert!(none.has("Nothing happened on these days.") && none.has("2001-12-31"));
    assert_eq!(client.get("/changes?from=2001-01-01&to=").fields("change").len(), 50);
    assert_eq!(client.get("/changes?from=soon").status, 422);
    assert!(client.get("/changes?page=99999999").has("Newer"));
}
