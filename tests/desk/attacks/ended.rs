//! The signal to end, whatever connections are open.
#![cfg(unix)]

use std::{
    process::Command,
    thread::sleep,
    time::{Duration, Instant},
};

use super::raw::Raw;
use crate::support::Desk;

fn end(desk: &Desk, signal: &str) -> Duration {
    let begin = Instant::now();
    assert!(Command::new("kill").args([signal, &desk.pid().to_string()]).status().unwrap().success());
    assert_eq!(desk.wait(), Some(0), "the desk ends as one that was asked to");
    begin.elapsed()
}

/// Two seconds are promised; tests are never timed that tightly.
#[test]
fn the_desk_ends_soon_whatever_is_open_and_leaves_a_whole_register() {
    for signal in ["-TERM", "-INT", "-HUP"] {
        let desk = Desk::with_items();
        let (client, host) = (desk.client(), desk.host());
        let mut open: Vec<Raw> = (0..60).map(|_| Raw::connect(&host)).collect();
        for (at, raw) in open.iter_mut().enumerate() {
            let told = match at % 4 {
                0 => String::new(),
                1 => format!("GET / HTTP/1.1\r\nHost: {host}\r\n"),
                2 => format!("GET /desk.css HTTP/1.1\r\nHost: {host}\r\n\r\n"),
                _ => format!(
                    "POST /devices/end HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nCookie: {}\r\n\
                    Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 1000\r\n\r\ndevice=",
                    client.cookie()
                ),
            };
            assert!(raw.say(told));
        }
        assert_eq!(client.get("/").status, 200);
        sleep(Duration::from_millis(200));
        let took = end(&desk, signal);
        println!("{signal}: ended after {took:?} with {} connections open", open.len());
        assert!(took < Duration::from_secs(10), "{signal}: {took:?}");
        desk.run(&["check"]);
    }
}

/// What was answered as done is in the register; of what was not answered, all or nothing.
#[test]
fn what_was_answered_before_the_end_is_kept() {
    let desk = Desk::with_items();
    let client = desk.client();
    let ids: Vec<i64> = (2..6).collect();
    for id in &ids {
        assert_eq!(client.post("/devices/end", &[("device", &(id + 1).to_string())]).status, 303);
    }
    end(&desk, "-TERM");
    for id in ids {
        assert_eq!(desk.number(&format!("SELECT count(*) FROM device WHERE id = {}", id + 1)), 0);
    }
    desk.run(&["check"]);
}
