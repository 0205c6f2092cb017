//! `sold`

use serde_json::{Value, json};

use super::support::{Desk, codes, number};

/// 4A-001F at 24.95, 4A-002C and 4A-003A without an asking price, and 4B-001J at 12.
fn desk() -> Desk {
    let desk = Desk::with_items();
    desk.run("item add 'Fish kettle' --bin 4B --asking 12").done();
    desk
}

fn figures(answer: &Value, member: &str) -> Vec<String> {
    let sold = answer["sold"].as_array().unwrap();
    sold.iter().map(|item| item[member].as_str().unwrap_or("none").to_owned()).collect()
}

#[test]
fn a_sale_has_its_figures() {
    let desk = desk();
    let sold = desk.json("sold 4A-001F --price 24.95 --fees 3.20 --postage 4.90 --on 2026-11-20 --order 77")["sold"][0]
        .clone();
    let expected = [
        ("code", "4A-001F"),
        ("price", "24.95"),
        ("fees", "3.20"),
        ("postage", "4.90"),
        ("sold_on", "2026-11-20"),
        ("order", "77"),
        ("status", "sold"),
        ("bin", "4A"),
        ("title", "Copper jam pan"),
    ];
    for (member, value) in expected {
        assert_eq!(sold[member], value, "{member}");
    }
    let found =
        "4A-001F  Copper jam pan: sold on 2026-11-20 for order 77, not picked yet; in 4A, Loft, rack 1, level 2\n";
    desk.run("find 4A-001F").stdout(found).done();
    desk.run("scan").stdin("4A001F\n").stdout(found).done();
}

#[test]
fn a_price_that_is_not_given_is_not_known() {
    let desk = desk();
    let note = "the price is not known; `stowmark sold 4A-001F --amend --price AMOUNT` adds it\n";
    let sold = desk.run("--json sold 4A-001F --on 2026-11-20").stderr(note).done().json();
    assert_eq!(sold["sold"][0]["price"], Value::Null);
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM sale WHERE price IS NULL"), 1);
    let amended = desk.json("sold 4A-001F --amend --price 20");
    assert_eq!(figures(&amended, "price"), ["20.00"]);
    let cleared = desk.run("--json sold 4A-001F --amend --price none").stderr(note).done().json();
    assert_eq!(cleared["sold"][0]["price"], Value::Null);
}

/// By hand: 24.95 and 12 of 36.95 are 67.52 % and 32.48 %; of 40.00 that is 27.0095 and 12.9905, of 1.01 0.682 and
/// 0.328, of 0.01 0.0068 and 0.0032; the cent left over goes to the largest remainder (.95 of 27.0095 against .05; .2
/// against .8; .68 against .32).
#[test]
fn an_order_is_shared_by_asking_price_to_the_last_cent() {
    let desk = desk();
    let sold = desk.json("sold 4A-001F 4B-001J --price 40 --fees 1.01 --postage 0.01 --on 2026-11-20");
    assert_eq!(figures(&sold, "price"), ["27.01", "12.99"]);
    assert_eq!(figures(&sold, "fees"), ["0.68", "0.33"]);
    assert_eq!(figures(&sold, "postage"), ["0.01", "0.00"]);
}

#[test]
fn an_order_is_shared_evenly_where_an_asking_price_is_missing() {
    let desk = desk();
    let run = desk.run("sold 4A-001F 4A-002C 4A-003A --price 40 --on 2026-11-20 --order 78");
    let told = run.done().stdout;
    assert!(told.contains("shared out evenly, since 4A-002C has no asking price\n"), "{told}");
    assert!(told.contains("total") && told.contains("40.00"), "{told}");
    assert_eq!(number(&desk.register(), "SELECT sum(price) FROM sale"), 4000);
    assert_eq!(number(&desk.register(), "SELECT max(price) - min(price) FROM sale"), 1);
    // As wholes, they are asked for by their asking price again.
    desk.run("item edit 4A-002C 4A-003A --asking 10").done();
    let amended = desk.run("sold 4A-001F 4A-002C 4A-003A --amend --fees 4.495").any_code().any_stderr().done();
    assert_eq!(amended.code, 1);
    let amended = desk.json("sold 4A-001F 4A-002C 4A-003A --amend --fees 4.50");
    // 24.95 of 44.95 is 55.5 %: 2.4978 of 4.50; each of the others 1.0011.
    assert_eq!(figures(&amended, "fees"), ["2.50", "1.00", "1.00"]);
}

#[test]
fn an_item_is_sold_once() {
    let desk = desk();
    desk.run("sold 4A-001F --price 24 --on 2026-11-20 --order 77").done();
    let before = desk.dump();
    let why = "4A-001F is sold on 2026-11-20 for order 77, not picked yet; --amend changes the figures of that sale, \
               `stowmark return 4A-001F --in BIN` takes it back in";
    desk.run("sold 4A-001F").refused(why).done();
    desk.run("sold 4A-002C 4A-001F --price 3").refused(why).done();
    assert_eq!(desk.dump(), before);
    desk.run("picked 4A-001F --on 2026-11-21").done();
    desk.run("sold 4A-001F").refused_with(&["sold on 2026-11-20 for order 77, picked on 2026-11-21"]).done();
}

#[test]
fn only_what_is_in_a_bin_can_be_sold() {
    let desk = desk();
    desk.run("item add 'Cake tin'").done();
    desk.run("gone 4B-001J --why lost").done();
    let before = desk.dump();
    desk.run("sold '#5'")
        .refused_with(&["#5 can't be sold: it is waiting for a bin; `stowmark put '#5' --in BIN`"])
        .done();
    desk.run("sold 4B-001J")
        .refused_with(&["4B-001J can't be sold: it is gone; `stowmark put 4B-001J --in BIN`"])
        .done();
    desk.run("sold 4C").refused_with(&["`4C` is a bin"]).done();
    desk.run("sold 4A-999X").refused_with(&["there is nothing with the code `4A-999X`"]).done();
    desk.run("sold 4A-001F --price -3").refused_with(&["--price: `-3` is negative"]).done();
    desk.run("sold 4A-001F --fees none").refused_with(&["--fees: `none` is no amount"]).done();
    desk.run("sold 4A-001F --on 31/2/2026").refused_with(&["--on: `31/2/2026` is not in the calendar"]).done();
    desk.run("sold 4A-001F --amend").refused_with(&["nothing to amend was named"]).done();
    desk.run("sold 4A-001F --amend --fees 2")
        .refused_with(&["4A-001F is not sold: it is held; `stowmark sold 4A-001F`"])
        .done();
    desk.run("sold").code(2).stdout("").any_stderr().done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn the_day_of_listing_goes_over_to_the_sale() {
    let desk = desk();
    desk.run("listed 4A-001F --on 2026-11-01").done();
    desk.run("sold 4A-001F 4B-001J --price 30 --on 2026-11-20").done();
    let register = desk.register();
    assert_eq!(number(&register, "SELECT count(*) FROM sale WHERE listed = '2026-11-01'"), 1);
    assert_eq!(number(&register, "SELECT count(*) FROM sale WHERE listed IS NULL"), 1);
    assert_eq!(number(&register, "SELECT count(*) FROM item WHERE listed IS NOT NULL"), 0);
    desk.run("undo").any_stderr().done();
    assert_eq!(
        number(&desk.register(), "SELECT count(*) FROM item WHERE listed = '2026-11-01' AND state = 'listed'"),
        1
    );
}

#[test]
fn a_day_to_come_is_told() {
    let desk = desk();
    let note = "2999-01-01 is still to come; `stowmark undo` takes it back if that was a slip\n";
    desk.run("sold 4A-001F --price 3 --on 2999-01-01").stderr(note).done();
}

#[test]
fn figures_that_become_known_later_are_amended() {
    let desk = desk();
    desk.run("sold 4A-001F --price 24 --on 2026-11-20").done();
    desk.run("picked 4A-001F --on 2026-11-21").done();
    let sold = desk.json("sold 4A-001F --amend --fees 3.35 --postage 4 --order 77 --on 2026-11-19");
    let all =
        ["price", "fees", "postage", "order", "sold_on", "picked_on"].map(|member| figures(&sold, member).concat());
    assert_eq!(all, ["24.00", "3.35", "4.00", "77", "2026-11-19", "2026-11-21"]);
    desk.run("refund 4A-001F 20").done();
    desk.run("sold 4A-001F --amend --price 19")
        .refused_with(&["more than that was given back for 4A-001F already"])
        .done();
    desk.run("undo --last 2").done();
    assert_eq!(desk.json("find 4A-001F")["matches"][0]["order"], Value::Null);
}

#[test]
fn a_sale_is_taken_back() {
    let desk = desk();
    let before = desk.json("item list");
    desk.run("sold 4A-001F 4B-001J --price 40 --on 2026-11-20").done();
    assert_eq!(codes(&desk.json("pick"), "round"), ["4A-001F", "4B-001J"]);
    let undone = desk.json("undo");
    assert_eq!(undone["undone"][0]["what"], "sell 4A-001F and 4B-001J");
    assert_eq!(desk.json("item list"), before);
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM sale"), 0);
    desk.run("sold 4A-001F --price 40 --on 2026-11-20").done();
    desk.run("picked --all").done();
    let sale = number(&desk.register(), "SELECT max(id) - 1 FROM change");
    desk.run(&format!("undo --change {sale}")).refused_with(&["other things stand on it", "pick 4A-001F"]).done();
    assert_eq!(json!(desk.json("undo --last 2")["undone"].as_array().unwrap().len()), json!(2));
    assert_eq!(desk.json("item list"), before);
}
