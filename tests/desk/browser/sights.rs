//! What one sees on every page: nothing sticks out, and the browser complains of nothing.

use std::{collections::BTreeMap, path::PathBuf};

use serde_json::json;

use super::driver::{Browser, PHONE, WIDE};
use crate::{
    client::Client,
    pages::{crawl, is_page},
    support::Desk,
};

/// Of the pages that one gets to, at most two of each kind: of items, bins, lists with other filters.
pub fn one_of_each_kind(client: &Client) -> Vec<String> {
    let mut kinds: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (path, _) in crawl(client).into_iter().filter(|(_, page)| is_page(page)) {
        kinds.entry(kind(&path)).or_default().push(path);
    }
    kinds.into_values().flat_map(|paths| paths.into_iter().take(2)).collect()
}

/// The first word of the address, how deep it is, and what is asked for by which names.
fn kind(path: &str) -> String {
    let (place, asked) = path.split_once('?').unwrap_or((path, ""));
    let words: Vec<&str> = place.split('/').collect();
    let names: Vec<&str> = asked.split('&').map(|pair| pair.split('=').next().unwrap_or_default()).collect();
    let is_word = |word: &&&str| word.bytes().all(|byte| byte.is_ascii_lowercase());
    format!("{:?}{}?{names:?}", words.iter().filter(is_word).collect::<Vec<_>>(), words.len())
}

#[test]
fn no_page_goes_beyond_its_sides_and_the_browser_complains_of_none() {
    let desk = Desk::demo();
    let Some(browser) = Browser::paired(&desk) else { return };
    browser.complaints();
    let mut faults = Vec::new();
    for (size, is_phone) in [(WIDE, false), (PHONE, true)] {
        browser.size(size, is_phone);
        for path in one_of_each_kind(&desk.client()) {
            browser.get(&path);
            browser.keep_pictures(&path, size.0);
            browser.open_all();
            faults.extend(browser.sticks_out().map(|what| format!("{path} at {} px: {what}", size.0)));
            faults.extend(browser.complaints().iter().map(|complaint| format!("{path}: {complaint}")));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// WCAG 2.2, 2.4.11: what has the focus is not hidden below what always stands there.
#[test]
fn nothing_that_has_the_focus_is_covered() {
    let desk = Desk::demo();
    let Some(browser) = Browser::paired(&desk) else { return };
    let mut faults = Vec::new();
    for (size, is_phone) in [(WIDE, false), (PHONE, true)] {
        browser.size(size, is_phone);
        for path in one_of_each_kind(&desk.client()) {
            browser.get(&path);
            browser.open_all();
            faults.extend(browser.covered().map(|what| format!("{path} at {} px: {what}", size.0)));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Who stands before a shelf with a phone in one hand does not scroll.
#[test]
fn what_can_be_done_with_a_single_answer_stands_above_the_bar() {
    let desk = Desk::with_items();
    let title = "Copper jam pan with lid, a small chip on the rim, otherwise in very good order and complete with its \
                 papers, the recipe book and the receipt from the shop in the town by the sea";
    desk.run(&["item", "edit", "4A-001F", "--title", title]);
    let Some(browser) = Browser::paired(&desk) else { return };
    browser.size(PHONE, true);
    browser.get("/?q=4A-001F");
    let body = "const bar = document.querySelector('.bar nav').getBoundingClientRect().top;
        return [...document.querySelectorAll('.answer .actions a')].map((one) => bar - one.getBoundingClientRect().bottom);";
    let room = browser.script(body, &json!([]));
    let room: Vec<f64> = room.as_array().unwrap().iter().filter_map(serde_json::Value::as_f64).collect();
    assert!(!room.is_empty() && room.iter().all(|room| *room > 0.0), "{room:?}");
}

impl Browser {
    /// Pictures for people to look at: `STOWMARK_SHOTS=DIR cargo test --test desk sights` writes them.
    fn keep_pictures(&self, path: &str, width: u32) {
        let Some(folder) = std::env::var_os("STOWMARK_SHOTS").map(PathBuf::from) else { return };
        std::fs::create_dir_all(&folder).unwrap();
        let name: String = path.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).take(60).collect();
        for scheme in ["light", "dark"] {
            self.dark(scheme == "dark");
            std::fs::write(folder.join(format!("{name}-{width}-{scheme}.png")), self.screenshot()).unwrap();
        }
    }

    /// The first thing that is wholly hidden when it has the focus.
    fn covered(&self) -> Option<String> {
        let body = "const all = document.querySelectorAll('main a[href], main button, main input, main select, main textarea, main summary');
            for (const one of [...all].filter((one) => one.offsetParent && !one.disabled)) {
              one.focus();
              if (document.activeElement !== one) continue;
              const box = one.getBoundingClientRect();
              const seen = [0.1, 0.5, 0.9].some((part) => {
                const top = document.elementFromPoint(box.left + box.width / 2, box.top + box.height * part);
                return top && (one.contains(top) || top.contains(one) || [...(one.labels || [])].some((label) => label.contains(top)));
              });
              if (!seen) return one.outerHTML.slice(0, 160);
            }
            return null;";
        self.script(body, &json!([])).as_str().map(ToOwned::to_owned)
    }

    /// What is wider than the window, if the page scrolls sideways.
    pub fn sticks_out(&self) -> Option<String> {
        let body = "const page = document.documentElement, width = page.clientWidth;
            if (page.scrollWidth <= width) return null;
            const wide = [...document.body.querySelectorAll('*')].filter((one) => one.getBoundingClientRect().right > width + 1);
            return page.scrollWidth + ' px: ' + (wide.length ? wide[wide.length - 1].outerHTML.slice(0, 200) : '?');";
        self.script(body, &json!([])).as_str().map(ToOwned::to_owned)
    }
}

/// Else the test above would prove nothing.
#[test]
fn what_sticks_out_and_what_is_refused_is_noticed() {
    let desk = Desk::empty();
    let Some(browser) = Browser::paired(&desk) else { return };
    browser.complaints();
    assert_eq!(browser.sticks_out(), None);
    let wide = "document.querySelector('main').insertAdjacentHTML('beforeend', '<p class=\"hint\" style=\"color: red\">x</p>');
        document.querySelector('main').lastElementChild.style.width = '3000px';";
    browser.script(wide, &json!([]));
    assert!(browser.sticks_out().is_some());
    let complaints = browser.complaints().join("\n");
    assert!(complaints.contains("style"), "the policy refuses styles in pages: {complaints}");
}

/// The same for what is covered.
#[test]
fn what_is_covered_is_noticed() {
    let desk = Desk::demo();
    let Some(browser) = Browser::paired(&desk) else { return };
    browser.size(PHONE, true);
    browser.get("/items");
    assert_eq!(browser.covered(), None);
    browser.script("document.documentElement.style.scrollPaddingBottom = '0'; scrollTo(0, 0);", &json!([]));
    assert!(browser.covered().is_some());
}
