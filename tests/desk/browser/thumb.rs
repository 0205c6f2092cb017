//! A phone in one hand: what is pressed is as large as a thumb, and what is seldom wanted is out of the way.

use serde_json::{Value, json};

use super::{
    driver::{Browser, PHONE, WIDE},
    keys::ENTER,
};
use crate::support::Desk;

impl Browser {
    fn sees(&self, selector: &str) -> bool {
        self.script("return document.querySelector(arguments[0]).checkVisibility();", &json!([selector])) == true
    }

    /// The least side of all that a selector finds, in CSS pixels.
    fn least_side(&self, selector: &str) -> f64 {
        let body = "return Math.min(...[...document.querySelectorAll(arguments[0])].map((one) => {
            const box = one.getBoundingClientRect();
            return Math.min(box.width, box.height);
        }));";
        self.script(body, &json!([selector])).as_f64().unwrap()
    }
}

#[test]
fn filters_of_items_are_folded_on_a_phone_unless_one_is_in_effect() {
    let desk = Desk::with_items();
    let Some(browser) = Browser::paired(&desk) else { return };
    browser.get("/items");
    assert!(browser.sees("#state") && browser.sees("#tag") && !browser.sees(".filters summary"));
    browser.size(PHONE, true);
    browser.get("/items");
    assert!(browser.sees("#q") && !browser.sees("#state") && !browser.sees("#sort"));
    let body = "return document.querySelector('.bar nav').getBoundingClientRect().top
        - document.querySelector('td.title').getBoundingClientRect().bottom;";
    let room = browser.script(body, &Value::Array(Vec::new()));
    assert!(room.as_f64().unwrap() > 0.0, "the first item is in sight: {room}");
    // By the keyboard, and from there on to the first filter.
    browser.script("document.querySelector('.filters summary').focus();", &Value::Array(Vec::new()));
    browser.press(ENTER);
    assert!(browser.sees("#state") && browser.sees("#sort"));
    for (query, is_open) in [("q=copper", false), ("sort=title", false), ("state=held", true), ("tag=none", true)] {
        browser.get(&format!("/items?{query}"));
        assert_eq!(browser.sees("#state"), is_open, "{query}");
    }
    browser.size(WIDE, false);
    assert!(browser.sees("#state"));
}

#[test]
fn slots_of_dense_sheets_are_as_large_as_a_thumb() {
    let desk = Desk::with_items();
    let Some(browser) = Browser::paired(&desk) else { return };
    browser.size(PHONE, true);
    for sheet in ["a4-5x13", "letter-4x20", "a4-2x1"] {
        browser.get(&format!("/labels?sheet={sheet}"));
        browser.wait_for(".slot");
        // The project's own bound; WCAG 2.2, 2.5.8 asks for 24.
        assert!(browser.least_side(".slot") >= 43.9, "{sheet}: {}", browser.least_side(".slot"));
        assert_eq!(browser.sticks_out(), None, "{sheet}");
    }
    browser.get("/labels?sheet=a4-5x13");
    // What was moved into sight stays there when the page follows.
    let moved =
        || browser.script("return document.querySelector('.sideways').scrollLeft;", &json!([])).as_f64().unwrap();
    browser.click("#slot-5");
    browser.wait_for("[name=choices][value*='used=5']");
    assert!(moved() > 0.0 && browser.has("#slot-5:checked"));
    browser.is_fine();
}
