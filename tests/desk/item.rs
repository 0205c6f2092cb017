//! The page of an item: each thing that can be done with it, and what comes back where it can't.

use crate::{
    client::{Answer, Client},
    support::Desk,
};

/// Sends a form of an item's page as it stands on the page just now.
#[track_caller]
fn act(client: &Client, name: &str, deed: &str, fields: &[(&str, &str)]) -> Answer {
    let path = format!("/i/{}", name.replace('#', "%23"));
    let seen = client.get(&path).field("seen").unwrap();
    client.post(&format!("{path}/{deed}"), &[&[("seen", seen.as_str())], fields].concat())
}

/// The same where it has to be done; gives the page that it leads to.
#[track_caller]
fn done(client: &Client, name: &str, deed: &str, fields: &[(&str, &str)]) -> Answer {
    let answer = act(client, name, deed, fields);
    assert_eq!(answer.status, 303, "{name} {deed}: {}", answer.text());
    client.follow(&answer)
}

#[test]
fn an_item_goes_all_its_way_on_its_page() {
    let desk = Desk::with_bins();
    desk.run(&["item", "add", "Fish kettle", "--cost", "8"]);
    let client = desk.client();
    let page = client.get("/i/%231");
    assert!(page.has("Waits for a bin") && page.has("8.00 EUR") | page.has("8.00"));

    let put = act(&client, "#1", "put", &[("bin", "4b")]);
    assert_eq!(put.location(), "/i/4B-001J");
    let page = client.follow(&put);
    assert!(page.has("4B-001J: into 4B, Loft, rack 1, level 2.") && page.has("Take it back"), "{}", page.text());

    let page = done(&client, "4B-001J", "listed", &[("asking", "32,50"), ("on", "2026-11-20")]);
    assert!(page.has("Listed since 2026-11-20.") && page.has("32.50"));

    let page =
        done(&client, "4B-001J", "sold", &[("price", "30"), ("fees", "3.10"), ("order", "A-9"), ("on", "2026-11-22")]);
    assert!(page.has("4B-001J is sold and has to be picked from 4B") && page.has("Go and pick it"), "{}", page.text());
    let page = done(&client, "4B-001J", "amend", &[("postage", "4.20")]);
    assert!(page.has("The sale is corrected."));

    let page = done(&client, "4B-001J", "return", &[("bin", "4C"), ("on", "2026-11-24"), ("refund", "10")]);
    assert!(
        page.has("It is back in 4C") && page.has("Refunded 10.00 for order A-9; 10.00 of 30.00 in all."),
        "{}",
        page.text()
    );
    let page = done(&client, "4B-001J", "refund", &[("refund", "20")]);
    assert!(page.has("20.00 for order A-9; 30.00 of 30.00 in all."), "{}", page.text());
    let page = done(&client, "4B-001J", "alias", &[("old", "K 117")]);
    assert!(page.has("K 117"));
    let page = done(&client, "4B-001J", "gone", &[("why", "given away")]);
    assert!(page.has("4B-001J is gone.") && page.has("It is there again"));

    // What the commands tell is the same.
    let item = &desk.json(&["item", "list", "--state", "gone"])["items"][0];
    assert_eq!((item["code"].as_str(), item["why_gone"].as_str()), (Some("4B-001J"), Some("given away")), "{item}");
    assert_eq!(desk.number("SELECT fees * 10000 + postage FROM sale"), 310 * 10000 + 420);
    assert_eq!(desk.number("SELECT sum(amount) FROM refund"), 3000);
    desk.run(&["check"]);
}

/// The cursor stands in the field that was refused, not in the first one.
#[test]
fn what_was_refused_has_the_cursor() {
    let desk = Desk::with_items();
    let client = desk.client();
    for (deed, fields, field) in [
        ("sold", [("price", "8.50"), ("fees", "-1")], "fees"),
        ("sold", [("price", "8.50"), ("on", "31.02.2026")], "on"),
        ("sold", [("price", "8.50"), ("with", "9Z-999Z")], "with"),
        ("edit", [("title", "Pan"), ("grams", "heavy")], "grams"),
        ("put", [("bin", "9Z"), ("on", "")], "bin"),
    ] {
        let body = act(&client, "4A-001F", deed, &fields).body();
        let before = body.split(" autofocus").next().and_then(|before| before.rsplit("<input ").next());
        let name = before.and_then(|input| input.split("name=\"").nth(1)).and_then(|rest| rest.split('"').next());
        assert_eq!(name, Some(field), "{deed} {fields:?}");
    }
}

#[test]
fn each_refusal_keeps_what_was_typed_and_changes_nothing() {
    let desk = Desk::with_items();
    desk.run(&["sold", "4A-002C", "--price", "12"]);
    let client = desk.client();
    let before = desk.dump();
    for (name, deed, fields, why) in [
        ("4A-001F", "put", &[("bin", "")][..], "Say which bin"),
        ("4A-001F", "put", &[("bin", "9Z")], "There is nothing with the code “9Z”"),
        ("4A-001F", "put", &[("bin", "4A-003A")], "is an item"),
        ("4A-001F", "edit", &[("title", " ")], "The title is empty"),
        ("4A-001F", "edit", &[("asking", "1.234")], "Asking price: “1.234” could be thousands or decimals"),
        ("4A-001F", "edit", &[("cost", "-3")], "negative"),
        ("4A-001F", "edit", &[("bought", "31.02.2026")], "not in the calendar"),
        ("4A-001F", "edit", &[("size", "enormous")], "there is no size"),
        ("4A-001F", "edit", &[("grams", "heavy")], "Grams: "),
        ("4A-001F", "sold", &[("price", "ten")], "The buyer paid: “ten” is no amount"),
        ("4A-001F", "sold", &[("with", "4A-002C"), ("price", "10")], "4A-002C is sold"),
        ("4A-001F", "gone", &[("why", "  ")], "Say what became of it"),
        ("4A-001F", "refund", &[("refund", "5")], "it is held"),
        ("4A-001F", "alias", &[("old", "4A-003A")], "4A-003A"),
        ("4A-002C", "refund", &[("refund", "12.01")], "12.00"),
        ("4A-002C", "amend", &[("price", "x")], "“x” is no amount"),
    ] {
        let answer = act(&client, name, deed, fields);
        assert_eq!(answer.status, 422, "{name} {deed} {fields:?}: {}", answer.text());
        assert!(answer.text().to_lowercase().contains(&why.to_lowercase()), "{deed} {fields:?}: {}", answer.text());
        let (field, typed) = fields[0];
        if !answer.body().contains("<select") || field != "size" {
            let values = answer.fields(field);
            assert!(values.contains(&typed.trim().to_owned()), "{deed} {field}: {values:?}");
        }
    }
    assert_eq!(desk.dump(), before);
    assert_eq!(client.post("/i/4A-001F/put", &[("bin", "4B")]).status, 422, "without how it was seen");
    assert_eq!(client.post("/i/4A-001F/burn", &[]).status, 404);
    // A reload of what was refused shows the form.
    assert_eq!(client.get("/i/%231/edit").location(), "/i/%231?open=edit");
    for path in ["/i/4A-001F/burn", "/i/%0d%0aSet-Cookie:%20x/edit", "/i/..%2f..%2fetc/edit"] {
        assert_eq!(client.get(path).status, 404, "{path}");
    }
    assert_eq!(client.post("/i/4F-009X/put", &[("bin", "4B"), ("seen", "1")]).status, 404);
    assert_eq!(desk.dump(), before);
}

#[test]
fn of_two_devices_that_change_the_same_item_the_later_one_is_told() {
    let desk = Desk::with_items();
    let (one, two) = (desk.client(), desk.client());
    let (page, other) = (one.get("/i/4A-001F?open=edit"), two.get("/i/4A-001F?open=edit"));
    assert_eq!(page.field("seen"), other.field("seen"));
    let fields = |page: &Answer, title: &str, asking: &str, note: &str| {
        let was = |name: &str| page.field(&format!("was.{name}")).unwrap();
        [
            ("seen", page.field("seen").unwrap()),
            ("title", title.into()),
            ("was.title", was("title")),
            ("asking", asking.into()),
            ("was.asking", was("asking")),
            ("note", note.into()),
            ("was.note", was("note")),
        ]
    };
    let send = |client: &Client, fields: &[(&str, String)]| {
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        client.post("/i/4A-001F/edit", &fields)
    };
    let was = "Copper jam pan";
    let first = send(&one, &fields(&page, "Copper jam pan, 28 cm", "27.95", ""));
    assert_eq!(first.status, 303, "{}", first.text());

    // The other one has the price changed as well, and a note; the title was left alone.
    let later = send(&two, &fields(&other, was, "22", "lid dented"));
    assert_eq!(later.status, 422);
    let told = "4A-001F was changed elsewhere meanwhile (title “Copper jam pan” → “Copper jam pan, 28 cm”, asking 24.95 → 27.95,";
    assert!(later.has(told) && later.has("), so nothing was done. Look at it as it is now"), "{}", later.text());
    let stands = |field: &str| later.field(field).unwrap();
    assert_eq!((stands("asking").as_str(), stands("note").as_str()), ("22", "lid dented"), "what was typed");
    assert_eq!(stands("title"), "Copper jam pan, 28 cm", "what was left alone is as it is now");
    assert!(later.has("Now: 27.95"), "{}", later.text());
    let item = |desk: &Desk| desk.json(&["find", "4A-001F"])["matches"][0].clone();
    assert_eq!((item(&desk)["asking"].as_str(), item(&desk)["note"].as_str()), (Some("27.95"), None));

    // Having seen that, they send it again.
    let again = send(&two, &fields(&later, "Copper jam pan, 28 cm", "22", "lid dented"));
    assert_eq!(again.status, 303, "{}", again.text());
    let now = item(&desk);
    assert_eq!(now["title"], "Copper jam pan, 28 cm");
    assert_eq!((now["asking"].as_str(), now["note"].as_str()), (Some("22.00"), Some("lid dented")));
}

#[test]
fn a_sale_on_a_page_that_is_no_longer_true_is_refused_with_the_reason() {
    let desk = Desk::with_items();
    let client = desk.client();
    let seen = client.get("/i/4A-001F").field("seen").unwrap();
    desk.run(&["sold", "4A-001F", "--price", "20"]);
    let late = client.post("/i/4A-001F/sold", &[("seen", &seen), ("price", "25")]);
    assert_eq!(late.status, 422);
    assert!(
        late.has("4A-001F was changed elsewhere meanwhile (sold for 20.00 on ") && late.has("not picked yet"),
        "{}",
        late.text()
    );
    assert_eq!(late.fields("price")[0], "25");
    assert_eq!(desk.number("SELECT count(*) FROM sale"), 1);
    assert_eq!(desk.number("SELECT price FROM sale"), 2000);
}

#[test]
fn a_new_code_tells_its_cost_and_the_old_one_goes_on_finding_it() {
    let desk = Desk::with_items();
    desk.run(&["tag"]);
    desk.run(&["listed", "4A-001F"]);
    desk.run(&["put", "4A-001F", "--in", "4C"]);
    let client = desk.client();
    let page = client.get("/i/4A-001F?open=retag");
    assert!(page.has("A new code would mean 1 tag and 1 listing to renew."), "{}", page.text());
    let page = done(&client, "4A-001F", "retag", &[]);
    assert!(page.has("4A-001F goes on finding it; 1 tag and 1 listing to renew."), "{}", page.text());
    assert!(page.has("Its listing still shows the code 4A-001F.") && page.has("Found by these as well"));
    let code = desk.json(&["find", "4A-001F"])["matches"][0]["code"].as_str().unwrap().to_owned();
    assert!(code.starts_with("4C-001"), "{code}");
    assert_eq!(client.get("/S/4A001F").location(), format!("/i/{code}"));
    let page = done(&client, &code, "listed", &[]);
    assert!(!page.has("Its listing still shows"));
}

#[test]
fn room_is_warned_of_and_offered() {
    let desk = Desk::with_bins();
    desk.run(&["bin", "edit", "4A", "4B", "--litres", "10"]);
    desk.run(&["item", "add", "Fish kettle", "--litres", "8"]);
    desk.run(&["item", "add", "Stock pot", "--litres", "9"]);
    desk.run(&["put", "#1", "--in", "4A"]);
    let client = desk.client();
    let page = client.get("/i/%232");
    assert_eq!(page.fields("bin"), ["", "4B"], "the field, and the bin that takes it");
    // A browser sends the field and the button in the order of the page; Enter presses the first button.
    let order = ["id=\"put-bin\"", "Put it there</button>", "value=\"4B\""].map(|part| page.body().find(part));
    assert!(order.is_sorted() && order[0].is_some(), "{order:?}");
    done(&client, "#2", "put", &[("bin", ""), ("bin", "4B")]);
    desk.run(&["undo"]);
    let page = done(&client, "#2", "put", &[("bin", "4A")]);
    assert!(
        page.has("4A is over-full: 17 l of 10 l are taken.") && page.has("class=\"told warns\""),
        "{}",
        page.text()
    );
}
