//! `set`

use serde_json::json;

use super::support::Desk;

#[test]
fn settings_are_listed_and_set() {
    let desk = Desk::with_bins();
    assert_eq!(
        desk.json("set"),
        json!({"paper": "a4", "sheet": null, "dpi": "300", "currency": null, "backups": "on"})
    );
    let cases = [
        ("paper", "letter", json!("letter")),
        ("paper", "A4", json!("a4")),
        ("sheet", "Roll-57x32", json!("roll-57x32")),
        ("sheet", "none", json!(null)),
        ("dpi", "203.2", json!("203.2")),
        ("dpi", "600", json!("600")),
        ("currency", "eur", json!("EUR")),
        ("currency", "GBP", json!("GBP")),
        ("currency", "none", json!(null)),
        ("backups", "off", json!("off")),
    ];
    for (name, typed, value) in cases {
        assert_eq!(desk.json(&format!("set {name} {typed}"))[name], value);
        assert_eq!(desk.json("set")[name], value);
    }
}

#[test]
fn settings_are_shown_with_their_meaning() {
    let told = "setting   value  meaning
paper     a4     the paper of the usual label sheets: a4 or letter
sheet     none   the label sheet or roll for tags and signs, instead of the usual ones
dpi       300    the printer's resolution in dots per inch, such as 203, 300 or 600
currency  none   the currency of all amounts, by its three letters, such as EUR
backups   on     whether a backup is made each day beside the register: on or off\n";
    Desk::with_bins().run("set").stdout(told).done();
    let desk = Desk::empty();
    desk.run("set").stdout(told).done();
    assert!(!desk.path(super::support::REGISTER).exists());
}

#[test]
fn a_sheet_on_another_paper_goes_with_the_paper() {
    let desk = Desk::with_bins();
    for (sheet, left) in [("a4-3x7", json!(null)), ("roll-57x32", json!("roll-57x32"))] {
        desk.run("set paper a4").done();
        desk.run(&format!("set sheet {sheet}")).done();
        assert_eq!(desk.json("set paper letter")["sheet"], left, "{sheet}");
    }
}

#[test]
fn nonsense_is_refused() {
    let desk = Desk::with_bins();
    let before = desk.dump();
    let cases = [
        ("colour red", "there is no setting `colour`; there are "),
        ("sheet a4-3x9", "there is no sheet `a4-3x9`; did you mean `a4-3x"),
        ("paper a5", "`a5` is no paper; there are a4 and letter"),
        ("dpi 20", "`20` is no printer resolution; give dots per inch from 100 to 2400, such as 203, 300 or 600"),
        ("dpi fine", "`fine` is no printer resolution"),
        ("currency EURO", "`EURO` is no currency code; write its three letters, such as EUR, GBP or USD"),
        ("currency €", "`€` is no currency code"),
    ];
    for (words, why) in cases {
        desk.run(&format!("set {words}")).refused_with(&[why]).done();
    }
    desk.run("set paper").code(2).stdout("").stderr_has(&["VALUE"]).done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn paper_and_resolution_are_those_of_the_next_print() {
    let desk = Desk::with_items();
    desk.run("set paper letter").done();
    desk.run("set dpi 600").done();
    let tags = desk.json("tag --all");
    assert_eq!(tags["sheet"], "letter-3x10");
    let dots = tags["placed"][0]["symbols"][0]["x_dimension_mm"].as_f64().unwrap() * 600.0 / 25.4;
    assert!((dots - dots.round()).abs() < 0.05, "{dots}");
    assert_eq!(desk.json("sign --all")["sheet"], "letter-2x3");
    assert_eq!(desk.json("tag --all --paper a4")["sheet"], "a4-5x13");
    assert_eq!(desk.json("tag --all --sheet a4-3x7")["sheet"], "a4-3x7");
}

/// ISO 4217: the yen has no minor unit, the Kuwaiti dinar has three digits of it.
#[test]
fn amounts_follow_the_currency() {
    for (currency, typed, amount) in [("JPY", "1,234", "1234"), ("KWD", "0.125", "0.125"), ("EUR", "0,5", "0.50")] {
        let desk = Desk::with_bins();
        desk.run(&format!("set currency {currency}")).done();
        let added = desk.json(&format!("item add Pan --bin 4A --cost {typed}"));
        assert_eq!(added["items"][0]["cost"], amount, "{currency}");
    }
    let desk = Desk::with_bins();
    desk.run("set currency JPY").done();
    desk.run("item add Pan --bin 4A --cost 3.50").refused("--cost: `3.50` has more than 0 decimals").done();
}

#[test]
fn a_currency_with_other_decimals_is_refused_once_there_are_amounts() {
    let desk = Desk::with_items();
    let before = desk.dump();
    let why = "amounts are in 2 decimals already, and `JPY` has another number of them; start another register";
    desk.run("set currency JPY").refused(why).done();
    assert_eq!(desk.dump(), before);
    desk.run("set currency USD").done();
    assert_eq!(desk.json("item list")["items"][0]["cost"], "3.50");
}

/// The issue: `set currency EUR`, `set paper letter`, `set sheet a4-3x7`, and `set` alone shows them.
#[test]
fn settings_are_set_as_the_issue_writes_them() {
    let desk = Desk::with_items();
    for words in ["set currency EUR", "set paper letter", "set sheet a4-3x7"] {
        desk.run(words).done();
    }
    assert!(desk.run("set").done().stdout.contains("a4-3x7"));
    assert_eq!(desk.json("tag --all")["sheet"], "a4-3x7");
}

#[test]
fn a_refused_first_setting_leaves_no_register() {
    let desk = Desk::empty();
    desk.run("set colour red").code(1).any_stderr().done();
    assert!(!desk.path(super::support::REGISTER).exists());
}
