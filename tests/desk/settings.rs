//! Settings on their pages, held against what the command line tells of the same register.

use rusqlite::Connection;
use stowmark::register::{Access, Register};

use crate::{
    client::{Answer, Client},
    support::Desk,
};

const NAMES: [&str; 6] = ["seen", "paper", "sheet", "dpi", "currency", "backups"];

/// The settings' form as it stands, with other values.
#[track_caller]
fn save(client: &Client, page: &Answer, changes: &[(&str, &str)]) -> Answer {
    let chosen = |name: &str| page.field(name).unwrap_or_else(|| selected(page, name));
    let mut form: Vec<(&str, String)> = NAMES.iter().map(|name| (*name, chosen(name))).collect();
    for (name, value) in changes {
        form.iter_mut().filter(|(known, _)| known == name).for_each(|(_, known)| (*value).clone_into(known));
    }
    let form: Vec<(&str, &str)> = form.iter().map(|(name, value)| (*name, value.as_str())).collect();
    client.post("/settings", &form)
}

/// What is chosen of a list, the first where nothing is.
fn selected(page: &Answer, name: &str) -> String {
    let body = page.body();
    let (_, list) = body.split_once(&format!("<select id=\"{name}\"")).unwrap();
    let list = list.split("</select>").next().unwrap();
    let options: Vec<&str> = list.split("<option value=\"").skip(1).collect();
    let chosen = options.iter().find(|option| option.contains("\" selected")).or(options.first()).unwrap();
    chosen.split('"').next().unwrap().to_owned()
}

#[test]
fn settings_are_saved_together_or_not_at_all() {
    let desk = Desk::empty();
    let client = desk.client();
    let page = client.get("/settings");
    assert_eq!(selected(&page, "paper"), "a4");
    let saved = client.follow(&save(&client, &page, &[("sheet", "a4-3x7"), ("dpi", "203"), ("backups", "off")]));
    assert!(saved.has("Saved."), "{}", saved.text());
    let set = desk.json(&["set"]);
    let [paper, sheet, dpi] = ["paper", "sheet", "dpi"].map(|name| set[name].as_str().unwrap().to_owned());
    assert_eq!((paper.as_str(), sheet.as_str(), dpi.as_str()), ("a4", "a4-3x7", "203"));
    assert_eq!(set["backups"], "off");
    let before = desk.dump();
    for (change, told) in [
        (("currency", "euros"), "euros"),
        (("dpi", "0"), "0"),
        (("sheet", "a4-3x77"), "there is no sheet “a4-3x77”"),
        (("paper", "a5"), "“a5” is no paper"),
        (("backups", "maybe"), "neither on nor off"),
    ] {
        // The other change is as good as any, and is not made either.
        let refused = save(&client, &saved, &[("currency", "USD"), ("dpi", "600"), change]);
        assert_eq!(refused.status, 422, "{change:?}");
        assert!(refused.text().to_lowercase().contains(told), "{change:?}: {}", refused.text());
        assert_eq!(desk.dump(), before, "{change:?}");
    }
    // The sheet of the other paper goes.
    let other = client.follow(&save(&client, &saved, &[("paper", "letter")]));
    assert!(other.has("The sheet a4-3x7 is for other paper"), "{}", other.text());
    assert_eq!(desk.json(&["set"])["sheet"], serde_json::Value::Null);
    let late = save(&client, &saved, &[("dpi", "600")]);
    assert_eq!(late.status, 409);
    assert!(late.has("This was changed meanwhile"), "{}", late.text());
    assert!(client.follow(&save(&client, &other, &[])).has("All of this is set so already."));
}

#[test]
fn sizes_are_set_and_forgotten() {
    let desk = Desk::with_items();
    let client = desk.client();
    // Of the one that is set, if there is one, then of all.
    let seen = || client.get("/settings/sizes").fields("seen");
    let set = client.done("/settings/sizes", &[("seen", &seen()[0]), ("name", "teapot"), ("litres", "1,8")]);
    assert!(set.has("teapot stands for 1.8 l now."), "{}", set.text());
    desk.run(&["item", "edit", "4A-001F", "--size", "teapot"]);
    let refused = client.post("/settings/sizes/remove", &[("seen", &seen()[0]), ("name", "teapot")]);
    assert_eq!(refused.status, 422);
    assert!(refused.has("The size “teapot” stays: an item has it"), "{}", refused.text());
    let bad = client.post("/settings/sizes", &[("name", "jug"), ("litres", "lots")]);
    assert_eq!((bad.status, bad.field("litres").as_deref()), (422, Some("lots")));
    desk.run(&["item", "edit", "4A-001F", "--size", "none"]);
    let removed = client.done("/settings/sizes/remove", &[("seen", &seen()[0]), ("name", "teapot")]);
    assert!(removed.has("teapot is not set any more."), "{}", removed.text());
    assert!(!desk.run(&["size", "list"]).contains("teapot"));
}

#[test]
fn a_size_that_another_device_set_is_not_overwritten() {
    let desk = Desk::with_items();
    let (client, other) = (desk.client(), desk.client());
    let set = |client: &Client, litres: &str, seen: &str| {
        client.post("/settings/sizes", &[("seen", seen), ("name", "teapot"), ("litres", litres)])
    };
    let seen = client.get("/settings/sizes").field("seen").unwrap_or_default();
    assert_eq!(set(&other, "1.8", &seen).status, 303);
    let late = set(&client, "2", &seen);
    assert!(late.status == 409 && late.has("changed meanwhile"), "{} {}", late.status, late.text());
    assert_eq!(late.field("litres").as_deref(), Some("2"));
    assert_eq!(litres(&desk), 1.8);
    // Sent twice it is as it was to be.
    assert_eq!(set(&other, "1.8", &seen).status, 303);
    let [of_it, of_all] = late.fields("seen").try_into().unwrap();
    assert_eq!(set(&client, "2", &of_all).status, 303);
    let remove = [("seen", of_it.as_str()), ("name", "teapot")];
    assert_eq!(other.post("/settings/sizes/remove", &remove).status, 409);
    assert_eq!(litres(&desk), 2.0);
}

/// What the size `teapot` stands for.
fn litres(desk: &Desk) -> serde_json::Value {
    let sizes = desk.json(&["size", "list"]);
    let mut all = sizes["sizes"].as_array().unwrap().iter();
    all.find(|size| size["name"] == "teapot").unwrap()["litres"].clone()
}

#[test]
fn kinds_of_bins_are_added_changed_and_removed() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let tub = [("name", "tub"), ("litres", "36"), ("max_kg", "9"), ("inside", "58x38x28")];
    let added = client.done("/settings/kinds", &tub);
    assert!(added.has("The kind tub is added."), "{}", added.text());
    assert_eq!(added.field("inside").as_deref(), Some("58 x 38 x 28"));
    let twice = client.post("/settings/kinds", &tub);
    assert_eq!((twice.status, twice.fields("name").last().map(String::as_str)), (422, Some("tub")));
    let seen = added.field("seen").unwrap();
    let edit = [("seen", seen.as_str()), ("name", "tub"), ("litres", "30"), ("max_kg", ""), ("inside", "58 x 38 x 28")];
    assert!(client.done("/settings/kinds/edit", &edit).has("Saved."));
    let kinds = desk.json(&["bin", "kind", "list"]);
    assert_eq!(kinds["bin_kinds"][0]["litres"], 30.0, "{kinds}");
    assert!(kinds["bin_kinds"][0]["max_kg"].is_null(), "{kinds}");
    let late = client.post("/settings/kinds/edit", &edit);
    assert_eq!(late.status, 409, "{}", late.text());
    desk.run(&["bin", "edit", "4A", "--kind", "tub"]);
    let used = client.post("/settings/kinds/remove", &[("name", "tub")]);
    assert_eq!(used.status, 422);
    assert!(used.has("4A"), "{}", used.text());
    desk.run(&["bin", "edit", "4A", "--kind", "none"]);
    assert!(client.done("/settings/kinds/remove", &[("name", "tub")]).has("The kind tub is removed."));
    assert!(client.get("/settings/kinds").has("No kinds yet."));
}

#[test]
fn a_backup_is_made_and_told_how_to_put_back() {
    let desk = Desk::with_items();
    let client = desk.client();
    let folder = desk.path("register.db-backups");
    std::fs::remove_dir_all(&folder).ok();
    assert!(client.get("/settings/backups").has("No backups yet."));
    let made = client.done("/settings/backups", &[]);
    assert!(made.has("Today’s backup is made"), "{}", made.text());
    let files: Vec<_> = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    let [file] = files.as_slice() else { panic!("{files:?}") };
    assert!(made.has(file.file_name().unwrap().to_str().unwrap()) && made.has("End the desk"), "{}", made.text());
    // One that is made later on the same day takes its place, with what came meanwhile.
    desk.run(&["item", "add", "Jelly mould", "--bin", "4B"]);
    client.done("/settings/backups", &[]);
    let copy = Register::open(file, Access::Existing).unwrap();
    assert_eq!(copy.bin("4B".parse().unwrap()).unwrap().items, 1);
}

#[test]
fn a_check_tells_in_plain_words_what_it_found() {
    let desk = Desk::with_items();
    let client = desk.client();
    assert!(client.get("/settings/check").has("Check now"));
    let sound = client.done("/settings/check", &[]);
    assert!(sound.has("All is well, as of"), "{}", sound.text());
    // Another program has written into the file.
    let register = Connection::open(desk.path("register.db")).unwrap();
    register.execute("UPDATE bin SET rank = 9 WHERE payload LIKE '4C%'", []).unwrap();
    let found = client.done("/settings/check", &[]);
    assert!(found.has("found, as of") && found.has("4C"), "{}", found.text());
    assert!(!found.has("“stowmark"), "{}", found.text());
    assert!(client.get("/settings/fonts").has("No fonts of your own."));
}
