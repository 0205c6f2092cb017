//! What is refused: those who are paired keep the way to other pages, the others see none.

use crate::support::Desk;

const BAR: &str = "<nav aria-label=\"Pages\">";

#[test]
fn the_paired_keep_their_way_whoever_refused() {
    let desk = Desk::with_items();
    let (client, looker) = (desk.client(), desk.looker());
    let form = [("Content-Type", "application/x-www-form-urlencoded")];
    for (what, answer, status) in [
        ("no such page", client.get("/nothing"), 404),
        ("no text", client.get("/i/%ff"), 400),
        ("no page for it", client.post("/", &[]), 405),
        ("no form", client.send("POST", "/devices/end", &[], Some(b"device=1")), 415),
        ("too much", client.send("POST", "/devices/end", &form, Some(&vec![b'a'; 70_000])), 413),
        ("looking only", looker.post("/undo", &[("change", "1")]), 403),
    ] {
        assert_eq!(answer.status, status, "{what}: {}", answer.text());
        assert!(answer.has(BAR) && answer.has("Go back") && answer.has("To Find"), "{what}: {}", answer.body());
    }
}

#[test]
fn others_see_no_page_that_there_is() {
    let desk = Desk::with_items();
    let stranger = desk.stranger();
    for (path, status) in [("/", 401), ("/nothing", 401), ("/pair/used", 410), ("/pair/a/b", 404), ("/pair/%ff", 400)] {
        let answer = stranger.get(path);
        assert_eq!(answer.status, status, "{path}: {}", answer.text());
        assert!(!answer.has(BAR) && !answer.has("data-back"), "{path}: {}", answer.body());
    }
    let other = stranger.send("GET", "/", &[("Referer", "http://evil.example/")], None);
    assert!(!other.has("evil"), "{}", other.body());
}

#[test]
fn back_leads_to_the_page_that_was_left_and_to_no_other_site() {
    let desk = Desk::with_items();
    let client = desk.client();
    let from = |referrer: &str| client.send("GET", "/nothing", &[("Referer", referrer)], None).body();
    let own = from(&format!("{}/b/4A?a=b", desk.address()));
    assert!(own.contains("<a class=\"button\" href=\"/b/4A?a=b\" data-back>"), "{own}");
    for other in ["http://evil.example/b/4A", &format!("{}.evil.example/x", desk.address()), "/b/4A", "javascript:x"] {
        let page = from(other);
        assert!(page.contains("<a class=\"button\" href=\"/\" data-back>"), "{other}: {page}");
    }
}

#[test]
fn a_bin_that_is_retired_leads_to_its_page() {
    let desk = Desk::with_bins();
    let client = desk.client();
    desk.run(&["bin", "retire", "4B"]);
    let refused = client.get("/stow?bin=4B");
    assert_eq!(refused.status, 422, "{}", refused.text());
    assert!(refused.has("Bin 4B is retired since") && refused.has(BAR), "{}", refused.text());
    assert!(refused.has("href=\"/b/4B\"") && client.get("/b/4B").status == 200);
    assert!(client.follow(&client.get("/stow?bin=4A")).has("Items go into 4A"));
}
