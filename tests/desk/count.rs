//! Count: by scanning and by ticking, what was found, and what is put right.

use crate::{scanner::Scanner, support::Desk};

fn tallies(desk: &Desk) -> i64 {
    desk.number("SELECT count(*) FROM tally")
}

/// A bin with three items of which one is missing, and one that belongs elsewhere.
fn desk() -> Desk {
    let desk = Desk::with_items();
    desk.run(&["item", "add", "Tea caddy", "--bin", "4B"]);
    desk
}

fn counted(desk: &Desk) -> Scanner {
    let mut count = Scanner::open(&desk.client(), "count", "/count?bin=4A");
    count.scan("4A001F").is("good", &["✓ Here", "Copper jam pan", "1 of 3"]);
    count.scan("4A002C").is("good", &["2 of 3 found"]);
    count.scan("4A002C").is("none", &["No effect", "Read before"]);
    count.scan("4B001J").is("bad", &["Belongs elsewhere", "in 4B, Loft"]);
    count.scan("teapot").is("bad", &["Unknown"]);
    count.scan("4C").is("bad", &["The sign of another bin; 4A is counted"]);
    count.scan("4A").is("none", &["The sign of the bin that is counted"]);
    count
}

#[test]
fn a_count_is_seen_before_it_is_recorded_and_put_right_only_when_asked() {
    let desk = desk();
    let count = counted(&desk);
    let (client, session) = (&count.client, count.session.as_str());
    let end = client.get(&format!("/count/end?session={session}"));
    assert!(end.has("2 present, 1 missing, 1 found here but belonging elsewhere, 1 unknown"), "{}", end.text());
    assert!(end.has("Accuracy: 50.0 % (2 of 4 records right)") && end.has("bobble hat") && end.has("Tea caddy"));
    assert_eq!(tallies(&desk), 0);
    let page = client.done("/count/end", &[("session", session), ("fix", "true")]);
    assert!(page.has("The count of 4A is recorded") && page.has("gone from now on") && page.has("Take it back"));
    assert_eq!(tallies(&desk), 1);
    // The same again is recorded once.
    client.done("/count/end", &[("session", session), ("fix", "true")]);
    assert_eq!((tallies(&desk), desk.number("SELECT count(*) FROM item WHERE state = 'gone'")), (1, 1));
    assert!(client.get("/count/accuracy").has("50.0 %"));
    desk.run(&["check"]);
}

#[test]
fn a_count_may_be_recorded_without_a_change() {
    let desk = desk();
    let count = counted(&desk);
    count.client.done("/count/end", &[("session", &count.session), ("fix", "false")]);
    assert_eq!((tallies(&desk), desk.number("SELECT count(*) FROM item WHERE state = 'gone'")), (1, 0));
}

/// In an empty bin there is nothing to scan: the count is finished all the same, and nothing else of a bin that is not.
#[test]
fn an_empty_bin_is_counted_without_a_scan() {
    let desk = desk();
    let mut empty = Scanner::open(&desk.client(), "count", "/count?bin=4C");
    let form = [("session", empty.session.as_str()), ("bin", "4C")];
    assert!(
        empty
            .client
            .get(&format!("/count?session={}&bin=4C", empty.session))
            .has("name=\"bin\" value=\"4C\"><button>Finish the count")
    );
    let end = empty.client.get(&format!("/count/end?session={}&bin=4C", empty.session));
    assert!(end.has("All as it should be") && end.has("Record the count"), "{}", end.text());
    let page = empty.client.done("/count/end", &form);
    assert!(page.has("The count of 4C is recorded"), "{}", page.text());
    empty.client.done("/count/end", &form);
    assert_eq!(tallies(&desk), 1);
    empty = Scanner::open(&desk.client(), "count", "/count?bin=4A");
    let end = empty.client.get(&format!("/count/end?session={}&bin=4A", empty.session));
    assert!(end.has("Nothing was read") && end.has("/count/tick?bin=4A") && !end.has("Record"), "{}", end.text());
    desk.run(&["check"]);
}

#[test]
fn an_item_is_ticked_instead() {
    let desk = desk();
    let client = desk.client();
    let page = client.get("/count/tick?bin=4A");
    assert_eq!(page.fields("here"), ["#1", "#2", "#3"]);
    let ticks = |found: &str| {
        let shown = [("bin", "4A"), ("shown", "#1"), ("shown", "#2"), ("shown", "#3")];
        [&shown[..], &[("here", "#1"), ("here", "#3"), ("found", found)]]
            .concat()
            .into_iter()
            .map(|(a, b)| (a.to_owned(), b.to_owned()))
            .collect::<Vec<_>>()
    };
    let send = |found: &str| {
        let fields = ticks(found);
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        client.post("/count/tick", &fields)
    };
    let refused = send("9Z-999X");
    assert_eq!(refused.status, 422);
    assert!(refused.has("9Z-999X") && refused.body().matches(" checked").count() == 2);
    let end = client.follow(&send("4B-001J\r\n"));
    assert!(end.has("2 present, 1 missing, 1 found here but belonging elsewhere, 0 unknown"), "{}", end.text());
    let session = end.field("session").unwrap();
    client.done("/count/end", &[("session", &session), ("fix", "true")]);
    assert_eq!(desk.json(&["find", "4B-001J"])["matches"][0]["bin"], "4A");
    assert_eq!(client.get("/count/list.pdf?bin=4A").header("content-type"), Some("application/pdf"));
}

#[test]
fn bins_that_are_due_are_listed_and_a_wrong_one_is_named() {
    let desk = desk();
    let client = desk.client();
    assert!(client.get("/count").has("never"));
    let refused = client.get("/count?bin=9Z");
    assert!(refused.status == 422 && refused.has("9Z"), "{}", refused.text());
    assert_eq!(client.get("/count/end?session=0123456789").status, 404);
}

/// What a count has read lives in memory: the page is told, and sends all of it again.
#[test]
fn a_count_that_the_desk_lost_is_sent_again_by_the_page() {
    let desk = desk();
    let mut count = Scanner::open(&desk.client(), "count", "/count?bin=4A");
    count.scan("4A001F").is("good", &["1 of 3"]);
    desk.kill_and_open_again();
    count.client = count.client.at(&desk.address());
    let lost = count.scan("4A002C");
    assert_eq!((lost.answer.status, lost.answer.header("x-lost")), (410, Some("1")));
    count.begun = 0;
    count.scan("4A001F").is("good", &["1 of 3"]);
    count.scan("4A002C").is("good", &["2 of 3"]);
}

/// Gone back to by the browser, after it was recorded: what is scanned then is neither lost in silence nor added.
#[test]
fn a_count_that_is_recorded_does_not_go_on() {
    let desk = desk();
    let mut count = counted(&desk);
    let form = [("session", count.session.clone()), ("fix", "false".to_owned())];
    let form: Vec<(&str, &str)> = form.iter().map(|(name, value)| (*name, value.as_str())).collect();
    count.client.done("/count/end", &form);
    for begun in [0, count.begun] {
        count.begun = begun;
        let late = count.scan("4A003A");
        assert_eq!((late.answer.status, late.answer.header("x-lost")), (422, None));
        assert!(late.answer.has("This count is recorded already"), "{}", late.answer.text());
    }
    let again = count.client.done("/count/end", &form);
    assert!(again.has("This count was recorded already"), "{}", again.text());
    let page = count.client.get(&format!("/count?session={}&bin=4A", count.session));
    assert_eq!(page.location(), format!("/count?ended={}", count.session));
    assert_eq!(tallies(&desk), 1);
}
