//! `regroup plan`, `show`, `list`, `drop`

use std::process::Command;

use serde_json::{Value, json};
use stowmark::{
    code::BinCode,
    register::{Access, BinEdit, BulkEdit, Edit, ItemEdit, Register},
    unit::{Volume, Weight},
};

use super::support::{Desk, REGISTER, codes, number};

/// Gives bins their litres. (Through the library, so that these tests are about plans only.)
pub fn litres(desk: &Desk, bins: &[&str], litres: &str) {
    let volume = Edit::Set(Volume::parse(litres).unwrap());
    edit_bins(desk, bins, &BinEdit { volume, ..BinEdit::default() });
}

/// Gives bins the most that they may weigh.
pub fn kilograms(desk: &Desk, bins: &[&str], kilograms: &str) {
    let max_weight = Edit::Set(Weight::parse_kg(kilograms).unwrap());
    edit_bins(desk, bins, &BinEdit { max_weight, ..BinEdit::default() });
}

fn edit_bins(desk: &Desk, bins: &[&str], edit: &BinEdit) {
    let mut register = open(desk);
    let bins: Vec<BinCode> = bins.iter().map(|bin| bin.parse().unwrap()).collect();
    register.edit_bins(&bins, edit).unwrap();
    register.close().unwrap();
}

/// Gives items their litres.
pub fn sizes(desk: &Desk, items: &[&str], litres: &str) {
    let volume = Edit::Set(Volume::parse(litres).unwrap());
    edit_items(desk, items, BulkEdit { volume, ..BulkEdit::default() });
}

/// Gives items their weights in grams.
pub fn grams(desk: &Desk, items: &[&str], grams: &str) {
    let weight = Edit::Set(Weight::parse_grams(grams).unwrap());
    edit_items(desk, items, BulkEdit { weight, ..BulkEdit::default() });
}

fn edit_items(desk: &Desk, items: &[&str], bulk: BulkEdit) {
    let mut register = open(desk);
    let found = items.iter().map(|code| stowmark::job::item_by_text(&register, code).unwrap()).collect::<Vec<_>>();
    register.edit_items(&found, &ItemEdit { bulk, ..ItemEdit::default() }).unwrap();
    register.close().unwrap();
}

fn open(desk: &Desk) -> Register {
    Register::open(&desk.path(REGISTER), Access::Existing).unwrap()
}

/// Bins 4A to 4F of 10 litres and 12A of 10 litres, with items of 2 litres: three in 4A, two in 4B, one in 4C, two in 12A.
pub fn desk() -> Desk {
    let desk = Desk::with_bins();
    desk.run("area add 12 Cellar").done();
    desk.run("bin add 12").done();
    for (title, bin) in [
        ("Jam pan", "4A"),
        ("Fish kettle", "4A"),
        ("Tea pot", "4A"),
        ("Cake tin", "4B"),
        ("Ladle", "4B"),
        ("Whisk", "4C"),
        ("Sieve", "12A"),
        ("Board game, 12 geese", "12A"),
    ] {
        desk.run(&format!("item add '{title}' --bin {bin}")).done();
    }
    litres(&desk, &["4A", "4B", "4C", "4D", "4F", "12A"], "10");
    let items = ["4A-001F", "4A-002C", "4A-003A", "4B-001J", "4B-002G", "4C-001N", "12A-001F", "12A-002C"];
    sizes(&desk, &items, "2");
    desk
}

#[test]
fn a_plan_is_kept_and_shown() {
    let desk = desk();
    let plan = desk.json("regroup plan");
    assert_eq!(
        (&plan["bins_before"], &plan["bins_used"], &plan["bins_lower_bound"]),
        (&json!(4), &json!(2), &plan["bins_lower_bound"])
    );
    assert_eq!(plan["freed"].as_array().unwrap().len(), 2);
    assert_eq!(plan["items_moved"], plan["moves"].as_array().unwrap().len());
    assert_eq!((&plan["volumes_assumed"], &plan["no_litres"], &plan["held"]), (&json!(0), &json!([]), &json!(0)));
    let freed: Vec<&str> = plan["freed"].as_array().unwrap().iter().map(|bin| bin.as_str().unwrap()).collect();
    for one in plan["moves"].as_array().unwrap() {
        assert!(freed.contains(&one["from"].as_str().unwrap()) && one["state"] == "open", "{one}");
    }
    assert_eq!(desk.json("regroup show"), plan);
    assert_eq!(desk.json("bin list")["bins"][0]["items"], 3, "nothing moves by planning");
    let told = desk.run("regroup show").done().stdout;
    for part in ["and 2 bins become free: ", "2 bins in use afterwards, 4 now", "0 of ", "to be taken"] {
        assert!(told.contains(part), "{part}: {told}");
    }
    desk.run("check").done();
}

#[test]
fn a_plan_that_was_not_begun_gives_way() {
    let desk = desk();
    desk.run("regroup plan").done();
    let told = "plan 1, of which nothing was done yet, gives way to this one\n";
    desk.run("regroup plan --empty 4A --free 0").stderr(told).done();
    let shown = desk.json("regroup show");
    assert_eq!((&shown["plan"], &shown["freed"]), (&json!(2), &json!(["4A"])));
    desk.run("undo").done();
    assert_eq!(desk.json("regroup show")["plan"], 1, "the one before is back");
    desk.run("check").done();
    desk.run("undo").done();
    desk.run("regroup show").code(3).stdout("no plan of moves is open; `stowmark regroup plan` makes one\n").done();
    desk.run("check").done();
}

#[test]
fn a_plan_that_was_begun_stays() {
    let desk = desk();
    desk.run("regroup plan --empty 4A --free 0").done();
    desk.run("regroup go").stdin("4A001F\n").done();
    let told = "a plan of moves is under way: 0 of 3 done, 1 in hand; `stowmark regroup go` goes on with it, `stowmark regroup drop` ends it";
    desk.run("regroup plan").refused(told).done();
    let dropped = desk.json("regroup drop");
    assert_eq!((&dropped["dropped"], codes(&dropped, "in_hand")), (&json!(1), vec!["4A-001F".to_owned()]));
    desk.run("regroup plan").done();
    let told = "change 18 (drop the plan of moves) stays: another plan of moves is open; `stowmark regroup drop` ends that one";
    let id = number(&desk.register(), "SELECT id FROM change WHERE what = 'drop the plan of moves'");
    desk.run(&format!("undo --change {id}")).refused(&told.replace("18", &id.to_string())).done();
    desk.run("undo --last 2").done();
    let shown = desk.json("regroup show");
    assert_eq!((&shown["plan"], &shown["moves"][0]["state"]), (&json!(1), &json!("taken")));
    desk.run("check").done();
}

#[test]
fn dropping_says_what_is_in_hand() {
    let desk = desk();
    desk.run("regroup drop").code(3).done();
    desk.run("regroup plan --empty 4A --free 0").done();
    desk.run("regroup go").stdin("4A001F\n").done();
    let to = desk.json("find 4A-001F")["matches"][0]["in_hand"]["to"].as_str().unwrap().to_owned();
    desk.run("find 4A-001F")
        .stdout(&format!("4A-001F  Jam pan: in 4A, Loft, rack 1, level 2 (in hand: taken from 4A for {to})\n"))
        .done();
    let told = format!(
        "plan 1 dropped; 0 of 3 items moved\n  in hand: 4A-001F  Jam pan; the register has it in 4A: put it back there, or `stowmark put 4A-001F --in {to}`\n"
    );
    desk.run("regroup drop").stdout(&told).done();
    desk.run("find 4A-001F").stdout("4A-001F  Jam pan: in 4A, Loft, rack 1, level 2\n").done();
    desk.run("check").done();
}

#[test]
fn what_is_asked_for_holds() {
    let desk = desk();
    let within = desk.json("regroup plan --area 4");
    assert!(within["moves"].as_array().unwrap().iter().all(|one| one["from"] != "12A" && one["to"] != "12A"));
    assert_eq!(desk.bare("--json regroup plan --area 4 --free 1").args(&["--register", REGISTER]).any_stderr().done().json()["freed"].as_array().unwrap().len(), 1);
    let kept = desk.run("--json regroup plan --keep 4C 12A").any_stderr().done().json();
    assert!(kept["moves"].as_array().unwrap().iter().all(|one| one["from"] != "4C" && one["from"] != "12A"));
    let asked = json!({"areas": [], "empty": [], "keep": ["4C", "12A"], "free": null, "together": null});
    assert_eq!(kept["asked"], asked);
    let emptied = desk.run("--json regroup plan --empty 4A 12A").any_stderr().done().json();
    let freed = emptied["freed"].as_array().unwrap();
    assert!(freed.contains(&json!("4A")) && freed.contains(&json!("12A")), "{emptied}");
    for field in ["note", "size", "bought", "order", "bin"] {
        let plan = desk.run(&format!("--json regroup plan --together {field}")).any_stderr().any_code().done().json();
        assert!(plan["moves"].is_array(), "{plan}");
    }
}

#[test]
fn what_makes_no_sense_is_refused() {
    let desk = desk();
    let before = desk.dump();
    desk.run("regroup plan --empty 4A --keep 4A").refused("4A is to be emptied and to be kept; name it once").done();
    let told = "12A is not in area 4; name its area too, or leave --area out";
    desk.run("regroup plan --area 4 --empty 12A").refused(told).done();
    desk.run("regroup plan --area 77").refused_with(&["there is no area 77"]).done();
    desk.run("regroup plan --area cellar").code(1).any_stderr().done();
    desk.run("regroup plan --empty 4M").refused_with(&["4M"]).done();
    desk.run("regroup plan --together shape").code(2).any_stderr().done();
    desk.run("regroup plan --empty 4A 4B 4C 12A 4D").refused_with(&["does not fit", "would be left over"]).done();
    assert_eq!(desk.dump(), before);
    let empty = Desk::with_bins();
    empty.run("regroup plan").refused_with(&["there are no bins with anything in them"]).done();
}

#[test]
fn bins_without_litres_take_nothing() {
    let desk = Desk::with_items();
    desk.run("item add Ladle --bin 4B").done();
    let told = desk.run("regroup plan").code(3).done().stdout;
    for part in
        ["nothing to gain: 2 bins in use", "the size of 4 of 4 items is assumed", "`stowmark bin edit 4A --litres 36`"]
    {
        assert!(told.contains(part), "{part}: {told}");
    }
    let told = ["what is in 4A does not fit into the other bins: ", "litres are not known"];
    desk.run("regroup plan --empty 4A").refused_with(&told).done();
    litres(&desk, &["4A"], "36");
    let plan = desk.json("regroup plan");
    assert_eq!(
        plan["moves"][0],
        json!({"code": "4B-001J", "title": "Ladle", "from": "4B", "to": "4A", "taken_on": 1, "put_on": 1, "state": "open"})
    );
    assert_eq!((&plan["volumes_assumed"], &plan["no_litres"]), (&json!(4), &json!(["4B", "4C", "4D", "4F"])));
}

#[test]
fn weight_counts_as_well() {
    let desk = desk();
    let items = ["4A-001F", "4A-002C", "4A-003A", "4B-001J", "4B-002G", "4C-001N", "12A-001F"];
    grams(&desk, &items, "2500");
    kilograms(&desk, &["4A", "4B", "4C", "4D", "4F", "12A"], "10");
    let plan = desk.json("regroup plan");
    assert_eq!((&plan["weights_assumed"], &plan["bins_used"]), (&json!(1), &json!(2)));
    let told = desk.run("regroup show").done().stdout;
    assert!(told.contains("the weight of 1 of 8 items is assumed, not known"), "{told}");
}

#[test]
fn no_more_is_said_to_be_left_over_than_must_be() {
    let desk = desk();
    // By hand: 4F takes 10 of the 16 litres, which is 5 of 8 things; of 10 and 2 litres the small ones count first.
    let told = "what is in 4A, 4B, 4C, 12A, 4D does not fit into the other bins: at least 3 items would be left over; add bins, or empty fewer";
    desk.run("regroup plan --empty 4A 4B 4C 12A 4D").refused(told).done();
    sizes(&desk, &["4A-001F", "4A-002C"], "9");
    let told = "at least 3 items would be left over";
    desk.run("regroup plan --empty 4A 4B 4C 12A 4D").refused_with(&[told]).done();
}

#[test]
fn a_wish_that_allows_no_fewer_bins_is_named() {
    let desk = desk();
    let told = |wish: &str| desk.run(&format!("regroup plan {wish}")).code(3).done().stdout;
    assert_eq!(told("--free 0"), "nothing to gain: 4 bins in use, and --free allows no fewer\n");
    assert_eq!(told("--keep 4A 4B 4C 12A"), "nothing to gain: 4 bins in use, and --keep allows no fewer\n");
    assert_eq!(told("--free 0 --keep 4A"), "nothing to gain: 4 bins in use, and --free and --keep allow no fewer\n");
}

#[test]
fn keeping_together_says_what_it_reached() {
    let desk = desk();
    desk.run("item edit 4A-001F 4B-001J 12A-001F --note 'for the fair'").any_stderr().done();
    let plan = desk.json("regroup plan --together note");
    assert_eq!(plan["together"], json!({"groups": 1, "bins_before": 3, "bins_after": 1}));
    let told = desk.run("regroup show").done().stdout;
    assert!(told.contains("1 group with the same note: added up in 3 bins now, in 1 afterwards\n"), "{told}");
    let told = desk.run("regroup plan --together order").any_stderr().done().stdout;
    assert!(told.contains("no two items have the same order, so nothing is kept together\n"), "{told}");
    assert_eq!(desk.run("--json regroup plan").any_stderr().done().json()["together"], Value::Null);
}

#[test]
fn bins_that_stay_over_full_are_named() {
    let desk = desk();
    litres(&desk, &["12A"], "3.5");
    sizes(&desk, &["12A-001F"], "11");
    let plan = desk.json("regroup plan --keep 12A");
    assert_eq!(plan["over_full"], json!(["12A stays over-full: 13 of 3.5 l"]));
    assert!(desk.run("regroup show").done().stdout.contains("\n12A stays over-full: 13 of 3.5 l\n"));
    assert_eq!(desk.run("--json regroup plan").any_stderr().done().json()["over_full"].as_array().unwrap().len(), 1);
}

/// Each bin that must be emptied moves all of its items, whatever the rest does.
#[test]
fn a_plan_that_moves_only_what_must_is_known_to_move_least() {
    let desk = desk();
    let plan = desk.json("regroup plan --empty 4A 4B --free 0");
    assert_eq!((&plan["items_moved"], &plan["count_proven"]), (&json!(5), &json!(true)));
}

#[test]
fn what_became_empty_keeps_its_place_in_walking_order() {
    let desk = desk();
    desk.run("regroup plan --empty 4A 12A --keep 4F --free 0").done();
    let before = desk.run("regroup show").done().stdout;
    desk.run("put 4A-001F 4A-002C 4A-003A --in 4D").any_stderr().done();
    let after = desk.run("regroup show").done().stdout;
    let rows = |told: &str| told.lines().skip(1).take(3).map(str::to_owned).collect::<Vec<_>>();
    assert_eq!(rows(&before), rows(&after));
    let row = rows(&after).into_iter().find(|row| row.starts_with("4A")).unwrap();
    assert!(row.contains("Loft, rack 1"), "{after}");
}

#[test]
fn long_lines_are_broken_for_the_terminal() {
    let desk = desk();
    desk.run("regroup plan --empty 4A --free 0").done();
    for command in ["regroup show", "regroup drop"] {
        let told = desk.run(command).env("COLUMNS", "50").done().stdout;
        assert!(told.lines().all(|line| line.chars().count() <= 50), "{told}");
    }
}

#[test]
fn plans_that_were_given_up_are_no_part_of_an_items_history() {
    let desk = desk();
    desk.run("tag --no-proof").done();
    for _ in 0..3 {
        desk.run("regroup plan --empty 4A --free 0").any_stderr().done();
    }
    let told = desk.run("history 4A-001F").done().stdout;
    assert_eq!(told.matches("by plan").count(), 1, "{told}");
    desk.run("regroup drop").done();
    assert_eq!(desk.run("history 4A-001F").done().stdout.matches("by plan").count(), 0);
}

fn list(desk: &Desk, words: &str) -> Value {
    desk.run(&format!("--json regroup list {words}")).any_stderr().done().json()
}

#[test]
fn the_moving_list_is_written() {
    let desk = desk();
    desk.run("regroup list").code(3).done();
    assert_eq!(desk.files(), Vec::<String>::new());
    desk.run("regroup plan").done();
    let first = list(&desk, "");
    assert!(first["file"].as_str().unwrap().starts_with("moves-2") && first["pages"] == 1, "{first}");
    desk.run("regroup list --out list.pdf --paper letter").done();
    desk.run("regroup list --out list.pdf").refused_with(&["is there already"]).done();
    desk.run("regroup list --out list.pdf --force").done();
    desk.run("regroup list --paper a5").refused_with(&["`a5` is no paper"]).done();
}

/// Each item is taken once and put once on the pages.
/// [S] pdftotext of poppler-utils: what a viewer finds.
#[test]
fn every_move_of_a_long_plan_stands_on_the_list() {
    let desk = Desk::with_bins();
    let titles = [
        "Teekanne, Emaille, grün",
        "Μπρίκι του καφέ",
        "Cake tin with a lid that does not quite close, a dent on its left side and a long, long story",
    ];
    let rows: String = (0..70).map(|at| format!("\"{}\"\n", titles[at % 3])).collect();
    desk.file("buys.csv", format!("title\n{rows}"));
    desk.run("item import buys.csv --bin 4A").done();
    desk.run("item add Ladle --bin 4B").done();
    litres(&desk, &["4B"], "500");
    desk.run("regroup plan --empty 4A").done();
    let answer = list(&desk, "--out moves.pdf");
    assert!(answer["pages"].as_u64().unwrap() > 2, "{answer}");
    let Ok(read) = Command::new("pdftotext").arg("-layout").arg(desk.path("moves.pdf")).arg("-").output() else {
        assert!(std::env::var_os("STOWMARK_NEED_TOOLS").is_none(), "pdftotext is wanted");
        println!("skipped: pdftotext is missing");
        return;
    };
    let text = String::from_utf8(read.stdout).unwrap();
    let plan = desk.json("regroup show");
    for code in codes(&plan, "moves") {
        assert_eq!(text.matches(code.as_str()).count(), 2, "{code}");
    }
    let pages = usize::try_from(answer["pages"].as_u64().unwrap()).unwrap();
    assert_eq!(text.matches("Lifting and stacking: ").count(), pages, "the caution stands on each page");
    for part in [
        "Moving list",
        "Trip 1",
        "Trip 4",
        "Take from: Loft",
        "Put into: Loft",
        "for 4B",
        "70 items to move on 4 trips",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
}
