//! Keys that are no letters (W3C `WebDriver`, 17.4.2), and going through a page by them alone.

use serde_json::json;

use super::driver::Browser;

pub const TAB: &str = "\u{e004}";
pub const ENTER: &str = "\u{e007}";
pub const CONTROL: &str = "\u{e009}";

/// What has the focus is called this by a screen reader, about: its label, else its own words.
const NAME: &str = "const one = document.activeElement;
    const label = one.labels && one.labels.length ? [...one.labels].map((label) => label.innerText).join(' ') : '';
    const by = (one.getAttribute('aria-labelledby') || '').split(' ').map((id) => document.getElementById(id)).filter(Boolean);
    const name = one.getAttribute('aria-label') || by.map((part) => part.innerText).join(' ') || label || one.innerText || one.value || one.name || '';
    return (one === document.body ? '' : name).replace(/\\s+/g, ' ').trim();";

/// Whether a name begins with these words, whole ones.
fn begins(name: &str, words: &str) -> bool {
    let (name, words) = (name.to_lowercase(), words.to_lowercase());
    name.strip_prefix(&words).is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
}

impl Browser {
    /// The name of what has the focus.
    pub fn focused(&self) -> String {
        self.script(NAME, &json!([])).as_str().unwrap_or_default().to_owned()
    }

    /// Presses Tab until the name of what has the focus begins with these words.
    #[track_caller]
    pub fn tab_to(&self, name: &str) {
        let mut passed = Vec::new();
        for _ in 0..150 {
            let focused = self.focused();
            if begins(&focused, name) {
                return;
            }
            passed.push(focused);
            self.press(TAB);
        }
        panic!("no `{name}` at {} among {passed:?}\n{}", self.path(), self.text());
    }

    /// Goes to a link or button by Tab and presses Enter.
    #[track_caller]
    pub fn follow(&self, name: &str) {
        self.tab_to(name);
        self.press(ENTER);
    }

    /// Goes to a field by Tab and types, in place of what stands there.
    #[track_caller]
    pub fn fill(&self, label: &str, text: &str) {
        self.tab_to(label);
        self.press_with(CONTROL, "a");
        self.press(text);
    }

    /// Puts text in where the focus is, as pasting does.
    pub fn paste(&self, text: &str) {
        self.own("Input.insertText", &json!({ "text": text }));
    }
}
