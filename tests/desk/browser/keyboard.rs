//! The whole job once through the pages, by keys alone, at the width of a desk.

use super::{driver::Browser, keys::ENTER};
use crate::support::Desk;

const LIST: &str =
    "title,cost,asking,bin\nEnamel colander,2.50,18.00,1B\nWafer iron,4,32.50,1B\nBoard game: seven harbours,1,,1C\n";

#[test]
fn from_an_empty_register_to_the_takings_by_keys_alone() {
    let desk = Desk::fresh();
    let Some(browser) = Browser::paired(&desk) else { return };
    browser.complaints();
    add_bins(&browser);
    enter_items(&browser);
    import(&browser);
    let [pan, iron, colander] = ["copper", "wafer", "colander"].map(|word| code_of(&desk, word));
    stow(&browser, &pan);
    find_and_sell(&browser, &pan);
    pick(&browser, &iron);
    count(&browser, &colander);
    takings(&browser);
    assert_eq!(browser.complaints(), Vec::<String>::new());
    desk.run(&["check"]);
}

/// The code that an item has got; whoever scans has it on the tag.
pub fn code_of(desk: &Desk, word: &str) -> String {
    desk.json(&["find", word])["matches"][0]["code"].as_str().unwrap().to_owned()
}

fn add_bins(browser: &Browser) {
    browser.follow("Add your tubs");
    browser.wait_for_path("/bins");
    browser.fill("Room", "Loft");
    browser.fill("How many bins", "3");
    browser.fill("Spot", "rack 1, level 2");
    browser.press(ENTER);
    browser.wait_for_text("Your new bins");
    browser.follow("Print their signs");
    print(browser, "Print 3 signs");
}

/// Presses the button of a preview and waits for the page of the run.
fn print(browser: &Browser, button: &str) {
    browser.wait_for_path("/labels");
    browser.wait_for_text(button);
    browser.follow(button);
    browser.wait_for_path("/labels/runs/");
    browser.wait_for_text("Open the file to print it");
    browser.is_fine();
}

fn enter_items(browser: &Browser) {
    browser.follow("Items");
    browser.wait_for_path("/items");
    browser.follow("Enter items");
    browser.wait_for_path("/items/new");
    // The first field has the focus by itself, and again after each one.
    browser.press("Copper jam pan");
    browser.fill("Bin", "1A");
    browser.press(ENTER);
    browser.wait_for_text("Entered now");
    browser.is_fine();
    browser.tab_to("Title");
    browser.press("Knitting pattern: bobble hat");
    browser.press(ENTER);
    browser.wait_for_text("Print the 2 tags entered now");
    browser.follow("Print the 2 tags entered now");
    print(browser, "Print 2 tags");
}

fn import(browser: &Browser) {
    browser.follow("Items");
    browser.wait_for_path("/items");
    browser.follow("Import a list");
    browser.wait_for_path("/items/import");
    browser.tab_to("Or paste the rows");
    browser.paste(LIST);
    browser.follow("Look at it");
    browser.wait_for_text("What would come in");
    browser.is_fine();
    browser.follow("Enter 3 items");
    browser.wait_for_text("Print their tags");
    browser.follow("Print their tags");
    print(browser, "Print 3 tags");
}

fn stow(browser: &Browser, pan: &str) {
    browser.follow("Stow");
    browser.wait_for_path("/stow");
    scan(browser, "1C", "Items go into 1C");
    scan(browser, pan, "1 stowed here");
    browser.is_fine();
    scan(browser, "9Z-999X", "Refused");
    browser.is_fine();
    browser.follow("Take the last one back");
    browser.wait_for_text("taken back");
    scan(browser, pan, "1 stowed here");
}

/// Types as a reader does; the field has the focus by itself.
fn scan(browser: &Browser, code: &str, answer: &str) {
    browser.press(code);
    browser.press(ENTER);
    browser.wait_for_text(answer);
}

fn find_and_sell(browser: &Browser, pan: &str) {
    browser.follow("Find");
    scan(browser, pan, "Copper jam pan");
    assert!(browser.text_of(".plate").ends_with("1C"), "{}", browser.text());
    // The next reading replaces the last one; words are searched while they are typed.
    browser.press("wafer");
    browser.wait_for_text("Wafer iron");
    browser.wait_for("#answer:not([aria-busy])");
    browser.follow("Wafer iron");
    browser.wait_for_path("/i/");
    browser.is_fine();
    browser.follow("It is sold");
    browser.fill("The buyer paid", "32.50");
    browser.press(ENTER);
    browser.wait_for_text("Go and pick it");
    browser.is_fine();
}

fn pick(browser: &Browser, iron: &str) {
    browser.follow("Pick");
    browser.wait_for_path("/pick");
    browser.wait_for_text("1 item from 1 bin to pick");
    scan(browser, iron, "All that is sold is picked");
}

fn count(browser: &Browser, colander: &str) {
    browser.follow("Count");
    browser.wait_for_path("/count");
    scan(browser, "1B", "0 of 1 found");
    scan(browser, colander, "1 of 1 found");
    browser.follow("Finish the count");
    browser.wait_for_text("All as it should be");
    browser.is_fine();
    browser.tab_to("Record the count");
    browser.press(ENTER);
    browser.wait_for_text("Accuracy so far: 100");
}

fn takings(browser: &Browser) {
    browser.follow("Takings");
    browser.wait_for_path("/takings");
    browser.wait_for_text("32.50");
    browser.is_fine();
}
