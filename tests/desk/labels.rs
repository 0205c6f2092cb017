//! Labels: what is seen is what is printed, and nothing else is.

use std::{io::Write, net::TcpStream, process::Command};

use stowmark::{
    output::{rasterise, sha256},
    unit::Dpi,
};

use crate::{
    client::{Answer, Client},
    support::{Desk, needs, until},
};

/// The addresses of the pictures of a page.
fn pictures(page: &Answer) -> Vec<String> {
    let body = page.body();
    let sources = body.split("src=\"").skip(1).filter_map(|rest| rest.split('"').next());
    sources.filter(|source| source.starts_with("/labels/page/")).map(str::to_owned).collect()
}

/// Prints what a Labels page shows, and gives the page that it leads to.
fn print(client: &Client, page: &Answer) -> Answer {
    let [choices, seen] = ["choices", "seen"].map(|name| page.field(name).unwrap_or_else(|| panic!("{}", page.text())));
    client.done("/labels/print", &[("choices", &choices), ("seen", &seen)])
}

/// The files in the folder that the desk prints to.
fn files(desk: &Desk) -> Vec<String> {
    let Ok(folder) = std::fs::read_dir(desk.path("printed")) else { return Vec::new() };
    folder.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

fn slots(desk: &Desk) -> Vec<i64> {
    let register = desk.register();
    let mut query = register.prepare("SELECT slot FROM label ORDER BY run, number").unwrap();
    query.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
}

#[test]
fn the_picture_is_of_the_very_file_that_is_printed() {
    let desk = Desk::with_items();
    let client = desk.client();
    let page = client.get("/labels");
    assert!(page.has("3 tags on 1 page") && page.has("Print 3 tags"), "{}", page.text());
    let png = client.get(&pictures(&page)[0]);
    assert_eq!((png.status, png.header("content-type")), (200, Some("image/png")));

    let run = print(&client, &page);
    assert!(run.has("all 3 symbols were read back") && run.has("actual size (100 %)"), "{}", run.text());
    assert!(run.has("slots 4 to 65 come next"), "{}", run.text());
    let file = client.get("/labels/runs/0001/file.pdf");
    assert_eq!(file.header("content-type"), Some("application/pdf"));
    assert_eq!(file.header("content-disposition"), Some("inline; filename=\"tags-0001.pdf\""));
    assert_eq!(Some(sha256(&file.bytes)), page.field("seen"));
    assert_eq!(std::fs::read(desk.path("printed/tags-0001.pdf")).unwrap(), file.bytes);
    assert_eq!(desk.number("SELECT count(*) FROM run WHERE state = 'done'"), 1);
    assert_eq!(desk.json(&["proof", "printed/tags-0001.pdf"])["faults"], serde_json::json!([]));

    let drawn = rasterise(&file.bytes, 1, Dpi::new(120.0).unwrap(), true).unwrap();
    assert!(drawn.png().unwrap() == png.bytes, "the picture is not that of the file");
    let keep = client.get("/labels/runs/1/file.pdf?keep=yes");
    assert_eq!(keep.header("content-disposition"), Some("attachment; filename=\"tags-0001.pdf\""));
}

/// Another program that draws PDF, poppler's `pdftoppm`, sees the same page. Edges are smoothed otherwise, by
/// up to a pixel; what is dark here is dark there, and the other way round.
#[test]
fn another_program_draws_the_same_page() {
    if !needs("pdftoppm") {
        return;
    }
    let desk = Desk::with_items();
    let client = desk.client();
    let page = client.get("/labels?what=signs");
    let seen = image::load_from_memory(&client.get(&pictures(&page)[0]).bytes).unwrap().to_luma8();
    print(&client, &page);
    let args = ["-r", "120", "-gray", "-png", "-singlefile", "printed/signs-0001.pdf", "other"];
    assert!(Command::new("pdftoppm").current_dir(desk.path("")).args(args).status().unwrap().success());
    let other = image::open(desk.path("other.png")).unwrap().to_luma8();
    assert!(seen.width().abs_diff(other.width()) <= 1 && seen.height().abs_diff(other.height()) <= 1);
    let dark = |picture: &image::GrayImage| picture.pixels().filter(|pixel| pixel.0[0] < 64).count();
    assert!(dark(&seen) > 1000, "there is something to see");
    assert_eq!((unmatched(&seen, &other), unmatched(&other, &seen)), (0, 0), "of {} dark pixels", dark(&seen));
}

/// Dark pixels that have no more than pale ones around their place in another picture.
fn unmatched(picture: &image::GrayImage, other: &image::GrayImage) -> usize {
    let near = |x: u32, y: u32| {
        let around = (y.saturating_sub(1)..=y + 1).flat_map(|y| (x.saturating_sub(1)..=x + 1).map(move |x| (x, y)));
        around.filter_map(|(x, y)| other.get_pixel_checked(x, y)).any(|pixel| pixel.0[0] < 160)
    };
    picture.enumerate_pixels().filter(|(x, y, pixel)| pixel.0[0] < 64 && !near(*x, *y)).count()
}

#[test]
fn slots_that_were_said_to_be_used_are_passed_over() {
    let desk = Desk::with_items();
    let client = desk.client();
    let page = client.get("/labels?what=tags&which=all&on=a4-5x13&used=1&used=2&used=5");
    assert!(page.has("its slots 3, 4, 6 come next"), "{}", page.text());
    print(&client, &page);
    assert_eq!(slots(&desk), [3, 4, 6]);
    // The sheet is remembered, and the next labels go on it.
    let next = client.part("/labels?what=tags&which=all");
    assert!(!next.has("<html") && next.has("its slots 7 to 9 come next"), "{}", next.text());
    assert_eq!(next.body().matches(" checked").count(), 6);
    let fresh = client.part("/labels?what=tags&which=all&fresh=yes");
    assert!(!fresh.has("come next"), "{}", fresh.text());
    print(&client, &fresh);
    assert_eq!(slots(&desk), [3, 4, 6, 1, 2, 3]);
    let full: String = (1..=65).map(|slot| format!("&used={slot}")).collect();
    let none = client.part(&format!("/labels?what=tags&which=all&on=a4-5x13{full}"));
    assert!(none.has("No slot of a4-5x13 would be left") && none.field("seen").is_none(), "{}", none.text());
}

#[test]
fn a_cancelled_print_leaves_neither_file_nor_run() {
    let desk = Desk::with_items();
    let client = desk.client();
    let page = client.get("/labels?what=tags&which=all&copies=300");
    assert!(page.has("900 tags on 14 pages"), "{}", page.text());
    let [choices, seen] = ["choices", "seen"].map(|name| page.field(name).unwrap());
    let before = desk.dump();
    let work = client.post("/labels/print", &[("choices", &choices), ("seen", &seen)]).location().to_owned();
    let back = client.post(&format!("{work}/cancel"), &[]);
    assert_eq!((back.status, back.location()), (303, format!("/labels?{choices}").as_str()));
    let end = until("the end of the work", || client.get(&work).header("location").map(str::to_owned));
    assert_eq!(end, format!("/labels?{choices}"));
    assert_eq!(desk.dump(), before);
    assert_eq!(files(&desk), [""; 0]);
    // The lock is free again.
    print(&client, &client.get("/labels?what=tags"));
    assert_eq!(files(&desk), ["tags-0001.pdf"]);
}

/// Six are kept: as many that nobody waits for would take the place of the one that is looked at.
#[test]
fn pages_that_nobody_waits_for_are_not_made() {
    let desk = Desk::with_items();
    let client = desk.client();
    let page = client.get("/labels");
    for copies in 301..308 {
        let head = format!("Host: {}\r\nCookie: {}\r\nX-Part: 1", desk.host(), client.cookie());
        let request = format!("GET /labels?what=tags&which=all&copies={copies} HTTP/1.1\r\n{head}\r\n\r\n");
        TcpStream::connect(desk.host()).unwrap().write_all(request.as_bytes()).unwrap();
    }
    assert!(client.part("/labels?what=tags&which=all&copies=400").has("1200 tags"));
    assert_eq!(client.get(&pictures(&page)[0]).status, 200);
}

#[test]
fn what_changed_meanwhile_is_not_printed() {
    let desk = Desk::with_items();
    let client = desk.client();
    let page = client.get("/labels");
    desk.run(&["item", "edit", "4A-001F", "--title", "Copper jam pan, 24 cm"]);
    let again = print(&client, &page);
    assert!(again.has("Something changed") && again.has("nothing was printed"), "{}", again.text());
    assert_eq!(desk.number("SELECT count(*) FROM run"), 0);
    assert_eq!(files(&desk), [""; 0]);
    assert_ne!(again.field("seen"), page.field("seen"));
    assert!(print(&client, &again).has("all 3 symbols were read back"));
    // Pressed twice: the second time those labels wait no more.
    assert!(print(&client, &again).has("No item waits for a tag"));
    assert_eq!(desk.number("SELECT count(*) FROM run"), 1);
}

#[test]
fn a_file_that_is_another_one_now_is_not_served() {
    let desk = Desk::with_items();
    let client = desk.client();
    print(&client, &client.get("/labels"));
    std::fs::write(desk.path("printed/tags-0001.pdf"), b"%PDF-1.4 something else").unwrap();
    let file = client.get("/labels/runs/0001/file.pdf");
    assert_eq!(file.status, 404);
    assert!(file.has("is not the one that was printed"), "{}", file.text());
    for run in ["7", "..%2F1", "x"] {
        assert_eq!(client.get(&format!("/labels/runs/{run}/file.pdf")).status, 404, "{run}");
    }
}

#[test]
fn labels_of_a_run_are_printed_again_and_a_run_is_cancelled() {
    let desk = Desk::with_items();
    let client = desk.client();
    print(&client, &client.get("/labels"));
    assert!(client.get("/labels/runs").has("Run 0001"));
    let page = client.get("/labels?run=0001&at=1%3A1&at=1%3A3");
    assert!(page.has("2 tags on 1 page") && page.has("its slots 4, 5 come next"), "{}", page.text());
    assert!(print(&client, &page).has("labels of run 0001 again"));
    assert_eq!(slots(&desk), [1, 2, 3, 4, 5]);
    let told = client.done("/labels/runs/0002/cancel", &[]);
    assert!(told.has("2 tags count as not printed. Its slots are free again."), "{}", told.text());
    assert!(client.get("/labels?run=0001&at=1%3A1").has("its slot 4 comes next"));
    assert!(client.get("/labels?run=0001&at=1%3A9").has("no label on slot 9"));
    let unknown = client.post("/labels/runs/0001/send", &[("queue", "-o evil")]);
    assert_eq!(unknown.status, 422);
    assert!(unknown.has("is no name of a print queue") && unknown.field("queue").as_deref() == Some("-o evil"));
}

#[test]
fn wrong_labels_are_told_and_printed_again() {
    let desk = Desk::with_items();
    let client = desk.client();
    print(&client, &client.get("/labels"));
    assert!(client.get("/labels/stale").has("No printed label is wrong"));
    desk.run(&["item", "edit", "4A-001F", "--title", "Jam pan"]);
    desk.run(&["put", "4A-002C", "--in", "4B"]);
    let page = client.get("/labels/stale");
    assert!(
        page.has("title changed") && page.has("Print 1 tag again") && page.has("1 item is in another bin"),
        "{}",
        page.text()
    );
    assert!(client.get("/labels/retag").has("1 tag and 0 listings"));
    let told = client.done("/labels/retag", &[]);
    assert!(told.has("1 item with a new code") && told.has("Take it back"), "{}", told.text());
    assert!(print(&client, &client.get("/labels?what=tags&which=stale")).has("all 2 symbols"));
    assert!(client.get("/labels/stale").has("No printed label is wrong"));
}

#[test]
fn what_does_not_fit_is_told_with_what_would() {
    let desk = Desk::with_items();
    let client = desk.client();
    let page = client.get("/labels?what=tags&symbol=code128&sheet=a4-5x13");
    assert!(page.has("Take the smallest that would do") || page.has("Print 3 tags"), "{}", page.text());
    let both = client.get("/labels?what=tags&symbol=both&sheet=a4-5x13");
    assert!(both.has("Take the smallest that would do") && both.field("seen").is_none(), "{}", both.text());
    assert!(!both.has("--sheet"), "{}", both.text());
    for (query, told) in [
        ("copies=many", "“many” is no number of copies"),
        ("sheet=a4-9x99", "There is no sheet “a4-9x99”"),
        ("codes=4A-001F+4Q-999X", "There is nothing with the code “4Q-999X”"),
        ("sheet=cut&cut=9", "is no sheet to be cut"),
        ("link=ftp%3A%2F%2Fx", "is no address for links"),
        ("run=99", "99"),
    ] {
        let page = client.get(&format!("/labels?what=tags&{query}"));
        assert!(page.status == 200 && page.has(told) && page.field("seen").is_none(), "{query}: {}", page.text());
    }
}

#[test]
fn a_printer_is_measured_by_typing_in_what_the_ruler_says() {
    let desk = Desk::with_items();
    let client = desk.client();
    let added = client.done("/labels/printers", &[("name", "laser"), ("dpi", "600")]);
    assert!(added.has("laser is added"), "{}", added.text());
    let align = client.get("/labels/printers/laser/align.pdf?sheet=a4-3x7");
    assert_eq!(align.header("content-type"), Some("application/pdf"));
    let readings = |x: &str| {
        [("left_edge", "12.4"), ("top_edge", "9.8"), ("span_x", x), ("span_y", "249")]
            .map(|(name, text)| (name.to_owned(), text.to_owned()))
    };
    let measured = |x: &str| {
        let typed = readings(x);
        let seen = client.get("/labels/printers/laser").field("seen").unwrap_or_default();
        let fields = typed.iter().map(|(name, text)| (name.as_str(), text.as_str()));
        let fields: Vec<(&str, &str)> = fields.chain([("seen", seen.as_str())]).collect();
        client.post("/labels/printers/laser/measured", &fields)
    };
    let refused = measured("160");
    assert_eq!(refused.status, 422);
    assert!(
        refused.has("A to B 160 should be near 180 mm") && refused.field("left_edge").as_deref() == Some("12.4"),
        "{}",
        refused.text()
    );
    assert_eq!(measured("180.5").status, 303);
    // As `stowmark printer set` with the same readings has it.
    desk.run(&["printer", "add", "other", "--dpi", "600"]);
    desk.run(&[
        "printer",
        "set",
        "other",
        "--left-edge",
        "12.4",
        "--top-edge",
        "9.8",
        "--span-x",
        "180.5",
        "--span-y",
        "249",
    ]);
    let printers = desk.json(&["printer", "list"]);
    let [one, other] = ["laser", "other"].map(|name| {
        printers["printers"].as_array().unwrap().iter().find(|printer| printer["printer"] == name).unwrap().clone()
    });
    for member in ["shift_x_mm", "shift_y_mm", "scale_x", "scale_y", "skew"] {
        assert_eq!(one[member], other[member], "{member}");
    }
    assert!(client.done("/labels/printers/laser/forget", &[]).has("taken to print true"));
    assert!(client.done("/labels/printers/other/default", &[]).has("The usual printer"));
    assert!(client.done("/labels/printers/laser/remove", &[]).has("is removed"));
    assert_eq!(client.get("/labels/printers/laser").status, 404);
}

/// What is left is added to what was corrected: sent twice, as by a page that is gone back to, it would be corrected twice.
#[test]
fn what_is_left_is_corrected_once() {
    let desk = Desk::with_items();
    let client = desk.client();
    client.done("/labels/printers", &[("name", "laser"), ("dpi", "600")]);
    let seen = || client.get("/labels/printers/laser").field("seen").unwrap_or_default();
    let send = |left: &str, seen: &str, refines: bool| {
        let fields = [("left_edge", left), ("top_edge", "10"), ("span_x", "180"), ("span_y", "250"), ("seen", seen)];
        let refine = [("refine", "yes")];
        client.post("/labels/printers/laser/measured", &[&fields[..], &refine[..usize::from(refines)]].concat())
    };
    assert_eq!(send("14", &seen(), false).status, 303);
    let stale = seen();
    assert_eq!(send("12.5", &stale, true).status, 303);
    let again = send("12.5", &stale, true);
    assert!(again.status == 409 && again.has("changed meanwhile"), "{} {}", again.status, again.text());
    assert_eq!(again.field("left_edge").as_deref(), Some("12.5"));
    assert_eq!(desk.json(&["printer", "list"])["printers"][0]["shift_x_mm"], 2.5);
    let known = [("dpi", "300"), ("queue", "laser-queue"), ("edge", ""), ("seen", stale.as_str())];
    assert_eq!(client.post("/labels/printers/laser", &known).status, 409);
}

#[test]
fn own_sheets_are_added_by_their_measures() {
    let desk = Desk::with_items();
    let client = desk.client();
    let typed = |grid| [("name", "jam-jars"), ("paper", "a4"), ("grid", grid), ("label", "62x30")];
    let refused = client.post("/labels/sheets", &typed("3x99"));
    assert_eq!(refused.status, 422);
    assert!(refused.has("beyond the bottom edge") && !refused.has("--"), "{}", refused.text());
    assert!(client.done("/labels/sheets", &typed("3x9")).has("27 labels of 62 x 30 mm"));
    assert!(client.get("/labels?sheet=jam-jars").has("Print 3 tags"));
    assert!(client.get("/labels/slots/jam-jars.css").has(".on-jam-jars .slot-27{"));
    assert!(client.done("/labels/sheets/remove", &[("name", "jam-jars")]).has("is removed"));
    assert_eq!(client.post("/labels/sheets/remove", &[("name", "a4-3x7")]).status, 422);
}

/// Browsers keep the style of a sheet's slots: one that comes anew under its name has an address of its own.
#[test]
fn slots_of_a_sheet_that_comes_anew_are_its_own() {
    let desk = Desk::with_items();
    let client = desk.client();
    let style = |grid| {
        let typed = [("name", "jam-jars"), ("paper", "a4"), ("grid", grid), ("label", "62x30")];
        client.done("/labels/sheets", &typed);
        let page = client.get("/labels?sheet=jam-jars").body();
        let (_, address) = page.split_once("href=\"/labels/slots/").unwrap();
        format!("/labels/slots/{}", address.split('"').next().unwrap())
    };
    let old = style("3x9");
    let kept = |address: &str| client.get(address).header("cache-control").map(str::to_owned).unwrap();
    assert_eq!(kept(&old), "private, max-age=600");
    client.done("/labels/sheets/remove", &[("name", "jam-jars")]);
    let new = style("3x8");
    assert_ne!(new, old);
    assert!(!client.get(&new).has(".slot-25{") && client.get(&new).has(".slot-24{"));
    assert_eq!(kept(&old), "no-store");
}

#[test]
fn who_may_only_look_prints_nothing() {
    let desk = Desk::with_items();
    let looker = desk.looker();
    let page = looker.get("/labels");
    assert!(page.has("3 tags on 1 page") && page.field("seen").is_none(), "{}", page.text());
    assert_eq!(looker.get(&pictures(&page)[0]).status, 200);
    assert_eq!(looker.post("/labels/print", &[("choices", ""), ("seen", "")]).status, 403);
}

/// A slip of the keyboard in the number of copies takes neither minutes nor all memory.
#[test]
fn more_labels_than_anyone_prints_are_refused_before_they_are_drawn() {
    let desk = Desk::with_bins();
    let rows: String = (1..=201).map(|number| format!("Egg cup {number}\n")).collect();
    std::fs::write(desk.path("cups.csv"), format!("title\n{rows}")).unwrap();
    desk.run(&["item", "import", "cups.csv", "--bin", "4A"]);
    let page = desk.client().get("/labels?what=tags&which=all&copies=500");
    assert!(page.has("These are 100500, and 100000 tags are made at once"), "{}", page.text());
    assert_eq!(page.field("copies").as_deref(), Some("500"));
}
