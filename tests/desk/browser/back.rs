//! Back to what was refused: the browser sends nothing again, and asks for no leave to.

use serde_json::json;

use super::{driver::Browser, keys::ENTER};
use crate::support::Desk;

fn go_back(browser: &Browser) {
    browser.script("history.back();", &json!([]));
}

#[test]
fn what_was_refused_is_gone_back_to_as_the_page_of_its_form() {
    let desk = Desk::with_items();
    let Some(browser) = Browser::paired(&desk) else { return };
    browser.get("/settings/sizes");
    browser.type_into("#size-name", "jug");
    browser.type_into("#size-litres", "lots");
    browser.press(ENTER);
    browser.wait_for_text("“lots”");
    browser.click_on("Check");
    browser.wait_for_path("/settings/check");
    go_back(&browser);
    browser.wait_for_path("/settings/sizes");
    browser.wait_for_text("Set a size, or make one");
    assert!(!browser.has("[data-refusal]"));
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
    // It was sent to `/i/4A-001F/edit`, which is no page.
    browser.wait_for_path("/i/4A-001F?open=edit");
    browser.click_on("Bins");
    browser.wait_for_path("/bins");
    go_back(&browser);
    browser.wait_for_path("/i/4A-001F");
    browser.wait_for_text("Copper jam pan");
}
