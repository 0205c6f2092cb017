//! Links and cookies: what is used, ended, guessed or meant for another.

use stowmark::{
    output::sha256,
    register::{Access, Register},
};

use crate::support::{Desk, REGISTER, until};

#[test]
fn a_link_pairs_once_and_by_being_followed_only() {
    let desk = Desk::with_items();
    let stranger = desk.stranger();
    let link = desk.link();
    let path = link.strip_prefix(&desk.address()).unwrap();
    // Secrets of 128 bits at least, in hexadecimal digits.
    assert!(path.rsplit('/').next().unwrap().len() >= 32);
    let pairs = |method: &str, headers: &[(&str, &str)]| {
        let answer = stranger.send(method, path, headers, None);
        answer.header("set-cookie").map(ToOwned::to_owned)
    };
    // What looks at links before anyone follows them: browsers that guess, and programs that show what a link leads to.
    assert_eq!(pairs("HEAD", &[]), None);
    assert_eq!(pairs("GET", &[("Sec-Purpose", "prefetch")]), None);
    assert_eq!(pairs("GET", &[("Sec-Purpose", "prefetch;prerender")]), None);
    assert_eq!(pairs("GET", &[("Purpose", "prefetch")]), None);
    let cookie = pairs("GET", &[]).expect("the link was not used up");
    for part in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(!cookie.contains("Domain"), "{cookie}");
    assert_eq!(pairs("GET", &[]), None);
    assert_eq!(stranger.get(path).status, 410);
}

#[test]
fn a_post_to_a_link_pairs_nobody() {
    let desk = Desk::empty();
    let path = desk.link().strip_prefix(&desk.address()).unwrap().to_owned();
    assert_eq!(desk.stranger().post(&path, &[]).header("set-cookie"), None);
    assert!(desk.stranger().get(&path).header("set-cookie").is_some());
}

#[test]
fn an_ended_pairing_opens_nothing_any_more() {
    let desk = Desk::with_items();
    let (client, other) = (desk.client(), desk.client());
    let id = desk.number("SELECT id FROM device ORDER BY id LIMIT 1 OFFSET 2").to_string();
    assert_eq!(other.get("/").status, 200);
    assert_eq!(client.post("/devices/end", &[("device", &id)]).status, 303);
    assert_eq!(other.get("/").status, 401);
    // A page that is still open says why it gets no answer.
    assert!(other.part("/?q=copper").body().contains("<p data-refusal>This device is not paired"));
    assert_eq!(other.post("/devices/end", &[("device", "1")]).status, 401);
    // Ending is for good: also when the desk is opened anew.
    desk.kill_and_open_again();
    assert_eq!(other.at(&desk.address()).get("/").status, 401);
    assert_eq!(client.at(&desk.address()).get("/").status, 200);
}

#[test]
fn a_device_that_leaves_is_unpaired_and_no_other() {
    let desk = Desk::empty();
    let (client, other) = (desk.client(), desk.client());
    assert_eq!(client.post("/devices/leave", &[]).status, 303);
    assert_eq!((client.get("/").status, other.get("/").status), (401, 200));
}

#[test]
fn a_device_for_looking_only_changes_nothing() {
    let desk = Desk::with_items();
    let (client, looker) = (desk.client(), desk.looker());
    let before = desk.dump();
    let change = desk.number("SELECT max(id) FROM change").to_string();
    assert!(looker.get("/?q=4A-001F").has("Copper jam pan"));
    let refused = looker.post("/undo", &[("change", &change)]);
    assert_eq!(refused.status, 403);
    assert!(refused.has("looking only"), "{}", refused.text());
    for path in ["/devices/offer", "/devices/end", "/undo/", "//undo", "/Undo", "/photo/../undo", "/photo%2f..%2fundo"]
    {
        assert_eq!(looker.post(path, &[("change", &change), ("device", "1")]).status, 403, "{path}");
    }
    // Nor does it get further by the ways that it may send.
    assert_ne!(looker.post("/photo", &[("change", &change)]).status, 303);
    assert_eq!(desk.dump(), before);
    assert_eq!(client.get("/").status, 200);
}

/// Every form of every page, as the device that may do all sees them.
#[test]
fn no_form_of_any_page_is_taken_from_a_device_for_looking_only() {
    let desk = Desk::demo();
    let (client, looker) = (desk.client(), desk.looker());
    let before = desk.dump();
    for (path, page) in crate::pages::crawl(&client) {
        for form in crate::pages::Form::all(&page).iter().filter(|form| form.posts) {
            let fields: Vec<_> = form.fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
            let is_for_all = ["/photo", "/devices/leave"].contains(&form.action.as_str());
            let status = if is_for_all { continue } else { looker.post(&form.action, &fields).status };
            assert_eq!(status, 403, "{} of {path}", form.action);
        }
    }
    assert_eq!(desk.dump(), before);
}

#[test]
fn when_a_device_was_last_seen_is_noted() {
    let desk = Desk::empty();
    let client = desk.client();
    rusqlite::Connection::open(desk.path(REGISTER))
        .unwrap()
        .execute("UPDATE device SET seen = '2020-02-02'", [])
        .unwrap();
    desk.kill_and_open_again();
    assert_eq!(client.at(&desk.address()).get("/").status, 200);
    let unseen = "SELECT count(*) FROM device WHERE seen = '2020-02-02'";
    let all = desk.number("SELECT count(*) FROM device");
    until("the day to be noted", || (desk.number(unseen) == all - 1).then_some(()));
}

/// As the program is opened with the browser each morning: the list of devices does not grow by that.
#[test]
fn a_browser_that_follows_another_link_stays_one_device() {
    let desk = Desk::with_items();
    let (mut client, looker) = (desk.client(), desk.looker());
    let devices = || desk.number("SELECT count(*) * 100 + sum(looks_only) FROM device");
    let before = devices();
    client.pair(&desk.link());
    assert_eq!((client.get("/").status, devices()), (200, before));
    // One for looking only may do all then, and is not there twice.
    desk.kill_and_open_again();
    let (mut anew, old) = (looker.at(&desk.address()), looker.at(&desk.address()));
    assert_eq!(old.get("/").status, 200);
    anew.pair(&desk.link());
    assert_eq!((anew.get("/").status, old.get("/").status, devices()), (200, 401, before - 1));
}

/// The register gives the number of a device that has left to the next one.
#[test]
fn a_new_device_does_not_go_on_with_what_one_that_left_had_begun() {
    let desk = Desk::with_items();
    let mut left = desk.stranger();
    left.pair(&desk.link());
    let page = left.get("/stow").location().to_owned();
    let session = page.split_once("session=").unwrap().1;
    let fields = [("session", session), ("scan", "scan-one"), ("text", "4C"), ("bin", "")];
    assert!(left.post("/stow/scan", &fields).has("Into 4C"));
    assert_eq!(left.get("/stow").location(), page);
    let number = desk.number("SELECT max(id) FROM device");
    left.post("/devices/leave", &[]);
    let mut register = Register::open(&desk.path(REGISTER), Access::Existing).unwrap();
    register.pair_device("Test", &sha256(b"next"), false).unwrap();
    register.close().unwrap();
    assert_eq!(desk.number("SELECT max(id) FROM device"), number);
    // The desk takes its devices from the register when one comes or goes.
    assert_eq!(desk.client().post("/devices/leave", &[]).status, 303);
    let next = desk.stranger().with_cookie("next");
    assert_eq!(next.get("/").status, 200);
    assert_ne!(next.get("/stow").location(), page);
}
