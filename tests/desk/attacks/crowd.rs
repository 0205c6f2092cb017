//! Those who take their time, and too many at once. The limits are shorter here than the usual ones.

use std::{
    thread::{sleep, spawn},
    time::{Duration, Instant},
};

use stowmark::{
    desk::{DeskLimits, DeskOptions, OpenDesk},
    output::sha256,
    register::{Access, Register},
};
use tempfile::TempDir;

use super::raw::Raw;
use crate::client::Client;

const SECRET: &str = "a-secret";

/// A desk within this process.
struct Quick {
    address: String,
    _folder: TempDir,
}

impl Quick {
    fn open(limits: DeskLimits) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut register = Register::open(&folder.path().join("register.db"), Access::Create).unwrap();
        register.pair_device("Test", &sha256(SECRET.as_bytes()), false).unwrap();
        let desk = OpenDesk::open(register, &DeskOptions { port: Some(0), limits, ..DeskOptions::default() }).unwrap();
        let address = desk.address().trim_end_matches('/').to_owned();
        // Open until the tests end.
        spawn(move || desk.serve_until(std::future::pending()).map(drop));
        Self { address, _folder: folder }
    }

    fn host(&self) -> &str {
        self.address.trim_start_matches("http://")
    }

    fn client(&self) -> Client {
        Client::new(&self.address).with_cookie(SECRET)
    }

    #[track_caller]
    fn answers_others(&self) {
        let begin = Instant::now();
        assert_eq!(self.client().get("/").status, 200);
        assert!(begin.elapsed() < HEAD / 2, "another client waited {:?}", begin.elapsed());
    }
}

const HEAD: Duration = Duration::from_secs(4);
/// What busy machines may need more.
const MORE: Duration = Duration::from_secs(8);

fn short() -> DeskLimits {
    DeskLimits { head: HEAD, pause: Duration::from_secs(1), whole: Duration::from_secs(3), ..DeskLimits::default() }
}

#[test]
fn a_head_that_comes_byte_by_byte_is_cut_and_holds_up_nobody() {
    let desk = Quick::open(short());
    let mut slow = Raw::connect(desk.host());
    let begin = Instant::now();
    let mut bytes = format!("GET / HTTP/1.1\r\nHost: {}\r\nX-A: {}", desk.host(), "b".repeat(1000)).into_bytes();
    bytes.reverse();
    while begin.elapsed() < HEAD / 2 {
        assert!(slow.say([bytes.pop().unwrap()]));
        sleep(Duration::from_millis(50));
    }
    desk.answers_others();
    assert!(slow.closed_after() < HEAD + MORE);
}

#[test]
fn a_connection_that_says_nothing_is_cut() {
    let desk = Quick::open(short());
    let mut silent = Raw::connect(desk.host());
    let mut asked_once = Raw::connect(desk.host());
    asked_once.say(format!("GET /desk.css HTTP/1.1\r\nHost: {}\r\n\r\n", desk.host()));
    desk.answers_others();
    assert!(silent.closed_after() < HEAD + MORE);
    assert!(asked_once.closed_after() < HEAD + MORE);
}

#[test]
fn a_body_that_stands_still_is_cut_and_holds_up_nobody() {
    let desk = Quick::open(short());
    let mut slow = begun(&desk, 1000);
    assert!(slow.say("change="));
    desk.answers_others();
    let answer = slow.answer();
    assert!([408, 400].contains(&answer.status), "{answer:?}");
    assert!(slow.closed_after() < HEAD + MORE);
}

#[test]
fn a_body_that_never_ends_is_cut_however_lively_it_is() {
    let desk = Quick::open(short());
    let mut slow = begun(&desk, 60_000);
    let begin = Instant::now();
    while slow.say("x") {
        sleep(Duration::from_millis(100));
        assert!(begin.elapsed() < short().whole + MORE, "still read");
    }
}

/// A form whose body is still to come.
fn begun(desk: &Quick, length: usize) -> Raw {
    let mut raw = Raw::connect(desk.host());
    let (host, cookie) = (desk.host(), desk.client().cookie());
    raw.say(format!(
        "POST /devices/end HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nCookie: {cookie}\r\n\
        Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {length}\r\n\r\n"
    ));
    raw
}

/// Whoever holds connections open and asks nothing makes room: a browser that comes then is answered at once, not only
/// when their time is over.
#[test]
fn three_hundred_idle_connections_keep_no_browser_out() {
    let desk = Quick::open(DeskLimits { head: Duration::from_mins(10), ..DeskLimits::default() });
    let mut idle: Vec<Raw> = (0..300).map(|_| Raw::connect(desk.host())).collect();
    for _ in 0..3 {
        let begin = Instant::now();
        assert_eq!(desk.client().get("/").status, 200);
        assert!(begin.elapsed() < MORE, "waited {:?}", begin.elapsed());
    }
    // The first ones have made room, the last ones are still welcome.
    assert!(idle[0].closed_after() < MORE);
    let last = idle.last_mut().unwrap();
    last.say(format!("GET /desk.css HTTP/1.1\r\nHost: {}\r\n\r\n", desk.host()));
    assert_eq!(last.answer().status, 200);
}

#[test]
fn connections_that_are_being_answered_are_not_cut_for_others() {
    let desk = Quick::open(DeskLimits { local: 2, ..DeskLimits::default() });
    let (mut one, mut two) = (begun(&desk, 8), begun(&desk, 8));
    assert!(one.say("dev") && two.say("dev"));
    // Both places are taken by what is being read.
    sleep(Duration::from_millis(500));
    assert!(Raw::connect(desk.host()).closed_after() < MORE);
    assert!(one.say("ice=9") && two.say("ice=9"));
    assert_eq!((one.answer().status, two.answer().status), (404, 404));
}
