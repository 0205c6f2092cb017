//! Areas, spots and bins on their pages, held against what the command line tells of the same register.

use serde_json::Value;

use crate::{
    client::{Answer, Client},
    support::Desk,
};

/// What the command line tells of the bins: code, spot, place in the stack, litres.
fn bins(desk: &Desk) -> Vec<(String, Option<String>, Option<u64>)> {
    let listed = desk.json(&["bin", "list"]);
    let text = |value: &Value| value.as_str().map(str::to_owned);
    let bin = |bin: &Value| (text(&bin["code"]).unwrap(), text(&bin["spot"]), bin["stack"].as_u64());
    listed["bins"].as_array().unwrap().iter().map(bin).collect()
}

fn codes(desk: &Desk) -> Vec<String> {
    bins(desk).into_iter().map(|(code, ..)| code).collect()
}

/// The form of a page that adds bins, filled in.
fn adding<'f>(page: &'f Answer, fields: &[(&'f str, &'f str)]) -> Vec<(&'f str, String)> {
    let mut form = vec![("once", page.field("once").unwrap()), ("new_number", page.field("new_number").unwrap())];
    for (name, value) in fields {
        form.retain(|(known, _)| known != name);
        form.push((name, (*value).to_owned()));
    }
    form
}

fn borrowed<'f>(form: &'f [(&'f str, String)]) -> Vec<(&'f str, &'f str)> {
    form.iter().map(|(name, value)| (*name, value.as_str())).collect()
}

/// Sends a form of a bin's page with the state that the page was made from.
#[track_caller]
fn send(client: &Client, code: &str, what: &str, fields: &[(&str, &str)]) -> Answer {
    let seen = client.get(&format!("/b/{code}")).field("seen").unwrap();
    let fields = [&[("seen", seen.as_str())], fields].concat();
    client.post(&format!("/b/{code}/{what}"), &fields)
}

#[test]
fn a_new_user_has_bins_and_the_way_to_their_signs_after_one_form() {
    let desk = Desk::empty();
    let client = desk.client();
    let first = client.get("/bins");
    assert!(first.has("Your first bins"), "{}", first.text());
    assert_eq!(first.field("new_number").as_deref(), Some("1"));
    let form = adding(&first, &[("new_name", "Loft"), ("count", "3"), ("spot", "rack 1")]);
    let added = client.done("/bins/add", &borrowed(&form));
    assert!(added.has("3 bins added.") && added.has("They stand in Loft, rack 1."), "{}", added.text());
    assert!(added.body().contains("href=\"/labels?what=signs&#38;codes=1A+1B+1C\""), "{}", added.body());
    assert_eq!(codes(&desk), ["1A", "1B", "1C"]);
    // Sent once more, as by a second press of the button.
    let again = client.done("/bins/add", &borrowed(&form));
    assert!(again.has("These bins were added already."), "{}", again.text());
    assert_eq!(codes(&desk), ["1A", "1B", "1C"]);
    let more = client.get("/bins/add?area=1");
    let form = adding(&more, &[("area", "1"), ("count", "1")]);
    assert!(client.done("/bins/add", &borrowed(&form)).has("Your new bin"));
    assert_eq!(codes(&desk), ["1A", "1B", "1C", "1D"]);
}

#[test]
fn what_is_refused_changes_nothing_and_loses_no_typing() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let page = client.get("/bins/add?area=new");
    assert_eq!(page.field("new_number").as_deref(), Some("5"));
    let before = desk.dump();
    let cases: [(&[(&str, &str)], &str); 6] = [
        (&[("new_name", "Cellar"), ("count", "no")], "How many: write a number of bins, from 1 on."),
        (&[("new_name", ""), ("count", "2")], "Name of the area: The title or name is empty."),
        (&[("new_name", "Cellar"), ("new_number", "1000"), ("count", "2")], "“1000” is no area number"),
        (&[("new_name", "Cellar"), ("new_number", "4"), ("count", "2")], "Area 4 is there already, named “Loft”"),
        (&[("new_name", "Cellar"), ("count", "2"), ("litres", "many")], "Litres: “many” is no volume"),
        (&[("new_name", "Cellar"), ("count", "2"), ("kind", "crate")], "crate"),
    ];
    for (fields, told) in cases {
        let refused = client.post("/bins/add", &borrowed(&adding(&page, fields)));
        assert_eq!(refused.status, 422, "{fields:?}");
        assert!(refused.has(told), "{fields:?}: {}", refused.text());
        assert_eq!(refused.body().matches(" autofocus").count(), 1, "{fields:?}");
        for (name, value) in fields.iter().filter(|(name, _)| *name != "kind") {
            assert_eq!(refused.field(name).as_deref(), Some(*value), "{fields:?}");
        }
        assert_eq!(desk.dump(), before, "{fields:?}");
    }
}

#[test]
fn bins_stand_on_the_page_as_they_stand_in_the_room() {
    let desk = Desk::with_items();
    desk.run(&["area", "add", "2", "Cellar <b>"]);
    desk.run(&["bin", "add", "2", "--count", "2"]);
    desk.run(&["bin", "edit", "4A", "--litres", "1", "--stack", "2"]);
    desk.run(&["bin", "edit", "4B", "--stack", "1"]);
    desk.run(&["item", "edit", "4A-001F", "--litres", "3"]);
    desk.run(&["bin", "retire", "2B"]);
    let client = desk.client();
    let page = client.get("/bins");
    let text = page.text();
    assert!(text.contains("2 Cellar <b> 1 bin, 0 items"), "{text}");
    assert!(text.contains("4 Loft 5 bins, 3 items"), "{text}");
    // The stack from the top, then what is beside it.
    let at = |what: &str| text.find(what).unwrap_or_else(|| panic!("{what} is not in {text}"));
    assert!(at("4B empty") < at("4A 3 items over-full") && at("4A 3 items") < at("4C empty"), "{text}");
    assert!(text.contains("Retired bins (1)") && text.contains("6 bins have no sign yet."), "{text}");
    // Walking order: areas by number, until someone says otherwise.
    assert!(at("Cellar") < at("Loft"), "{text}");
    desk.run(&["area", "order", "4", "2"]);
    let text = client.get("/bins").text();
    assert!(text.find("Loft") < text.find("Cellar"), "{text}");
}

#[test]
fn a_bin_is_shown_with_what_is_in_it_and_found_by_its_old_code() {
    let desk = Desk::with_items();
    desk.run(&["listed", "4A-001F"]);
    let client = desk.client();
    let page = client.get("/b/4A");
    for told in
        ["Loft, rack 1, level 2", "Copper jam pan", "4A-001F", "listed", "0 days", "3 items", "none is printed yet"]
    {
        assert!(page.has(told), "{told}: {}", page.text());
    }
    for link in [
        "/stow?bin=4A",
        "/count?bin=4A",
        "/labels?what=signs&#38;codes=4A",
        "/labels?what=lids&#38;codes=4A",
        "/labels?what=contents&#38;codes=4A",
        "/labels?what=tags&#38;bin=4A",
        "/lift?bin=4A",
    ] {
        let plain = link.replace("&#38;", "&amp;");
        let body = page.body();
        assert!(body.contains(&format!("\"{link}\"")) || body.contains(&format!("\"{plain}\"")), "{link}");
    }
    desk.run(&["area", "add", "7", "Cellar"]);
    desk.run(&["bin", "change-area", "4A", "7"]);
    assert_eq!(client.get("/b/4A").location(), "/b/7A");
    assert!(client.get("/b/7A").has("Before: 4A."));
    for unknown in ["/b/9Z", "/b/4A-001F", "/b/%3Cb%3E", "/areas/9", "/areas/x"] {
        assert_eq!(client.get(unknown).status, 404, "{unknown}");
    }
}

#[test]
fn a_moved_bin_names_the_labels_that_are_wrong_then() {
    let desk = Desk::with_items();
    desk.run(&["sign", "4A", "--out", "signs.pdf"]);
    desk.run(&["bin", "edit", "4A", "--stack", "2"]);
    let client = desk.client();
    assert!(client.get("/b/4A").has("as printed"));
    let moved = send(&client, "4A", "place", &[("spot", "rack 2"), ("stack", "2")]);
    let page = client.follow(&moved);
    let told = "4A stands at Loft, rack 2 now. It is in no stack there. Items keep their codes and tags. Its sign, and the \
                strips of “rack 1, level 2” and “rack 2” show the old place if they were printed before.";
    assert!(page.has(told), "{}", page.text());
    assert!(page.has("wrong: spot: stands at rack 2 now"), "{}", page.text());
    assert_eq!(bins(&desk)[0], ("4A".into(), Some("rack 2".into()), None));
    let stacked = client.follow(&send(&client, "4A", "place", &[("spot", "rack 2"), ("stack", "1")]));
    assert!(stacked.has("4A has place 1 in its stack now."), "{}", stacked.text());
    let same = client.follow(&send(&client, "4A", "place", &[("spot", "rack 2"), ("stack", "1")]));
    assert!(same.has("All of this is so already."), "{}", same.text());
    let refused = send(&client, "4A", "place", &[("spot", "rack 2"), ("stack", "100")]);
    assert_eq!((refused.status, refused.field("stack").as_deref()), (422, Some("100")));
    assert!(refused.has("id=\"stack\" autofocus"), "the refused field has the cursor");
    assert!(refused.has("Place in the stack: “100” is no place in a stack"), "{}", refused.text());
}

#[test]
fn of_two_devices_the_later_one_is_told() {
    let desk = Desk::with_bins();
    let (one, other) = (desk.client(), desk.client());
    let seen = one.get("/b/4A").field("seen").unwrap();
    assert_eq!(send(&other, "4A", "place", &[("spot", "rack 9"), ("stack", "")]).status, 303);
    let fields = [("seen", seen.as_str()), ("spot", "rack 7"), ("stack", "3")];
    let late = one.post("/b/4A/place", &fields);
    assert_eq!(late.status, 409);
    assert!(late.has("This was changed meanwhile") && late.has("Loft, rack 9"), "{}", late.text());
    assert_eq!(late.field("spot").as_deref(), Some("rack 7"));
    assert_eq!(bins(&desk)[0].1.as_deref(), Some("rack 9"));
    // Now that it was looked at, the same form is taken.
    let seen = late.field("seen").unwrap();
    assert_eq!(one.post("/b/4A/place", &[("seen", seen.as_str()), ("spot", "rack 7"), ("stack", "3")]).status, 303);
    assert_eq!(bins(&desk)[0], ("4A".into(), Some("rack 7".into()), Some(3)));
}

#[test]
fn figures_of_a_bin_are_those_of_its_kind_until_it_has_its_own() {
    let desk = Desk::with_bins();
    desk.run(&["bin", "kind", "add", "tub-m", "--litres", "36", "--max-kg", "9"]);
    let client = desk.client();
    let room = |litres, inside| [("kind", "tub-m"), ("litres", litres), ("max_kg", ""), ("inside", inside)];
    let saved = client.follow(&send(&client, "4A", "room", &room("", "")));
    assert!(saved.has("Saved.") && saved.has("Holds: tub-m, 36 l, at most 9 kg"), "{}", saved.text());
    assert_eq!(saved.field("litres").as_deref(), Some(""));
    let own = client.follow(&send(&client, "4A", "room", &room("30,5", "")));
    assert!(own.has("Holds: tub-m, 30.5 l, at most 9 kg"), "{}", own.text());
    // 20 x 20 x 20 cm are 8 litres.
    let doubted = client.follow(&send(&client, "4A", "room", &room("30.5", "20x20x20")));
    assert!(
        doubted.has("Look at the figures: 4A: 30.5 l are more than 20 x 20 x 20 cm hold, 8 l"),
        "{}",
        doubted.text()
    );
    let refused = send(&client, "4A", "room", &room("-1", ""));
    assert_eq!((refused.status, refused.field("litres").as_deref()), (422, Some("-1")));
    assert!(refused.has("id=\"litres\" autofocus"), "the refused field has the cursor");
    let cleared = client.follow(&send(&client, "4A", "room", &room("", "")));
    assert!(cleared.has("Holds: tub-m, 36 l, at most 9 kg"), "{}", cleared.text());
}

#[test]
fn only_an_empty_bin_is_retired_and_it_comes_back() {
    let desk = Desk::with_items();
    let client = desk.client();
    let full = client.get("/b/4A");
    assert!(full.has("Only an empty bin can be retired. 3 items in this one."), "{}", full.text());
    let refused = send(&client, "4A", "retire", &[]);
    assert_eq!(refused.status, 422);
    assert!(refused.has("4A-001F"), "{}", refused.text());
    let retired = client.follow(&send(&client, "4B", "retire", &[]));
    assert!(retired.has("4B is retired") && retired.has("Retired since"), "{}", retired.text());
    assert!(!retired.body().contains("/stow?bin=4B"));
    assert!(!codes(&desk).contains(&"4B".to_owned()));
    let back = client.follow(&send(&client, "4B", "back", &[]));
    assert!(back.has("4B is in use again."), "{}", back.text());
    assert!(codes(&desk).contains(&"4B".to_owned()));
}

#[test]
fn a_bin_gets_a_code_of_the_area_that_it_goes_to() {
    let desk = Desk::with_items();
    let client = desk.client();
    assert!(client.get("/b/4A").has("There is no other area yet."));
    desk.run(&["area", "add", "7", "Cellar"]);
    let answer = send(&client, "4A", "area", &[("area", "7"), ("area_spot", "shelf")]);
    assert_eq!(answer.location(), "/b/7A");
    let page = client.follow(&answer);
    let told =
        "4A is 7A now, in Cellar, shelf. A scan of its old sign finds it for ever. 3 tags in it show another code";
    assert!(page.has(told), "{}", page.text());
    let refused =
        client.post("/b/7A/area", &[("seen", &page.field("seen").unwrap()), ("area", "12"), ("area_spot", "x")]);
    assert_eq!(refused.status, 422);
    assert_eq!(refused.field("area_spot").as_deref(), Some("x"));
}

#[test]
fn areas_and_spots_are_named_and_ordered() {
    let desk = Desk::with_bins();
    desk.run(&["area", "add", "7", "Cellar"]);
    desk.run(&["bin", "edit", "4B", "--spot", "rack 2"]);
    let client = desk.client();
    let named = client.done("/areas/4/name", &[("name", "Attic"), ("was", "Loft")]);
    assert!(named.has("It is called Attic now, no longer Loft."), "{}", named.text());
    let late = client.post("/areas/4/name", &[("name", "Roof"), ("was", "Loft")]);
    assert_eq!((late.status, late.field("name").as_deref()), (409, Some("Roof")));
    let spot = client.done("/areas/4/spots/name", &[("spot", "rack 2"), ("name", "rack two")]);
    assert!(spot.has("The spot rack 2 is called rack two now."), "{}", spot.text());
    let taken = client.post("/areas/4/spots/name", &[("spot", "rack two"), ("name", "rack 1, level 2")]);
    assert_eq!(taken.status, 422);
    assert!(taken.has("has a spot “rack 1, level 2” already"), "{}", taken.text());
    client.done("/areas/4/spots/order", &[("spot", "rack two"), ("way", "up")]);
    let spots = desk.json(&["spot", "list", "4"]);
    let order: Vec<&str> = spots["spots"].as_array().unwrap().iter().filter_map(|spot| spot["spot"].as_str()).collect();
    assert_eq!(order, ["rack two", "rack 1, level 2"], "{spots}");
    let areas = || -> Vec<u64> {
        let listed = desk.json(&["area", "list"]);
        listed["areas"].as_array().unwrap().iter().filter_map(|area| area["area"].as_u64()).collect()
    };
    assert!(client.done("/areas/4/order", &[("way", "down")]).has("Back to the order of their numbers"));
    assert_eq!(areas(), [7, 4]);
    client.done("/areas/4/order", &[("way", "number")]);
    assert_eq!(areas(), [4, 7]);
    assert!(desk.run(&["check"]).contains("sound"));
    // A renamed spot has its old name again.
    desk.run(&["undo", "--last", "3"]);
    assert!(client.get("/areas/4").has("rack two"));
    desk.run(&["undo"]);
    assert!(!client.get("/areas/4").has("rack two"));
    assert!(desk.run(&["check"]).contains("sound"));
}

#[test]
fn a_guide_weight_is_the_equations_and_never_stands_alone() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let caution =
        "A guide figure, not a limit: the tub maker's rating, local rules and a qualified person's advice come first.";
    let page = client.get("/lift?bin=4A&height=20&to=80&reach=40&handles=fair");
    // 23 x 0.625 x 0.835 x 0.895 x 1 x 1 x 0.95 = 10.2 kg, by the multipliers of DHHS (NIOSH) Pub. 94-110, rev. 9/2021.
    assert!(page.has("10.2 kg") && page.has(caution), "{}", page.text());
    assert!(page.has("The reach costs most: hold it closer to the body."), "{}", page.text());
    let never = client.get("/lift?height=20&to=80&reach=64");
    assert!(
        never.has("it should not be lifted like that, whatever it weighs") && never.has(caution),
        "{}",
        never.text()
    );
    let refused = client.get("/lift?height=high&to=80&reach=40");
    assert_eq!((refused.status, refused.field("height").as_deref()), (422, Some("high")));
    assert!(client.get("/lift").has(caution) && !client.get("/lift?bin=4A").body().to_lowercase().contains("safe"));
}

#[test]
fn who_may_look_only_sees_no_forms() {
    let desk = Desk::with_items();
    let looker = desk.looker();
    for path in ["/bins", "/b/4A", "/areas/4", "/settings", "/settings/kinds", "/settings/sizes", "/settings/backups"] {
        let page = looker.get(path);
        assert_eq!(page.status, 200, "{path}");
        assert!(!page.body().contains("<button"), "{path}: {}", page.body());
    }
    assert_eq!(looker.post("/b/4B/retire", &[("seen", "")]).status, 403);
}
