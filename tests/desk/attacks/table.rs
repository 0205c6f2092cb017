//! Requests that are refused at the door, each written as it would come over the wire.

use super::raw::ask;
use crate::{
    client::{Client, encode},
    support::Desk,
};

/// What an attack sends. `HOST`, `PORT`, `COOKIE` and `FORM` stand for the desk's own and a form that would take something
/// back.
struct Attack {
    name: &'static str,
    request: String,
    refused: &'static [u16],
}

fn attack(name: &'static str, lines: &str, refused: &'static [u16]) -> Attack {
    let request = lines.replace('\n', "\r\n");
    Attack { name, request, refused }
}

fn post(name: &'static str, headers: &str, refused: &'static [u16]) -> Attack {
    let request = format!(
        "POST /undo HTTP/1.1\n{headers}\nContent-Type: application/x-www-form-urlencoded\nContent-Length: LENGTH\n\nFORM"
    );
    attack(name, &request, refused)
}

fn get(name: &'static str, target: &str, refused: &'static [u16]) -> Attack {
    attack(name, &format!("GET {target} HTTP/1.1\nHost: HOST\nCookie: COOKIE\n\n"), refused)
}

fn strangers() -> Vec<Attack> {
    let sent = "Host: HOST\nOrigin: http://HOST";
    vec![
        attack("no cookie", "GET /?q=copper HTTP/1.1\nHost: HOST\n\n", &[401]),
        attack("a part, no cookie", "GET /?q=copper HTTP/1.1\nHost: HOST\nX-Part: 1\n\n", &[401]),
        attack("no cookie, HEAD", "HEAD /?q=copper HTTP/1.1\nHost: HOST\n\n", &[401]),
        attack("a page that is not there", "GET /nothing HTTP/1.1\nHost: HOST\n\n", &[401]),
        attack("an open path within", "GET /desk.css/../?q=copper HTTP/1.1\nHost: HOST\n\n", &[401, 404]),
        attack("an open path before", "GET /pair/../?q=copper HTTP/1.1\nHost: HOST\n\n", &[401, 404, 410]),
        attack("an open path, encoded", "GET /pair/%2e%2e/ HTTP/1.1\nHost: HOST\n\n", &[401, 404, 410]),
        post("sent without a cookie", sent, &[401]),
        post("an empty cookie", &format!("{sent}\nCookie: stowmark-PORT="), &[401]),
        post("a forged cookie", &format!("{sent}\nCookie: stowmark-PORT={}", "0".repeat(64)), &[401]),
        post("the cookie of another desk", &format!("{sent}\nCookie: stowmark-1=SECRET"), &[401]),
        post("a cookie that is not text", &format!("{sent}\nCookie: stowmark-PORT=\u{ff}\u{fe}"), &[401]),
        post("the secret's hash as cookie", &format!("{sent}\nCookie: stowmark-PORT=HASH"), &[401]),
    ]
}

fn other_names() -> Vec<Attack> {
    let rebound = |host: &str| format!("Host: {host}\nOrigin: http://{host}\nCookie: COOKIE");
    vec![
        attack("no name", "GET /?q=copper HTTP/1.1\nCookie: COOKIE\n\n", &[421]),
        attack("no name, HTTP/1.0", "GET /?q=copper HTTP/1.0\nCookie: COOKIE\n\n", &[421]),
        post("a name that leads here", &rebound("evil.example:PORT"), &[421]),
        post("the own name at its begin", &rebound("127.0.0.1.evil.example:PORT"), &[421]),
        post("the own name as user", &rebound("127.0.0.1:PORT@evil.example"), &[421]),
        post("another port", &rebound("127.0.0.1:1"), &[421]),
        post("no port", &rebound("127.0.0.1"), &[421]),
        post("two ports", &rebound("127.0.0.1:1:PORT"), &[421]),
        post("a dot more", &rebound("localhost.:PORT"), &[421]),
        post("every address", &rebound("0.0.0.0:PORT"), &[421]),
        post("two names", &format!("Host: HOST\n{}", rebound("evil.example:PORT")), &[421]),
        post("two names, the own one last", &format!("{}\nHost: HOST", rebound("evil.example:PORT")), &[421]),
        get("a name before the path", "http://evil.example/?q=copper", &[421]),
    ]
}

fn other_sites() -> Vec<Attack> {
    let sent = |headers: &str| format!("Host: HOST\nCookie: COOKIE\n{headers}");
    vec![
        post("no origin", "Host: HOST\nCookie: COOKIE", &[403]),
        post("another origin", &sent("Origin: http://evil.example"), &[403]),
        post("an origin of no name", &sent("Origin: null"), &[403]),
        post("another port's origin", &sent("Origin: http://127.0.0.1:1"), &[403]),
        post("the own origin at its begin", &sent("Origin: http://HOST.evil.example"), &[403]),
        post("another scheme", &sent("Origin: https://HOST"), &[403]),
        post("another site", &sent("Origin: http://HOST\nSec-Fetch-Site: cross-site"), &[403]),
        post("the same site, another origin", &sent("Origin: http://HOST\nSec-Fetch-Site: same-site"), &[403]),
        post("a referrer instead of an origin", &sent("Referer: http://HOST/changes"), &[403]),
        attack("another way to send", "DELETE /undo HTTP/1.1\nHost: HOST\nCookie: COOKIE\n\n", &[403]),
        attack(
            "asked before it is sent",
            "OPTIONS /undo HTTP/1.1\nHost: HOST\nOrigin: http://evil.example\n\n",
            &[403],
        ),
    ]
}

fn odd_paths() -> Vec<Attack> {
    vec![
        get("one up", "/../", &[404]),
        get("up to a file", "/../../../../etc/passwd", &[404]),
        get("encoded", "/%2e%2e%2f%2e%2e%2fetc/passwd", &[404]),
        get("encoded twice", "/%252e%252e%252fetc%252fpasswd", &[404]),
        get("within an item's name", "/i/..%2f..%2fregister.db", &[404]),
        get("within a bin's code", "/b/..%2f..%2fetc%2fpasswd", &[404]),
        get("within a label's link", "/S/..%2f..%2fetc%2fpasswd", &[404]),
        get("two strokes", "//evil.example/", &[404]),
        get("back strokes", "/..\\..\\register.db", &[400, 404]),
        get("the register", "/register.db", &[404]),
        get("a NUL, encoded", "/b/4%00", &[404]),
        get("a NUL", "/i/4A\0", &[400]),
        get("no UTF-8", "/i/%ff%fe", &[400, 404]),
        get("half an escape", "/i/%2", &[400, 404]),
        get("a line break, encoded", "/i/4A%0d%0aSet-Cookie:%20a=b", &[404]),
        get("very long", &format!("/{}", "a".repeat(30_000)), &[404]),
        get("longer than a head may be", &format!("/{}", "a".repeat(300_000)), &[414, 431]),
        attack("many headers", &format!("GET / HTTP/1.1\nHost: HOST\n{}\n\n", vec!["X-A: b"; 300].join("\n")), &[431]),
        attack("no HTTP", "HELO desk\n\n", &[400]),
        attack("another HTTP", "PRI * HTTP/2.0\n\nSM\n\n", &[0, 400, 505]),
    ]
}

#[test]
fn each_is_refused_and_nothing_is_changed() {
    let desk = Desk::with_items();
    let (client, change) = (desk.client(), desk.number("SELECT max(id) FROM change").to_string());
    let before = desk.dump();
    for attack in strangers().into_iter().chain(other_names()).chain(other_sites()).chain(odd_paths()) {
        let answer = ask(&desk.host(), fill(&attack.request, &desk, &client, &change));
        assert!(attack.refused.contains(&answer.status), "{}: {} {}", attack.name, answer.status, answer.body);
        assert!(!answer.body.contains("Copper") && !answer.body.contains("root:"), "{}: {}", attack.name, answer.body);
        assert_eq!(answer.header("set-cookie"), None, "{}", attack.name);
    }
    assert_eq!(desk.dump(), before);
    desk.run(&["check"]);
}

/// Else the table would prove nothing.
#[test]
fn the_same_form_is_taken_where_nothing_is_wrong_with_it() {
    let desk = Desk::with_items();
    let (client, change) = (desk.client(), desk.number("SELECT max(id) FROM change").to_string());
    let before = desk.dump();
    let fine = post("", "Host: HOST\nOrigin: http://HOST\nSec-Fetch-Site: same-origin\nCookie: a=b; COOKIE", &[303]);
    let answer = ask(&desk.host(), fill(&fine.request, &desk, &client, &change));
    assert_eq!(answer.status, 303, "{}", answer.body);
    assert_ne!(desk.dump(), before);
}

fn fill(request: &str, desk: &Desk, client: &Client, change: &str) -> Vec<u8> {
    let (form, cookie) = (encode(&[("change", change)]), client.cookie());
    let secret = cookie.split_once('=').unwrap().1;
    let host = desk.host();
    let port = host.split_once(':').unwrap().1;
    let words = [
        ("HOST", host.as_str()),
        ("PORT", port),
        ("COOKIE", &cookie),
        ("SECRET", secret),
        ("HASH", &stowmark::output::sha256(secret.as_bytes())),
        ("LENGTH", &form.len().to_string()),
        ("FORM", std::str::from_utf8(&form).unwrap()),
    ];
    words.iter().fold(request.to_owned(), |request, (name, value)| request.replace(name, value)).into_bytes()
}
