//! `run list`, `run show`, `run cancel`, `reprint`

use serde_json::{Value, json};

use super::{
    slots::places,
    support::{Desk, REGISTER, codes, number},
};

fn payloads(answer: &Value) -> Vec<&str> {
    answer["placed"].as_array().unwrap().iter().map(|label| label["payload"].as_str().unwrap()).collect()
}

/// A zone is named by its rules as in POSIX: UTC+5 there is written `XYZ-5`.
#[cfg(unix)]
#[test]
fn days_are_those_of_the_computer() {
    let desk = Desk::with_items();
    desk.run("tag 4A-001F --out tags.pdf").any_stderr().done();
    let register = rusqlite::Connection::open(desk.path(REGISTER)).unwrap();
    register.execute("UPDATE run SET at = '2026-11-24T21:30:00Z'", []).unwrap();
    drop(register);
    for (zone, day) in [("UTC0", "2026-11-24"), ("XYZ-5", "2026-11-25")] {
        desk.run("run list").env("TZ", zone).stdout_has(day).done();
        desk.run("run show 1").env("TZ", zone).stdout_has(&format!("run 0001, {day}: ")).done();
    }
}

#[test]
fn runs_are_listed_the_newest_last() {
    let desk = Desk::with_items();
    assert_eq!(desk.json("run list"), json!({"runs": []}));
    desk.run("run list").stdout("no runs\n").done();
    desk.run("tag --out tags.pdf").done();
    desk.run("sign 4A --dpi 600 --out signs.pdf").done();
    desk.run("run cancel 1").done();
    let runs = desk.json("run list")["runs"].clone();
    let part = |run: &Value| {
        let names = ["run", "kind", "state", "labels", "pages", "sheet", "dpi", "printer", "reprint_of"];
        json!(names.map(|name| run[name].clone()))
    };
    assert_eq!(part(&runs[0]), json!([1, "tags", "cancelled", 3, 1, "a4-5x13", 300.0, null, null]));
    assert_eq!(part(&runs[1]), json!([2, "signs", "done", 1, 1, "a4-2x4", 600.0, null, null]));
    assert_eq!(runs[1]["file"], "[folder]/signs.pdf");
    assert!(runs[0]["cancelled_at"].as_str().unwrap().starts_with("20") && runs[1]["cancelled_at"].is_null());
    let table = desk.run("run list").done().stdout;
    let lines: Vec<&str> = table.lines().collect();
    assert!(lines[1].starts_with("0001  20") && lines[1].contains("cancelled") && lines[1].contains("tags.pdf"));
    assert!(lines[2].starts_with("0002  20") && lines[2].contains("a4-2x4   done"), "{table}");
}

#[test]
fn a_run_is_shown_with_what_its_labels_said() {
    let desk = Desk::with_items();
    desk.run("tag 4A-001F 4A-002C --sheet a4-3x7 --from 20 --copies 2").any_stderr().done();
    desk.run("put 4A-001F --in 4C").done();
    let run = desk.json("run show 1");
    assert_eq!(places(&run), [(1, 20), (1, 21), (2, 1), (2, 2)]);
    let first = json!({"page": 1, "slot": 20, "payload": "4A001F", "symbols": ["code128"],
        "said": {"code": "4A-001F", "bin": "4A", "title": "Copper jam pan"}});
    assert_eq!((&run["placed"][0], &run["labels"]), (&first, &json!(4)));
    let told = desk.run("run show 0001").done().stdout;
    assert!(told.starts_with("run 0001, 20") && told.contains(": 4 tags on 2 pages of a4-3x7\n"), "{told}");
    assert!(told.contains("   1    20  4A001F   4A-001F, 4A, Copper jam pan\n"), "{told}");
}

/// The issue: after a jam the jammed slots count as spent, and the reprint takes the next free ones.
#[test]
fn after_a_jam_labels_are_printed_again_on_the_next_free_slots() {
    let desk = Desk::with_items();
    desk.run("tag --sheet a4-3x7 --copies 3 --symbol qr").done();
    let again = desk.json("reprint 1 --slots 4-6,9");
    assert_eq!(payloads(&again), ["4A002C", "4A002C", "4A002C", "4A003A"]);
    assert_eq!(places(&again), [(1, 10), (1, 11), (1, 12), (1, 13)]);
    let members = json!([again["run"], again["file"], again["reprint_of"], again["sheet"]]);
    assert_eq!(members, json!([2, "tags-0002.pdf", 1, "a4-3x7"]));
    assert_eq!(again["placed"][0]["symbols"][0]["kind"], "qr");
    assert_eq!(desk.json("run list")["runs"][1]["reprint_of"], 1);
    assert!(desk.run("run show 2").done().stdout.contains("(labels of run 0001 again)"));
    // A reprint is a run as any other.
    assert_eq!(payloads(&desk.json("reprint 2 --slots 13")), ["4A003A"]);
}

#[test]
fn a_page_of_a_run_is_printed_again() {
    let desk = Desk::with_items();
    desk.run("tag --sheet a4-3x7 --copies 10").done();
    assert_eq!(payloads(&desk.json("reprint 1 --slots 2:4-5,9 --out again.pdf")), ["4A003A"; 3]);
    assert_eq!(payloads(&desk.json("reprint 1 --slots 1:1,2:9")), ["4A001F", "4A003A"]);
    assert_eq!(desk.json("reprint 1")["labels"], 30);
}

#[test]
fn a_reprint_says_what_the_register_says_now() {
    let desk = Desk::with_items();
    desk.run("tag 4A-001F --out one.pdf").done();
    desk.run("item edit 4A-001F --title Pan").done();
    let told = "1 tag on 1 page of a4-5x13: again.pdf\n\
        its symbol was read back from the file; estimated A for QR at 0.59 mm (no verifier's grade)\nprint it at actual size (100 %), not fitted to the page\n\
        they say what the register says now; the old labels of run 0001 stay spent\n";
    desk.run("reprint 1 --out again.pdf").any_stderr().stdout(told).done();
    assert_eq!(desk.json("run show 2")["placed"][0]["said"]["title"], "Pan");
    assert_eq!(desk.json("run show 1")["placed"][0]["said"]["title"], "Copper jam pan");
}

#[test]
fn a_reprint_can_go_elsewhere() {
    let desk = Desk::with_items();
    desk.run("tag --out tags.pdf").done();
    let other = desk.json("reprint 1 --sheet roll-57x32");
    assert_eq!((&other["sheet"], &other["pages"]), (&json!("roll-57x32"), &json!(3)));
    assert_eq!(places(&desk.json("reprint 1 --slots 1 --from 60")), [(1, 60)]);
    assert_eq!(places(&desk.json("reprint 1 --slots 1 --skip 1-3")), [(1, 4)]);
    assert_eq!(places(&desk.json("reprint 1 --slots 1 --fresh-sheet")), [(1, 1)]);
    desk.run("reprint 1 --out tags.pdf").refused_with(&["tags.pdf` is there already"]).done();
    desk.run("reprint 1 --out tags.pdf --force").any_stderr().done();
}

#[test]
fn a_cancelled_run_counts_as_not_printed() {
    let desk = Desk::with_items();
    desk.run("tag --out tags.pdf").done();
    desk.run("sign --out signs.pdf").done();
    let told = "run 0001 is cancelled: 3 tags count as not printed; its slots of a4-5x13 are free again\n\
        the file is left where it is: [folder]/tags.pdf\n";
    desk.run("run cancel 1").stdout(told).done();
    assert_eq!(codes(&desk.json("item list --untagged"), "items").len(), 3);
    assert_eq!(desk.json("run cancel 2")["state"], "cancelled");
    assert_eq!(desk.files(), ["signs.pdf", "tags.pdf"]);
    let tags = desk.json("tag");
    assert_eq!((&tags["run"], places(&tags)), (&json!(3), vec![(1, 1), (1, 2), (1, 3)]));
    assert_eq!(desk.json("sign")["labels"], 5);
}

/// What an earlier run printed stays printed.
#[test]
fn a_cancelled_second_print_leaves_the_first() {
    let desk = Desk::with_items();
    desk.run("tag").done();
    desk.run("tag --all").any_stderr().done();
    desk.run("run cancel 2").done();
    desk.run("tag").code(3).done();
}

/// A set of slots, not a pointer: the cancelled run lies before a later one.
#[test]
fn slots_of_a_cancelled_run_are_free_though_later_ones_are_spent() {
    let desk = Desk::with_items();
    for copies in [4, 5, 6] {
        desk.json(&format!("tag 4A-001F --sheet a4-3x7 --copies {copies}"));
    }
    desk.run("run cancel 2").done();
    let free: Vec<u32> = (5..=9).chain(16..=21).collect();
    assert_eq!(desk.json("sheet show a4-3x7")["free"], json!(free));
    let slots: Vec<u64> = places(&desk.json("tag --all --sheet a4-3x7 --copies 2")).iter().map(|at| at.1).collect();
    assert_eq!(slots, [5, 6, 7, 8, 9, 16]);
    // A sheet that was described by hand goes with its run.
    desk.json("tag 4A-001F --sheet a4-3x7 --from 20");
    desk.run("run cancel 5").done();
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM spent"), 0);
    assert_eq!(desk.json("sheet show a4-3x7")["free"], json!([17, 18, 19, 20, 21]));
}

#[test]
fn slots_on_an_earlier_sheet_are_told() {
    let desk = Desk::with_items();
    desk.run("tag --sheet a4-3x7").done();
    desk.run("tag --all --sheet a4-3x7 --fresh-sheet").done();
    let told = desk.run("run cancel 1").done().stdout;
    assert!(
        told.contains("later runs went on to another sheet of a4-3x7, so name its free slots with --skip"),
        "{told}"
    );
    desk.run("tag --all --sheet roll-57x32 --out roll.pdf").done();
    let told = "run 0003 is cancelled: 3 tags count as not printed\nthe file is left where it is: [folder]/roll.pdf\n";
    desk.run("run cancel 3").stdout(told).done();
}

#[test]
fn a_cancelled_run_can_be_printed_after_all() {
    let desk = Desk::with_items();
    desk.run("tag --sheet a4-3x7").done();
    desk.run("run cancel 1").done();
    assert_eq!(places(&desk.json("reprint 1 --slots 2-3")), [(1, 1), (1, 2)]);
    assert_eq!(codes(&desk.json("item list --untagged"), "items"), ["4A-001F"]);
}

#[test]
fn steps_in_the_wrong_order_and_slips_are_refused() {
    let desk = Desk::with_items();
    desk.run("run show 1").refused("there is no run 0001; `stowmark run list` shows all").done();
    desk.run("tag --sheet a4-3x7 --copies 10").done();
    desk.run("tag --sheet a4-3x7 --all").any_stderr().done();
    desk.run("run cancel 2").done();
    let (before, files) = (desk.dump(), desk.files());
    let cases = [
        ("run cancel 2", "run 0002 was cancelled already, on 20"),
        ("run cancel 3", "there is no run 0003"),
        ("run cancel x", "`x` is no number of a run; `stowmark run list` shows all"),
        ("run show 1.5", "`1.5` is no number of a run"),
        ("run show +1", "`+1` is no number of a run"),
        ("run show 99999999999", "is no number of a run"),
        ("reprint 0", "there is no run 0000"),
        ("reprint tags-0001.pdf", "`tags-0001.pdf` is no number of a run"),
        ("reprint 1 --slots 4-9", "`4-9` may be on any of 2 pages; name the page too, as 2:4-9"),
        ("reprint 1 --slots 2:10", "run 0001 printed no label on slot 10 of page 2; `stowmark run show 0001` shows"),
        ("reprint 1 --slots 3:1", "there is no page 3; the run has 2"),
        ("reprint 1 --slots 1:22", "there is no slot 22 on a4-3x7; its slots are 1 to 21"),
        ("reprint 1 --slots 1:9-4", "`9-4` runs backwards"),
        ("reprint 1 --slots ''", "the list of slots is empty"),
        ("reprint 1 --slots 1:a", "`1:a` is no slot; write slots as 3,7-9, on page 2 as 2:3,7-9"),
        ("reprint 1 --sheet a4-3x9", "there is no sheet `a4-3x9`"),
        ("reprint 1 --from 22", "there is no slot 22 on a4-3x7"),
        ("reprint 1 --sheet roll-57x32 --fresh-sheet", "no slots are remembered of roll-57x32"),
    ];
    for (words, why) in cases {
        desk.run(words).refused_with(&[why]).done();
    }
    for words in ["run", "run show", "run cancel", "reprint", "run list 3", "reprint 1 --fresh-sheet --from 3"] {
        desk.run(words).code(2).stdout("").any_stderr().done();
    }
    assert_eq!((desk.dump(), desk.files()), (before, files));
}

/// `placed` of a reprint holds for its file: each symbol is read back from there.
#[test]
fn a_reprint_on_a_part_used_sheet_reads_back() {
    use stowmark::{
        job::read_back_run,
        register::{Access, Register},
        unit::Dpi,
    };

    let desk = Desk::with_items();
    desk.run("sheet add jam-jars --paper a4 --grid 3x9 --label 62x30 --left 9 --top 13.5 --pitch 64x30").done();
    desk.json("tag --sheet jam-jars --skip 2-4,9");
    desk.json("reprint 1 --slots 5-6");
    desk.json("reprint 1 --sheet cut-a4-90x55");
    let register = Register::open(&desk.path(super::support::REGISTER), Access::Existing).unwrap();
    let read: Vec<_> = register
        .runs()
        .unwrap()
        .iter()
        .map(|run| {
            let proved = read_back_run(&register, run, Dpi::DEFAULT).unwrap();
            (proved.symbols, proved.faults.len())
        })
        .collect();
    assert_eq!(read, [(3, 0), (2, 0), (3, 0)]);
    register.close().unwrap();
}
