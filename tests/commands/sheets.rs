//! `sheet list`

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
    let sheet = json!([{"name": "a4-3x7", "paper": "a4", "columns": 3, "rows": 7, "label_width_mm": 63.5,
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
