//! Too much at once.

use super::raw::Raw;
use crate::{
    client::Client,
    pages::{Form, crawl},
    support::Desk,
};

const HUGE: usize = 100_000_000;
/// What may be on its way between two programs of one computer before the first one notices that nobody reads.
const ON_THE_WAY: usize = 20_000_000;
/// The most that any form takes: photographs.
const LARGEST: usize = 64_000_000;

/// Every form that any page offers, with the kinds of body that browsers and others send.
#[test]
fn a_hundred_megabytes_are_refused_before_all_of_it_is_read() {
    let desk = Desk::with_items();
    let client = desk.client();
    let before = desk.dump();
    let forms = forms(&client);
    for form in &forms {
        for kind in ["application/x-www-form-urlencoded", "multipart/form-data; boundary=b", "text/csv"] {
            for chunked in [false, true] {
                let sent = send_huge(&desk, &client, form, kind, chunked);
                let most = if form.takes_files { LARGEST } else { 0 } + ON_THE_WAY;
                assert!(sent < most, "{}: {sent} bytes of {kind}, chunked: {chunked}", form.action);
            }
        }
    }
    assert_eq!(desk.dump(), before);
    assert_eq!(client.get("/").status, 200);
    println!("{} forms", forms.len());
}

fn forms(client: &Client) -> Vec<Form> {
    let mut forms: Vec<Form> = crawl(client).values().flat_map(Form::all).collect();
    forms.retain(|form| form.posts);
    // One of each address, whatever number stands in it.
    forms.sort_by_key(|form| form.action.replace(|c: char| c.is_ascii_digit(), "0"));
    forms.dedup_by_key(|form| form.action.replace(|c: char| c.is_ascii_digit(), "0"));
    assert!(!forms.is_empty());
    forms
}

/// Gives how much was taken.
fn send_huge(desk: &Desk, client: &Client, form: &Form, kind: &str, chunked: bool) -> usize {
    let (host, cookie) = (desk.host(), client.cookie());
    let how = if chunked { "Transfer-Encoding: chunked".into() } else { format!("Content-Length: {HUGE}") };
    let mut raw = Raw::connect(&host);
    raw.say(format!(
        "POST {} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nCookie: {cookie}\r\nContent-Type: {kind}\r\n{how}\r\n\r\n",
        form.action
    ));
    let file = "--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"a.csv\"\r\n\r\n";
    let begin = if kind.starts_with("multipart") { file } else { "title=" };
    let piece = "x".repeat(64 * 1024 - begin.len());
    let piece = |first: bool| {
        let text = format!("{}{piece}", if first { begin } else { "" });
        if chunked { format!("{:x}\r\n{text}\r\n", text.len()) } else { text }
    };
    let mut sent = 0;
    while sent < HUGE && raw.say(piece(sent == 0)) {
        sent += 64 * 1024;
    }
    sent
}
