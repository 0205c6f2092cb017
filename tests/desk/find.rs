//! Find: what is answered, and what can be done next.

use crate::support::Desk;

/// Each of these is one search, with what its answer has to say.
#[test]
fn states_are_told_in_words_with_the_next_thing_to_do() {
    let desk = Desk::with_items();
    desk.run(&["sold", "4A-002C", "--price", "12", "--order", "77", "--on", "2026-11-20"]);
    desk.run(&["gone", "4A-003A", "--why", "broken when it fell", "--on", "2026-11-21"]);
    desk.run(&["item", "add", "Fish kettle"]);
    desk.run(&["tag", "4A-001F"]);
    desk.run(&["put", "4A-001F", "--in", "4C"]);
    desk.run(&["bin", "retire", "4D"]);
    let client = desk.client();
    for (asked, texts) in [
        ("geese", ["Sold on 2026-11-20 for order 77, not picked yet.", "href=\"/pick\"", "Go and pick it"]),
        ("bobble", ["Gone since 2026-11-21: broken when it fell.", "/i/4A-003A?open=put#put", "It is there again"]),
        ("fish kettle", ["Waits for a bin.", "/i/%234?open=put#put", "Put into a bin"]),
        ("copper", ["Its code names 4A, but it is in 4C now.", "Put elsewhere", "/labels?what=tags&codes=4A-001F"]),
        ("4c", ["Bin 4C", "href=\"/stow?bin=4C\"", "/labels?what=signs&codes=4C"]),
        ("4d", ["Retired since", "href=\"/b/4D\"", "Open"]),
    ] {
        let answer = client.part(&format!("/?q={}", crate::client::percent(asked)));
        let body = answer.body().replace("&#38;", "&").replace("&amp;", "&");
        for text in texts {
            assert!(answer.has(text) || body.contains(text), "{asked}: no {text}\n{body}");
        }
    }
    assert!(!client.part("/?q=4d").has("Stow into it"));
}

#[test]
fn a_misread_code_names_near_ones_and_a_layout_is_told() {
    let desk = Desk::with_items();
    let client = desk.client();
    // 4A-001F has the check letter F (CHECK-VALUES); G is a slip.
    let answer = client.part("/?q=4A-001G");
    assert!(answer.has("Nothing found for “4A-001G”.") && answer.has("Did you mean") && answer.has("/?q=4A-001F"));
    // A reader for US keys on a French keyboard: A comes as Q, 0 as à, 1 as &, 4 as '.
    let answer = client.part("/?q=%27Q%C3%A0%C3%A0%26F");
    assert!(answer.has("French keyboard") && answer.has("Copper jam pan"), "{}", answer.text());
}

#[test]
fn several_matches_are_a_list_and_too_many_say_so() {
    let desk = Desk::with_bins();
    let titles: Vec<String> = (1..=31).map(|number| format!("Jigsaw, mill, {number}")).collect();
    for title in &titles {
        desk.run(&["item", "add", title, "--bin", "4A"]);
    }
    let client = desk.client();
    let answer = client.part("/?q=jigsaw");
    assert_eq!(answer.body().matches("<li class=\"answer\">").count(), 30);
    assert!(answer.has("There are more than 30. Add a word."));
    let answer = client.part("/?q=jigsaw+31");
    assert!(answer.body().contains("answer alone") && !answer.has("There are more"));
}

#[test]
fn titles_and_questions_are_shown_and_never_run() {
    let desk = Desk::over(&[&["set", "currency", "EUR"], &["item", "add", "<script>alert(1)</script> jug"]]);
    let client = desk.client();
    for path in ["/?q=jug", "/?q=%3Cscript%3Ealert(2)", "/i/%231"] {
        let body = client.get(path).body();
        assert!(!body.contains("<script>alert"), "{path}: {body}");
        assert!(body.contains("script") && body.contains("alert"), "{path}: {body}");
    }
}

#[test]
fn a_new_register_leads_from_nothing_to_the_first_find() {
    let desk = Desk::empty();
    let client = desk.client();
    let steps = |client: &crate::client::Client| {
        let page = client.get("/");
        (page.body().matches("class=\"sheet done\"").count(), page.body().contains("name=\"q\""))
    };
    let first = client.get("/");
    assert!(first.has("Where do your tubs stand?") && first.has("href=\"/bins\""));
    assert_eq!(steps(&client), (0, false));
    desk.run(&["area", "add", "4", "Loft"]);
    desk.run(&["bin", "add", "4"]);
    assert_eq!(steps(&client), (1, true));
    desk.run(&["item", "add", "Fish kettle", "--bin", "4A"]);
    assert_eq!(steps(&client), (2, true));
    desk.run(&["sign"]);
    assert_eq!(steps(&client), (0, true));
    assert!(client.get("/").has("The answer comes here"));
    assert!(client.part("/?q=kettle").has("Fish kettle"));
}

#[test]
fn a_device_for_looking_only_is_offered_nothing_that_changes() {
    let desk = Desk::with_items();
    let looker = desk.looker();
    let answer = looker.part("/?q=copper");
    assert!(answer.has("Copper jam pan") && !answer.has("Put elsewhere") && !answer.has("Sold"));
    let bin = looker.part("/?q=4a");
    assert!(bin.has("Open") && !bin.has("Count it"));
    let page = looker.get("/i/4A-001F");
    assert!(page.has("Copper jam pan") && !page.body().contains("<form"), "{}", page.body());
    assert_eq!(looker.post("/i/4A-001F/put", &[("bin", "4B"), ("seen", "1")]).status, 403);
}

#[test]
fn link_tags_lead_to_the_item_or_the_bin_in_either_case() {
    let desk = Desk::with_items();
    let client = desk.client();
    for (path, leads) in [
        ("/S/4A001F", "/i/4A-001F"),
        ("/s/4A001F", "/i/4A-001F"),
        ("/S/4a-001f", "/i/4A-001F"),
        // The sign of a bin carries the serial 00 (DESIGN, Codes).
        ("/S/4C00V", "/b/4C"),
    ] {
        assert_eq!(client.get(path).header("location"), Some(leads), "{path}");
    }
    let unknown = client.get("/S/4A001G");
    assert_eq!(unknown.status, 404);
    assert!(unknown.has("Nothing here has the code 4A001G") && unknown.has("/?q=4A-001F"), "{}", unknown.text());
    // Neither words nor a code without its check letter: a link carries the whole code.
    for path in ["/S/%3Cb%3E", "/S/copper", "/S/4A001"] {
        assert_eq!(client.get(path).status, 404, "{path}");
    }
    assert_eq!(client.get("/i/4F-001J").status, 404);
    assert_eq!(client.get("/i/4A").location(), "/b/4A");
}
