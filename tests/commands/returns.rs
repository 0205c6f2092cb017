//! `return`, `refund`, `gone`

use serde_json::{Value, json};

use super::support::{Desk, codes, number};

/// 4A-001F sold for 24.95 and picked, 4A-002C sold for 12 and not picked, 4A-003A sold at a price that is not known.
fn desk() -> Desk {
    let desk = Desk::with_items();
    desk.run("sold 4A-001F --price 24.95 --order 77 --on 2026-11-20").done();
    desk.run("picked 4A-001F --on 2026-11-21").done();
    desk.run("sold 4A-002C --price 12 --on 2026-11-20").done();
    desk.run("sold 4A-003A --on 2026-11-20").any_stderr().done();
    desk
}

#[test]
fn an_item_comes_back_and_all_is_refunded() {
    let desk = desk();
    let told = "4A-001F  Copper jam pan: back in 4C, Loft, rack 1, level 2, not listed\n\
                refunded 24.95 for order 77, all that the buyer paid\n";
    desk.run("return 4A-001F --in 4C --postage 4.90 --on 2026-11-24").stdout(told).done();
    let item = desk.json("find 4A-001F")["matches"][0].clone();
    assert_eq!((&item["status"], &item["bin"], &item["listed"]), (&json!("held"), &json!("4C"), &Value::Null));
    assert_eq!((&item["sold_on"], &item["code"]), (&Value::Null, &json!("4A-001F")));
    let register = desk.register();
    let refund = "SELECT count(*) FROM refund WHERE amount = 2495 AND postage = 490 AND day = '2026-11-24'";
    assert_eq!(number(&register, refund), 1);
    assert_eq!(
        number(&register, "SELECT count(*) FROM sale WHERE returned = '2026-11-24' AND picked = '2026-11-21'"),
        1
    );
    drop(register);
    // It can be sold again, and a third time is refused.
    desk.run("sold 4A-001F --price 20 --on 2026-11-25").done();
    desk.run("sold 4A-001F --price 20").refused_with(&["4A-001F is sold on 2026-11-25"]).done();
}

#[test]
fn what_was_refunded_before_counts() {
    let desk = desk();
    let part = desk.json("refund 4A-001F 5 --on 2026-11-23");
    let figures = |answer: &Value| ["refund", "postage", "price", "refunded"].map(|member| answer[member].clone());
    assert_eq!(figures(&part["refunded"][0]), ["5.00", "0.00", "24.95", "5.00"].map(|text| json!(text)));
    assert_eq!(part["refunded"][0]["status"], "picked");
    let back = desk.run("return 4A-001F --in 4A --on 2026-11-24").done().stdout;
    assert!(
        back.ends_with("refunded 19.95 for order 77, the rest of what the buyer paid; 24.95 of 24.95 in all\n"),
        "{back}"
    );
    desk.run("refund 4A-001F 0.01")
        .refused("0.01 is more than the 0.00 that can still be given back for 4A-001F")
        .done();
}

#[test]
fn one_that_was_not_picked_comes_back_as_well() {
    let desk = desk();
    let back = desk.json("return 4A-002C --in 4A --refund 0 --on 2026-11-24");
    assert_eq!((&back["returned"][0]["refund"], &back["returned"][0]["status"]), (&json!("0.00"), &json!("held")));
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM refund"), 0);
    assert_eq!(codes(&desk.json("pick"), "round"), ["4A-003A"]);
    // Looked at later, and something was given back after all.
    desk.run("refund 4A-002C 3")
        .stdout("4A-002C  Board game, 12 geese: in 4A, Loft, rack 1, level 2\nrefunded 3.00; 3.00 of 12.00 in all\n")
        .done();
}

#[test]
fn a_price_that_is_not_known_is_not_refunded_by_itself() {
    let desk = desk();
    let before = desk.dump();
    let why = "what the buyer paid for 4A-003A is not known; give the amount with --refund, or the price with \
               `stowmark sold 4A-003A --amend --price AMOUNT`";
    desk.run("return 4A-003A --in 4A").refused(why).done();
    assert_eq!(desk.dump(), before);
    desk.run("return 4A-003A --in 4A --refund 7.50").done();
    assert_eq!(number(&desk.register(), "SELECT sum(amount) FROM refund"), 750);
}

#[test]
fn nothing_is_given_back_beyond_the_price() {
    let desk = desk();
    desk.run("item add 'Cake tin' --bin 4B").done();
    let before = desk.dump();
    let cases = [
        ("refund 4A-001F 24.96", "24.96 is more than the 24.95 that can still be given back for 4A-001F"),
        ("return 4A-001F --in 4C --refund 30", "30.00 is more than the 24.95"),
        ("return 4A-001F --in 9C", "there is nothing with the code `9C`"),
        ("return 4A-001F --in 4A-002C", "`4A-002C` is an item"),
        ("return 4B-001J --in 4C", "4B-001J is not sold: it is held"),
        ("refund 4B-001J 3", "4B-001J is not sold: it is held"),
        ("refund 4A-001F x", "AMOUNT: `x` is no amount"),
        ("refund 4A-001F -3", "AMOUNT: `-3` is negative"),
    ];
    for (words, why) in cases {
        desk.run(words).refused_with(&[why]).done();
    }
    desk.run("return 4A-001F").code(2).stdout("").any_stderr().done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn what_is_gone_is_found_with_its_day_and_why() {
    let desk = desk();
    desk.run("item add Whisk").done();
    desk.run("item add 'Cake tin' --bin 4B").done();
    let gone = desk.json("gone 4B-001J '#4' --why 'given to the fair' --on 2026-11-22");
    assert_eq!(gone["gone"][0]["why_gone"], "given to the fair");
    desk.run("find 4B-001J").stdout("4B-001J  Cake tin: gone since 2026-11-22: given to the fair\n").done();
    desk.run("find '#4'").stdout("#4  Whisk: gone since 2026-11-22: given to the fair\n").done();
    desk.run("scan").stdin("4B001J\n").stdout("4B-001J  Cake tin: gone since 2026-11-22: given to the fair\n").done();
    let before = desk.dump();
    desk.run("gone 4B-001J --why lost").refused("4B-001J is gone already, since 2026-11-22: given to the fair").done();
    desk.run("gone 4A-001F --why lost")
        .refused_with(&["4A-001F is sold and picked", "`stowmark refund 4A-001F AMOUNT`"])
        .done();
    desk.run("gone 4A-002C --why ' '").refused_with(&["is empty"]).done();
    desk.run("gone 4A-002C").code(2).stdout("").any_stderr().done();
    assert_eq!(desk.dump(), before);
    // It turns up again.
    desk.run("put 4B-001J --in 4C").stdout("4C-001N (was 4B-001J): into 4C, Loft, rack 1, level 2\n").done();
    desk.run("put '#4' --in 4C").done();
    assert_eq!(desk.json("find 4B-001J")["matches"][0]["status"], "held");
    assert_eq!(desk.json("bin show 4C")["items"], 2);
}

#[test]
fn a_sold_item_that_is_lost_stays_sold() {
    let desk = desk();
    let note = "4A-002C is off the picking round and still sold: `stowmark refund 4A-002C 12.00` gives the money back; \
                `stowmark put 4A-002C --in BIN` puts it on the round again when it is found\n";
    desk.run("gone 4A-002C --why 'not in its bin' --on 2026-11-22").stderr(note).done();
    assert_eq!(codes(&desk.json("pick"), "round"), ["4A-003A"]);
    let told =
        "4A-002C  Board game, 12 geese: gone since 2026-11-22: not in its bin; sold on 2026-11-20, not picked yet\n";
    desk.run("find 4A-002C").stdout(told).done();
    desk.run("sold 4A-002C").refused_with(&["4A-002C is sold on 2026-11-20"]).done();
    // What it had cost is in its sale, and not lost a second time.
    assert_eq!(desk.json("takings --from 2026-11-01 --to 2026-11-30")["total"]["gone"], 0);
    desk.run("check").done();
    desk.run("put 4A-002C --in 4B").done();
    assert_eq!(codes(&desk.json("pick"), "round"), ["4A-003A", "4A-002C"]);
    desk.run("gone 4A-002C --why 'not in its bin'").any_stderr().done();
    desk.run("refund 4A-002C 12").done();
    desk.run("return 4A-002C --in 4B --refund 0").done();
    let item = desk.json("find 4A-002C")["matches"][0].clone();
    assert_eq!((&item["status"], &item["gone_on"], &item["sold_on"]), (&json!("held"), &Value::Null, &Value::Null));
}

#[test]
fn all_of_it_is_taken_back() {
    let steps = [
        "return 4A-001F --in 4C --postage 2",
        "return 4A-002C --in 4C --refund 1",
        "refund 4A-001F 5 --postage 1",
        "gone 4A-002C --why lost",
        "gone 4A-002C 4A-003A --why lost",
    ];
    let desk = desk();
    let state = |desk: &Desk| {
        let mut rows = desk.dump();
        rows.retain(|row| {
            ["item: ", "sale: ", "refund: ", "bin: ", "name: "].iter().any(|table| row.starts_with(table))
        });
        rows
    };
    let before = state(&desk);
    for step in steps {
        desk.run(step).any_stderr().done();
        assert_ne!(state(&desk), before, "{step}");
        desk.run("undo").done();
        assert_eq!(state(&desk), before, "{step}");
    }
    desk.run("refund 4A-001F 5").done();
    desk.run("return 4A-001F --in 4C").done();
    let refund = number(&desk.register(), "SELECT max(id) - 1 FROM change");
    desk.run("sold 4A-001F --price 9 --on 2026-11-25").done();
    desk.run(&format!("undo --change {}", refund + 1)).refused_with(&["sell 4A-001F"]).done();
    desk.run("undo --last 3").done();
    assert_eq!(state(&desk), before);
}
