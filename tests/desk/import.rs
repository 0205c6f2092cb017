//! Files from spreadsheets: seen before anything is saved, then entered as a whole or not at all.

use std::{thread::sleep, time::Duration};

use crate::{
    client::{Answer, Client},
    support::{Desk, until},
};

/// As spreadsheets of half of Europe write it: a byte order mark, semicolons, decimal commas, CRLF.
const BUYS: &str = "\u{feff}Artikel;Title;Paid;List price;Date;Tub;Remark\r\n\
    1;\"Crêpe pan \"\"La Bonne\"\", 24 cm\";3,50;24,95;13/4/2026;4A;chip on rim\r\n\
    2;Tea caddy 🫖 Čajovna;1,00;14,50;3/4/2026;;\r\n";

/// Two of its rows are wrong.
const BAD: &str = "title,cost,bin\nWok,3.50,4A\nPan,x,4A\nJug,1,99Z\nTin,2,\n";

/// Gives a file, and gives the address of the page that shows what is in it.
#[track_caller]
fn give(client: &Client, name: &str, text: &str) -> String {
    let answer = client.post_file("/items/import", &[("pasted", "")], name, text.as_bytes());
    assert_eq!(answer.status, 303, "{}", answer.text());
    answer.location().to_owned()
}

#[track_caller]
fn entered(client: &Client, page: &str, options: &[(&str, &str)]) -> Answer {
    client.done(&format!("{page}/enter"), options)
}

#[test]
fn a_file_is_seen_before_anything_is_saved_and_then_entered() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let before = desk.dump();
    let page = give(&client, "buys.csv", BUYS);
    let shown = client.get(&page);
    for text in [
        "2 rows, parted by semicolons",
        "Crêpe pan \"La Bonne\", 24 cm",
        "2026-04-13",
        "Tea caddy 🫖 Čajovna",
        "waits",
        "2026-04-03",
        "Not read: Artikel.",
        "Dates are read with the day first",
        "Enter 2 items",
    ] {
        assert!(shown.has(text), "{text}: {}", shown.text());
    }
    assert!(!shown.text().contains("--"), "a page names no options: {}", shown.text());
    assert_eq!(desk.dump(), before);

    let done = entered(&client, &page, &[("where", "bin"), ("bin", "4b")]);
    assert!(done.has("2 items came in.") && done.has("4A-001F") && done.has("4B-001J"), "{}", done.text());
    assert!(done.body().contains("action=\"/undo\""));
    assert_eq!(desk.json(&["find", "4A-001F"])["matches"][0]["cost"], "3.50");
    assert_eq!(desk.number("SELECT count(*) FROM import WHERE file = 'buys.csv'"), 1);
    // The page of a file that is in shows what came of it.
    assert!(client.get(&page).has("2 items came in."));
}

#[test]
fn bad_lines_are_listed_and_the_good_ones_can_be_entered_without_them() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let page = give(&client, "../../lot 7.csv", BAD);
    let shown = client.part(&page);
    assert!(shown.has("3 Cost: “x” is no amount") && shown.has("4 Bin: there is no bin “99Z”"), "{}", shown.text());
    assert!(!shown.text().contains("“stowmark"), "a page names no command: {}", shown.text());
    assert!(shown.has("Enter the 2 good ones"));
    let refused = client.get(&format!("{page}/refused.csv"));
    assert!(refused.has("Pan,x,4A,") && refused.has("Jug,1,99Z,") && !refused.has("Wok"), "{}", refused.body());
    assert!(refused.header("content-disposition").unwrap().contains("lot 7.refused.csv"));
    assert!(!refused.header("content-disposition").unwrap().contains('/'));

    let done = entered(&client, &page, &[]);
    assert!(done.has("2 items came in, 1 of them waits for a bin.") && done.has("2 bad rows were left out."));
    assert_eq!(client.get(&format!("{page}/refused.csv")).bytes, refused.bytes);
    // No file came of it: neither the list nor its bad rows.
    let folder = std::fs::read_dir(desk.path(".")).unwrap().map(|file| file.unwrap().file_name());
    let lists: Vec<_> = folder.filter(|name| name.to_string_lossy().contains("lot 7")).collect();
    assert!(lists.is_empty(), "{lists:?}");
}

#[test]
fn the_user_says_what_a_column_is_and_it_is_remembered() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let text = "Was,Preis\nWok,3.50\n";
    let page = give(&client, "a.csv", text);
    let shown = client.get(&page);
    assert!(shown.has("No column holds the title") && !shown.has("Enter 1 item"), "{}", shown.text());
    let options = [("c0", "title"), ("c1", "cost"), ("where", "wait")];
    let query = "?c0=title&c1=cost&where=wait";
    assert!(client.part(&format!("{page}{query}")).has("Enter 1 item"));
    let twice = client.part(&format!("{page}?c0=title&c1=title"));
    assert!(twice.has("named twice") && !twice.has("Enter 1 item"), "{}", twice.text());
    assert!(entered(&client, &page, &options).has("1 item came in"));

    let page = give(&client, "b.csv", "Was,Preis\nJug,1\n");
    let shown = client.get(&page);
    assert!(shown.has("As you said earlier") && shown.has("Enter 1 item"), "{}", shown.text());
}

#[test]
fn dates_that_could_be_two_are_asked_for() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let page = give(&client, "dates.csv", "title,bought\nWok,3/4/2026\n");
    let shown = client.get(&page);
    assert!(shown.has("Which day is 3/4/2026?") && shown.has("3 April") && shown.has("4 March"), "{}", shown.text());
    assert!(!shown.has("Enter 1 item"));
    assert!(client.part(&format!("{page}?dates=month-first")).has("2026-03-04"));
    assert!(client.part(&format!("{page}?dates=day-first")).has("2026-04-03"));
}

#[test]
fn the_same_file_comes_in_again_only_when_it_is_meant_to() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let page = give(&client, "a.csv", "title\nWok\n");
    entered(&client, &page, &[]);
    let page = give(&client, "b.csv", "title\nWok\n");
    let shown = client.get(&page);
    assert!(shown.has("was imported already") && shown.has("again=yes") && !shown.has("Enter 1 item"));
    assert!(client.get(&format!("{page}?again=yes")).has("Enter 1 item"));
    entered(&client, &page, &[("again", "yes")]);
    assert_eq!(desk.number("SELECT count(*) FROM item"), 2);
}

#[test]
fn items_go_where_they_fit_or_share_a_price() {
    let desk = Desk::with_bins();
    desk.run(&["bin", "edit", "4B", "--litres", "20"]);
    let client = desk.client();
    let page = give(&client, "fit.csv", "title,litres,asking\nPot,12,30\nPan,3,10\nDrum,50,20\n");
    let shown = client.part(&format!("{page}?where=fit"));
    for text in ["How full bins are then", "4B", "75 %", "Drum (too big", "1 item fits into no bin and waits"] {
        assert!(shown.has(text), "{text}: {}", shown.text());
    }
    let shared = client.part(&format!("{page}?where=wait&lot=6&by=asking"));
    assert!(shared.has("3.00") && shared.has("1.00") && shared.has("2.00"), "{}", shared.text());
    let refused = client.post(&format!("{page}/enter"), &[("lot", "much"), ("where", "wait")]);
    assert!(refused.status == 422 && refused.body().contains("aria-describedby=\"lot-fault\""), "{}", refused.text());
    // A price is not shared when rows are left out.
    let page = give(&client, "bad.csv", BAD);
    let shown = client.part(&format!("{page}?lot=6"));
    assert!(shown.has("only when all rows are in order") && !shown.has("Enter the"), "{}", shown.text());
}

#[test]
fn rows_can_be_pasted_and_what_is_no_list_is_refused() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let pasted = client.post_file("/items/import", &[("pasted", "title\tcost\r\nWok\t3.50\r\n")], "", b"");
    let shown = client.get(pasted.location());
    assert!(shown.has("pasted rows") && shown.has("parted by tabs") && shown.has("Enter 1 item"), "{}", shown.text());
    for (name, bytes, why) in [
        ("buys.xlsx", b"PK\x03\x04 and more".as_slice(), "spreadsheet file, not CSV"),
        ("empty.csv", b"", "Choose a file"),
        ("no-rows.csv", b"title,cost\n", "no rows"),
        ("open.csv", b"title\n\"Wok\n", "never closed"),
    ] {
        let refused = client.post_file("/items/import", &[], name, bytes);
        assert_eq!(refused.status, 422, "{name}");
        assert!(refused.text().to_lowercase().contains(&why.to_lowercase()), "{name}: {}", refused.text());
    }
    let huge = client.post_file("/items/import", &[], "huge.csv", &vec![b'x'; 33 * 1024 * 1024]);
    assert_eq!(huge.status, 413, "{}", huge.text());
}

#[test]
fn a_file_belongs_to_the_device_that_gave_it() {
    let desk = Desk::with_bins();
    let (client, other) = (desk.client(), desk.client());
    let page = give(&client, "a.csv", "title\nWok\n");
    assert_eq!(other.get(&page).status, 404);
    assert_eq!(other.post(&format!("{page}/enter"), &[]).status, 404);
    assert_eq!(other.get(&format!("{page}/refused.csv")).status, 404);
    assert_eq!(client.done(&format!("{page}/forget"), &[]).status, 200);
    assert_eq!(client.get(&page).status, 404);
}

#[test]
fn a_file_on_its_way_in_does_not_give_way_to_others() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let rows: String = (0..20_000).map(|number| format!("Pan {number},4A,3.50\n")).collect();
    let page = give(&client, "many.csv", &format!("title,bin,cost\n{rows}"));
    let answer = client.post(&format!("{page}/enter"), &[]);
    let given: Vec<String> =
        (0..7).map(|number| give(&client, "more.csv", &format!("title\nPot {number}\n"))).collect();
    let done = client.follow(&answer);
    assert!(done.has("20,000 items came in."), "{} {}", done.status, done.text());
    // Those that only wait give way.
    assert_eq!(client.get(&given[0]).status, 404);
}

#[test]
fn a_cancelled_import_leaves_nothing() {
    let desk = Desk::with_bins();
    let client = desk.client();
    let rows: String = (0..60_000).map(|number| format!("Pan {number},4A,3.50\n")).collect();
    let page = give(&client, "many.csv", &format!("title,bin,cost\n{rows}"));
    let before = desk.dump();
    let answer = client.post(&format!("{page}/enter"), &[]);
    let work = answer.location().to_owned();
    // Some are on their way in.
    until("the first items", || client.part(&work).has(" of 60000").then_some(()));
    client.post(&format!("{work}/cancel"), &[]);
    until("the end of the work", || {
        sleep(Duration::from_millis(20));
        (client.get(&page).has("Enter 60,000 items")).then_some(())
    });
    assert_eq!(desk.dump(), before);
}
