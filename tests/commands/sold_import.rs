//! `sold import`

use serde_json::{Value, json};

use super::support::{Desk, codes, number};

/// The three items, and two with the same title in 4B.
fn desk() -> Desk {
    let desk = Desk::with_items();
    desk.run("item add 'Tea pot' --bin 4B").done();
    desk.run("item add 'Tea pot' --bin 4B").done();
    desk
}

/// As the pages of a shop may write it.
const ORDERS: &str = "\
Order number;SKU;Item title;Total;Selling fees;Postage cost;Order date;Buyer
77;4A001F;Pan;24,95;3,20;4,90;20/11/2026 18:04;x
78;4a-002c;Game;12;;;3/11/2026 09:30;y
";

fn lines(rows: &Value) -> Vec<u64> {
    rows.as_array().unwrap().iter().map(|row| row["line"].as_u64().unwrap()).collect()
}

#[test]
fn orders_are_sold_by_code() {
    let desk = desk();
    desk.file("orders.csv", ORDERS);
    let answer = desk.run("--json sold import orders.csv").any_stderr().done().json();
    assert_eq!(codes(&answer, "sold"), ["4A-001F", "4A-002C"]);
    let members = ["price", "fees", "postage", "sold_on", "order"].map(|member| answer["sold"][0][member].clone());
    assert_eq!(members, ["24.95", "3.20", "4.90", "2026-11-20", "77"].map(Value::from));
    assert_eq!((&answer["dates"], &answer["unread"]), (&json!("day-first"), &json!(["Buyer"])));
    assert_eq!(answer["columns"]["price"], "Total");
    assert_eq!(codes(&desk.json("pick"), "round"), ["4A-001F", "4A-002C"]);
    assert_eq!(desk.json("undo")["undone"][0]["what"], "import 2 sales of orders.csv");
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM sale"), 0);
    desk.run("pick").code(3).any_stderr().done();
}

#[test]
fn a_file_that_overlaps_is_harmless() {
    let desk = desk();
    desk.file("orders.csv", ORDERS);
    desk.run("sold import orders.csv").any_stderr().done();
    let before = desk.dump();
    let answer = desk
        .run("--json sold import orders.csv")
        .stderr_has(&["line 2: 4A-001F is on record as sold on 2026-11-20 for order 77"])
        .done()
        .json();
    assert_eq!((lines(&answer["skipped"]), answer["sold"].as_array().unwrap().len()), (vec![2, 3], 0));
    assert_eq!(desk.dump(), before);
    // Also when one of them has come back meanwhile.
    desk.run("return 4A-001F --in 4A").done();
    desk.file("more.csv", format!("{ORDERS}79;4A-003A;Hat;9;;;22/11/2026;z\n"));
    let answer = desk.run("--json sold import more.csv").any_stderr().done().json();
    assert_eq!((lines(&answer["skipped"]), codes(&answer, "sold")), (vec![2, 3], vec!["4A-003A".to_owned()]));
    assert_eq!(desk.json("find 4A-001F")["matches"][0]["status"], "held");
}

#[test]
fn the_same_item_in_another_order_is_refused() {
    let desk = desk();
    desk.run("sold 4A-001F --price 20 --order 70 --on 2026-11-19").done();
    desk.run("sold 4A-003A --price 5 --on 2026-11-19").done();
    let before = desk.dump();
    desk.file("orders.csv", ORDERS);
    let why = "orders.csv:2: SKU: 4A-001F is sold on 2026-11-19 for order 70, not picked yet; this row has another order or day";
    desk.run("sold import orders.csv").refused_with(&["1 row is wrong", why]).done();
    assert_eq!(desk.dump(), before);
    // Without an order it is the day that counts.
    desk.file("days.csv", "code,date\n4A-003A,2026-11-19\n");
    assert_eq!(lines(&desk.run("--json sold import days.csv").any_stderr().done().json()["skipped"]), [2]);
    desk.file("days.csv", "code,date\n4A-003A,2026-11-18\n");
    desk.run("sold import days.csv").refused_with(&["this row has another order or day"]).done();
}

#[test]
fn titles_are_never_taken_in_silence() {
    let desk = desk();
    let before = desk.dump();
    desk.file("titles.csv", "title,price,order,date\ncopper  JAM pan,20,77,2026-11-20\n");
    let why = "titles.csv:2: title: `copper JAM pan`: there is no code, and the title is that of 4A-001F; put the code into the file, or take what has that very title with --yes";
    desk.run("sold import titles.csv").refused_with(&[why]).done();
    let refused = desk.run("--json sold import titles.csv").code(1).any_stderr().done().json();
    assert_eq!((&refused["sold"], lines(&refused["refused"])), (&json!([]), vec![2]));
    assert_eq!(desk.dump(), before);
    let note = "line 2: `copper JAM pan` taken for 4A-001F  Copper jam pan\n";
    let taken = desk.run("--json sold import titles.csv --yes").stderr(note).done().json();
    assert_eq!((codes(&taken, "sold"), &taken["by_title"][0]["code"]), (vec!["4A-001F".to_owned()], &json!("4A-001F")));
    let again = desk.run("--json sold import titles.csv").any_stderr().done().json();
    assert_eq!(lines(&again["skipped"]), [2]);
}

#[test]
fn titles_that_may_be_several_are_refused() {
    let desk = desk();
    let before = desk.dump();
    desk.file("titles.csv", "title,price\nTea pot,20\nGeese,3\nCake tin,4\n,5\n");
    let parts = [
        "titles.csv:2: title: `Tea pot`: it is the title of 4B-001J, 4B-002G; put the code into the file",
        "titles.csv:3: title: `Geese`: meant may be 4A-002C; put the code into the file",
        "titles.csv:4: title: `Cake tin`: no item that is for sale has this title; put the code into the file",
        "titles.csv:5: title: the cell is empty, so it can't be told what was sold",
    ];
    desk.run("sold import titles.csv --yes").refused_with(&parts).done();
    assert_eq!(desk.dump(), before);
    // One of two is sold; the other one is meant then.
    desk.run("sold 4B-001J --price 3 --order 1 --on 2026-11-20").done();
    desk.file("titles.csv", "title,price,order\nTea pot,20,2\n");
    let sold = desk.run("--json sold import titles.csv --yes").any_stderr().done().json();
    assert_eq!(codes(&sold, "sold"), ["4B-002G"]);
}

#[test]
fn labels_from_before_are_codes_too() {
    let desk = desk();
    desk.run("item alias 4A-003A 'K-117'").done();
    desk.file("orders.csv", "stock code,price,date\nk117,20,2026-11-20\n");
    assert_eq!(codes(&desk.json("sold import orders.csv"), "sold"), ["4A-003A"]);
}

#[test]
fn columns_are_named_by_the_user_and_remembered() {
    let desk = desk();
    desk.file("own.csv", "Ref;What;Got;When\n1;4A-001F;20;1/12/2026\n");
    let why = ["`own.csv`: no column holds the code or the title", "--map code=\"HEADING\""];
    desk.run("sold import own.csv").refused_with(&why).done();
    let mapped = "sold import own.csv --map code=What --map price=Got --map order=Ref --map date=When";
    desk.run(mapped).refused_with(&["`1/12/2026` could be 1 December or 12 January", "--dates day-first"]).done();
    desk.run(&format!("{mapped} --dates day-first --remember")).any_stderr().done();
    desk.file("own.csv", "Ref;What;Got;When\n2;4A-002C;9;2/12/2026\n");
    let sold = desk.run("--json sold import own.csv").any_stderr().done().json();
    let members = ["price", "sold_on", "order"].map(|member| sold["sold"][0][member].clone());
    assert_eq!(members, ["9.00", "2026-12-02", "2"].map(Value::from));
}

#[test]
fn either_all_rows_come_in_or_the_good_ones() {
    let desk = desk();
    let before = desk.dump();
    desk.file("orders.csv", format!("{ORDERS}79;4A-003X;Hat;9;;;22/11/2026;z\n80;4A-001F;Pan;-9;;;22/11/2026;z\n81;4A-001F;Pan;9;;;22/11/2026;z\n"));
    let parts = [
        "3 rows are wrong",
        "orders.csv:4: SKU: there is nothing with the code `4A-003X`; did you mean 4A-003A",
        "orders.csv:5: Total: `-9` is negative",
        "orders.csv:6: SKU: 4A-001F stands on line 2 already",
    ];
    desk.run("sold import orders.csv").refused_with(&parts).done();
    assert_eq!(desk.dump(), before);
    let answer = desk.run("--json sold import orders.csv --skip-bad").any_stderr().done().json();
    assert_eq!((codes(&answer, "sold").len(), lines(&answer["refused"])), (2, vec![4, 5, 6]));
    let left = String::from_utf8(desk.read("orders.refused.csv")).unwrap();
    assert!(left.contains("79;4A-003X;Hat;9;;;22/11/2026;z;") && left.lines().count() == 4, "{left}");
}

#[test]
fn rows_without_price_and_day_are_told() {
    let desk = desk();
    desk.run("item add Whisk").done();
    desk.file("orders.csv", "code,price\n4A-001F,\n");
    let notes = [
        "rows without a date, the first on line 2, count as sold today",
        "the price is not known; `stowmark sold 4A-001F --amend",
    ];
    let sold = desk.run("--json sold import orders.csv").stderr_has(&notes).done().json();
    assert_eq!(sold["sold"][0]["price"], Value::Null);
    desk.file("orders.csv", "code,price\n#6,3\n");
    desk.run("sold import orders.csv").refused_with(&["#6 can't be sold: it is waiting for a bin"]).done();
    desk.run("sold import missing.csv").refused_with(&["`missing.csv` can't be read"]).done();
}
