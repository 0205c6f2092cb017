//! Takings: figures, expenses, orders and files.

use crate::{
    client::{Answer, Client},
    support::Desk,
};

fn with_sale() -> Desk {
    let desk = Desk::with_items();
    desk.run(&["sold", "4A-001F", "--price", "24.95", "--fees", "2.10", "--on", "2026-11-22"]);
    desk
}

const ORDERS: &str = "code,price,fees,postage,date,order\n\
    4A-001F,24.95,2.10,5.49,2026-11-22,A1\n\
    4A-002C,12,,4,2026-11-23,A2\n";

/// Keeps a file, and gives the page that shows what is in it.
fn given(client: &Client, csv: &str) -> String {
    let answer = client.post_file("/takings/orders", &[], "orders.csv", csv.as_bytes());
    assert_eq!(answer.status, 303, "{}", answer.text());
    answer.location().to_owned()
}

/// What goes with the button of a page that shows what is in a file.
fn seen(client: &Client, look: &str) -> String {
    client.get(look).field("seen").unwrap_or_default()
}

/// Enters what a page shows.
#[track_caller]
fn enter(client: &Client, look: &str, fields: &[(&str, &str)]) -> Answer {
    let query: Vec<String> = fields.iter().map(|(name, value)| format!("{name}={value}")).collect();
    let seen = seen(client, &format!("{look}?{}", query.join("&")));
    client.done(&format!("{look}/enter"), &[fields, &[("seen", &seen)]].concat())
}

#[test]
fn nothing_yet_says_what_to_do_first() {
    let desk = Desk::empty();
    let client = desk.client();
    let page = client.get("/takings");
    assert!(page.has("Nothing was bought, sold or spent on these days."), "{}", page.text());
    assert!(client.get("/takings/expenses").has("No expenses yet"));
}

#[test]
fn figures_are_those_of_the_command() {
    let desk = with_sale();
    let client = desk.client();
    let total = &desk.json(&["takings", "--from", "2026-11-01", "--to", "2026-11-30", "--per", "week"])["total"];
    let page = client.get("/takings?from=2026-11-01&to=2026-11-30&per=week");
    for part in ["Takings from 2026-11-01 to 2026-11-30", "2026-W47", "<svg", "What is left, by age", "0 to 30 days"] {
        assert!(page.has(part), "{part}: {}", page.text());
    }
    let profit = total["profit"].as_str().unwrap();
    assert!(page.text().contains(&format!("Profit {profit}")), "{profit}: {}", page.text());
    assert!(!page.body().contains(" style="), "{}", page.body());
    let year = client.get("/takings?from=2025-06-01&to=2026-11-30&per=year").text();
    assert!(year.contains("2025") && year.contains(" 2026 "), "{year}");
}

#[test]
fn figures_can_be_saved_as_csv() {
    let desk = with_sale();
    let query = "from=2026-11-01&to=2026-11-30&per=month";
    let csv = desk.client().get(&format!("/takings/takings.csv?{query}"));
    desk.run(&["takings", "--from", "2026-11-01", "--to", "2026-11-30", "--per", "month", "--csv", "t.csv", "--bom"]);
    assert_eq!(csv.bytes, std::fs::read(desk.path("t.csv")).unwrap());
    assert_eq!(csv.header("content-disposition"), Some("attachment; filename=\"takings.csv\""));
}

#[test]
fn days_that_make_no_sense_are_refused_with_the_form() {
    let desk = with_sale();
    let client = desk.client();
    for (query, words) in [
        ("from=2026-12-01&to=2026-11-01", "lies before the first"),
        ("from=yesterday", "yesterday"),
        ("goal=500", "A goal is an amount and the day"),
        ("goal=much&by=2027-01-01", "much"),
    ] {
        let page = client.get(&format!("/takings?{query}"));
        assert!(page.status == 422 && page.has(words), "{query}: {} {}", page.status, page.text());
        assert!(page.field("goal").is_some(), "{query}");
    }
    let goal = client.get("/takings?from=2026-11-01&to=2026-11-30&goal=500&by=2099-01-01").text();
    assert!(goal.contains("Goal of 500.00 by 2099-01-01"), "{goal}");
}

#[test]
fn an_expense_is_entered_changed_removed_and_brought_back() {
    let desk = Desk::empty();
    let client = desk.client();
    let fields = [("amount", "12.50"), ("what", "Packing tape, 6 rolls"), ("day", "2026-11-21")];
    let page = client.done("/takings/expenses", &fields);
    assert!(page.has("Entered: 12.50 for Packing tape, 6 rolls, 2026-11-21."), "{}", page.text());
    let form = client.get("/takings/expenses?edit=1");
    assert_eq!(form.field("amount").as_deref(), Some("12.50"));
    let seen = form.field("seen").unwrap_or_default();
    let changed = [("number", "1"), ("seen", &seen), ("amount", "11"), ("what", "Packing tape"), ("day", "2026-11-20")];
    client.done("/takings/expenses", &changed);
    let listed = desk.json(&["expense", "list"])["expenses"].clone();
    assert_eq!(
        listed,
        serde_json::json!([{ "number": 1, "day": "2026-11-20", "amount": "11.00", "what": "Packing tape" }])
    );
    let removed = client.done("/takings/expenses/remove", &[("number", "1")]);
    assert!(removed.has("Removed: Packing tape, 2026-11-20."), "{}", removed.text());
    let change = removed.field("change").unwrap();
    client.done("/undo", &[("change", &change)]);
    assert_eq!(desk.json(&["expense", "list"])["expenses"], listed);
    desk.run(&["undo"]);
    // Succeeds only where all is as it should be.
    desk.run(&["check"]);
}

#[test]
fn an_expense_that_is_sent_twice_is_entered_once() {
    let desk = Desk::empty();
    let client = desk.client();
    let once = client.get("/takings/expenses").field("once").unwrap_or_default();
    let enter = |amount: &str| {
        let fields = [("once", once.as_str()), ("amount", amount), ("what", "Tape"), ("day", "2026-11-21")];
        client.post("/takings/expenses", &fields)
    };
    // What is refused is not entered yet.
    let refused = enter("twelve");
    assert_eq!((refused.status, refused.field("once")), (422, Some(once.clone())));
    assert!(client.follow(&enter("12.50")).has("Entered: 12.50 for Tape"));
    let again = client.follow(&enter("12.50"));
    assert!(again.has("entered already, so it was not entered again"), "{}", again.text());
    assert_eq!(desk.number("SELECT count(*) FROM expense"), 1);
    // The form that comes then is for another one.
    assert_ne!(again.field("once"), Some(once.clone()));
}

#[test]
fn an_expense_that_another_device_changed_is_not_overwritten() {
    let desk = Desk::empty();
    let (client, other) = (desk.client(), desk.client());
    client.done("/takings/expenses", &[("amount", "12.50"), ("what", "Tape"), ("day", "2026-11-21")]);
    let change = |client: &Client, amount: &str, seen: &str| {
        let fields = [("number", "1"), ("seen", seen), ("amount", amount), ("what", "Tape"), ("day", "2026-11-21")];
        client.post("/takings/expenses", &fields)
    };
    let seen = client.get("/takings/expenses?edit=1").field("seen").unwrap_or_default();
    assert_eq!(change(&other, "11", &seen).status, 303);
    let late = change(&client, "13", &seen);
    assert!(late.status == 409 && late.has("changed meanwhile"), "{} {}", late.status, late.text());
    assert_eq!(late.field("amount").as_deref(), Some("13"));
    assert_eq!(desk.json(&["expense", "list"])["expenses"][0]["amount"], "11.00");
    // Once it was looked at, it may be changed.
    assert_eq!(change(&client, "13", &late.field("seen").unwrap()).status, 303);
}

#[test]
fn a_wrong_expense_is_refused_and_nothing_typed_is_lost() {
    let desk = Desk::empty();
    let client = desk.client();
    for (fields, words) in [
        ([("amount", "twelve"), ("what", "Tape"), ("day", "")], "Amount: "),
        ([("amount", "12"), ("what", " "), ("day", "")], "What for: "),
        ([("amount", "12"), ("what", "Tape"), ("day", "31.11.2026")], "31.11.2026"),
    ] {
        let page = client.post("/takings/expenses", &fields);
        assert!(page.status == 422 && page.has(words), "{words}: {}", page.text());
        assert_eq!(page.field("amount").as_deref(), Some(fields[0].1));
    }
    let gone = client.post("/takings/expenses", &[("number", "7"), ("amount", "12"), ("what", "Tape")]);
    assert_eq!(gone.status, 422, "{}", gone.text());
    assert_eq!(desk.number("SELECT count(*) FROM expense"), 0);
}

#[test]
fn orders_are_seen_before_anything_is_sold() {
    let desk = Desk::with_items();
    let client = desk.client();
    let look = given(&client, ORDERS);
    let page = client.get(&look);
    for part in ["What would be sold", "Copper jam pan", "24.95", "Enter 2 sales"] {
        assert!(page.has(part), "{part}: {}", page.text());
    }
    assert_eq!(desk.number("SELECT count(*) FROM sale"), 0);
    let done = enter(&client, &look, &[]);
    assert!(done.has("2 items sold."), "{}", done.text());
    assert_eq!(desk.number("SELECT count(*) FROM sale"), 2);
    let again = client.get(&given(&client, ORDERS));
    assert!(again.has("On record already") && again.has("nothing to enter"), "{}", again.text());
    client.done("/undo", &[("change", &done.field("change").unwrap())]);
    assert_eq!(desk.number("SELECT count(*) FROM sale"), 0);
}

#[test]
fn bad_lines_are_shown_and_left_out() {
    let desk = Desk::with_items();
    let client = desk.client();
    let look = given(&client, &format!("{ORDERS}4A-001G,5,,,2026-11-23,A3\n4A-003A,x,,,2026-11-23,A4\n"));
    let page = client.get(&look);
    assert!(page.has("Bad lines") && page.has("4A-001G") && page.has("Save these rows as CSV"), "{}", page.text());
    let rest = client.get(&format!("{look}/refused.csv")).body();
    assert!(rest.contains("4A-001G") && !rest.contains("4A-002C"), "{rest}");
    let done = enter(&client, &look, &[]);
    assert!(done.has("2 items sold. 2 bad rows left out."), "{}", done.text());
}

#[test]
fn why_nothing_was_entered_is_told() {
    let desk = Desk::with_items();
    let client = desk.client();
    let look = given(&client, ORDERS);
    let seen = seen(&client, &look);
    // What is refused here shows only when the sales are written.
    let other = rusqlite::Connection::open(desk.path(crate::support::REGISTER)).unwrap();
    other
        .execute_batch("CREATE TRIGGER t BEFORE INSERT ON sale BEGIN SELECT RAISE(ABORT, 'no more room'); END")
        .unwrap();
    let refused = client.post(&format!("{look}/enter"), &[("seen", &seen)]);
    other.execute_batch("DROP TRIGGER t").unwrap();
    assert_eq!(refused.status, 422, "{}", refused.text());
    assert!(refused.body().contains("data-refusal") && refused.has("no more room"), "{}", refused.text());
    assert!(refused.has("Enter 2 sales"), "{}", refused.text());
    client.done(&format!("{look}/enter"), &[("seen", &refused.field("seen").unwrap())]);
    assert_eq!(desk.number("SELECT count(*) FROM sale"), 2);
}

#[test]
fn what_was_left_out_can_be_looked_at_afterwards() {
    let desk = Desk::with_items();
    let client = desk.client();
    let look = given(&client, &format!("{ORDERS}4A-001G,5,,,2026-11-23,A3\n"));
    enter(&client, &look, &[]);
    let page = client.get(&look);
    assert!(page.has("2 items sold. 1 bad row left out.") && page.has("4A-001G"), "{}", page.text());
    assert!(client.get(&format!("{look}/refused.csv")).body().contains("4A-001G"));
    assert!(!client.part(&look).has("Enter "), "{}", client.part(&look).text());
}

#[test]
fn what_is_not_any_more_as_it_was_shown_is_not_entered() {
    let desk = Desk::with_items();
    let client = desk.client();
    // By a title that two items may have, and by a code that may be sold meanwhile.
    let csv = "code,title,price,date,order\n4A-001F,,24.95,2026-11-22,A1\n4A-003A,,12,2026-11-23,A2\n\
               ,Board game,9,2026-11-23,A3\n";
    let look = given(&client, csv);
    let at_first = seen(&client, &look);
    assert!(client.get(&look).has("Board game, 12 geese"));
    let refused = |seen: &str, words: &str| {
        let page = client.post(&format!("{look}/enter"), &[("seen", seen)]);
        assert_eq!((page.status, desk.number("SELECT count(*) FROM sale WHERE order_no LIKE 'A%'")), (422, 0));
        assert!(page.has("nothing was entered") && page.has(words), "{words}: {}", page.text());
        page.field("seen").unwrap()
    };
    desk.run(&["item", "edit", "4A-002C", "--title", "Card game"]);
    desk.run(&["item", "add", "Board game, 4 camels", "--bin", "4B"]);
    let seen = refused(&at_first, "Board game, 4 camels");
    refused("", "Enter 3 sales");
    desk.run(&["sold", "4A-001F", "--price", "20", "--on", "2026-11-24"]);
    let seen = refused(&seen, "Enter 2 sales");
    // Nor is it where nothing can be entered any more.
    desk.run(&["sold", "4A-003A", "--price", "9", "--on", "2026-11-24"]);
    let camels = desk.json(&["find", "camels"])["matches"][0]["code"].as_str().unwrap().to_owned();
    desk.run(&["sold", &camels, "--price", "9", "--on", "2026-11-24"]);
    let page = client.post(&format!("{look}/enter"), &[("seen", &seen)]);
    assert!(
        page.status == 422 && page.has("Nothing was entered.") && page.has("No row is in order"),
        "{}",
        page.text()
    );
    desk.run(&["undo"]);
    desk.run(&["undo"]);
    client.done(&format!("{look}/enter"), &[("seen", &seen)]);
    assert_eq!(desk.number("SELECT count(*) FROM sale"), 3);
}

#[test]
fn what_is_sent_twice_leads_to_what_came_of_it() {
    let desk = Desk::with_items();
    let client = desk.client();
    let look = given(&client, ORDERS);
    let seen = seen(&client, &look);
    for _ in 0..2 {
        let done = client.done(&format!("{look}/enter"), &[("seen", &seen)]);
        assert!(done.has("2 items sold."), "{}", done.text());
    }
    assert_eq!(desk.number("SELECT count(*) FROM sale"), 2);
}

#[test]
fn columns_are_what_the_user_says() {
    let desk = Desk::with_items();
    let client = desk.client();
    let look = given(&client, "code,gross\n4A-001F,30\n");
    assert!(client.get(&look).has("not known"), "{}", client.get(&look).text());
    assert!(client.part(&format!("{look}?c0=code&c1=price")).has("30.00"));
    enter(&client, &look, &[("c0", "code"), ("c1", "price")]);
    assert_eq!(desk.number("SELECT price FROM sale"), 3000);
    // Remembered for these headings.
    assert!(client.get(&given(&client, "code,gross\n4A-002C,7\n")).has("7.00"));
}

#[test]
fn what_is_no_list_is_refused() {
    let desk = Desk::with_items();
    let client = desk.client();
    for (bytes, words) in [(&b""[..], "Choose a file, or paste its rows."), (b"\0\0\0\0\0", "")] {
        let answer = client.post_file("/takings/orders", &[], "orders.csv", bytes);
        assert!(answer.status == 422 && answer.has(words), "{} {}", answer.status, answer.text());
    }
    assert_eq!(client.get("/takings/orders/none").status, 404);
}

#[test]
fn files_are_what_the_command_exports() {
    let desk = with_sale();
    let client = desk.client();
    for name in ["items", "bins", "sales", "moves", "listing-codes", "code-changes"] {
        let file = client.get(&format!("/export/{name}.csv"));
        desk.run(&["export", name, "out.csv", "--bom", "--force"]);
        assert_eq!(file.bytes, std::fs::read(desk.path("out.csv")).unwrap(), "{name}");
        let kept = format!("attachment; filename=\"{name}.csv\"");
        assert_eq!(file.header("content-disposition"), Some(kept.as_str()));
        assert!(client.get("/takings/files").has(&format!("/export/{name}.csv")), "{name}");
    }
    for name in ["register.db", "..%2Fregister.db", "items"] {
        assert_eq!(client.get(&format!("/export/{name}")).status, 404, "{name}");
    }
}

#[test]
fn who_only_looks_changes_nothing() {
    let desk = with_sale();
    let client = desk.looker();
    assert!(!client.get("/takings/expenses").body().contains("name=\"amount\""));
    assert_eq!(client.get("/takings").status, 200);
    let refused = client.post("/takings/expenses", &[("amount", "1"), ("what", "Tape")]);
    assert_eq!((refused.status, desk.number("SELECT count(*) FROM expense")), (403, 0));
}
