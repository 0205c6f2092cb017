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
    stow(&browser);
    find_and_sell(&browser);
    pick(&browser);
    count(&browser);
    takings(&browser);
    assert_eq!(browser.complaints(), Vec::<String>::new());
    desk.run(&["check"]);
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
}

fn enter_items(browser: &Browser) {
    browser.follow("Items");
    browser.wait_for_path("/items");
    browser.follow("Enter items");
    browser.wait_for_path("/items/new");
    println!("{}", browser.text());
    // The first field has the focus by itself, and again after each one.
    browser.press("Copper jam pan");
    browser.fill("Bin", "1A");
    browser.press(ENTER);
    browser.wait_for_text("Entered now");
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
    println!("{}", browser.text());
    browser.follow("Enter 3 items");
    browser.wait_for_text("Print their tags");
    browser.follow("Print their tags");
    print(browser, "Print 3 tags");
}

fn stow(browser: &Browser) {
    browser.follow("Stow");
    browser.wait_for_path("/stow");
    scan(browser, "1C", "Items go into 1C");
    scan(browser, "1A-001", "1 stowed here");
    println!("{}", browser.text());
}

/// Types as a reader does; the field has the focus by itself.
fn scan(browser: &Browser, code: &str, answer: &str) {
    browser.press(code);
    browser.press(ENTER);
    browser.wait_for_text(answer);
}

fn find_and_sell(browser: &Browser) {
    browser.follow("Find");
    scan(browser, "wafer", "Wafer iron");
    println!("{}", browser.text());
    browser.follow("Wafer iron");
    browser.wait_for_path("/i/");
    println!("{}", browser.text());
}

fn pick(browser: &Browser) {
    browser.follow("Pick");
}

fn count(browser: &Browser) {
    browser.follow("Count");
}

fn takings(browser: &Browser) {
    browser.follow("Takings");
}
