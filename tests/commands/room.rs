//! Room and weight: kinds of bins, sizes of items, how full bins are, and what is said when they are over-full

use serde_json::{Value, json};

use super::support::Desk;

/// Two tubs of 36 usable litres for 9 kg, 58 x 38 x 28 cm inside, and two boxes of 5 l for 1 kg.
fn desk() -> Desk {
    let desk = Desk::empty();
    desk.run("area add 4 Loft").any_stderr().done();
    desk.run("bin kind add tub-m --litres 36 --max-kg 9 --inside 58x38x28").done();
    desk.run("bin add 4 --count 2 --spot 'rack 1' --kind tub-m").done();
    desk.run("bin add 4 --count 2 --litres 5 --max-kg 1").done();
    desk
}

fn fill(desk: &Desk, bin: usize) -> Value {
    desk.json("bin list")["bins"][bin]["fill"].clone()
}

#[test]
fn bins_have_the_figures_of_their_kind_and_their_own() {
    let desk = desk();
    let bin = |at: usize| desk.json("bin list")["bins"][at].clone();
    let figures = |bin: &Value| json!([bin["bin_kind"], bin["litres"], bin["max_kg"], bin["inside_cm"]]);
    assert_eq!(figures(&bin(0)), json!(["tub-m", 36.0, 9.0, [58.0, 38.0, 28.0]]));
    assert_eq!(figures(&bin(2)), json!([null, 5.0, 1.0, null]));
    desk.run("bin edit 4A --max-kg 7,5 --litres 30").done();
    assert_eq!(figures(&bin(0)), json!(["tub-m", 30.0, 7.5, [58.0, 38.0, 28.0]]));
    desk.run("bin kind edit TUB-M --litres 40 --inside none").done();
    assert_eq!(figures(&bin(0)), json!(["tub-m", 30.0, 7.5, null]));
    desk.run("bin edit 4A --litres none").done();
    assert_eq!(figures(&bin(0)), json!(["tub-m", 40.0, 7.5, null]));
    desk.run("bin edit 4A --kind none").done();
    assert_eq!(figures(&bin(0)), json!([null, null, 7.5, null]));
    for _ in 0..4 {
        desk.run("undo").done();
    }
    assert_eq!(figures(&bin(0)), json!(["tub-m", 36.0, 9.0, [58.0, 38.0, 28.0]]));
    let told = desk.run("history 4A").done().stdout;
    assert!(told.contains("bin added at rack 1, kind tub-m") && told.contains("litres 30, max kg 7.5"), "{told}");
    desk.run("check").done();
}

#[test]
fn kinds_are_listed_changed_and_removed() {
    let desk = desk();
    let kinds = json!([{"name": "tub-m", "litres": 36.0, "max_kg": 9.0, "inside_cm": [58.0, 38.0, 28.0], "bins": 2}]);
    assert_eq!(desk.json("bin kind list")["bin_kinds"], kinds);
    let before = desk.dump();
    desk.run("bin kind add Tub-M")
        .refused("there is a kind of bins `tub-m` already; `stowmark bin kind edit` changes it")
        .done();
    desk.run("bin kind add none").refused_with(&["`none` takes a value away"]).done();
    desk.run("bin kind edit tub-m").refused_with(&["give --litres, --max-kg or --inside"]).done();
    desk.run("bin kind edit crate --litres 3").refused("there is no kind of bins `crate`; there are `tub-m`").done();
    desk.run("bin add 4 --kind crate").refused("there is no kind of bins `crate`; there are `tub-m`").done();
    desk.run("bin edit 4A --kind crate").refused("there is no kind of bins `crate`; there are `tub-m`").done();
    desk.run("bin kind remove tub-m").refused_with(&["stays: 4A and another bin are of it"]).done();
    assert_eq!(desk.dump(), before);
    desk.run("bin edit 4A 4B --kind none").done();
    desk.run("bin kind remove tub-m").stdout("the kind of bins tub-m is removed\n").done();
    desk.run("bin kind edit crate --litres 3").refused_with(&["there is none yet, `stowmark bin kind add"]).done();
    desk.run("undo").done();
    assert_eq!(desk.json("bin kind list")["bin_kinds"][0]["litres"], 36.0);
    desk.run("check").done();
}

/// A kind is added, then a bin of it: each goes back in turn, the kind not before the bin.
#[test]
fn a_kind_goes_back_after_its_bins() {
    let desk = Desk::with_bins();
    desk.run("bin kind add drawer --litres 8").done();
    desk.run("bin add 4 --kind drawer").done();
    desk.run("undo --change 3").refused_with(&["4G is of it"]).done();
    desk.run("undo").done();
    desk.run("undo").done();
    assert_eq!(desk.json("bin kind list")["bin_kinds"], json!([]));
    desk.run("check").done();
}

#[test]
fn wrong_figures_are_refused_with_what_is_right() {
    let desk = desk();
    let before = desk.dump();
    for (words, part) in [
        ("bin add 4 --litres 0", "--litres: `0` is no volume"),
        ("bin add 4 --litres=-3", "--litres: `-3` is no volume; write litres, such as 36 or 0.5, or 500 ml"),
        ("bin add 4 --litres 1e3", "`1e3` is no volume"),
        ("bin add 4 --max-kg heavy", "--max-kg: `heavy` is no weight"),
        ("bin edit 4A --inside 58x38", "--inside: `58x38` are no measures"),
        ("bin edit 4A", "give --spot, --stack, --kind, --litres, --max-kg or --inside"),
        ("item add Pot --grams 1,250", "--grams: `1,250` could be thousands or decimals"),
        ("item add Pot --measures 30x20x0", "--measures: `30x20x0` are no measures"),
        ("item add Pot --size hugo", "there is no size `hugo`; there are small, medium, large, bulky"),
        ("size set pot x", "LITRES: `x` is no volume"),
        ("size set none 2", "`none` takes a value away"),
        ("size remove small", "`small` is a usual size that was not set"),
        ("size remove pot", "there is no size `pot`"),
    ] {
        desk.run(words).refused_with(&[part]).done();
    }
    assert_eq!(desk.dump(), before);
}

/// 58 x 38 x 28 cm are 61.712 l (geometry).
#[test]
fn litres_that_can_not_be_inside_are_doubted_and_kept() {
    let desk = desk();
    let doubt = "warning: 4A: 62 l are more than 58 x 38 x 28 cm hold, 61.712 l; litres are those that can be used, \
        about 80 % of what the maker says\n";
    desk.run("bin edit 4A --litres 62").stderr(doubt).done();
    desk.run("bin edit 4A --stack 1").done();
    desk.run("bin kind edit tub-m --litres 62").stderr(&doubt.replace("4A", "tub-m")).done();
    desk.run("bin edit 4A --litres 61.7").done();
    assert_eq!(desk.json("bin list")["bins"][1]["litres"], 62.0);
}

#[test]
fn items_have_a_size_and_a_weight() {
    let desk = desk();
    let told = "4A-001F  Copper jam pan: in 4A, Loft, rack 1 (2.5 l, 30 x 20 x 10 cm, medium, 850 g)\n";
    let words = "item add 'Copper jam pan' --bin 4A --litres 2,5 --measures 10x30x20 --size Medium --grams 850";
    desk.run(words).stdout(told).done();
    let item = desk.json("item list")["items"][0].clone();
    let figures = json!([item["litres"], item["measures_cm"], item["size"], item["grams"]]);
    assert_eq!(figures, json!([2.5, [30.0, 20.0, 10.0], "medium", 850]));
    desk.run("item edit 4A-001F --litres none --size none --grams '1.2 kg'").done();
    let item = desk.json("item list")["items"][0].clone();
    let figures = json!([item.get("litres"), item["measures_cm"], item.get("size"), item["grams"]]);
    assert_eq!(figures, json!([null, [30.0, 20.0, 10.0], null, 1200]));
    let told = desk.run("history 4A-001F").done().stdout;
    assert!(told.contains("litres 2.5, measures 30 x 20 x 10 cm, size medium, weight 850 g"), "{told}");
    assert!(told.contains("litres 2.5 → none, size medium → none, weight 850 g → 1.2 kg"), "{told}");
    desk.run("undo").done();
    assert_eq!(desk.json("item list")["items"][0]["litres"], 2.5);
    desk.run("check").done();
}

#[test]
fn names_for_sizes_are_set_and_removed() {
    let desk = desk();
    let names = |desk: &Desk| {
        let sizes = desk.json("size list")["sizes"].clone();
        let one = |size: &Value| format!("{} {} {}", size["name"].as_str().unwrap(), size["litres"], size["set"]);
        sizes.as_array().unwrap().iter().map(one).collect::<Vec<_>>()
    };
    assert_eq!(names(&desk), ["small 0.5 false", "medium 2.0 false", "large 6.0 false", "bulky 15.0 false"]);
    desk.run("size set Medium 2,5").done();
    desk.run("size set teapot 1.8").done();
    let set = ["small 0.5 false", "teapot 1.8 true", "medium 2.5 true", "large 6.0 false", "bulky 15.0 false"];
    assert_eq!(names(&desk), set);
    desk.run("item add Teapot --bin 4A --size TEAPOT").done();
    desk.run("item add Ladle --bin 4A --size medium").done();
    desk.run("size remove teapot").refused_with(&["the size `teapot` stays: an item has it"]).done();
    desk.run("size remove medium").done();
    desk.run("item edit 4A-001F --size none").done();
    desk.run("size remove teapot").done();
    assert_eq!(names(&desk), ["small 0.5 false", "medium 2.0 false", "large 6.0 false", "bulky 15.0 false"]);
    desk.run("undo").done();
    assert_eq!(names(&desk)[1], "teapot 1.8 true");
    desk.run("check").done();
}

/// 4A: 20 l and 2.5 l of 36 are 62.5 %, 62 as less than full is rounded down; 4.5 kg and 0.5 kg of 9. 4D: 6 of 5 l are 120 %; its weight is
/// not known: the median of 500 g and 4.5 kg, 2.5 kg, is more than 1 kg. Worked out by hand.
#[test]
fn lists_show_how_full_bins_are_and_how_much_is_assumed() {
    let desk = desk();
    desk.run("item add Cauldron --bin 4A --litres 20 --grams 4500").done();
    desk.run("item add Teapot --bin 4A --litres 2.5 --grams 500").done();
    desk.run("item add Kettle --bin 4C --litres 6").any_stderr().done();
    let known =
        json!({"litres": 22.5, "kg": 5.0, "percent": 62, "sizes_assumed": 0, "weights_assumed": 0, "over": false});
    assert_eq!(fill(&desk, 0), known);
    let over =
        json!({"litres": 6.0, "kg": 2.5, "percent": 120, "sizes_assumed": 0, "weights_assumed": 1, "over": true});
    assert_eq!(fill(&desk, 2), over);
    let table = "\
bin  items  where                     full       litres             kg
4A       2  Loft, rack 1   62 % ██████░░░░   22.5 of 36         5 of 9
4B       0  Loft, rack 1    0 % ░░░░░░░░░░      0 of 36         0 of 9
4C       1  Loft          120 % ▒▒▒▒▒▒▒▒▒▒  6 of 5 over  2.5 of 1 over
4D       0  Loft            0 % ░░░░░░░░░░       0 of 5         0 of 1
of 3 items 1 weight is assumed
";
    desk.run("bin list").stdout(table).done();
    let shown = desk.run("bin show 4C").done().stdout;
    let head = "bin 4C: Loft, 1 item\n5 l, at most 1 kg\n120 % ▒▒▒▒▒▒▒▒▒▒  6 of 5 l, over, 2.5 of 1 kg, over\n\
        of 1 item 1 weight is assumed\n";
    assert!(shown.starts_with(head), "{shown}");
    let sorted = desk.json("bin list --sort full --reverse");
    let codes: Vec<&Value> = sorted["bins"].as_array().unwrap().iter().map(|bin| &bin["code"]).collect();
    assert_eq!(codes[..2], ["4C", "4A"]);
    for columns in ["100", "50", "30"] {
        let told = desk.run("bin list").env("COLUMNS", columns).done().stdout;
        let most: usize = columns.parse().unwrap();
        assert!(told.lines().all(|line| line.chars().count() <= most) && told.contains("6 of 5 over"), "{told}");
    }
}

#[test]
fn nothing_is_said_where_no_bin_has_a_figure() {
    let desk = Desk::with_items();
    desk.run("bin list --has 4A").stdout("bin  items  where\n4A       3  Loft, rack 1, level 2\n").done();
    assert_eq!(desk.json("bin list")["bins"][0].get("fill"), None);
    assert_eq!(desk.json("bin show 4A").get("fill"), None);
    desk.run("bin room --litres 2").refused_with(&["no bin has a volume"]).done();
}

/// An unknown volume is the median of those of its named size: of 4, 5 and 9 l it is 5 l.
#[test]
fn an_unknown_size_counts_as_the_median_of_its_name() {
    let desk = desk();
    for litres in ["4", "5", "9"] {
        desk.run(&format!("item add Pot --bin 4A --size large --litres {litres}")).done();
    }
    desk.run("item add Pot --bin 4B --size large").done();
    assert_eq!((&fill(&desk, 1)["litres"], &fill(&desk, 1)["sizes_assumed"]), (&json!(5.0), &json!(1)));
    let large = |desk: &Desk| {
        desk.run("size list").done().stdout.lines().find(|line| line.starts_with("large")).map(str::to_owned)
    };
    assert_eq!(large(&desk).as_deref(), Some("large        6          5  median"));
    assert_eq!(desk.json("size list")["sizes"][2]["counts_as"], 5.0);
    desk.run("size set large 7").done();
    assert_eq!(large(&desk).as_deref(), Some("large        7          7  set"));
    assert_eq!(fill(&desk, 1)["litres"], 7.0);
}

/// 4A has 36 - 30 = 6 l left, 4B 36, 4C and 4D 5 each: 5.5 l fit best into 4A, then 4B. 70 cm fit the diagonal of
/// 74.7 cm, 80 cm do not; the boxes have no measures, so that length does not keep it out of them.
#[test]
fn room_is_proposed_where_an_item_fits_best() {
    let desk = desk();
    desk.run("item add Cauldron --bin 4A --litres 30 --grams 8000").done();
    let best = |words: &str| {
        let answer = desk.run(&format!("--json bin room {words}")).any_code().done().json();
        answer["bins"]
            .as_array()
            .unwrap()
            .iter()
            .map(|bin| bin["code"].as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    assert_eq!(best("--litres 5.5 --grams 100"), ["4A", "4B"]);
    assert_eq!(best("--litres 5 --grams 100"), ["4C", "4D", "4A", "4B"]);
    assert_eq!(best("--litres 5 --grams 1500"), ["4B"]);
    assert_eq!(best("--measures 70x5x5 --grams 100"), ["4C", "4D", "4A", "4B"]);
    assert_eq!(best("--measures 80x5x5 --grams 100"), ["4C", "4D"]);
    desk.run("bin room --litres 40").code(3).stdout("no bin has room for it: 40 l, 8 kg (assumed)\n").done();
    let before = desk.dump();
    let told = desk.run("bin room --size small --grams 10").done().stdout;
    assert!(told.starts_with("0.5 l (assumed), 10 g; with it in, the best fit first:\n"), "{told}");
    assert_eq!(desk.dump(), before);
}

/// 3 l and 3 l in 5 l are 6; 600 g and 600 g in 1 kg are 1.2 kg. A rolling pin of 80 cm is longer than 74.7 cm.
#[test]
fn stow_warns_of_bins_that_are_over_full_and_stows_all_the_same() {
    let desk = desk();
    for title in ["Pot", "Pan"] {
        desk.run(&format!("item add {title} --litres 3 --grams 600")).done();
    }
    desk.run("item add 'Rolling pin' --measures 80x5x5 --grams 300").done();
    let told = desk.run("--json stow").stdin("4C\n#1\n#2\nundo\n#2\n4A\n#3\n4D\n4C-002\n").done().json_lines();
    let volume = "4C is over-full: 6 l of 5 l are taken";
    let weight = "4C is too heavy: 1.2 kg of at most 1 kg";
    assert_eq!(told[1].get("warnings"), None);
    assert_eq!(told[2]["warnings"], json!([volume, weight]));
    assert_eq!(told[2]["moved"][0]["to"], "4C");
    assert_eq!(told[3].get("warnings"), None);
    assert_eq!(told[4]["warnings"], json!([volume, weight]));
    let long = "is too long for 4A: its longest edge is 80 cm, the bin's diagonal 74.7 cm";
    assert!(told[6]["warnings"][0].as_str().unwrap().ends_with(long), "{}", told[6]);
    let line = desk.run("stow").stdin("4C\n4A001F\n").done().stdout;
    assert!(line.lines().all(|line| !line.is_empty()) && line.lines().count() == 2, "{line}");
    assert!(line.contains("; warning: 4C is over-full") && line.contains("; warning: 4C is too heavy"), "{line}");
}

#[test]
fn item_edit_and_return_warn_as_well() {
    let desk = desk();
    desk.run("item add Pot --bin 4C --litres 2 --grams 100").done();
    desk.run("item edit 4C-001N --note dented").done();
    let full = "warning: 4C is over-full: 6 l of 5 l are taken\n";
    desk.run("item edit 4C-001N --litres 6").stderr(full).done();
    desk.run("item edit 4C-001N --note old").done();
    let answer = desk.json("item edit 4C-001N --grams 200");
    assert_eq!(answer["warnings"], json!(["4C is over-full: 6 l of 5 l are taken"]));
    desk.run("sold 4C-001N --price 5").any_stderr().done();
    desk.run("return 4C-001N --in 4D").stderr("warning: 4D is over-full: 6 l of 5 l are taken\n").done();
}

/// As a kind of bins that has bins: an item must not have a size of which nothing is known.
#[test]
fn a_size_that_items_have_does_not_go_back() {
    let desk = desk();
    desk.run("size set teapot 1.8").done();
    desk.run("item add Teapot --bin 4A --size teapot").done();
    let before = desk.dump();
    desk.run("undo --change 5").refused_with(&["an item has the size `teapot`"]).done();
    assert_eq!(desk.dump(), before);
    desk.run("item edit 4A-001F --size none").done();
    desk.run("size remove teapot").done();
    desk.run("undo --change 7").refused_with(&["an item has the size `teapot`"]).done();
    desk.run("undo").done();
    desk.run("undo").done();
    desk.run("undo").done();
    desk.run("undo").done();
    desk.run("size set small 0.7").done();
    desk.run("item add Cup --bin 4A --size small").done();
    desk.run("undo --change 13").done();
    desk.run("check").done();
}

#[test]
fn weights_are_told_where_there_is_a_limit_and_unknown_is_no_nought() {
    let desk = Desk::with_bins();
    desk.run("bin edit 4A --litres 10").done();
    desk.run("item add Pot --bin 4A --litres 2").done();
    assert_eq!((&fill(&desk, 0)["kg"], &fill(&desk, 0)["weights_assumed"]), (&json!(null), &json!(0)));
    assert_eq!(desk.json("bin room --litres 1")["item"]["grams"], json!(null));
    desk.run("item add Pan --bin 4A --litres 2 --grams 900").done();
    assert_eq!(fill(&desk, 0)["kg"], json!(null));
    let long = "x".repeat(41);
    desk.run(&format!("size set {long} 2"))
        .refused_with(&["41 characters; names of kinds of bins and of sizes have 40"])
        .done();
    for words in ["bin edit 4A --litres ''", "item edit 4A-001F --litres ''", "item edit 4A-001F --size ''"] {
        desk.run(words).code(1).stderr_has(&["``"]).done();
    }
}

#[test]
fn put_and_item_add_warn_as_well() {
    let desk = desk();
    let full = "warning: 4C is over-full: 6 l of 5 l are taken\n";
    desk.run("item add Pot --bin 4C --litres 6 --grams 100").stderr(full).done();
    let answer = desk.json("item add Lid --bin 4C --litres 1 --grams 100");
    assert_eq!(answer["warnings"], json!(["4C is over-full: 7 l of 5 l are taken"]));
    desk.run("put 4C-001N --in 4D").stderr("warning: 4D is over-full: 6 l of 5 l are taken\n").done();
    assert_eq!(desk.json("put 4C-001N --in 4A").get("warnings"), None);
    assert_eq!(fill(&desk, 0)["litres"], 6.0);
}

/// A retired bin can't be edited, so that its kind goes with the kind itself.
#[test]
fn a_kind_of_retired_bins_only_can_be_removed() {
    let desk = Desk::with_items();
    desk.run("bin kind add drawer --litres 7").done();
    desk.run("bin add 4 --kind drawer").done();
    desk.run("bin kind remove drawer").refused_with(&["stays: 4G is of it"]).done();
    desk.run("bin retire 4G").done();
    desk.run("bin kind remove drawer").stdout("the kind of bins drawer is removed\n").done();
    desk.run("check").stdout("the register is sound\n").done();
    desk.run("undo").done();
    desk.run("bin retire 4G --back").any_stderr().done();
    assert_eq!(desk.json("bin show 4G")["bin_kind"], "drawer");
    desk.run("check").stdout("the register is sound\n").done();
}

#[test]
fn a_bin_does_not_come_back_without_its_kind() {
    let desk = Desk::with_items();
    desk.run("bin kind add drawer --litres 7").done();
    desk.run("bin add 4 --kind drawer").done();
    desk.run("undo").done();
    let undo = desk.json("history --last 1")["changes"][0]["change"].clone();
    desk.run("bin kind remove drawer").done();
    let told = desk.run(&format!("undo --change {undo}")).code(1).any_stderr().done().stderr;
    assert!(told.contains("needs something that was removed since"), "{told}");
    assert!(!told.contains("FOREIGN KEY"), "{told}");
}
