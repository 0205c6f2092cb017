//! Stow: readings that come once, again, after a power cut, and from several devices at once.

use std::thread;

use stowmark::output::Pixels;

use crate::{
    photo::with_tags,
    scanner::{Scanner, fresh},
    support::Desk,
};

fn bin_of(desk: &Desk, code: &str) -> String {
    let found = desk.json(&["find", code]);
    found["matches"][0]["bin"].as_str().unwrap_or_default().to_owned()
}

/// How many changes of this kind there are.
fn moves(desk: &Desk) -> i64 {
    desk.number("SELECT count(*) FROM journal WHERE action = 'item moved'")
}

#[test]
fn a_bin_then_what_goes_into_it() {
    let desk = Desk::with_items();
    desk.run(&["tag", "--no-proof"]);
    let client = desk.client();
    let mut stow = Scanner::open(&client, "stow", "/stow");
    stow.scan("4A001F").is("bad", &["Refused", "No bin was read yet"]);
    stow.scan("4C00V").is("good", &["✓ Bin", "Into 4C from now on", "Loft, rack 1, level 2, with 0 items"]);
    stow.scan("4A001F").is("good", &["✓ Stowed", "Copper jam pan", "from 4A to 4C"]);
    assert_eq!(bin_of(&desk, "4A-001F"), "4C");
    stow.scan("4A001F").is("good", &["There already"]);
    stow.scan("4A002").is("bad", &["✕ Refused", "check letter is missing or wrong"]);
    stow.scan("<b>teapot").is("bad", &["Nothing here has this code"]);
    stow.scan("undo").is("good", &["Taken back", "Copper jam pan"]);
    assert_eq!(bin_of(&desk, "4A-001F"), "4A");
    stow.scan("undo").is("bad", &["Nothing of this session is left to take back"]);
    // The page goes on with the session, also without its number.
    assert!(client.get(&format!("/stow?session={}", stow.session)).has("Items go into 4C"));
    assert_eq!(Scanner::open(&client, "stow", "/stow").session, stow.session);
}

#[test]
fn it_may_begin_with_a_bin() {
    let desk = Desk::with_items();
    let mut stow = Scanner::open(&desk.client(), "stow", "/stow?bin=4b");
    assert_eq!(stow.bin, "4B");
    stow.scan("4A001F").is("good", &["4B"]);
    assert_eq!(desk.client().get("/stow?bin=9Z").status, 422);
}

#[test]
fn without_script_the_page_shows_the_answer() {
    let desk = Desk::with_items();
    let client = desk.client();
    let page = client.follow(&client.get("/stow?bin=4C"));
    let field = |name: &str| page.field(name).unwrap();
    let (session, scan, bin) = (field("session"), field("scan"), field("bin"));
    let fields = [("session", session.as_str()), ("scan", &scan), ("text", "4A001F"), ("bin", &bin)];
    let answer = client.post("/stow/scan", &fields);
    assert_eq!((answer.status, answer.header("x-sound")), (200, Some("good")));
    assert!(answer.has("✓ Stowed") && answer.has("Take the last one back"), "{}", answer.text());
    assert_eq!(answer.field("bin").as_deref(), Some("4C"));
    // The browser sends the same when the page is loaded anew.
    assert!(client.post("/stow/scan", &fields).has("✓ Stowed"));
    assert_eq!(desk.number("SELECT count(*) FROM change WHERE what LIKE 'move %' OR what LIKE 'put %'"), 1);
}

#[test]
fn a_scan_that_comes_again_is_answered_as_before_and_changes_nothing() {
    let desk = Desk::with_items();
    let mut stow = Scanner::open(&desk.client(), "stow", "/stow?bin=4C");
    let scan = fresh();
    let first = stow.send(&scan, "4A001F");
    let dump = desk.dump();
    let again = stow.send(&scan, "4A001F");
    assert_eq!((again.answer.text(), &again.sound), (first.answer.text(), &first.sound));
    // Also where the text is another one: the number counts.
    assert_eq!(stow.send(&scan, "4A002C").answer.text(), first.answer.text());
    assert_eq!(desk.dump(), dump);
}

/// A power cut between a scan and its answer: the page sends the scan again to the desk that was opened anew.
#[test]
fn after_a_power_cut_nothing_is_lost_and_nothing_doubled() {
    let desk = Desk::with_items();
    let mut stow = Scanner::open(&desk.client(), "stow", "/stow");
    stow.scan("4B");
    let (item, undo) = (fresh(), fresh());
    stow.send(&item, "4A001F").is("good", &["Stowed"]);
    stow.scan("4A002C").is("good", &["Stowed"]);
    stow.send(&undo, "undo").is("good", &["Taken back"]);
    let dump = desk.dump();
    desk.kill_and_open_again();
    assert_eq!(desk.dump(), dump);
    stow.client = stow.client.at(&desk.address());
    stow.send(&item, "4A001F").is("good", &["Taken before"]);
    stow.send(&undo, "undo").is("good", &["Taken before"]);
    assert_eq!(desk.dump(), dump);
    // It goes on with the bin that the page knows.
    assert_eq!(stow.bin, "4B");
    stow.scan("#3").is("good", &["Stowed", "bobble hat"]);
    assert!(desk.json(&["item", "list", "--bin", "4B"])["items"].as_array().unwrap().len() == 2);
    desk.run(&["check"]);
}

#[test]
fn devices_that_scan_at_once_lose_nothing_and_double_nothing() {
    const CLIENTS: usize = 8;
    const ITEMS: usize = 6;
    let desk = Desk::with_bins();
    for number in 0..CLIENTS * ITEMS {
        desk.run(&["item", "add", &format!("Egg cup {number}"), "--bin", "4A"]);
    }
    let (client, address) = (desk.client(), desk.address());
    thread::scope(|scope| {
        for number in 0..CLIENTS {
            let client = client.at(&address);
            scope.spawn(move || {
                let bin = ["4B", "4C"][number % 2];
                let mut stow = Scanner::open(&client, "stow", &format!("/stow?bin={bin}"));
                for item in 0..ITEMS {
                    let (scan, text) = (fresh(), format!("#{}", number * ITEMS + item + 1));
                    stow.send(&scan, &text).is("good", &["Stowed"]);
                    stow.send(&scan, &text).is("good", &["Stowed"]);
                }
            });
        }
    });
    let inside = |bin: &str| desk.json(&["item", "list", "--bin", bin])["items"].as_array().unwrap().len();
    assert_eq!((inside("4A"), inside("4B"), inside("4C")), (0, CLIENTS * ITEMS / 2, CLIENTS * ITEMS / 2));
    let scans = desk.number("SELECT count(*) FROM change WHERE scan IS NOT NULL");
    assert_eq!(scans, i64::try_from(CLIENTS * ITEMS).unwrap());
    desk.run(&["check"]);
}

#[test]
fn a_session_is_its_own_devices_and_a_looker_has_none() {
    let desk = Desk::with_items();
    let mut stow = Scanner::open(&desk.client(), "stow", "/stow?bin=4C");
    stow.scan("4A001F").is("good", &["Stowed"]);
    // Another device that names the session has one of its own, without a bin.
    let mut other = Scanner { client: desk.client(), session: stow.session.clone(), bin: String::new(), ..stow };
    other.scan("4A002C").is("bad", &["No bin was read yet"]);
    let mut looker = Scanner { client: desk.looker(), ..other };
    assert_eq!(looker.scan("4A002C").answer.status, 403);
    assert!(looker.client.get("/stow?session=0123456789").has("for looking only"));
    assert_eq!(moves(&desk), 1);
}

#[test]
fn a_reading_without_a_number_is_refused() {
    let desk = Desk::with_items();
    let mut stow = Scanner::open(&desk.client(), "stow", "/stow?bin=4C");
    for scan in ["", "short", "a number with spaces", &"9".repeat(81)] {
        assert_eq!(stow.send(scan, "4A001F").answer.status, 422, "{scan}");
    }
    stow.scan(&"9".repeat(20_000)).is("bad", &["longer than any symbol"]);
    assert_eq!(moves(&desk), 0);
}

/// All tags of a picture at once, each with a scan of its own, so that the picture may be sent again.
#[test]
fn a_whole_bin_is_photographed() {
    let (desk, tags) = with_tags();
    let mut stow = Scanner::open(&desk.client(), "stow", "/stow?bin=4C");
    let scan = fresh();
    stow.photograph(&scan, &tags).is("good", &["3 tags read", "3 taken, 0 refused", "3 stowed here"]);
    let dump = desk.dump();
    stow.photograph(&scan, &tags).is("good", &["3 taken, 0 refused"]);
    desk.kill_and_open_again();
    stow.client = stow.client.at(&desk.address());
    stow.photograph(&scan, &tags).is("good", &["3 taken, 0 refused"]);
    assert_eq!(desk.dump(), dump);
    let mut count = Scanner::open(&stow.client, "count", "/count?bin=4C");
    count.photograph(&fresh(), &tags).is("good", &["3 of 3 found"]);
    let blank = Pixels { width: 200, height: 100, luma: vec![200; 20_000] }.png().unwrap();
    count.photograph(&fresh(), &blank).is("bad", &["No tag or sign was read"]);
    assert_eq!(count.photograph(&fresh(), b"no picture").answer.status, 422);
}

/// Where it was taken back on another page already, there is one less to take back, and the page lists one less.
#[test]
fn what_was_taken_back_elsewhere_is_not_listed_any_more() {
    let desk = Desk::with_items();
    let mut stow = Scanner::open(&desk.client(), "stow", "/stow?bin=4C");
    stow.scan("4A001F").is("good", &["Stowed"]);
    stow.scan("4A002C").is("good", &["Stowed"]);
    let change = desk.number("SELECT max(id) FROM change").to_string();
    desk.client().done("/undo", &[("change", &change)]);
    stow.scan("undo").is("bad", &["taken back"]);
    let last = stow.scan("undo");
    last.is("good", &["Taken back", "Copper jam pan"]);
    assert!(!last.answer.has("Take the last one back") && !last.answer.has("geese"), "{}", last.answer.text());
}

/// Two pages of one browser share its session: what is scanned on a page goes into the bin that this page shows.
#[test]
fn items_go_into_the_bin_that_the_page_shows() {
    let desk = Desk::with_items();
    let client = desk.client();
    let mut one = Scanner::open(&client, "stow", "/stow");
    one.scan("4B").is("good", &["Into 4B"]);
    let mut other = Scanner::open(&client, "stow", "/stow");
    assert_eq!((&other.session, other.bin.as_str()), (&one.session, "4B"));
    let to_4c = fresh();
    other.send(&to_4c, "4C").is("good", &["Into 4C"]);
    one.scan("4A001F").is("good", &["from 4A to 4B", "Items go into 4B"]);
    other.scan("4A002C").is("good", &["from 4A to 4C"]);
    assert_eq!((bin_of(&desk, "4A-001F"), bin_of(&desk, "4A-002C")), ("4B".into(), "4C".into()));
    // A scan that comes again, as its page did not hear the answer, leaves the bin that it has named.
    other.bin = "4B".into();
    other.send(&to_4c, "4C").is("good", &["Into 4C", "Items go into 4C"]);
    // A bin that has another code now is shown by that.
    desk.run(&["area", "add", "12", "Cellar"]);
    desk.run(&["bin", "change-area", "4C", "12"]);
    other.scan("4A003A").is("good", &["Items go into 12A"]);
    desk.run(&["check"]);
}
