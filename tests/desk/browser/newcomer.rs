//! Someone new: from the link that `desk --open` opens to a printed sign and a found item, by what the pages offer.

use serde_json::json;

use super::{
    driver::{Browser, PHONE, WIDE},
    keys::ENTER,
};
use crate::support::Desk;

/// Words for those who type commands.
const NEVER: [&str; 4] = [" --", "stowmark ", "json", "command"];

fn says_no_commands(browser: &Browser) {
    let text = browser.text_of("main").to_lowercase();
    for word in NEVER {
        assert!(!text.contains(word), "`{word}` at {}: {text}", browser.path());
    }
}

fn from_nothing_to_a_found_item(size: (u32, u32), is_phone: bool) {
    let desk = Desk::fresh();
    let Some(browser) = Browser::open(&desk) else { return };
    browser.size(size, is_phone);
    browser.complaints();
    browser.go_to(&desk.link());
    browser.wait_for_text("Three steps");
    says_no_commands(&browser);

    browser.click_on("Add your tubs");
    browser.type_into("[name=new_name]", "Loft");
    says_no_commands(&browser);
    browser.click_on("Add bins");
    browser.wait_for_text("Your new bin");
    browser.click_on("Print");
    print(&browser);
    assert!(desk.number("SELECT count(*) FROM run WHERE state = 'done'") >= 1, "a sign is printed");

    browser.click("a.mark");
    browser.click_on("Enter the first thing");
    browser.type_into("#title", "Copper jam pan");
    assert_eq!(
        browser.script("return document.querySelector('#bin').value;", &json!([])),
        "1A",
        "the only bin is meant"
    );
    says_no_commands(&browser);
    browser.press(ENTER);
    browser.wait_for_text("Entered now");
    browser.click_on("Print the tag");
    print(&browser);

    browser.click("a.mark");
    browser.wait_for("#q");
    browser.press("jam");
    browser.press(ENTER);
    browser.wait_for_text("Copper jam pan");
    assert!(browser.text_of(".answer .plate").ends_with("1A"), "{}", browser.text());
    says_no_commands(&browser);
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

/// The one button of a preview that prints.
fn print(browser: &Browser) {
    browser.wait_for("#preview form button");
    says_no_commands(browser);
    browser.click("#preview form button");
    browser.wait_for_text("Open the file to print it");
    says_no_commands(browser);
}

#[test]
fn someone_new_gets_to_a_printed_sign_and_a_found_item() {
    from_nothing_to_a_found_item(WIDE, false);
}

#[test]
fn someone_new_with_a_phone_gets_there_too() {
    from_nothing_to_a_found_item(PHONE, true);
}
