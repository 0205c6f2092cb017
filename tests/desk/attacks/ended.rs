//! The signal to end, whatever connections are open.
#![cfg(unix)]

use std::{
    process::Command,
    thread::{sleep, spawn},
    time::{Duration, Instant},
};

use super::raw::Raw;
use crate::{
    client::Client,
    support::{Desk, until},
};

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
    let clients: Vec<Client> = (0..4).map(|_| desk.client()).collect();
    let writers = clients.into_iter().enumerate().map(|(number, client)| {
        spawn(move || {
            let title = |at: usize| format!("Pan {number}-{at}");
            let taken = (0..).map(title).take_while(|title| {
                let answer = client.try_post("/items/new", &[("title", title), ("bin", "4B")]);
                answer.is_some_and(|answer| answer.status == 303)
            });
            taken.collect::<Vec<_>>()
        })
    });
    let writers: Vec<_> = writers.collect();
    until("items", || (desk.number("SELECT count(*) FROM item") > 20).then_some(()));
    let took = end(&desk, "-TERM");
    let taken: Vec<String> = writers.into_iter().flat_map(|writer| writer.join().unwrap()).collect();
    let register = desk.register();
    let is_there = |title: &String| {
        register.query_row("SELECT count(*) FROM item WHERE title = ?1", [title], |row| row.get::<_, i64>(0)).unwrap()
            == 1
    };
    let lost: Vec<_> = taken.iter().filter(|title| !is_there(title)).collect();
    println!("ended after {took:?} while {} items were taken", taken.len());
    assert!(taken.len() > 15 && lost.is_empty(), "lost: {lost:?}");
    desk.run(&["check"]);
}

/// Long work is given up, and leaves nothing half done.
#[test]
fn a_print_that_goes_on_is_given_up() {
    let desk = Desk::with_bins();
    let rows: String = (0..400).map(|number| format!("Knitting pattern {number},4A\n")).collect();
    std::fs::write(desk.path("many.csv"), format!("title,bin\n{rows}")).unwrap();
    desk.run(&["item", "import", "many.csv"]);
    let client = desk.client();
    let preview = client.get("/labels?what=tags&bin=4A&which=bin");
    let fields = ["choices", "seen"].map(|name| (name, preview.field(name).unwrap()));
    let fields = fields.each_ref().map(|(name, value)| (*name, value.as_str()));
    let answer = client.post("/labels/print", &fields);
    assert!(answer.location().starts_with("/progress/"), "{}", answer.location());
    let took = end(&desk, "-TERM");
    println!("ended after {took:?} within a print of 400 tags");
    assert!(took < Duration::from_secs(10), "{took:?}");
    desk.run(&["check"]);
    // A run that was begun is settled by the next start: by the check.
    assert_eq!(desk.number("SELECT count(*) FROM run WHERE state = 'writing'"), 0);
}
