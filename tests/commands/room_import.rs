//! `item import` of sizes and weights, and of items that go where they fit

use serde_json::{Value, json};

use super::support::Desk;

/// Bins 4A and 4B of 10 l and 3 kg, 30 x 20 x 20 cm inside: a diagonal of the root of 1,700, 41.2 cm.
fn desk() -> Desk {
    let desk = Desk::empty();
    desk.run("area add 4 Loft").any_stderr().done();
    desk.run("bin add 4 --count 2 --litres 10 --max-kg 3 --inside 30x20x20").done();
    desk
}

fn each(answer: &Value, member: &str) -> Value {
    answer["items"].as_array().unwrap().iter().map(|item| item[member].clone()).collect()
}

/// Semicolons, a byte order mark, comma decimals and accents, as spreadsheets of much of Europe write (common practice).
const EUROPEAN: &str = "\u{feff}Title;Litres;Size;Length (cm);Width;Height;Grams\r\n\
    Cafetière;2,5;;;;;850\r\n\
    Planche à découper;;Large;;;;1250\r\n\
    Game of geese;;;40;30,5;6;\r\n\
    Wok;;;;;;0,9 kg\r\n";

#[test]
fn sizes_and_weights_come_in_by_their_headings() {
    let desk = desk();
    desk.file("buys.csv", EUROPEAN);
    let answer = desk.json("item import buys.csv --wait");
    assert_eq!(each(&answer, "litres"), json!([2.5, null, null, null]));
    assert_eq!(each(&answer, "size"), json!([null, "large", null, null]));
    assert_eq!(each(&answer, "measures_cm"), json!([null, null, [40.0, 30.5, 6.0], null]));
    assert_eq!(each(&answer, "grams"), json!([850, 1250, null, 900]));
    assert_eq!(each(&answer, "status"), json!(["waiting", "waiting", "waiting", "waiting"]));
    assert_eq!(answer.get("placing"), None);
    let known = json!({"grams": "Grams", "height": "Height", "length": "Length (cm)", "litres": "Litres", "size": "Size",
        "title": "Title", "width": "Width"});
    assert_eq!(answer["columns"], known);
}

#[test]
fn an_exported_file_comes_in_again_unchanged() {
    let desk = desk();
    desk.file("buys.csv", EUROPEAN);
    desk.run("item import buys.csv").done();
    desk.run("item edit 4A-001F --measures 30.5x20x1.7").done();
    for separator in ["comma", "semicolon", "tab"] {
        let words = format!("export items items.csv --force --bom --separator {separator}");
        desk.run(&words).done();
        let before = desk.dump();
        let answer = desk.run("--json item import items.csv").any_stderr().done().json();
        assert_eq!((&answer["unchanged"], &answer["changed"]), (&json!(4), &json!([])), "{separator}");
        assert_eq!(desk.dump(), before);
    }
    let csv = String::from_utf8(desk.read("items.csv")).unwrap();
    assert!(csv.lines().next().unwrap().ends_with("litres\tlength\twidth\theight\tsize\tgrams"), "{csv}");
}

#[test]
fn bad_rows_of_a_file_that_is_only_placed_are_told_in_their_own_words() {
    let desk = desk();
    desk.file("buys.csv", "title,litres\nPot,x\nPan,2\n");
    let told = "error: no place was looked for, 1 row is wrong; mend the file and ask again\n  \
        buys.csv:2: litres: `x` is no volume; write litres, such as 36 or 0.5, or 500 ml; at most 10000 litres\n";
    desk.run("bin room --import buys.csv").code(1).stdout("").stderr(told).done();
}

/// 10 l, 3 kg and 41.2 cm: one item is beyond each.
#[test]
fn those_that_fit_nowhere_are_named_with_the_reason() {
    let desk = desk();
    desk.file("buys.csv", "title,litres,grams,measures\nA,1,10,\nAnvil,1,4000,\nPin,,300,50x4x3\nTub,11,10,\n");
    let told = desk.run("bin room --import buys.csv").done().stdout;
    let end = "3 items fit into no bin and wait:\n  Anvil: too heavy for the bins with room\n  Pin: too long\n  \
        Tub: too big for the room that is left\n";
    assert!(told.ends_with(end), "{told}");
    let placing = desk.json("item import buys.csv")["placing"].clone();
    assert_eq!(placing["waiting_items"][1], json!({"title": "Pin", "why": "too long"}));
}

#[test]
fn an_empty_cell_takes_a_size_away_and_a_missing_column_leaves_it() {
    let desk = desk();
    desk.run("item add Pot --bin 4A --litres 2 --measures 30x20x10 --size small --grams 500").done();
    desk.file("a.csv", "code,measures,grams\n4A-001F,,550\n");
    let changed = desk.json("item import a.csv")["changed"][0].clone();
    let figures = json!([changed["litres"], changed.get("measures_cm"), changed["size"], changed["grams"]]);
    assert_eq!(figures, json!([2.0, null, "small", 550]));
    desk.file("b.csv", "code,length,width,height,size,litres\n4A-001F,10,20,5.5,Bulky,\n");
    let changed = desk.json("item import b.csv")["changed"][0].clone();
    let figures = json!([changed.get("litres"), changed["measures_cm"], changed["size"]]);
    assert_eq!(figures, json!([null, [20.0, 10.0, 5.5], "bulky"]));
    desk.run("check").done();
}

#[test]
fn wrong_cells_are_told_with_their_line() {
    let desk = desk();
    let rows = "title,litres,size,length,width,height,grams,measures\n\
        Pot,x,,,,,,\nPan,,hugo,,,,,\nLid,,,30,,10,,\nWok,,,,,,\"1,250\",\nTin,,,3,2,1,,3x2x1\nJug,,,3,12\",1,,\nUrn,-1,,,,,0,4x5\n";
    desk.file("buys.csv", rows.replace("12\"", "\"12\"\"\""));
    let before = desk.dump();
    let parts = [
        "7 rows are wrong",
        "buys.csv:2: litres: `x` is no volume",
        "buys.csv:3: size: there is no size `hugo`; there are small, medium, large, bulky",
        "buys.csv:4: length: length, width and height go together; give all three or none",
        "buys.csv:5: grams: `1,250` could be thousands or decimals; write 1250 for grams, or 1.25 kg",
        "buys.csv:6: measures: they stand under length, width and height as well; give them once",
        "buys.csv:7: width: `12\"` is no length",
        "buys.csv:8: litres: `-1` is no volume",
        "grams: `0` is no weight",
        "measures: `4x5` are no measures",
    ];
    desk.run("item import buys.csv").refused_with(&parts).done();
    assert_eq!(desk.dump(), before);
    desk.file("inch.csv", "title,length (in),width (in),height (in)\nPot,3,2,1\n");
    desk.run("item import inch.csv").refused_with(&["lengths are read in cm or mm, and the heading says `in`"]).done();
    desk.file("mm.csv", "title,length (mm),width (mm),height (mm)\nPot,305,20,10\n");
    assert_eq!(desk.json("item import mm.csv --wait")["items"][0]["measures_cm"], json!([30.5, 2.0, 1.0]));
}

/// A unit in a heading is that of the bare numbers below it, or the file is refused: 250 ml are not 250 l.
#[test]
fn units_of_headings_hold_for_litres_grams_and_measures() {
    let desk = desk();
    desk.file(
        "a.csv",
        "title,Litres (ml),Grams (kg),Measures (mm)\nPot,250,\"1,25\",305x200x15\nPan,2 l,850 g,3x2x1 cm\n",
    );
    let answer = desk.json("item import a.csv --wait");
    assert_eq!(each(&answer, "litres"), json!([0.25, 2.0]));
    assert_eq!(each(&answer, "grams"), json!([1250, 850]));
    assert_eq!(each(&answer, "measures_cm"), json!([[30.5, 20.0, 1.5], [3.0, 2.0, 1.0]]));
    desk.file("b.csv", "title,Dimensions (L x W x H),Litres (l),Grams [g]\nLid,3x2x1,2,850\n");
    assert_eq!(desk.json("item import b.csv --wait")["items"][0]["measures_cm"], json!([3.0, 2.0, 1.0]));
    for (heading, cell, part) in [
        ("Dimensions (inches)", "3x2x1", "lengths are read in cm or mm, and the heading says `inches`"),
        ("Litres (gal)", "2", "volumes are read in litres or ml, and the heading says `gal`"),
        ("Grams (oz)", "2", "weights are read in grams or kg, and the heading says `oz`"),
    ] {
        desk.file("c.csv", format!("title,{heading}\nTin,{cell}\n"));
        desk.run("item import c.csv --wait").refused_with(&[part]).done();
    }
}

/// Wool has a length and no other side: such a column is left alone, as before there were any.
#[test]
fn a_side_alone_is_not_read() {
    let desk = desk();
    desk.file("wool.csv", "title,length\nWool,400 m\n");
    let answer = desk.run("--json item import wool.csv --wait").any_stderr().done().json();
    assert_eq!(answer["unread"], json!(["length"]));
    desk.file("two.csv", "title,Length,Width,shelf\nTin,3,4,5\n");
    let told = "not read, their headings are not known: shelf\n\
        not read, Length and Width: height is missing, all three are needed or none\n";
    desk.run("item import two.csv --wait").stderr(told).done();
    desk.run("item import wool.csv --again --map length=length")
        .refused_with(&["--map: length is of use together with width and height only"])
        .done();
}

/// The largest first, each where it fits best. 4A holds 4 l already, so it has 6 left: 6 l go there, 5 l into 4B, 4 l
/// into 4B with 5 left, 2 l nowhere (1 left in 4B), 1 l into 4B. Worked out by hand.
#[test]
fn new_items_go_where_they_fit() {
    let desk = desk();
    desk.run("item add Tin --bin 4A --litres 4 --grams 100").done();
    desk.file("buys.csv", "title,litres,grams\nA,1,10\nB,5,10\nC,6,10\nD,2,10\nE,4,10\n");
    let proposed = desk.json("bin room --import buys.csv");
    let answer = desk.json("item import buys.csv");
    assert_eq!(each(&answer, "bin"), json!(["4B", "4B", "4A", null, "4B"]));
    let fill =
        json!({"litres": 10.0, "kg": 0.11, "percent": 100, "sizes_assumed": 0, "weights_assumed": 0, "over": false});
    assert_eq!(answer["placing"]["bins"][0], json!({"bin": "4A", "came": 1, "fill": fill}));
    assert_eq!(answer["placing"]["waiting"], 1);
    assert_eq!(answer["placing"], proposed);
    let told = desk.run("item import buys.csv --again").done().stdout;
    assert!(told.contains("5 items fit into no bin and wait:\n  A: too big for the room that is left\n"), "{told}");
    desk.run("check").done();
}

/// 6 l of three items: 4A has 6 left, 4B 10. Best fit puts 3 l and 2 l and 1 l into 4A; of 7 l all go into 4B together,
/// while best fit would part them.
#[test]
fn together_keeps_an_import_in_one_bin() {
    let desk = desk();
    desk.run("item add Tin --bin 4A --litres 4 --grams 100").done();
    desk.file("buys.csv", "title,litres,grams,bin\nA,4,10,\nB,2,10,\nC,1,10,\nD,1,10,4A\n");
    let apart = desk.json("bin room --import buys.csv");
    assert_eq!(apart["bins"].as_array().unwrap().len(), 2, "{apart}");
    let answer = desk.json("item import buys.csv --together");
    assert_eq!(each(&answer, "bin"), json!(["4B", "4B", "4B", "4A"]));
    desk.run("item import buys.csv --together --bin 4A").code(2).any_stderr().done();
}

#[test]
fn a_bin_of_ones_own_and_wait_go_before_what_fits() {
    let desk = desk();
    desk.file("buys.csv", "title,litres,bin\nA,1,4B\nB,1,\n");
    assert_eq!(each(&desk.json("item import buys.csv"), "bin"), json!(["4B", "4B"]));
    assert_eq!(each(&desk.json("item import buys.csv --again --bin 4A"), "bin"), json!(["4B", "4A"]));
    assert_eq!(each(&desk.json("item import buys.csv --again --wait"), "bin"), json!(["4B", null]));
}

#[test]
fn an_import_into_a_bin_warns_when_it_is_over_full() {
    let desk = desk();
    desk.file("buys.csv", "title,litres,grams,measures\nA,6,10,\nB,5,10,\nC,1,10,50x4x3\n");
    let answer = desk.json("item import buys.csv --bin 4A");
    let long = "4A-003A is too long for 4A: its longest edge is 50 cm, the bin's diagonal 41.2 cm";
    assert_eq!(answer["warnings"], json!([long, "4A is over-full: 12 l of 10 l are taken"]));
    let told = "warning: 4B is over-full: 12 l of 10 l are taken\n";
    desk.run("item import buys.csv --bin 4B --again").stderr_has(&[told]).done();
}

#[test]
fn where_no_bin_has_a_volume_they_wait_as_ever() {
    let desk = Desk::with_bins();
    desk.run("bin edit 4A --max-kg 9").done();
    desk.file("buys.csv", "title,litres\nA,1\n");
    let answer = desk.json("item import buys.csv --together");
    assert_eq!((each(&answer, "bin"), answer.get("placing")), (json!([null]), None));
    desk.run("bin room --import buys.csv").refused_with(&["no bin has a volume"]).done();
}

/// Of four items two sizes are known, 1 l and 3 l: the others count as the median, 2 l.
#[test]
fn the_result_says_how_much_is_assumed() {
    let desk = desk();
    desk.file("buys.csv", "title,litres,grams\nA,1,100\nB,3,100\nC,,100\nD,,\n");
    let answer = desk.json("item import buys.csv");
    let placing = &answer["placing"];
    assert_eq!((&placing["sizes_assumed"], &placing["weights_assumed"]), (&json!(2), &json!(1)));
    assert_eq!(placing["bins"][0]["fill"]["litres"], 8.0);
    let told = desk.run("item import buys.csv --again").done().stdout;
    assert!(told.contains("of 4 items 2 sizes and 1 weight are assumed\n"), "{told}");
    let filled = desk.json("bin list")["bins"][0]["fill"].clone();
    assert_eq!(filled["sizes_assumed"].as_u64().map(|assumed| assumed >= 2), Some(true), "{filled}");
}
