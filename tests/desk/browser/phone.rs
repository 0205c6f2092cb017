//! A phone in the stockroom: paired by its link, at its size, by touch, with a connection that comes and goes.

use std::path::PathBuf;

use serde_json::json;
use stowmark::{output::rasterise, unit::Dpi};

use super::{
    driver::{Browser, PHONE},
    keys::ENTER,
    line::{Line, State},
};
use crate::support::{Desk, until};

const AGENT: &str =
    "Mozilla/5.0 (Linux; Android 15) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/130.0 Mobile Safari/537.36";

/// A phone that is paired by the link that the desk shows for it; where this computer is on no network, by the one for
/// this computer.
fn phone(desk: &Desk) -> Option<Browser> {
    let mut browser = Browser::open(desk)?;
    browser.size(PHONE, true);
    browser.own("Emulation.setUserAgentOverride", &json!({ "userAgent": AGENT }));
    let offered = desk.client().post("/devices/offer", &[("looks_only", "false")]).text();
    let link = offered.split_whitespace().find(|word| word.contains("/pair/"));
    match link {
        Some(link) => browser.pair(link),
        None => browser.pair(&desk.link()),
    }
    Some(browser)
}

/// A phone behind a line that can be cut.
fn phone_by(desk: &Desk, line: &Line) -> Option<Browser> {
    let port = desk.host().rsplit(':').next().unwrap().to_owned();
    let rule = format!("--host-resolver-rules=MAP localhost:{port} 127.0.0.1:{}", line.port());
    let mut browser = Browser::open_with(desk, &[&rule])?;
    browser.size(PHONE, true);
    browser.pair(&desk.link().replace("127.0.0.1", "localhost"));
    Some(browser)
}

fn stocked() -> Desk {
    let desk = Desk::with_items();
    desk.run(&["tag", "--symbol", "qr", "--no-proof"]);
    desk.run(&["sold", "4A-002C", "--price", "12"]);
    desk
}

#[test]
fn a_phone_finds_photographs_and_picks() {
    let desk = stocked();
    let Some(browser) = phone(&desk) else { return };
    browser.complaints();
    assert_eq!(desk.number("SELECT count(*) FROM device WHERE name LIKE 'Android%'"), 1);
    browser.click("#q");
    browser.press("jam pan");
    browser.wait_for_text("Copper jam pan");
    assert!(browser.text_of(".answer .plate").ends_with("4A"), "{}", browser.text());
    photograph(&desk, &browser);
    browser.click_on("Pick");
    browser.wait_for_text("1 item from 1 bin to pick");
    browser.click_on("Picked");
    browser.wait_for_text("All that is sold is picked");
    browser.is_fine();
    assert_eq!(browser.sticks_out(), None);
    assert_eq!(browser.complaints(), Vec::<String>::new());
    desk.run(&["check"]);
}

/// All tags that lie there, in one picture.
fn take_picture(desk: &Desk) -> PathBuf {
    let pdf = std::fs::read(desk.path("tags-0001.pdf")).unwrap();
    let picture = rasterise(&pdf, 1, Dpi::new(200.0).unwrap(), true).unwrap().png().unwrap();
    std::fs::write(desk.path("IMG_0001.png"), picture).unwrap();
    desk.path("IMG_0001.png")
}

fn photograph(desk: &Desk, browser: &Browser) {
    browser.upload("#photo", &take_picture(desk));
    browser.wait_for_text("3 tags and signs");
    browser.wait_for_text("Knitting pattern: bobble hat");
}

#[test]
fn a_whole_bin_is_stowed_and_counted_by_a_picture() {
    let desk = stocked();
    let Some(browser) = phone(&desk) else { return };
    browser.complaints();
    let picture = take_picture(&desk);
    browser.click_on("Stow");
    browser.wait_for_path("/stow");
    scan(&browser, "4C");
    browser.wait_for_text("Items go into 4C");
    browser.upload("#photo", &picture);
    browser.wait_for_text("stowed here");
    for code in ["4A-001F", "4A-002C", "4A-003A"] {
        until("the bin to be stowed", || (bin_of(&desk, code) == "4C").then_some(()));
    }
    browser.is_fine();
    browser.click_on("Count");
    browser.wait_for_path("/count");
    scan(&browser, "4C");
    browser.wait_for_text("of 3 found");
    browser.upload("#photo", &picture);
    browser.wait_for_text("3 of 3 found");
    browser.is_fine();
    assert_eq!(browser.complaints(), Vec::<String>::new());
    desk.run(&["check"]);
}

/// What was taken is there once, whatever happened to the answers.
#[test]
fn a_stow_session_loses_no_scan_and_repeats_none_when_the_connection_is_lost() {
    let desk = stocked();
    let line = Line::to(&desk.host());
    let Some(browser) = phone_by(&desk, &line) else { return };
    let changes = || desk.number("SELECT count(*) FROM change");
    let before = changes();
    browser.click_on("Stow");
    browser.wait_for_path("/stow");
    scan(&browser, "4B");
    browser.wait_for_text("Items go into 4B");
    scan(&browser, "4A-001F");
    browser.wait_for_text("1 stowed here");

    // Scans wait while there is no connection.
    line.set(State::Cut);
    scan(&browser, "4C");
    scan(&browser, "4A-003A");
    browser.wait_for_text("No connection: 2 scans wait");
    assert_eq!(changes(), before + 1);
    line.set(State::Whole);
    browser.wait_for_text("2 stowed here");
    assert_eq!((changes(), bin_of(&desk, "4A-003A")), (before + 2, "4C".to_owned()));

    // The desk has taken a scan, and its answer is lost on the way: it is sent again and not taken again.
    line.set(State::Deaf);
    scan(&browser, "4A-001F");
    until("the desk to take it", || (changes() == before + 3).then_some(()));
    browser.wait_for_text("No connection: 1 scan waits");
    line.set(State::Whole);
    browser.wait_for_text("3 stowed here");
    assert_eq!((changes(), bin_of(&desk, "4A-001F")), (before + 3, "4C".to_owned()));

    // What waits is not lost when the page is closed either.
    line.set(State::Cut);
    scan(&browser, "4D");
    scan(&browser, "4A-001F");
    browser.wait_for_text("No connection: 2 scans wait");
    browser.go_to("about:blank");
    line.set(State::Whole);
    browser.get("/stow");
    until("the scans that waited", || (bin_of(&desk, "4A-001F") == "4D").then_some(()));
    assert_eq!(changes(), before + 4);

    // The browser's own knowledge that it is offline.
    browser.offline(true);
    scan(&browser, "4A-003A");
    browser.wait_for_text("No connection: 1 scan waits");
    browser.offline(false);
    until("the scan that waited", || (bin_of(&desk, "4A-003A") == "4D").then_some(()));
    assert_eq!(changes(), before + 5);
    desk.run(&["check"]);
}

fn scan(browser: &Browser, code: &str) {
    browser.press(code);
    browser.press(ENTER);
}

fn bin_of(desk: &Desk, code: &str) -> String {
    desk.json(&["find", code])["matches"][0]["bin"].as_str().unwrap_or_default().to_owned()
}
