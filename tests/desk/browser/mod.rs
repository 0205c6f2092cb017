//! The desk in a real browser: Debian's `chromium` by `chromedriver` (W3C `WebDriver`).
//!
//! [`driver`] has the browser. Where it is missing, tests say so and are skipped; `.ci/run` needs it. One runs at a time.

mod axe;
mod back;
mod driver;
mod keyboard;
mod keys;
mod line;
mod newcomer;
mod phone;
mod preview;
mod sights;
mod thumb;
