//! A small `WebDriver` client (W3C `WebDriver`, 2018, and chromedriver's own commands for what a phone is).

use std::{
    io::{BufRead, BufReader},
    path::Path,
    process::{Child, Command, Stdio},
    sync::{Mutex, MutexGuard, PoisonError},
};

use base64::{Engine, prelude::BASE64_STANDARD};
use serde_json::{Value, json};
use ureq::{Agent, http};

use crate::{
    client::Client,
    support::{Desk, needs, until},
};

/// The key under which `WebDriver` names an element (W3C `WebDriver`, 11).
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";
/// The width of a desk, and of a phone.
pub const WIDE: (u32, u32) = (1280, 800);
pub const PHONE: (u32, u32) = (390, 844);

/// A browser with one window.
pub struct Browser {
    agent: Agent,
    driver: Child,
    /// As `http://127.0.0.1:9515/session/…`.
    session: String,
    /// The desk that it is at.
    desk: String,
    _turn: MutexGuard<'static, ()>,
}

impl Browser {
    /// Opens a browser that is not paired with the desk yet; `None` where there is none.
    pub fn open(desk: &Desk) -> Option<Self> {
        Self::open_with(desk, &[])
    }

    /// The same with more of the browser's own arguments.
    pub fn open_with(desk: &Desk, arguments: &[&str]) -> Option<Self> {
        static TURN: Mutex<()> = Mutex::new(());
        if !needs("chromium") || !needs("chromedriver") {
            return None;
        }
        let turn = TURN.lock().unwrap_or_else(PoisonError::into_inner);
        let agent = Agent::config_builder().http_status_as_error(false).proxy(None).build().new_agent();
        let mut driver = Command::new("chromedriver").arg("--port=0").stdout(Stdio::piped()).spawn().unwrap();
        let stdout = BufReader::new(driver.stdout.take().unwrap());
        let port = stdout.lines().map_while(Result::ok).find_map(|line| port_in(&line)).expect("a port");
        let session = format!("http://127.0.0.1:{port}/session");
        let mut browser = Self { agent, driver, session, desk: desk.address(), _turn: turn };
        let begun = browser.call("POST", "", &capabilities(arguments));
        browser.session = format!("{}/{}", browser.session, begun["sessionId"].as_str().unwrap());
        browser.size(WIDE, false);
        Some(browser)
    }

    /// Opens a browser at the desk's link, which pairs it.
    pub fn paired(desk: &Desk) -> Option<Self> {
        let mut browser = Self::open(desk)?;
        browser.pair(&desk.link());
        Some(browser)
    }

    /// Follows a link that pairs it; the desk is called from then on as the link calls it.
    #[track_caller]
    pub fn pair(&mut self, link: &str) {
        link.split("/pair/").next().unwrap().clone_into(&mut self.desk);
        self.go_to(link);
        self.wait_for("nav");
    }

    #[track_caller]
    fn call(&self, method: &str, path: &str, body: &Value) -> Value {
        self.attempt(method, path, body).unwrap_or_else(|fault| panic!("{method} {path} {body}: {fault}"))
    }

    fn attempt(&self, method: &str, path: &str, body: &Value) -> Result<Value, String> {
        let request = http::Request::builder().method(method).uri(format!("{}{path}", self.session));
        let answer = match method {
            "POST" => self.agent.run(request.body(body.to_string()).unwrap()),
            _ => self.agent.run(request.body(()).unwrap()),
        };
        let body = answer.and_then(|mut answer| answer.body_mut().with_config().limit(1 << 30).read_to_string());
        let body = body.map_err(|fault| fault.to_string())?;
        let value = serde_json::from_str::<Value>(&body).map_err(|fault| fault.to_string())?["value"].take();
        match value["error"].as_str() {
            Some(fault) => Err(format!("{fault}: {}", value["message"].as_str().unwrap_or_default())),
            None => Ok(value),
        }
    }

    /// A command of the browser's own (Chrome `DevTools` Protocol).
    #[track_caller]
    pub fn own(&self, command: &str, parameters: &Value) -> Value {
        self.call("POST", "/goog/cdp/execute", &json!({ "cmd": command, "params": parameters }))
    }

    /// Opens a page of the desk.
    #[track_caller]
    pub fn get(&self, path: &str) {
        self.go_to(&format!("{}{path}", self.desk));
    }

    /// Opens any address.
    #[track_caller]
    pub fn go_to(&self, url: &str) {
        self.call("POST", "/url", &json!({ "url": url }));
    }

    /// The address of the page without the desk's own.
    pub fn path(&self) -> String {
        let url = self.call("GET", "/url", &Value::Null);
        url.as_str().unwrap().trim_start_matches(&self.desk).to_owned()
    }

    /// What a script gives back: the body of a function.
    #[track_caller]
    pub fn script(&self, body: &str, arguments: &Value) -> Value {
        self.call("POST", "/execute/sync", &json!({ "script": body, "args": arguments }))
    }

    /// What a script gives to the function that is its last argument.
    #[track_caller]
    pub fn script_later(&self, body: &str, arguments: &Value) -> Value {
        self.call("POST", "/execute/async", &json!({ "script": body, "args": arguments }))
    }

    /// The words that a reader sees, spaces as one.
    pub fn text(&self) -> String {
        self.text_of("body")
    }

    /// The words of an element; nothing where there is none.
    pub fn text_of(&self, selector: &str) -> String {
        let body = "const found = document.querySelector(arguments[0]); return found ? found.innerText : '';";
        let text = self.script(body, &json!([selector]));
        text.as_str().unwrap_or_default().split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// Whether something is on the page.
    pub fn has(&self, selector: &str) -> bool {
        self.script("return !!document.querySelector(arguments[0]);", &json!([selector])) == true
    }

    /// Waits until something is on the page.
    #[track_caller]
    pub fn wait_for(&self, selector: &str) {
        until(selector, || self.has(selector).then_some(()));
    }

    /// Waits until a reader sees these words.
    #[track_caller]
    pub fn wait_for_text(&self, words: &str) {
        let mut last = String::new();
        for _ in 0..600 {
            last = self.text();
            if last.to_lowercase().contains(&words.to_lowercase()) {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(50));
        }
        panic!("`{words}` did not come; {} says: {last}", self.path());
    }

    /// Waits until the address of the page begins so.
    #[track_caller]
    pub fn wait_for_path(&self, begin: &str) {
        let mut last = String::new();
        for _ in 0..600 {
            last = self.path();
            if last.starts_with(begin) {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(50));
        }
        panic!("still at {last} and not at {begin}; {} has the focus: {}", self.focused(), self.text());
    }

    /// An element, to be clicked or typed into.
    #[track_caller]
    fn find(&self, selector: &str) -> String {
        let found = self.call("POST", "/element", &json!({ "using": "css selector", "value": selector }));
        found[ELEMENT].as_str().unwrap().to_owned()
    }

    /// Clicks or taps on an element.
    #[track_caller]
    pub fn click(&self, selector: &str) {
        let body = "document.querySelector(arguments[0])?.scrollIntoView({ block: 'center', behavior: 'instant' });";
        self.script(body, &json!([selector]));
        self.call("POST", &format!("/element/{}/click", self.find(selector)), &json!({}));
    }

    /// Clicks on the first link or button that says this.
    #[track_caller]
    pub fn click_on(&self, words: &str) {
        let body = "for (const one of document.querySelectorAll('[data-test-here]')) one.removeAttribute('data-test-here');
            const all = [...document.querySelectorAll('main a, main button, main summary, a, button, summary, label')];
            const seen = all.filter((one) => one.offsetParent !== null);
            const named = (one) => (one.getAttribute('aria-label') || one.innerText || one.value || '').trim();
            const found = seen.find((one) => named(one) === arguments[0]) || seen.find((one) => named(one).startsWith(arguments[0]));
            if (found) found.setAttribute('data-test-here', '');
            return !!found;";
        let found = self.script(body, &json!([words]));
        assert!(found == true, "nothing says `{words}` at {}: {}", self.path(), self.text());
        self.click("[data-test-here]");
    }

    /// Types into a field, after what stands there; a path into a file field chooses that file.
    #[track_caller]
    pub fn type_into(&self, selector: &str, text: &str) {
        self.call("POST", &format!("/element/{}/value", self.find(selector)), &json!({ "text": text }));
    }

    /// Chooses a file.
    #[track_caller]
    pub fn upload(&self, selector: &str, file: &Path) {
        self.type_into(selector, file.to_str().unwrap());
    }

    /// Presses keys one after the other; special ones are in [`super::keys`].
    #[track_caller]
    pub fn press(&self, keys: &str) {
        let press = |key| [json!({ "type": "keyDown", "value": key }), json!({ "type": "keyUp", "value": key })];
        let actions: Vec<Value> = keys.chars().map(String::from).flat_map(press).collect();
        let keyboard = json!({ "type": "key", "id": "keyboard", "actions": actions });
        self.call("POST", "/actions", &json!({ "actions": [keyboard] }));
    }

    /// Holds a key down while another is pressed.
    #[track_caller]
    pub fn press_with(&self, held: &str, key: &str) {
        let kinds = [("keyDown", held), ("keyDown", key), ("keyUp", key), ("keyUp", held)];
        let actions: Vec<Value> = kinds.iter().map(|(kind, key)| json!({ "type": kind, "value": key })).collect();
        self.call("POST", "/actions", &json!({ "actions": [{ "type": "key", "id": "keyboard", "actions": actions }] }));
    }

    /// The size of the page; as a phone it is touched and shown as phones do.
    pub fn size(&self, (width, height): (u32, u32), is_phone: bool) {
        let metrics = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": is_phone });
        self.own("Emulation.setDeviceMetricsOverride", &metrics);
        self.own("Emulation.setTouchEmulationEnabled", &json!({ "enabled": is_phone }));
    }

    /// Light or dark.
    pub fn dark(&self, is_dark: bool) {
        let scheme = if is_dark { "dark" } else { "light" };
        let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
        self.own("Emulation.setEmulatedMedia", &json!({ "features": features }));
    }

    /// Cuts the connection to the desk, or mends it.
    pub fn offline(&self, is_offline: bool) {
        self.own("Network.enable", &json!({}));
        let network = json!({ "offline": is_offline, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1 });
        self.own("Network.emulateNetworkConditions", &network);
    }

    /// A picture of the whole page as PNG.
    pub fn screenshot(&self) -> Vec<u8> {
        let picture = self.own("Page.captureScreenshot", &json!({ "format": "png", "captureBeyondViewport": true }));
        BASE64_STANDARD.decode(picture["data"].as_str().unwrap()).unwrap()
    }

    /// A client that shows the browser's cookie.
    pub fn client(&self) -> Client {
        let cookies = self.call("GET", "/cookie", &Value::Null);
        let secret = cookies.as_array().unwrap().iter().find_map(|cookie| cookie["value"].as_str());
        Client::new(&self.desk).with_cookie(secret.expect("it is paired"))
    }

    /// What the browser has complained of since this was asked last: faults of scripts, what the policy refused, answers
    /// that are no success.
    pub fn complaints(&self) -> Vec<String> {
        let entries = self.call("POST", "/se/log", &json!({ "type": "browser" }));
        let entries = entries.as_array().unwrap().iter().map(|entry| entry["message"].as_str().unwrap().to_owned());
        // Where a script was faster than the page's own wish for the focus.
        entries.filter(|message| !message.contains("Autofocus processing was blocked")).collect()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.attempt("DELETE", "", &Value::Null);
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

/// `ChromeDriver was started successfully on port 40123.`
fn port_in(line: &str) -> Option<u16> {
    line.rsplit_once("started successfully on port ")?.1.trim_end_matches('.').parse().ok()
}

fn capabilities(more: &[&str]) -> Value {
    // Machines of tests often run all as root, where the browser's sandbox does not work; the pages are our own.
    let arguments = ["--headless=new", "--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu", "--hide-scrollbars"];
    let arguments = [&arguments[..], more].concat();
    let chrome = json!({ "args": arguments });
    let wanted =
        json!({ "browserName": "chrome", "goog:chromeOptions": chrome, "goog:loggingPrefs": { "browser": "ALL" } });
    json!({ "capabilities": { "alwaysMatch": wanted } })
}
