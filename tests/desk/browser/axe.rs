//! axe-core on every page, in light and dark, on a desk and on a phone: what it knows of WCAG 2.2 up to AA.

use serde_json::{Value, json};

use super::{
    driver::{Browser, PHONE, WIDE},
    sights::one_of_each_kind,
};
use crate::support::Desk;

const AXE: &str = include_str!("../axe/axe.min.js");
const RULES: [&str; 5] = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];

impl Browser {
    /// Unfolds what is folded, so that it is looked at too.
    pub fn open_all(&self) {
        self.script("for (const one of document.querySelectorAll('details')) one.open = true;", &json!([]));
    }

    /// The page as it stands now: axe in light and dark, and nothing sticks out.
    #[track_caller]
    pub fn is_fine(&self) {
        for is_dark in [false, true] {
            self.dark(is_dark);
            let faults = self.faults();
            assert!(faults.is_empty(), "{}, dark: {is_dark}:\n{}", self.path(), faults.join("\n"));
        }
        assert_eq!(self.sticks_out(), None, "{}", self.path());
    }

    /// What axe finds wrong with the page, one line each.
    pub fn faults(&self) -> Vec<String> {
        if self.script("return !window.axe;", &json!([])) == true {
            self.script(AXE, &json!([]));
        }
        let body = "const done = arguments[1];
            axe.run(document, { runOnly: arguments[0], resultTypes: ['violations'] }).then(
              (found) => done(found.violations.flatMap((one) => one.nodes.map((node) =>
                one.id + ': ' + node.html.slice(0, 160) + ' ' + node.any.concat(node.all, node.none).map((why) => why.message).join('; ')))),
              (fault) => done(['axe failed: ' + fault]));";
        let found = self.script_later(body, &json!([RULES]));
        found.as_array().unwrap().iter().map(|line| line.as_str().unwrap_or_default().to_owned()).collect()
    }
}

#[test]
fn no_page_has_a_fault_that_axe_knows() {
    let desk = Desk::demo();
    let Some(browser) = Browser::paired(&desk) else { return };
    let mut paths = one_of_each_kind(&desk.client());
    // What is refused is a page as well.
    paths.extend(["/nothing", "/i/4A-999X", "/pair/used", "/?q=nothing-like-it", "/?q=4A-001"].map(Into::into));
    let mut faults = Vec::new();
    for (size, is_phone) in [(WIDE, false), (PHONE, true)] {
        browser.size(size, is_phone);
        for path in &paths {
            browser.get(path);
            browser.open_all();
            for is_dark in [false, true] {
                browser.dark(is_dark);
                let place = format!("{path} at {} px, {}", size.0, if is_dark { "dark" } else { "light" });
                faults.extend(browser.faults().iter().map(|fault| format!("{place}: {fault}")));
            }
        }
    }
    println!("{} pages", paths.len());
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// What those see who are not paired, and someone new.
#[test]
fn the_first_pages_have_no_fault_either() {
    let desk = Desk::fresh();
    let Some(mut browser) = Browser::open(&desk) else { return };
    browser.get("/");
    let unpaired = browser.faults();
    browser.pair(&desk.link());
    let all = one_of_each_kind(&browser.client()).into_iter().flat_map(|path| {
        browser.get(&path);
        browser.open_all();
        browser.faults().into_iter().map(move |fault| format!("{path}: {fault}"))
    });
    let faults: Vec<String> = unpaired.into_iter().chain(all).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Else the tests above would prove nothing.
#[test]
fn axe_finds_what_is_wrong() {
    let desk = Desk::empty();
    let Some(browser) = Browser::paired(&desk) else { return };
    assert_eq!(browser.faults(), Vec::<String>::new());
    let wrong = "document.querySelector('main').insertAdjacentHTML('beforeend', '<input><img src=\"/icon.svg\">');";
    browser.script(wrong, &Value::Array(Vec::new()));
    let faults = browser.faults().join("\n");
    assert!(faults.contains("label:") && faults.contains("image-alt:"), "{faults}");
}
