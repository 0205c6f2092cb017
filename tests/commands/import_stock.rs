//! `item import` of stock: bins, labels from before, codes of this program, and the price of a lot

use serde_json::{Value, json};

use super::support::{Desk, codes, strings};

fn desk(csv: &str) -> Desk {
    let desk = Desk::with_items();
    desk.file("stock.csv", csv);
    desk
}

/// The values of a member of the items of an answer.
fn each<'a>(answer: &'a Value, member: &str) -> Vec<&'a Value> {
    answer["items"].as_array().unwrap().iter().map(|item| &item[member]).collect()
}

#[test]
fn rows_that_name_a_bin_go_there() {
    let rows = "title,tub\nPan,4b\nPot,\nLid,4C00V\nLadle,\n";
    let desk = desk(rows);
    let answer = desk.run("--json item import stock.csv --bin 4F").done().json();
    assert_eq!(each(&answer, "bin"), ["4B", "4F", "4C", "4F"]);
    let answer = desk.run("--json item import stock.csv --again").done().json();
    assert_eq!(each(&answer, "bin"), [&json!("4B"), &Value::Null, &json!("4C"), &Value::Null]);
    assert_eq!(each(&answer, "status"), ["held", "waiting", "held", "waiting"]);
    let told = desk.run("item import stock.csv --again").done().stdout;
    assert!(told.ends_with("4 items came in, 2 of them wait for a bin: `stowmark put --waiting --in BIN`\n"), "{told}");
}

#[test]
fn bins_that_are_not_there_refuse_their_rows() {
    let desk = desk("title,bin\nPan,4B\nPot,9Z\nLid,4X\nLadle,4A-001F\n");
    desk.run("bin add 4").done();
    desk.run("undo").done();
    desk.file("back.csv", "title,bin\nPan,4G\n");
    let before = desk.dump();
    let parts = [
        "3 rows are wrong",
        "stock.csv:3: bin: there is no bin `9Z`; `stowmark bin list` shows all\n",
        "stock.csv:4: bin: there is nothing with the code `4X`; did you mean 4",
        "stock.csv:5: bin: `4A-001F` is an item; give the code of a bin, such as 4A\n",
    ];
    desk.run("item import stock.csv").refused_with(&parts).done();
    desk.run("item import back.csv").refused_with(&["back.csv:2: bin: bin 4G was taken back"]).done();
    assert_eq!(desk.dump(), before);
    let answer = desk.run("--json item import stock.csv --skip-bad").any_stderr().done().json();
    assert_eq!((each(&answer, "title"), answer["refused"].as_array().unwrap().len()), (vec![&json!("Pan")], 3));
}

#[test]
fn labels_from_before_are_found_by_hand_and_by_a_reader() {
    let desk = desk("title;SKU;bin\nKettle;K 117;4B\nFish pan;\"00451; 4012345678901\";4B\nWhisk;;4B\n");
    desk.run("item import stock.csv").done();
    for typed in ["K 117", "k117", "K-117", " k 117 "] {
        assert_eq!(codes(&desk.run("--json find").args(&[typed]).done().json(), "matches"), ["4B-001J"], "{typed}");
    }
    let found = desk.run("--json find 4012345678901").done().json();
    assert_eq!(found["matches"][0]["old_codes"], json!(["00451", "4012345678901"]));
    assert_eq!(desk.json("find Whisk")["matches"][0].get("old_codes"), None);
    desk.run("find K117").stdout("4B-001J  Kettle: in 4B, Loft, rack 1, level 2 (old code K 117)\n").done();
    desk.run("find fish").stdout_has("(old codes 00451, 4012345678901)").done();
    // AIM prefixes of EAN-13 and Code 39 (ISO/IEC 15424).
    let read = desk.run("--json scan").stdin("]E04012345678901\r\n]A0K 117\n00452\n").done().json_lines();
    let found: Vec<Vec<String>> = read.iter().map(|line| codes(line, "matches")).collect();
    assert_eq!(found, [vec!["4B-002G".to_owned()], vec!["4B-001J".to_owned()], vec![]]);
    desk.run("put K117 --in 4C").done();
    assert_eq!(desk.json("find k117")["matches"][0]["bin"], "4C");
}

/// A label such as `4A-001` may be a code without its check letter as well.
#[test]
fn what_may_be_two_things_is_shown_and_not_taken() {
    let desk = desk("title;old number;bin\nKettle;4A-001;4B\nWhisk;4A-009;4B\n");
    desk.run("item import stock.csv").done();
    assert_eq!(codes(&desk.json("find 4A-001"), "matches"), ["4A-001F", "4B-001J"]);
    let before = desk.dump();
    let why = "`4A-001` may be 4A-001F (Copper jam pan), or 4B-001J (Kettle) by its old code; \
        give the code of the one in full";
    desk.run("put 4A-001 --in 4C").refused(why).done();
    assert_eq!(desk.dump(), before);
    desk.run("put 4A-001F 4A009 --in 4C").done();
    let read = desk.run("--json scan").stdin("4A001\n4A001F\n").done().json_lines();
    assert_eq!(
        (codes(&read[0], "matches"), codes(&read[1], "matches")),
        (vec!["4B-001J".into()], vec!["4C-001N".into()])
    );
}

#[test]
fn labels_that_clash_refuse_their_rows() {
    let rows = "title;old code\nPan;K 1\nPot;k-1\nLid;T 9\nLadle;4A-001F\nSieve;4.01235E+12\nWhisk;\"K 2; K2\"\n";
    let desk = desk(rows);
    desk.run("item alias 4A-001F").args(&["T9"]).done();
    let before = desk.dump();
    let parts = [
        "4 rows are wrong",
        "stock.csv:3: old code: `k-1` stands on line 2 already\n",
        "stock.csv:4: old code: `T 9` can't be taken: it stands for Copper jam pan already\n",
        "stock.csv:5: old code: `4A-001F` can't be taken: it reads like a code that this program gives\n",
        "stock.csv:6: old code: `4.01235E+12` is a number that a spreadsheet has shortened; make its column text",
    ];
    desk.run("item import stock.csv").refused_with(&parts).done();
    assert_eq!(desk.dump(), before);
    let answer = desk.run("--json item import stock.csv --skip-bad").any_stderr().done().json();
    assert_eq!(each(&answer, "title"), ["Pan", "Whisk"]);
}

/// As this program exports items.
fn exported(desk: &Desk) -> String {
    let mut csv = String::from("code,title,bin,area,spot,cost,asking,bought,note,old code,state\n");
    for item in desk.json("item list")["items"].as_array().unwrap() {
        let text = |name: &str| item[name].as_str().unwrap_or_default().to_owned();
        let fields = ["code", "title", "bin", "area", "spot", "cost", "asking", "bought", "note", "old", "status"];
        let fields = fields.map(|name| format!("\"{}\"", text(name)));
        csv += &(fields.join(",") + "\n");
    }
    csv
}

#[test]
fn an_exported_file_comes_in_again_and_changes_nothing() {
    let desk = Desk::with_items();
    desk.run("item edit 4A-002C --note").args(&["one die missing"]).done();
    desk.file("items.csv", exported(&desk));
    let before = desk.dump();
    for _ in 0..2 {
        let answer = desk.run("--json item import items.csv").any_stderr().done().json();
        assert_eq!((&answer["items"], &answer["changed"], &answer["unchanged"]), (&json!([]), &json!([]), &json!(3)));
        assert_eq!(answer["unread"], json!(["area", "spot", "state"]));
    }
    let told = desk.run("item import items.csv --bin 4C").any_stderr().done();
    assert_eq!(told.stdout, "0 items changed, 3 as they were\n");
    assert_eq!(desk.dump(), before);
}

#[test]
fn rows_with_a_code_change_their_item_and_others_are_new() {
    let rows = "code;title;bin;cost;asking;note;old code\n\
        4A-001F;Copper jam pan, 28 cm;4B;;27,95;lid dented;K 117\n\
        4A-002C;Board game, 12 geese;;;;;\n\
        ;Whisk;4C;1;2;;\n\
        #4;Kettle, mended;4D;5;9;;\n";
    let desk = desk(rows);
    desk.run("item add Kettle --cost 5").done();
    let before = desk.json("item list");
    let answer = desk.run("--json item import stock.csv").done().json();
    assert_eq!(
        (codes(&answer, "items"), codes(&answer, "changed")),
        (
            vec!["4C-001N".to_owned()],
            vec!["4B-001J".to_owned(), answer["changed"][1]["code"].as_str().unwrap().to_owned()],
        )
    );
    assert_eq!(answer["unchanged"], 1);
    let pan = &answer["changed"][0];
    let said = json!([pan["title"], pan["bin"], pan["cost"], pan["asking"], pan["bought"], pan["note"]]);
    assert_eq!(said, json!(["Copper jam pan, 28 cm", "4B", null, "27.95", "2026-11-21", "lid dented"]));
    assert_eq!(codes(&desk.json("find K117"), "matches"), ["4B-001J"]);
    assert_eq!(
        (&answer["changed"][1]["bin"], &answer["changed"][1]["title"]),
        (&json!("4D"), &json!("Kettle, mended"))
    );
    let told = desk.run("item import stock.csv --again").done().stdout;
    assert!(
        told.ends_with("\n0 items changed, 3 as they were\n1 item came in; `stowmark tag` prints their tags\n"),
        "{told}"
    );
    // All of it in one change each.
    desk.run("undo --last 2").done();
    let left = desk.json("item list");
    assert_eq!(left["items"][0], before["items"][0]);
    assert_eq!(strings(&desk.register(), "SELECT title FROM item WHERE state NOT IN ('undone')").len(), 4);
    desk.run("find K117").code(3).done();
}

#[test]
fn a_list_of_prices_needs_no_titles() {
    let desk = desk("Code,Price\n4a001f,30\n4A-003A,12.50\n");
    let told = desk.run("item import stock.csv").done().stdout;
    assert!(told.ends_with("2 items changed, 0 as they were\n"), "{told}");
    let prices: Vec<Value> =
        desk.json("item list")["items"].as_array().unwrap().iter().map(|item| item["asking"].clone()).collect();
    assert_eq!(prices, [json!("30.00"), Value::Null, json!("12.50")]);
}

#[test]
fn codes_that_can_not_be_taken_refuse_their_rows() {
    let desk = desk("Code,Title\n4A-001F,Pan\nK 117,Pot\n4A-001A,Lid\n4A,Bin\n4A-001F,Pan again\n#99,Nothing\n,\n");
    let before = desk.dump();
    let parts = [
        "5 rows are wrong",
        "stock.csv:3: Code: there is no item `K 117`; leave the cell empty for a new one, or say --map old=\"Code\" if \
         the column holds codes of your own\n",
        "stock.csv:4: Code: there is nothing with the code `4A-001A`; did you mean 4A-001F",
        "stock.csv:5: Code: `4A` is a bin; give the code of an item",
        "stock.csv:6: Code: 4A-001F stands on line 2 already\n",
        "stock.csv:7: Code: there is no item `#99`",
    ];
    desk.run("item import stock.csv").refused_with(&parts).done();
    assert_eq!(desk.dump(), before);
    let answer = desk.file("own.csv", "Code,Title\nK 117,Pot\n").run("--json item import own.csv --map old=Code");
    assert_eq!(each(&answer.done().json(), "title"), ["Pot"]);
    assert_eq!(desk.json("find k117")["matches"][0]["title"], "Pot");
}

fn costs(rows: &str, options: &str) -> Vec<String> {
    let desk = desk(rows);
    let answer = desk.run(&format!("--json item import stock.csv {options}")).done().json();
    each(&answer, "cost").iter().map(|cost| cost.as_str().unwrap_or("none").to_owned()).collect()
}

/// By hand: 35.00 by 24.95 : 9.95 : 14.90 is 17.5351, 6.9930 and 10.4719; the cent that is left over goes to the first,
/// whose remainder is the largest.
#[test]
fn the_price_of_a_lot_is_shared_to_the_last_cent() {
    let rows = "title,asking,cost\nPan,24.95,\nPot,9.95,\nLid,14.90,\n";
    assert_eq!(costs(rows, "--lot-cost 35"), ["11.67", "11.67", "11.66"]);
    assert_eq!(costs(rows, "--lot-cost 35 --lot-by asking"), ["17.54", "6.99", "10.47"]);
    assert_eq!(costs(rows, "--lot-cost 0.02"), ["0.01", "0.01", "0.00"]);
    let rows = "title,asking,cost\nPan,24.95,\nPot,9.95,2\nLid,14.90,0\nLadle,1,\n";
    assert_eq!(costs(rows, "--lot-cost 5"), ["2.50", "2.00", "0.00", "2.50"]);
}

#[test]
fn a_price_that_can_not_be_shared_is_refused() {
    let cases = [
        ("title,cost\nPan,3\n", "--lot-cost 5", "no new item of the file is without a cost of its own"),
        ("title,asking\nPan,3\nPot,\n", "--lot-cost 5 --lot-by asking", "line 3: `Pot` has no asking price"),
        ("title,asking\nPan,0\nPot,0\n", "--lot-cost 5 --lot-by asking", "all asking prices are zero"),
        ("title\nPan\n", "--lot-cost -5", "--lot-cost: `-5` is negative"),
        ("title,asking\nPan,x\nPot,1\n", "--lot-cost 5", "1 row is wrong"),
    ];
    for (rows, options, why) in cases {
        let desk = desk(rows);
        let before = desk.dump();
        desk.run(&format!("item import stock.csv {options}")).refused_with(&[why]).done();
        assert_eq!(desk.dump(), before, "{options}");
    }
    let desk = desk("title\nPan\n");
    desk.run("item import stock.csv --lot-cost 5 --skip-bad").code(2).stderr_has(&["--skip-bad"]).done();
    desk.run("item import stock.csv --lot-by asking").code(2).stderr_has(&["--lot-cost"]).done();
}
