//! The desk from outside: pages as a browser gets them, attacks, and a real browser.
//!
//! Start with [`support`]: a desk over a register of its own, and paired clients ([`client`]). A client is no browser: what
//! scripts, keys and eyes find is in the browser tests.

#[allow(dead_code, reason = "each test takes what it needs")]
mod client;
mod scanner;
#[allow(dead_code, reason = "each test takes what it needs")]
mod support;

mod attacks;
mod bins;
mod browser;
mod changes;
mod count;
mod entrance;
mod find;
mod fonts;
mod import;
mod item;
mod items;
mod labels;
mod pages;
mod photo;
mod pick;
mod refusals;
mod regroup;
mod settings;
mod stow;
#[cfg(target_os = "linux")]
mod synced;
mod takings;
