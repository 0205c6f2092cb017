//! What goes with every answer, whoever made it.

use super::raw::ask;
use crate::{
    client::Answer,
    pages::{Form, crawl, is_page},
    support::Desk,
};

/// Common practice (OWASP's list of secure headers, from memory), for pages that hold nothing foreign.
const ALWAYS: [(&str, &str); 6] = [
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "SAMEORIGIN"),
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "camera=(), geolocation=(), microphone=()"),
];

#[track_caller]
fn is_protected(what: &str, answer: &Answer) {
    for (name, value) in ALWAYS {
        assert_eq!(answer.header(name), Some(value), "{what}: {name}");
    }
    let policy = answer.header("content-security-policy").unwrap_or_else(|| panic!("{what}: no policy"));
    assert!(policy.starts_with("default-src 'none'"), "{what}: {policy}");
    assert!(!policy.contains("unsafe") && !policy.contains('*'), "{what}: {policy}");
    for part in ["base-uri 'none'", "form-action 'self'", "frame-ancestors 'self'", "script-src 'self'"] {
        assert!(policy.contains(part), "{what}: no {part} in {policy}");
    }
    let kept = answer.header("cache-control").unwrap_or_default();
    // What is built in, and pictures of pages, whose address changes with what is in them.
    let is_own = ["text/css", "text/javascript", "image/"];
    let is_own = is_own.iter().any(|kind| answer.header("content-type").is_some_and(|own| own.starts_with(kind)));
    assert!(kept == "no-store" || is_own && kept.starts_with("private,"), "{what}: may be kept: {kept}");
    assert!(!answer.headers.iter().any(|(name, _)| name == "server" || name.starts_with("access-control")), "{what}");
}

/// Scripts and styles that stand in a page would be refused by the policy; no page may have any.
#[track_caller]
fn has_nothing_inline(what: &str, answer: &Answer) {
    let body = answer.body();
    for mark in [" style=\"", " onclick=", " onload=", " onerror=", "javascript:", "<style", "<script>"] {
        assert!(!body.to_ascii_lowercase().contains(mark), "{what}: {mark}");
    }
}

#[test]
fn every_page_goes_with_them() {
    let desk = Desk::demo();
    let client = desk.client();
    let pages = crawl(&client);
    for (path, answer) in &pages {
        assert!(answer.status < 400, "{path}: {} {}", answer.status, answer.text());
        is_protected(path, answer);
        if is_page(answer) {
            has_nothing_inline(path, answer);
        }
    }
    println!("{} pages", pages.len());
}

#[test]
fn every_refusal_goes_with_them_and_is_said_in_our_words() {
    let desk = Desk::demo();
    let (client, stranger) = (desk.client(), desk.stranger());
    let form = [("Content-Type", "application/x-www-form-urlencoded")];
    let refused = [
        ("unpaired", stranger.get("/"), 401),
        ("used link", stranger.get("/pair/0"), 410),
        ("no such page", client.get("/nothing"), 404),
        ("no such item", client.get("/i/4A-999X"), 404),
        ("no text", client.get("/i/%ff"), 400),
        ("no form", client.send("POST", "/devices/end", &[], Some(b"device=1")), 415),
        ("no number", client.send("POST", "/devices/end", &form, Some(b"device=x")), 422),
        ("nothing in it", client.send("POST", "/devices/end", &form, Some(b"")), 422),
        ("no page for it", client.post("/", &[]), 405),
        ("too much", client.send("POST", "/devices/end", &form, Some(&vec![b'a'; 70_000])), 413),
        ("not paired any more", client.post("/devices/end", &[("device", "99")]), 404),
    ];
    for (what, answer, status) in refused {
        assert_eq!(answer.status, status, "{what}: {}", answer.text());
        is_protected(what, &answer);
        assert!(is_page(&answer) && answer.body().contains("<main"), "{what}: {}", answer.body());
        assert!(
            !answer.text().contains("deserialize") && !answer.text().contains("Failed"),
            "{what}: {}",
            answer.text()
        );
        has_nothing_inline(what, &answer);
    }
}

/// Fields that are missing, doubled or odd: a page never breaks, and never answers in a library's words.
#[test]
fn no_form_breaks_on_odd_fields() {
    let desk = Desk::demo();
    let client = desk.client();
    let pages = crawl(&client);
    let mut forms: Vec<Form> = pages.values().flat_map(Form::all).filter(|form| form.posts).collect();
    forms.sort_by(|a, b| a.action.cmp(&b.action));
    forms.dedup_by(|a, b| a.action == b.action);
    let odd = "\u{0}\r\n\u{202e}<b>\"'&\u{1f9f6}%00";
    for form in forms.iter().filter(|form| form.action != "/devices/leave") {
        let fields = form.fields.iter().map(|(name, _)| (name.as_str(), odd)).collect::<Vec<_>>();
        let doubled = [fields.clone(), fields.clone()].concat();
        for fields in [vec![], fields, doubled] {
            let answer = client.post(&form.action, &fields);
            assert!(answer.status < 500, "{} {fields:?}: {} {}", form.action, answer.status, answer.text());
            is_protected(&form.action, &answer);
            assert!(!answer.text().contains("deserialize"), "{}: {}", form.action, answer.text());
        }
    }
    desk.run(&["check"]);
    println!("{} forms", forms.len());
}

/// What the library refuses before it is a request has no page, and nothing in it.
#[test]
fn what_is_no_request_is_answered_with_nothing() {
    let desk = Desk::demo();
    for request in ["HELO\r\n\r\n".to_owned(), format!("GET /{} HTTP/1.1\r\n\r\n", "a".repeat(300_000))] {
        let answer = ask(&desk.host(), request);
        assert!((400..500).contains(&answer.status), "{answer:?}");
        assert_eq!(answer.body, "");
    }
}
