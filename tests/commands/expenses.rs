//! `expense`

use serde_json::json;

use super::support::Desk;

fn tape() -> serde_json::Value {
    json!({"number": 1, "day": "2026-11-21", "amount": "12.50", "what": "Packing tape, 6 rolls"})
}

#[test]
fn expenses_are_entered_and_listed_by_day() {
    let desk = Desk::with_bins();
    let added = desk.json("expense add 12,50 Packing tape, '6 rolls' --on 21.11.2026");
    assert_eq!(added, json!({"expenses": [tape()]}));
    let line = "expense 2, 2026-11-20: 8.40 for Bus to the flea market\n";
    desk.run("expense add 8.4 'Bus to the flea market' --on 2026-11-20").stdout(line).done();
    let table = "number  day         amount  for
     2  2026-11-20    8.40  Bus to the flea market
     1  2026-11-21   12.50  Packing tape, 6 rolls
        total        20.90\n";
    desk.run("expense list").stdout(table).done();
    assert_eq!(desk.json("expense list --from 2026-11-21"), json!({"expenses": [tape()], "total": "12.50"}));
    desk.run("expense list --to 2026-11-19").stdout("no expenses\n").done();
}

#[test]
fn each_is_a_change_of_its_own() {
    let desk = Desk::with_bins();
    desk.run("expense add 12.50 Packing tape, '6 rolls' --on 2026-11-21").done();
    desk.run("expense remove 1").stdout("removed: expense 1, 2026-11-21: 12.50 for Packing tape, 6 rolls\n").done();
    desk.run("expense list").stdout("no expenses\n").done();
    desk.run("undo").done();
    assert_eq!(desk.json("expense list")["expenses"], json!([tape()]));
    desk.run("undo").done();
    desk.run("expense list").stdout("no expenses\n").done();
}

#[test]
fn what_makes_no_sense_is_refused() {
    let desk = Desk::with_bins();
    desk.run("expense add 12.50 Tape").done();
    let before = desk.dump();
    desk.run("expense add -3 Tape").refused("AMOUNT: `-3` is negative; amounts are zero or more").done();
    desk.run("expense add much Tape").refused("AMOUNT: `much` is no amount; write it as 3.50").done();
    desk.run("expense add 3 ' '").refused("the title or name is empty").done();
    desk.run("expense add 3").code(2).stdout("").any_stderr().done();
    desk.run("expense remove 2").refused("there is no expense 2; `stowmark expense list` shows all").done();
    assert_eq!(desk.dump(), before);
}

/// An amount in cents would be one in yen.
#[test]
fn the_currency_keeps_its_decimals_once_there_are_expenses() {
    let desk = Desk::with_bins();
    desk.run("expense add 12.50 Tape").done();
    desk.run("set currency JPY").refused_with(&["amounts are in 2 decimals already"]).done();
    desk.run("set currency EUR").done();
}
