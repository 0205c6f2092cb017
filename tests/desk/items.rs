//! Items entered one after the other, lists, and what is done with those that are ticked.

use crate::{
    client::{Answer, Client, encode},
    support::Desk,
};

fn new_item<'f>(title: &'f str, more: &[(&'f str, &'f str)]) -> Vec<(&'f str, &'f str)> {
    [&[("title", title), ("bin", "4A"), ("bought", "2026-11-21")], more].concat()
}

/// What a tick of the row with this title sends.
fn key(list: &Answer, title: &str) -> String {
    let body = list.body();
    let row = body.split("<tr>").find(|row| row.contains(title)).unwrap_or_else(|| panic!("{title}: {}", list.text()));
    let after = row.split_once("name=\"item\" value=\"").unwrap().1;
    after.split('"').next().unwrap().replace("&#35;", "#")
}

fn titles(client: &Client, query: &str) -> Vec<String> {
    let body = client.part(&format!("/items{query}")).body();
    let cells = body.split("<td class=\"title\">").skip(1);
    cells.map(|cell| cell.split('<').next().unwrap().to_owned()).collect()
}

#[test]
fn items_are_entered_one_after_the_other() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let form = client.get("/items/new");
    assert_eq!(form.field("bin").as_deref(), Some("4A"));
    let more = [("cost", "3,50"), ("asking", "24.95"), ("note", "lid \"dented\""), ("measures", "30x20x10")];
    let page = client.done("/items/new", &new_item("Crêpe pan 🥞 <b>", &more));
    assert!(page.text().contains("4A-001F Crêpe pan 🥞 <b>: in 4A, Loft"), "{}", page.text());
    assert!(!page.body().contains("🥞 <b>"));
    assert_eq!((page.field("bin").as_deref(), page.field("bought").as_deref()), (Some("4A"), Some("2026-11-21")));
    assert_eq!(page.field("title").as_deref(), Some(""));
    let item = &desk.json(&["find", "4A-001F"])["matches"][0];
    assert_eq!((item["cost"].as_str(), item["asking"].as_str()), (Some("3.50"), Some("24.95")), "{item}");

    let now = page.field("now").unwrap();
    let page = client.done("/items/new", &new_item("Wok", &[("now", &now)]));
    assert!(page.has("codes=4A-002C+4A-001F") && page.has("Print the 2 tags entered now"));
    assert_eq!(page.fields("change").len(), 2);
}

#[test]
fn what_is_wrong_is_said_at_its_field_and_nothing_typed_is_lost() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let before = desk.dump();
    for (name, typed, why) in [
        ("asking", "12..5", "is no amount"),
        ("bought", "3/4/2026", "could be 3 April or 4 March"),
        ("bin", "9Z", "nothing with the code"),
        ("litres", "many", "“many”"),
        ("old", "4A-001F", "code that this program gives"),
        ("title", " ", "is empty"),
    ] {
        let mut fields: Vec<_> = new_item("Fish kettle", &[("cost", "8")]);
        fields.retain(|(known, _)| *known != name);
        fields.push((name, typed));
        let page = client.post("/items/new", &fields);
        assert_eq!(page.status, 422, "{name}");
        assert!(page.has(why), "{name}: {}", page.text());
        assert!(page.body().contains(&format!("aria-describedby=\"{name}-fault\"")), "{name}");
        assert!(page.body().contains(&format!("id=\"{name}-fault\"")), "{name}");
        assert_eq!(page.field("cost").as_deref(), Some("8"));
        assert_eq!(page.field(name).as_deref(), Some(typed.trim()));
        assert!(!page.text().contains("“stowmark"), "a page names no command: {}", page.text());
    }
    assert_eq!(desk.dump(), before);
}

#[test]
fn an_entry_is_taken_back_and_a_form_that_comes_twice_enters_once() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let form = client.get("/items/new");
    let scan = form.field("scan").unwrap();
    let fields = new_item("Wok", &[("scan", &scan)]);
    let page = client.done("/items/new", &fields);
    assert!(client.done("/items/new", &fields).has("entered already"));
    assert_eq!(desk.number("SELECT count(*) FROM item"), 1);
    let [change, now] = ["change", "now"].map(|name| page.field(name).unwrap());
    let page = client.done("/items/new/back", &[("change", &change), ("now", &now), ("bin", "4A"), ("bought", "")]);
    assert!(page.has("Taken back: enter Wok") && page.fields("change").is_empty(), "{}", page.text());
    assert_eq!(desk.number("SELECT count(*) FROM item WHERE state <> 'undone'"), 0);
}

#[test]
fn without_a_bin_items_wait_and_the_page_says_so() {
    let desk = Desk::empty();
    let client = desk.client();
    let form = client.get("/items/new");
    assert!(form.has("There is no bin yet") && form.has("href=\"/bins\""));
    let page = client.done("/items/new", &[("title", "Wok"), ("bin", "")]);
    assert!(page.has("waits for a bin"), "{}", page.text());
    assert!(!page.has("/labels?"), "what waits has no code to print");
}

#[test]
fn a_bin_that_gets_over_full_is_told() {
    let desk = Desk::with_bins();
    desk.run(&["bin", "edit", "4A", "--litres", "10"]);
    let page = desk.client().done("/items/new", &new_item("Stock pot", &[("litres", "12")]));
    assert!(page.has("4A is over-full: 12 l of 10 l are taken"), "{}", page.text());
}

#[test]
fn lists_are_sorted_narrowed_and_paged() {
    let desk = Desk::with_items();
    let client = desk.client();
    desk.run(&["item", "add", "Étui", "--bin", "4B", "--asking", "5"]);
    desk.run(&["listed", "4A-001F"]);
    let all = ["Board game, 12 geese", "Copper jam pan", "Étui", "Knitting pattern: bobble hat"];
    assert_eq!(titles(&client, "?sort=title"), all);
    let down: Vec<&str> = all.into_iter().rev().collect();
    assert_eq!(titles(&client, "?sort=title&way=down"), down);
    assert_eq!(titles(&client, "?q=etui"), ["Étui"]);
    assert_eq!(titles(&client, "?state=listed"), ["Copper jam pan"]);
    assert_eq!(titles(&client, "?bin=4B"), ["Étui"]);
    assert!(titles(&client, "?since=9999-01-01").is_empty());
    assert!(client.part("/items?since=soon").has("no date"));
    assert!(client.part("/items?q=nothing").has("No item is like that"));
    let page = client.get("/items?sort=title&q=pan");
    assert!(page.body().contains("aria-sort=\"ascending\"") && page.has("/items?q=pan&#38;sort=title&#38;way=down"));
}

/// Each item stands on one page; there are 100 on each.
#[test]
fn long_lists_come_in_pages() {
    let desk = Desk::with_bins();
    let rows: String = (0..250).map(|number| format!("Pan {number:03},4A\n")).collect();
    std::fs::write(desk.path("many.csv"), format!("title,bin\n{rows}")).unwrap();
    desk.run(&["item", "import", "many.csv", "--yes"]);
    let client = desk.client();
    let first = client.part("/items?sort=title");
    assert!(first.has("Items 1 to 100 of 250") && first.has("rel=\"next\"") && !first.has("rel=\"prev\""));
    let pages: Vec<Vec<String>> = (1..4).map(|page| titles(&client, &format!("?sort=title&page={page}"))).collect();
    assert_eq!(pages.iter().map(Vec::len).collect::<Vec<_>>(), [100, 100, 50]);
    assert!(pages.concat().is_sorted());
    assert!(client.part("/items?sort=title&page=9").has("rel=\"prev\""));
}

#[test]
fn ticked_items_are_put_listed_and_printed() {
    let desk = Desk::with_items();
    let client = desk.client();
    let list = client.get("/items");
    let (pan, game) = (key(&list, "Copper"), key(&list, "geese"));
    let page = client.done("/items/listed", &[("item", &pan), ("item", &game), ("here", "q=copper&sort=title")]);
    assert!(page.has("2 items marked as listed. One has no asking price"), "{}", page.text());
    assert_eq!(page.field("q").as_deref(), Some("copper"));

    let pan = key(&page, "Copper");
    let refused = client.post("/items/put", &[("item", &pan), ("into", "9Z")]);
    assert_eq!(refused.status, 422);
    assert!(refused.has("nothing with the code") && refused.body().matches(" checked").count() == 1);
    assert_eq!(refused.field("into").as_deref(), Some("9Z"));
    let page = client.done("/items/put", &[("item", &pan), ("into", "4b")]);
    assert!(page.has("4A-001F: from 4A to 4B, Loft"), "{}", page.text());

    let tags = client.post("/items/tags", &[("item", &key(&page, "Copper"))]);
    assert_eq!((tags.status, tags.location()), (303, "/labels?what=tags&codes=4A-001F"));
    let nothing = client.post("/items/tags", &[("here", "")]);
    assert!(nothing.status == 422 && nothing.has("Nothing is ticked"));
}

/// Two devices: the later one is told, and changes nothing.
#[test]
fn what_another_device_has_changed_is_not_overwritten() {
    let desk = Desk::with_items();
    let client = desk.client();
    let pan = key(&client.get("/items"), "Copper");
    desk.run(&["put", "4A-001F", "--in", "4C"]);
    let refused = client.post("/items/put", &[("item", &pan), ("into", "4B")]);
    assert_eq!(refused.status, 422);
    let told = "4C-001N was changed elsewhere meanwhile (moved from 4A to 4C, code 4A-001F → 4C-001N, ";
    assert!(refused.has(told), "{}", refused.text());
    assert!(desk.run(&["find", "4A-001F"]).contains("4C"));
}

#[test]
fn codes_for_listings_are_copied_and_ticked() {
    let desk = Desk::with_items();
    let client = desk.client();
    let page = client.get("/items/listing");
    assert!(page.body().contains("Copper jam pan\t4A-001F\n"));
    let file = client.get("/items/listing.csv");
    assert!(file.has("Copper jam pan,4A-001F") && file.header("content-disposition").unwrap().contains("attachment"));
    let pan = key(&page, "Copper");
    let page = client.done("/items/listed", &[("item", &pan), ("from", "listing")]);
    assert!(page.has("1 item marked as listed.") && !page.body().contains("Copper jam pan\t"), "{}", page.text());

    // With a new code its listing has to be corrected.
    desk.run(&["put", "4A-001F", "--in", "4B"]);
    desk.run(&["retag", "4A-001F"]);
    let page = client.get("/items/listing");
    assert!(
        page.has("Listings that show an old code") && page.has("4A-001F") && page.has("4B-001J"),
        "{}",
        page.text()
    );
    let pan = key(&page, "Copper");
    let page = client.done("/items/listed", &[("item", &pan), ("from", "listing"), ("done", "corrected")]);
    assert!(page.has("1 listing corrected.") && !page.has("Listings that show an old code"), "{}", page.text());
}

#[test]
fn a_device_for_looking_sees_lists_without_what_changes_them() {
    let desk = Desk::with_items();
    let looker = desk.looker();
    let page = looker.get("/items");
    assert!(page.has("Copper jam pan") && !page.has("/items/tags") && page.fields("item").is_empty());
    assert_eq!(looker.post("/items/new", &new_item("Wok", &[])).status, 403);
    let body = encode(&[("q", "pan")]);
    assert!(looker.get(&format!("/items?{}", String::from_utf8(body).unwrap())).has("Copper"));
}
