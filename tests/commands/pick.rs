//! `pick`, `pick --scan`, `pick --print`, `picked`

use std::process::Command;

use serde_json::{Value, json};

use super::support::{Desk, codes};

/// Two areas with spots and a stack, and an item in each of six bins; all but 4H-001Q are sold.
fn desk() -> Desk {
    let desk = Desk::empty();
    desk.run("area add 4 Loft").any_stderr().done();
    desk.run("area add 12 Cellar").done();
    desk.run("bin add 4 --count 3 --spot 'rack 1'").done();
    desk.run("bin add 4 --count 2 --spot 'rack 2'").done();
    desk.run("bin add 4").done();
    desk.run("bin add 12").done();
    for (bin, title) in
        [("4A", "Jam pan"), ("4B", "Fish kettle"), ("4C", "Tea pot"), ("4D", "Cake tin"), ("4G", "Ladle")]
    {
        desk.run(&format!("item add '{title}' --bin {bin} --asking 5")).done();
    }
    desk.run("item add Whisk --bin 12A --asking 5").done();
    desk.run("item add Sieve --bin 4A --asking 5").done();
    desk.run("item add Unsold --bin 4A").done();
    desk.run("sold 4A-001F 4B-001J 4C-001N 4D-001R 4G-001A 12A-001F 4A-002C --price 70 --order 77 --on 2026-11-20")
        .done();
    desk
}

fn stops(round: &Value) -> Vec<(String, u64)> {
    let items = round["round"].as_array().unwrap();
    items.iter().map(|item| (item["code"].as_str().unwrap().to_owned(), item["stop"].as_u64().unwrap())).collect()
}

fn walked(desk: &Desk) -> Vec<String> {
    codes(&desk.json("pick"), "round")
}

#[test]
fn the_round_goes_by_area_spot_and_bin() {
    let desk = desk();
    let expected = [
        ("4A-001F", 1),
        ("4A-002C", 1),
        ("4B-001J", 2),
        ("4C-001N", 3),
        ("4D-001R", 4),
        ("4G-001A", 5),
        ("12A-001F", 6),
    ];
    assert_eq!(stops(&desk.json("pick")), expected.map(|(code, stop)| (code.to_owned(), stop)));
}

#[test]
fn the_round_goes_as_its_owner_does() {
    let desk = desk();
    desk.run("area order 12").done();
    desk.run("spot order 4 'rack 2' 'rack 1'").done();
    desk.run("bin edit 4C --stack 1").done();
    desk.run("bin edit 4A --stack 2").done();
    let expected = ["12A-001F", "4D-001R", "4C-001N", "4A-001F", "4A-002C", "4B-001J", "4G-001A"];
    assert_eq!(walked(&desk), expected);
    // Labels are printed in the same order.
    desk.run("tag 4A-001F 4A-002C 4B-001J 4C-001N 4D-001R 4G-001A 12A-001F").any_stderr().done();
    let run = desk.json("run show 1");
    let labels: Vec<&str> =
        run["placed"].as_array().unwrap().iter().map(|label| label["said"]["code"].as_str().unwrap()).collect();
    assert_eq!(labels, expected);
}

#[test]
fn the_round_is_a_table_by_bins() {
    let desk = desk();
    desk.run("bin edit 4B --stack 1").done();
    let table = "\
stop  bin  where                           code      title        order
   1  4B   Loft, rack 1, 1st in the stack  4B-001J   Fish kettle  77
   2  4A   Loft, rack 1                    4A-001F   Jam pan      77
                                           4A-002C   Sieve        77
   3  4C   Loft, rack 1                    4C-001N   Tea pot      77
   4  4D   Loft, rack 2                    4D-001R   Cake tin     77
   5  4G   Loft                            4G-001A   Ladle        77
   6  12A  Cellar                          12A-001F  Whisk        77
7 items from 6 bins
";
    desk.run("pick").stdout(table).done();
}

#[test]
fn an_empty_round_is_nothing_found() {
    let desk = Desk::with_items();
    desk.run("pick").code(3).stdout("nothing to pick\n").done();
    desk.run("--json pick").code(3).stdout("{\"round\":[]}\n").done();
    desk.run("pick --print").code(3).stdout("nothing to pick\n").done();
    desk.run("picked --all").code(3).stdout("nothing to pick\n").done();
    assert_eq!(desk.files(), Vec::<String>::new());
}

#[test]
fn what_is_picked_has_left() {
    let desk = desk();
    let picked = json!({"picked": [{"code": "4A-001F", "from": "4A"}, {"code": "4C-001N", "from": "4C"}]});
    assert_eq!(desk.json("picked 4A-001F 4C001 --on 2026-11-21"), picked);
    let found = "4A-001F  Jam pan: sold on 2026-11-20 for order 77, picked on 2026-11-21\n";
    desk.run("find 4A-001F").stdout(found).done();
    assert_eq!(walked(&desk), ["4A-002C", "4B-001J", "4D-001R", "4G-001A", "12A-001F"]);
    let before = desk.dump();
    desk.run("picked 4A-002C 4A-001F").refused_with(&["4A-001F was picked already", "picked on 2026-11-21"]).done();
    desk.run("picked 4A-003A").refused_with(&["4A-003A is not sold: it is held"]).done();
    assert_eq!(desk.dump(), before);
    desk.run("picked --all").done();
    assert_eq!(desk.json("bin list")["bins"][0]["items"], 1);
    desk.run("undo --last 2").done();
    assert_eq!(walked(&desk).len(), 7);
    assert_eq!(desk.json("find 4A-001F")["matches"][0]["picked_on"], Value::Null);
}

#[test]
fn picks_are_confirmed_line_by_line() {
    let desk = desk();
    let read = b"4A001F\r\n4A001F\n4A003A\n4A\n12A\nladle\n4A001\n4C017R\nundo\nundo\n\n4a-002c\t\xff\xfe\n";
    let lines = desk.run("--json pick --scan").stdin(read).done().json_lines();
    let at = |line: usize, kind: &str| lines[line][kind].clone();
    assert_eq!(at(0, "picked"), json!([{"code": "4A-001F", "from": "4A"}]));
    let refused = [
        (1, "4A-001F was picked already: sold on 2026-11-20 for order 77"),
        (2, "4A-003A is not sold: it is held"),
        (3, "4A is a bin; scan the tags of what is to be picked from it: 4A-002C"),
        (4, "12A is a bin; scan the tags of what is to be picked from it: 12A-001F"),
        (5, "the register does not know it"),
        (6, "its check letter is missing or wrong"),
        (7, "the register does not know it"),
        (9, "nothing of this session is left to take back"),
        (10, "nothing was read"),
        (12, "the register does not know it"),
    ];
    for (line, reason) in refused {
        let told = at(line, "refused");
        assert!(told["reason"].as_str().is_some_and(|why| why.starts_with(reason)), "{line}: {}", lines[line]);
    }
    assert_eq!(at(8, "undone"), json!([{"code": "4A-001F", "from": "4A"}]));
    assert_eq!(at(11, "picked"), json!([{"code": "4A-002C", "from": "4A"}]));
    assert_eq!(lines.len(), 13);
    assert_eq!(walked(&desk), ["4A-001F", "4B-001J", "4C-001N", "4D-001R", "4G-001A", "12A-001F"]);
}

#[test]
fn people_are_told_what_is_left() {
    let desk = desk();
    desk.run("picked 4B-001J 4C-001N 4D-001R 4G-001A").done();
    let told = "\
3 items left; next 4A, Loft, rack 1: 4A-001F, 4A-002C
4A-001F  Jam pan: picked from 4A for order 77; 2 items left; next 4A, Loft, rack 1: 4A-002C
refused `4B001J`: 4B-001J was picked already: sold on 2026-11-20 for order 77, picked on TODAY
4A-002C  Sieve: picked from 4A for order 77; 1 item left; next 12A, Cellar: 12A-001F
taken back: 4A-002C belongs into 4A again; 2 items left; next 4A, Loft, rack 1: 4A-002C
";
    let answer = desk.run("pick --scan").stdin("4A001F\n4B001J\n4A002C\nundo\n").done();
    let day = desk.json("find 4B-001J")["matches"][0]["picked_on"].as_str().unwrap().to_owned();
    assert_eq!(answer.stdout.replace(&day, "TODAY"), told);
}

/// Each pick is a change of its own, so what was answered is there whatever becomes of the session.
#[test]
fn each_pick_of_a_session_is_taken_back_by_itself() {
    let desk = desk();
    desk.run("pick --scan").stdin("4A001F\n4B001J\n").done();
    assert_eq!(desk.json("undo")["undone"][0]["what"], "pick 4B-001J");
    assert_eq!(walked(&desk), ["4A-002C", "4B-001J", "4C-001N", "4D-001R", "4G-001A", "12A-001F"]);
    assert_eq!(desk.json("undo")["undone"][0]["what"], "pick 4A-001F");
    assert_eq!(walked(&desk).len(), 7);
}

#[test]
fn a_label_from_before_is_picked_by() {
    let desk = desk();
    desk.run("item alias 4C-001N 'K 117'").done();
    let lines = desk.run("--json pick --scan").stdin("k117\n").done().json_lines();
    assert_eq!(lines, [json!({"picked": [{"code": "4C-001N", "from": "4C"}]})]);
}

#[test]
fn the_round_is_printed_under_a_free_name() {
    let desk = desk();
    let first = desk.json("pick --print");
    assert_eq!((stops(&first), &first["pages"]), (stops(&desk.json("pick")), &json!(1)));
    let name = first["file"].as_str().unwrap();
    assert!(name.starts_with("pick-2") && desk.read(name).starts_with(b"%PDF-"), "{name}");
    let second = desk.json("pick --print");
    assert_ne!(second["file"], first["file"]);
    assert_eq!(desk.read(second["file"].as_str().unwrap()), desk.read(name));
    desk.run("pick --print --out round.pdf --paper letter").stdout("7 items from 6 bins on 1 page: round.pdf\n").done();
    desk.run("pick --print --out round.pdf").refused_with(&["`[folder]/round.pdf` is there already"]).done();
    desk.run("pick --print --out round.pdf --force").done();
    desk.run("pick --print --out register.db --force").refused_with(&["is the register"]).done();
    desk.run("pick --print --paper a5").refused_with(&["`a5` is no paper"]).done();
    desk.run("pick --out round.pdf").code(2).stdout("").any_stderr().done();
}

/// Many items take several pages; each item stands on one of them, with its code, title and order.
/// [S] pdftotext of poppler-utils: what a viewer finds.
#[test]
fn every_item_of_a_long_round_stands_on_a_page() {
    let desk = Desk::with_bins();
    let titles = ["Teekanne, Emaille, grün", "Μπρίκι του καφέ", "Чайник", "\"Quoted\" dish & lid"];
    let rows: String = (0..90).map(|at| format!("\"{}\",5\n", titles[at % 4].replace('"', "\"\""))).collect();
    desk.file("buys.csv", format!("title,asking\n{rows}"));
    desk.run("item import buys.csv --bin 4A").done();
    desk.run("item add 'Kettle 🫖' --bin 4B").done();
    let all: Vec<String> = codes(&desk.json("item list"), "items");
    desk.run("sold --price 900 --order 2026-771 --on 2026-11-20").args(&all).done();
    let warning = "no face has `🫖` of 4B-001J; shown as hollow boxes, so name a font that has them with --font FILE\n";
    let answer = desk.run("--json pick --print --out round.pdf").stderr(warning).done().json();
    assert_eq!(answer["pages"], 3);
    let Ok(read) = Command::new("pdftotext").arg("-layout").arg(desk.path("round.pdf")).arg("-").output() else {
        assert!(std::env::var_os("STOWMARK_NEED_TOOLS").is_none(), "pdftotext is wanted");
        println!("skipped: pdftotext is missing");
        return;
    };
    let text = String::from_utf8(read.stdout).unwrap();
    for code in &all {
        assert_eq!(text.matches(code.as_str()).count(), 1, "{code}");
    }
    assert_eq!(text.matches("order 2026-771").count(), 91);
    for part in titles.into_iter().chain(["Picking round", "page 3 of 3", "91 items from 2 bins", "rack 1, level 2"]) {
        assert!(text.contains(part), "{part}\n{text}");
    }
}
