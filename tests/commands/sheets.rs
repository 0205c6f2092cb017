//! `sheet list`, `sheet show`, `sheet add`, `sheet remove`

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::support::{Desk, names_in};

fn list(words: &str) -> Value {
    Desk::empty().json(&format!("sheet list {words}"))["sheets"].clone()
}

fn names(sheets: &Value) -> Vec<&str> {
    sheets.as_array().unwrap().iter().map(|sheet| sheet["name"].as_str().unwrap()).collect()
}

#[test]
fn a_sheet_has_its_measures() {
    let sheet = json!([{"name": "a4-3x7", "kind": "built-in", "paper": "a4", "columns": 3, "rows": 7, "label_width_mm": 63.5,
        "label_height_mm": 38.1, "left_mm": 7.2, "top_mm": 15.15, "pitch_x_mm": 66.0, "pitch_y_mm": 38.1}]);
    assert_eq!(list("--label 63.5x38.1"), sheet);
}

#[test]
fn all_sheets_are_listed_once() {
    let sheets = list("");
    let unique: BTreeSet<&str> = names(&sheets).into_iter().collect();
    assert_eq!((unique.len(), names(&sheets).len()), (31, 31));
    for name in ["a4-3x7", "a4-5x13", "a4-3x8-full", "letter-3x10", "letter-2x3", "roll-57x32", "roll-4x6in"] {
        assert!(unique.contains(name), "{name}");
    }
}

#[test]
fn sheets_are_found_by_the_size_on_the_packet() {
    let cases: [(&str, &[&str]); 4] = [
        ("64x38", &["a4-3x7"]),
        ("63.5X38.1", &["a4-3x7"]),
        ("2.625x1in", &["letter-3x10"]),
        ("38.1x21.2", &["a4-5x13"]),
    ];
    for (size, expected) in cases {
        assert_eq!(names(&list(&format!("--label {size}"))), expected, "{size}");
    }
}

#[test]
fn no_sheet_of_a_size_is_code_3() {
    let desk = Desk::empty();
    desk.run("sheet list --label 5x5")
        .code(3)
        .stdout("no sheet has labels of that size; inches are written as 2.625x1in\n")
        .done();
    let answer = desk.run("--json sheet list --label 5x5").code(3).done();
    assert_eq!(answer.json(), json!({"sheets": []}));
    for size in ["5", "ax5", "-5x5", "0x0", ""] {
        let run = desk.run("sheet list").args(&[format!("--label={size}")]);
        run.refused(&format!("`{size}` is no size; write it as 63.5x38.1 (mm) or 2.625x1in")).done();
    }
}

#[test]
fn sheets_need_no_register() {
    let desk = Desk::empty();
    desk.run("sheet list").done();
    assert_eq!(names_in(&desk.path("")), Vec::<String>::new());
}

const JARS: &str = "sheet add jam-jars --paper a4 --grid 3x9 --label 62x30 --left 9 --top 13.5 --pitch 64x30";

#[test]
fn an_own_sheet_is_added_listed_printed_on_and_removed() {
    let desk = Desk::with_items();
    let jars = json!({"name": "jam-jars", "kind": "own", "paper": "a4", "columns": 3, "rows": 9, "label_width_mm": 62.0,
        "label_height_mm": 30.0, "left_mm": 9.0, "top_mm": 13.5, "pitch_x_mm": 64.0, "pitch_y_mm": 30.0});
    assert_eq!(desk.json(JARS), jars);
    assert_eq!(desk.json("sheet list --label 62x30")["sheets"], json!([jars]));
    assert_eq!(desk.json("sheet list")["sheets"].as_array().unwrap().len(), 32);
    let printed = desk.json("tag --sheet Jam-Jars");
    let last = &printed["placed"][2];
    assert_eq!(json!([printed["sheet"], last["left_mm"], last["top_mm"]]), json!(["jam-jars", 137.0, 13.5]));
    desk.run("set sheet jam-jars").done();
    assert_eq!(desk.json("tag --all")["sheet"], "jam-jars");
    assert_eq!(desk.json("sheet remove jam-jars"), jars);
    assert_eq!(desk.json("set")["sheet"], json!(null));
    assert_eq!(desk.json("tag --all")["sheet"], "a4-5x13");
    assert_eq!(desk.json("run show 1")["sheet"], "jam-jars");
    let gone = "the sheet `jam-jars` was removed; `stowmark sheet add jam-jars` with its measures brings it back, \
        or name another with --sheet";
    desk.run("reprint 1").refused(gone).done();
    desk.run("tag --all --sheet jam-jars").refused(gone).done();
    assert_eq!(desk.json("reprint 1 --sheet a4-3x7")["labels"], 3);
    desk.run(JARS).done();
    assert_eq!(desk.json("sheet show jam-jars")["spent"], json!([1, 2, 3, 4, 5, 6]));
}

#[test]
fn an_own_sheet_is_told_with_its_measures() {
    let desk = Desk::with_bins();
    let told = "sheet jam-jars: 3 x 9 labels of 62 x 30 mm on a4, 9 mm from the left and 13.5 mm from the top, 64 x 30 mm \
        from label to label\nprint on it with --sheet jam-jars\n";
    desk.run(JARS).stdout(told).done();
    let told = "sheet spools: a roll of 62 x 17 mm labels\nprint on it with --sheet spools\n";
    desk.run("sheet add spools --paper roll --label 62x17").stdout(told).done();
    desk.run("set sheet spools").done();
    let told = "sheet spools is removed; what was printed on it stays on record\n\
        it was the one that is set; the usual sheets hold again\n";
    desk.run("sheet remove spools").stdout(told).done();
    desk.run("sheet remove jam-jars")
        .stdout("sheet jam-jars is removed; what was printed on it stays on record\n")
        .done();
    desk.run("sheet add spools --paper roll --label 62x17").done();
    let inches = desk.json("sheet add Tins --paper letter --grid 4x10 --label 2x1in --left 0.25in --top 0.5in");
    assert_eq!(json!([inches["name"], inches["left_mm"], inches["pitch_x_mm"]]), json!(["tins", 6.35, 50.8]));
    let told = desk.run("sheet list --label 62x17").done().stdout;
    assert!(told.contains("spools") && told.contains("own"), "{told}");
}

#[test]
fn own_sheets_that_make_no_sense_are_refused() {
    let desk = Desk::with_items();
    desk.run(JARS).done();
    let before = desk.dump();
    let cases = [
        (JARS, "there is a sheet `jam-jars` already; `stowmark sheet remove jam-jars` removes it"),
        ("sheet add a4-3x7 --paper a4 --grid 3x7 --label 60x30", "a built-in sheet has it"),
        ("sheet add cut-a4-9x9 --paper a4 --grid 3x7 --label 60x30", "names with cut- stand for plain paper"),
        ("sheet add none --paper a4 --grid 3x7 --label 60x30", "none stands for no sheet"),
        ("sheet add '' --paper a4 --grid 3x7 --label 60x30", "`` can't be the name of a sheet: it is empty"),
        ("sheet add jam_jars --paper a4 --grid 3x7 --label 60x30", "use letters a to z, digits and hyphens"),
        ("sheet add x --paper a5 --grid 3x7 --label 60x30", "`a5` is no paper; there are a4, letter and roll"),
        ("sheet add x --paper a4 --label 60x30", "a sheet needs its grid"),
        ("sheet add x --paper a4 --grid 3 --label 60x30", "`3` is no grid; write labels across and down as 3x9"),
        ("sheet add x --paper a4 --grid 4x7 --label 60x30", "the last label ends 30 mm beyond the right edge"),
        ("sheet add x --paper a4 --grid 3x9 --label 60x30 --top 30", "ends 3 mm beyond the bottom edge"),
        ("sheet add x --paper a4 --grid 3x7 --label 60x30 --left -3", "`-3` is no length"),
        ("sheet add x --paper a4 --grid 3x7 --label 60x30 --pitch 59x30", "the labels would overlap"),
        ("sheet add x --paper a4 --grid 3x7 --label 60", "`60` is no size"),
        ("sheet add x --paper a4 --grid 30x70 --label 4x4", "labels of 4 x 4 mm are too small"),
        ("sheet add x --paper roll --grid 2x1 --label 60x30", "on a roll each label is a page of its own"),
        ("sheet remove a4-3x7", "`a4-3x7` is no sheet of your own; only those can be removed"),
        ("sheet remove cut-a4-90x55", "`cut-a4-90x55` is no sheet of your own"),
        ("sheet remove jam-jar", "there is no sheet `jam-jar`; did you mean `jam-jars`?"),
        ("sheet show jam-jar", "did you mean `jam-jars`?"),
        ("set sheet jam-jar", "did you mean `jam-jars`?"),
    ];
    for (words, why) in cases {
        desk.run(words).refused_with(&[why]).done();
    }
    for words in ["sheet add", "sheet add x --paper a4", "sheet add x --label 60x30", "sheet remove", "sheet show"] {
        desk.run(words).code(2).stdout("").any_stderr().done();
    }
    assert_eq!(desk.dump(), before);
}

/// The issue: `sheet add NAME --paper a4 --grid 3x9 --label 62x30 --left 12 --top 13.5 --pitch 64x30`.
#[test]
fn a_sheet_is_added_as_the_issue_writes_it() {
    let desk = Desk::with_items();
    desk.run("sheet add tall --paper a4 --grid 3x9 --label 62x30 --left 12 --top 13.5 --pitch 64x30").done();
    assert_eq!(desk.json("tag --sheet tall")["placed"][1]["left_mm"], 76.0);
}

/// Adding may be the first thing that a user does; reading never makes a register.
#[test]
fn only_a_good_sheet_makes_a_register() {
    let desk = Desk::empty();
    desk.run("sheet add x --paper a5 --grid 3x7 --label 60x30").code(1).any_stderr().done();
    desk.run("sheet show a4-3x7").done();
    desk.run("sheet show jam-jars").code(1).any_stderr().done();
    desk.run("sheet remove jam-jars").refused_with(&["there is no register"]).done();
    for words in ["run list", "run show 1", "run cancel 1", "reprint 1"] {
        desk.run(words).refused_with(&["there is no register"]).done();
    }
    assert_eq!(names_in(&desk.path("")), Vec::<String>::new());
    desk.run(JARS).stderr_has(&["new register: "]).done();
    assert_eq!(desk.json("sheet show jam-jars")["free"].as_array().unwrap().len(), 27);
}

/// ISO 216: A4 is 210 x 297 mm; ANSI/ASME Y14.1: letter is 8.5 x 11 in.
#[test]
fn plain_paper_takes_as_many_as_fit() {
    let desk = Desk::with_items();
    let printed = desk.json("sign --sheet CUT-A4-90x55 --copies 3");
    assert_eq!(json!([printed["sheet"], printed["pages"], printed["sheet_state"]]), json!(["cut-a4-90x55", 2, null]));
    let places: Vec<_> =
        (0..3).map(|at| [&printed["placed"][at]["left_mm"], &printed["placed"][at]["top_mm"]]).collect();
    assert_eq!(json!(places), json!([[15.0, 11.0], [105.0, 11.0], [15.0, 66.0]]));
    let shown = desk.json("sheet show cut-letter-3.5x2in");
    assert_eq!(json!([shown["columns"], shown["rows"], shown["left_mm"]]), json!([2, 5, 19.05]));
    desk.run("set sheet cut-a4-90x55").done();
    assert_eq!(desk.json("tag --all")["sheet"], "cut-a4-90x55");
    assert_eq!(desk.json("reprint 1 --slots 2:1")["labels"], 1);
    let cases = [
        ("tag --all --sheet cut-a4-195x55", "there is room for 194 x 281 mm"),
        ("tag --all --sheet cut-a4-5x5", "too small to be cut"),
        ("tag --all --sheet cut-a5-90x55", "write cut-, the paper and the label, as cut-a4-90x55"),
        ("tag --all --from 2", "no slots are remembered of cut-a4-90x55"),
    ];
    for (words, why) in cases {
        desk.run(words).refused_with(&[why]).done();
    }
}

/// Marks lie on the edges of the labels, outside of them, and where office printers reach: 5 mm from the paper's edge
/// (common practice).
#[test]
fn cut_marks_are_in_the_file() {
    use stowmark::{output::rasterise, unit::Dpi};

    let desk = Desk::with_items();
    desk.run("tag 4A-001F --sheet cut-a4-90x55 --out cut.pdf").done();
    let page = rasterise(&desk.read("cut.pdf"), 1, Dpi::new(254.0).unwrap(), false).unwrap();
    // Ten dots a millimetre.
    let is_dark = |x: u32, y: u32| page.luma[(y * page.width + x) as usize] < 128;
    let has_dark =
        |left: u32, top: u32, right: u32, bottom: u32| (top..bottom).any(|y| (left..right).any(|x| is_dark(x, y)));
    for x in [150, 1050, 1950] {
        assert!((56..104).all(|y| has_dark(x - 2, y, x + 3, y + 1)), "mark above {x}");
        assert!((2866..2914).all(|y| has_dark(x - 2, y, x + 3, y + 1)), "mark below {x}");
    }
    for y in [110, 660, 1210, 1760, 2310, 2860] {
        assert!((96..144).all(|x| has_dark(x, y - 2, x + 1, y + 3)), "mark left of {y}");
        assert!((1956..2004).all(|x| has_dark(x, y - 2, x + 1, y + 3)), "mark right of {y}");
    }
    // The second label is empty, and so is the paper's edge.
    assert!(!has_dark(1050, 110, 1950, 2860));
    assert!(!has_dark(0, 0, 2100, 50) && !has_dark(0, 0, 50, 2970));
    assert!(!has_dark(0, 2920, 2100, 2970) && !has_dark(2050, 0, 2100, 2970));
}
