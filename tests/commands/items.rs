//! `item add`, `item list`

use serde_json::{Value, json};

use super::support::{Desk, codes};

fn jam_pan() -> Value {
    json!({"code": "4A-001F", "payload": "4A001F", "number": 1, "note": null, "listed": null, "title": "Copper jam pan", "bin": "4A", "area": 4,
        "area_name": "Loft", "spot": "rack 1, level 2", "cost": "3.50", "asking": "24.95", "bought": "2026-11-21",
        "status": "held"})
}

fn geese() -> Value {
    json!({"code": "4A-002C", "payload": "4A002C", "number": 2, "note": null, "listed": null, "title": "Board game, 12 geese", "bin": "4A", "area": 4,
        "area_name": "Loft", "spot": "rack 1, level 2", "cost": null, "asking": null, "bought": null,
        "status": "held"})
}

#[test]
fn an_item_gets_its_code_at_once() {
    let desk = Desk::with_bins();
    let added = desk.json("item add 'Copper jam pan' --bin 4A --cost 3.50 --asking 24.95 --bought 2026-11-21");
    assert_eq!(added, json!({"items": [jam_pan()]}));
    assert_eq!(desk.json("item add 'Board game, 12 geese' --bin 4a"), json!({"items": [geese()]}));
    let line = "4B-001J  Ladle: in 4B, Loft, rack 1, level 2\n";
    desk.run("item add Ladle --bin 4B").stdout(line).done();
}

#[test]
fn items_are_listed() {
    let desk = Desk::with_items();
    let listed = desk.json("item list");
    assert_eq!(listed["items"][0], jam_pan());
    assert_eq!(listed["items"][1], geese());
    assert_eq!(listed["items"][2]["cost"], "0.00");
    let table = "code     title                         bin  where                  cost  asking  bought      state
4A-001F  Copper jam pan                4A   Loft, rack 1, level 2  3.50   24.95  2026-11-21  held
4A-002C  Board game, 12 geese          4A   Loft, rack 1, level 2                            held
4A-003A  Knitting pattern: bobble hat  4A   Loft, rack 1, level 2  0.00                      held\n";
    desk.run("item list").stdout(table).done();
}

#[test]
fn items_are_listed_by_bin_and_by_lack_of_a_tag() {
    let desk = Desk::with_items();
    desk.run("item add Ladle --bin 4C").done();
    assert_eq!(codes(&desk.json("item list --bin 4C"), "items"), ["4C-001N"]);
    assert_eq!(desk.json("item list --bin 4B"), json!({"items": []}));
    desk.run("item list --bin 4B").stdout("no items\n").done();
    desk.run("tag 4A-001F 4C-001N").done();
    assert_eq!(codes(&desk.json("item list --untagged"), "items"), ["4A-002C", "4A-003A"]);
    assert_eq!(desk.json("item list --untagged --bin 4C"), json!({"items": []}));
    desk.run("item list --bin 9A").refused_with(&["there is nothing with the code `9A`"]).done();
}

#[test]
fn titles_are_kept_as_they_were_typed() {
    let desk = Desk::with_bins();
    let titles = [
        "Ladle, pierced, \"from the kitchen\"",
        "'70s fondue set",
        "Crêpière für 6, Smørrebrød & Čaj",
        "Tea pot 🫖, 👩‍🍳",
        "=SUM(A1:A9) cross-stitch chart",
        "+1 row: knitting pattern",
        "@home board game",
        "Сковорода 茶",
        &"pan ".repeat(75),
    ];
    for title in titles {
        let added = desk.run("item add --bin 4A --json").args(&[title]).done().json();
        assert_eq!(added["items"][0]["title"], title.trim());
    }
    assert_eq!(desk.json("bin show 4A")["items"], titles.len());
}

/// Unicode normalisation form C; spaces and line breaks as one space.
#[test]
fn titles_are_tidied() {
    let desk = Desk::with_bins();
    let added = desk.run("item add --bin 4A --json").args(&[" Cre\u{302}pe\r\n\tpan "]).done().json();
    assert_eq!(added["items"][0]["title"], "Crêpe pan");
}

#[test]
fn amounts_are_read_as_people_write_them() {
    let desk = Desk::with_bins();
    let cases = [("3.5", "3.50"), ("3,50", "3.50"), ("0", "0.00"), ("1.234,50", "1234.50"), ("€ 3", "3.00")];
    for (typed, amount) in cases {
        let added = desk.run("item add Pan --bin 4A --json --cost").args(&[typed]).done().json();
        assert_eq!(added["items"][0]["cost"], amount, "{typed}");
    }
}

/// Dates by ISO 8601; with slashes or dots where only one date can be meant.
#[test]
fn dates_are_iso_whatever_was_typed() {
    let desk = Desk::with_bins();
    for typed in ["2026-11-21", "21.11.2026", "21/11/2026", "11/21/2026"] {
        let added = desk.json(&format!("item add Pan --bin 4A --bought {typed}"));
        assert_eq!(added["items"][0]["bought"], "2026-11-21", "{typed}");
    }
}

#[test]
fn amounts_that_mean_nothing_or_two_things_are_refused() {
    let cases = [
        ("--cost=-3", "--cost: `-3` is negative; amounts are zero or more"),
        ("--cost -3.50", "--cost: `-3.50` is negative; amounts are zero or more"),
        ("--asking (3)", "--asking: `(3)` is negative; amounts are zero or more"),
        ("--cost much", "--cost: `much` is no amount; write it as 3.50"),
        ("--cost 3,", "--cost: `3,` is no amount; write it as 3.50"),
        ("--cost 1e3", "--cost: `1e3` is no amount; write it as 3.50"),
        ("--cost ''", "--cost: `` is no amount; write it as 3.50"),
        (
            "--asking 1,234",
            "--asking: `1,234` could be thousands or decimals; write it without thousands separator, or with fewer decimals",
        ),
        ("--asking 0.125", "--asking: `0.125` has more than 2 decimals"),
        ("--asking 99999999999999", "--asking: `99999999999999` is too large"),
    ];
    refused(&cases);
}

#[test]
fn dates_that_mean_nothing_or_two_things_are_refused() {
    let write = "write it as year-month-day, such as 2026-11-21";
    let cases = [
        ("--bought soon", format!("--bought: `soon` is no date; {write}")),
        ("--bought 2026-11", format!("--bought: `2026-11` is no date; {write}")),
        ("--bought -2026-11-21", format!("--bought: `-2026-11-21` is no date; {write}")),
        ("--bought 2026-02-30", format!("--bought: `2026-02-30` is not in the calendar; {write}")),
        ("--bought 21.11.26", format!("--bought: `21.11.26` has a year of two digits; {write}")),
        (
            "--bought 3/4/2026",
            "--bought: `3/4/2026` could be 3 April or 4 March; write 2026-04-03 or 2026-03-04".to_owned(),
        ),
    ];
    refused(&cases.each_ref().map(|(options, why)| (*options, why.as_str())));
}

fn refused(cases: &[(&str, &str)]) {
    let desk = Desk::with_items();
    let before = desk.dump();
    for (options, why) in cases {
        desk.run(&format!("item add Pan --bin 4A {options}")).refused(why).done();
    }
    assert_eq!(desk.dump(), before);
}

#[test]
fn items_without_title_or_in_no_known_bin_are_refused() {
    let desk = Desk::with_items();
    let before = desk.dump();
    for title in ["", " \t", "\u{a0}"] {
        desk.run("item add --bin 4A").args(&[title]).refused("the title or name is empty").done();
    }
    let long = desk.run("item add --bin 4A").args(&["x".repeat(501)]);
    long.refused("the title or name has 501 characters; at most 500 are kept").done();
    desk.run("item add Pan --bin 9Z").refused_with(&["there is nothing with the code `9Z`"]).done();
    desk.run("item add Pan --bin 4A001").refused_with(&["`4A001` is an item; give the code of a bin"]).done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn a_refused_item_costs_no_serial() {
    let desk = Desk::with_items();
    desk.run("item add Pan --bin 4A --cost -3").code(1).any_stderr().done();
    assert_eq!(codes(&desk.json("item add Pan --bin 4A"), "items"), ["4A-004W"]);
}

#[test]
fn the_longest_title_is_taken() {
    let desk = Desk::with_bins();
    let title = "ä".repeat(500);
    let added = desk.run("item add --bin 4A --json").args(&[&title]).done().json();
    assert_eq!(added["items"][0]["title"], title);
}
