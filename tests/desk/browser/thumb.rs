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
