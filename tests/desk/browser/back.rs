//! Back to what was refused: the browser sends nothing again, and asks for no leave to.

use serde_json::json;

use super::{driver::Browser, keys::ENTER};
use crate::support::Desk;

fn go_back(browser: &Browser) {
    browser.script("history.back();", &json!([]));
}

/// Sends what is refused, goes elsewhere, and back.
fn refused_left_and_gone_back_to(browser: &Browser) {
    browser.get("/settings/sizes");
    browser.type_into("#size-name", "jug");
    browser.type_into("#size-litres", "lots");
    browser.press(ENTER);
    browser.wait_for_text("“lots”");
    browser.click_on("Check");
    browser.wait_for_path("/settings/check");
    go_back(browser);
}

#[test]
fn what_was_refused_is_gone_back_to_as_the_page_of_its_form() {
    let desk = Desk::with_items();
    let Some(browser) = Browser::paired(&desk) else { return };
    refused_left_and_gone_back_to(&browser);
    browser.wait_for_path("/settings/sizes");
    browser.wait_for_text("Set a size, or make one");
    assert!(!browser.has("[data-refusal]"));
}

/// Else the test above would prove nothing.
#[test]
fn without_that_the_browser_asks() {
    let desk = Desk::with_items();
    let Some(browser) = Browser::paired(&desk) else { return };
    let none = json!({ "source": "history.replaceState = () => {};" });
    browser.own("Page.addScriptToEvaluateOnNewDocument", &none);
    refused_left_and_gone_back_to(&browser);
    browser.wait_for_text("ERR_CACHE_MISS");
}

/// A form whose address is no page itself.
#[test]
fn so_is_what_was_refused_of_an_item() {
    let desk = Desk::with_items();
    let Some(browser) = Browser::paired(&desk) else { return };
    browser.get("/i/4A-001F?open=edit");
    browser.script("document.querySelector('[name=asking]').value = 'much';", &json!([]));
    browser.script("document.querySelector('[name=asking]').form.requestSubmit();", &json!([]));
    browser.wait_for("[data-refusal]");
    browser.click_on("Bins");
    browser.wait_for_path("/bins");
    go_back(&browser);
    browser.wait_for_path("/i/4A-001F");
    browser.wait_for_text("Copper jam pan");
}
