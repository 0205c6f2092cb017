//! `export`

use rusqlite::Connection;
use serde_json::json;

use super::support::{Desk, REGISTER};

/// Changes the register past the program: other commands make these rows, and other tests look after them.
fn execute(desk: &Desk, sql: &str) {
    Connection::open(desk.path(REGISTER)).unwrap().execute_batch(sql).unwrap();
}

fn text(desk: &Desk, name: &str) -> String {
    String::from_utf8(desk.read(name)).unwrap()
}

/// RFC 4180, section 2: CRLF, a line of headings, quotes around commas and quotes.
#[test]
fn items_are_csv_with_headings_that_an_import_knows() {
    let desk = Desk::with_items();
    desk.run("item add --bin 4B --note=-lid --old 'K 117' --old 'Z-9'").args(&["12\" wok, \"large\""]).done();
    desk.run("item add Waiting").done();
    desk.run("export items items.csv").stdout("5 rows in items.csv\n").done();
    let csv = text(&desk, "items.csv");
    let today = csv.lines().nth(1).unwrap().split(',').find(|field| field.starts_with("20")).unwrap().to_owned();
    assert_eq!(today, "2026-11-21");
    let entered = desk.register().query_row("SELECT entered FROM item", [], |row| row.get::<_, String>(0)).unwrap();
    let expected = format!(
        "code,number,title,bin,area,area name,spot,state,cost,asking,bought,listed,entered,old code,note,gone,why gone,\
         litres,length,width,height,size,grams\r\n\
         4A-001F,1,Copper jam pan,4A,4,Loft,\"rack 1, level 2\",held,3.50,24.95,2026-11-21,,{entered},,,,,,,,,,\r\n\
         4A-002C,2,\"Board game, 12 geese\",4A,4,Loft,\"rack 1, level 2\",held,,,,,{entered},,,,,,,,,,\r\n\
         4A-003A,3,Knitting pattern: bobble hat,4A,4,Loft,\"rack 1, level 2\",held,0.00,,,,{entered},,,,,,,,,,\r\n\
         4B-001J,4,\"12\"\" wok, \"\"large\"\"\",4B,4,Loft,\"rack 1, level 2\",held,,,,,{entered},K 117; Z-9,'-lid,,,,,,,,\r\n\
         #5,5,Waiting,,,,,waiting,,,,,{entered},,,,,,,,,,\r\n"
    );
    assert_eq!(csv, expected);
}

#[test]
fn columns_separator_and_mark_are_chosen() {
    let desk = Desk::with_items();
    desk.run("export items a.csv --columns code,Old_Code,title --separator semicolon --bom").done();
    assert!(text(&desk, "a.csv").starts_with("\u{feff}code;old code;title\r\n4A-001F;;Copper jam pan\r\n"));
    desk.run("export items - --columns bin,code --separator ';' --bin 4A --state held")
        .stdout("bin;code\r\n4A;4A-001F\r\n4A;4A-002C\r\n4A;4A-003A\r\n")
        .done();
    desk.run("export items - --columns code --area 4 --state sold,gone").stdout("code\r\n").done();
    desk.run("export bins - --columns code,items --separator tab")
        .stdout("code\titems\r\n4A\t3\r\n4B\t0\r\n4C\t0\r\n4D\t0\r\n4F\t0\r\n")
        .done();
    let known = "there are code, area, area name, spot, stack, items, kind, litres, max kg, inside";
    desk.run("export bins b.csv --columns code,shelf").refused(&format!("there is no column `shelf`; {known}")).done();
    assert_eq!(desk.files(), ["a.csv"]);
}

/// OWASP, "CSV Injection" (CWE-1236): texts are guarded, amounts are not.
#[test]
fn texts_that_a_spreadsheet_would_run_are_guarded() {
    let desk = Desk::with_bins();
    for title in ["=1+1", "+1 row", "-lid", "@home", "'=x", "'70s set"] {
        desk.run("item add --bin 4A").args(&["--", title]).done();
    }
    let titles = desk.run("export items - --columns title").done().stdout;
    assert_eq!(titles, "title\r\n'=1+1\r\n'+1 row\r\n'-lid\r\n'@home\r\n''=x\r\n'70s set\r\n");
    let lines = desk.run("export listing-codes").done().stdout;
    assert!(lines.starts_with("=1+1\t4A-001F\n+1 row\t4A-002C\n"), "{lines}");
}

#[test]
fn json_has_the_same_columns() {
    let desk = Desk::with_items();
    desk.run("item alias 4A-001F 'K 117'").done();
    let columns = "--columns number,code,old_code,cost,bought,area_name";
    let expected = json!({"items": [
        {"number": 1, "code": "4A-001F", "old_code": ["K 117"], "cost": "3.50", "bought": "2026-11-21", "area_name": "Loft"},
        {"number": 2, "code": "4A-002C", "old_code": [], "cost": null, "bought": null, "area_name": "Loft"},
        {"number": 3, "code": "4A-003A", "old_code": [], "cost": "0.00", "bought": null, "area_name": "Loft"},
    ]});
    assert_eq!(desk.json(&format!("export items - {columns}")), expected);
    desk.run(&format!("export items items.json {columns}")).done();
    assert_eq!(serde_json::from_slice::<serde_json::Value>(&desk.read("items.json")).unwrap(), expected);
    assert_eq!(desk.json("export sales - "), json!({"sales": []}));
    assert_eq!(desk.json("export bins bins.csv"), json!({"file": "bins.csv", "rows": 5}));
}

#[test]
fn files_are_replaced_only_when_asked_and_never_the_register() {
    let desk = Desk::with_items();
    desk.file("items.csv", "mine")
        .run("export items items.csv")
        .refused("`[folder]/items.csv` is there already; give another name, or --force to replace it")
        .done();
    assert_eq!(desk.read("items.csv"), b"mine");
    desk.run("export items items.csv --force --columns code").done();
    assert_eq!(text(&desk, "items.csv"), "code\r\n4A-001F\r\n4A-002C\r\n4A-003A\r\n");
    desk.run("export items items.csv --force --columns kode").code(1).any_stderr().done();
    assert!(text(&desk, "items.csv").starts_with("code\r\n"));
    for name in ["items", "items.txt", "items.db"] {
        let why = format!("`{name}` ends in neither .csv nor .json; give it one of these ends, or - to see it here");
        desk.run(&format!("export items {name}")).refused(&why).done();
    }
    desk.run("export items no/items.csv")
        .refused_with(&["items.csv` could not be written; check that the folder"])
        .done();
    std::fs::rename(desk.path(REGISTER), desk.path("register.csv")).unwrap();
    let own = desk.bare("--register register.csv export items register.csv --force");
    own.refused("`register.csv` is the register; give another name").done();
    assert_eq!(
        desk.files(),
        ["items.csv", "register.csv", "register.csv.lock"]
            .into_iter()
            .filter(|name| desk.path(name).exists())
            .collect::<Vec<_>>()
    );
}

#[test]
fn listing_codes_are_titles_and_codes_of_what_is_for_sale() {
    let desk = Desk::with_items();
    desk.run("item add Waiting").done();
    desk.run("listed 4A-002C").any_stderr().done();
    let lines = "Copper jam pan\t4A-001F\nBoard game, 12 geese\t4A-002C\nKnitting pattern: bobble hat\t4A-003A\n";
    desk.run("export listing-codes").stdout(lines).done();
    let unlisted = json!({"items": [{"title": "Copper jam pan", "code": "4A-001F"},
        {"title": "Knitting pattern: bobble hat", "code": "4A-003A"}]});
    assert_eq!(desk.json("export listing-codes --unlisted"), unlisted);
    desk.run("export listing-codes codes.csv --unlisted --bom").stdout("2 rows in codes.csv\n").done();
    let csv = "\u{feff}title,code\r\nCopper jam pan,4A-001F\r\nKnitting pattern: bobble hat,4A-003A\r\n";
    assert_eq!(text(&desk, "codes.csv"), csv);
    desk.run("listed 4A-001F 4A-003A").any_stderr().done();
    desk.run("export listing-codes --unlisted").code(3).stdout("").stderr("there is nothing to list\n").done();
}

#[test]
fn moves_tell_what_came_into_bins_and_left_them() {
    let desk = Desk::with_items();
    for words in [
        "put 4A-002C --in 4B",
        "item edit 4A-002C --title Geese",
        "undo --last 2",
        "item add Ladle",
        "put '#4' --in 4C",
        "undo --last 2",
    ] {
        desk.run(words).done();
    }
    // As another command writes it, and as the journal had it before changes were kept.
    execute(
        &desk,
        r#"INSERT INTO change (at, what, first_row)
            SELECT '2026-11-22T10:00:00.000Z', 'picked', 1 + max(id) FROM journal;
        INSERT INTO journal (at, change, action, subject, key, item, before, after) SELECT '2026-11-22T10:00:00.000Z',
            max(id), 'item picked', 'item', 1, 1, '{"bin":1,"state":"sold"}', '{"bin":null,"state":"picked"}' FROM change;
        INSERT INTO journal (at, change, action, subject, key, item, before, after) SELECT '2026-11-23T10:00:00.000Z',
            max(id), 'item returned', 'item', 1, 1, '{"bin":null,"state":"picked"}', '{"bin":2,"state":"held"}' FROM change;
        INSERT INTO journal (at, change, action, subject, key, item, before, after) SELECT '2026-11-24T10:00:00.000Z',
            max(id), 'item gone', 'item', 1, 1, '{"bin":2,"state":"held"}', '{"bin":null,"state":"gone"}' FROM change;
        INSERT INTO journal (at, action, item, bin, after)
            VALUES ('2026-01-01T10:00:00.000Z', 'item added', 3, 1, '{"code":"4A-003A","bin":"4A","title":"Hat"}');
        INSERT INTO journal (at, action, item, bin, before, after)
            VALUES ('2026-01-02T10:00:00.000Z', 'item moved', 3, 2, '{"bin":"4A"}', '{"bin":"4B"}');
        INSERT INTO journal (at, action, subject, key, item, bin, after)
            VALUES ('2026-01-03T10:00:00.000Z', 'carried over', 'item', 3, 3, 2, '{"bin":2}');"#,
    );
    let moves = desk.run("export moves - --columns code,number,from,to,what").done().stdout;
    let expected = "code,number,from,to,what\r\n\
        4A-001F,1,,4A,entered\r\n4A-002C,2,,4A,entered\r\n4A-003A,3,,4A,entered\r\n\
        4A-002C,2,4A,4B,put\r\n4A-002C,2,4B,4A,put\r\n\
        ,4,,4C,put\r\n,4,4C,,taken back\r\n\
        4A-001F,1,4A,,picked\r\n4A-001F,1,,4B,returned\r\n4A-001F,1,4B,,gone\r\n\
        4A-003A,3,,4A,entered\r\n4A-003A,3,4A,4B,put\r\n";
    assert_eq!(moves, expected);
}

/// Profits worked by hand.
#[test]
fn sales_have_their_profit_where_it_is_known() {
    let desk = Desk::with_items();
    execute(
        &desk,
        "
        INSERT INTO sale (item, day, price, fees, postage, order_no, listed, returned) VALUES
            (1, '2026-11-20', 2500, 250, 480, 'A-1', '2026-11-10', '2026-11-24'),
            (1, '2026-11-25', 2600, 260, 490, NULL, NULL, NULL),
            (2, '2026-11-25', 900, 0, 0, '=2', '2026-11-25', NULL),
            (3, '2026-11-25', NULL, 0, 0, NULL, NULL, NULL);
        INSERT INTO refund (sale, day, amount, postage) VALUES (1, '2026-11-24', 2500, 390), (2, '2026-11-26', 100, 0),
            (2, '2026-11-27', 50, 0);",
    );
    let sales = desk
        .run("export sales - --columns code,sold,price,refunds,return_postage,cost,profit,order,days_to_sell")
        .done();
    // 25.00 - 2.50 - 4.80 - 25.00 - 3.90; 26.00 - 2.60 - 4.90 - 1.50 - 3.50; no cost; no price.
    let expected = "code,sold,price,refunds,return postage,cost,profit,order,days to sell\r\n\
        4A-001F,2026-11-20,25.00,25.00,3.90,3.50,-11.20,A-1,10\r\n\
        4A-001F,2026-11-25,26.00,1.50,0.00,3.50,13.50,,\r\n\
        4A-002C,2026-11-25,9.00,0.00,0.00,,,'=2,0\r\n\
        4A-003A,2026-11-25,,0.00,0.00,0.00,,,\r\n";
    assert_eq!(sales.stdout, expected);
    assert_eq!(desk.json("export sales - --columns profit")["sales"][0]["profit"], "-11.20");
}
