//! `bin move`, `bin retire`, `bin change-area`, `area rename`

use rusqlite::Connection;
use serde_json::{Value, json};

use super::support::{Desk, REGISTER};

fn codes(answer: &Value) -> Vec<&str> {
    answer["bins"].as_array().unwrap().iter().map(|bin| bin["code"].as_str().unwrap()).collect()
}

/// Three items in 4A, and an area 7.
fn desk() -> Desk {
    let desk = Desk::with_items();
    desk.run("area add 7 Cellar").done();
    desk
}

fn sound(desk: &Desk) {
    desk.run("check").stdout("the register is sound\n").done();
}

#[test]
fn a_bin_that_moves_keeps_all_codes() {
    let desk = desk();
    let text = desk.run("bin move 4A 4B --spot 'rack 2, level 1'").done().stdout;
    assert!(text.contains("nothing needs a new tag"), "{text}");
    assert!(
        text.contains(
            "signs of 4A and 4B and strips of `rack 1, level 2` and `rack 2, level 1` that were printed before are \
             wrong now: `stowmark stale` lists them"
        ),
        "{text}"
    );
    desk.run("find 4A-001F").stdout("4A-001F  Copper jam pan: in 4A, Loft, rack 2, level 1\n").done();
    desk.run("bin move 4A --spot 'rack 2, level 1' --stack 2")
        .stdout_has("4A stands at the same spot and has place 2 in the stack now")
        .done();
    desk.run("bin move 4A --spot 'rack 2, level 1' --stack 2").stdout_has("they stand there already").done();
    assert_eq!(desk.json("bin show 4A")["stack"], 2);
    // As `bin edit` has it, a new spot is another stack.
    desk.run("bin move 4A --spot none").stderr_has(&["not in a stack any more: 4A"]).done();
    assert_eq!(desk.json("bin show 4A")["spot"], Value::Null);
    desk.run("undo --last 3").done();
    assert_eq!(desk.json("bin show 4A")["spot"], "rack 1, level 2");
    desk.run("bin move 4A").code(2).stdout("").any_stderr().done();
    sound(&desk);
}

#[test]
fn only_an_empty_bin_retires() {
    let desk = desk();
    desk.run("item add Wok --bin 4B").done();
    let before = desk.dump();
    desk.run("bin retire 4C 4A")
        .refused(
            "bin 4A is not empty: 4A-001F, 4A-002C and 4A-003A are in it; `stowmark put CODE… --in BIN` puts them \
             elsewhere, `stowmark regroup plan --empty 4A` proposes where",
        )
        .done();
    desk.run("bin retire 4B").refused_with(&["bin 4B is not empty: 4B-001J is in it;"]).done();
    // All of them or none.
    assert_eq!(desk.dump(), before);
    // A sold item is in its bin until it is picked.
    desk.run("sold 4B-001J").any_stderr().done();
    desk.run("bin retire 4B").refused_with(&["4B-001J is in it"]).done();
    desk.run("picked 4B-001J").done();
    desk.run("bin retire 4B 4B")
        .stdout("4B is retired: nothing goes into it any more, and no code of it is given again; take the sign off\n")
        .done();
    sound(&desk);
}

#[test]
fn nothing_goes_into_a_retired_bin_and_nothing_is_printed_of_it() {
    let desk = desk();
    desk.run("gone 4A-003A --why lost").done();
    desk.run("sold 4A-002C").any_stderr().done();
    desk.run("picked 4A-002C").done();
    desk.run("bin retire 4B").done();
    desk.file("buys.csv", "title,bin\nWok,4B\n");
    let before = desk.dump();
    for words in [
        "put 4A-001F --in 4B",
        "put 4A-003A --in 4B",
        "return 4A-002C --in 4B",
        "item add Wok --bin 4B",
        "item import buys.csv",
        "item import buys.csv --bin 4B --yes",
        "stow --in 4B",
        "count 4B",
        "count 4B --list",
        "sign 4B",
        "sign 4B --lid",
        "contents 4B",
        "tag --bin 4B",
        "bin edit 4B --stack 1",
        "bin move 4B --spot x",
        "bin change-area 4B 7",
        "bin retire 4B",
    ] {
        let told = desk.run(words).code(1).any_stderr().done();
        assert!(
            told.stdout.contains("4B is retired since 20") || told.stderr.contains("4B is retired since 20"),
            "{words}\n{}{}",
            told.stdout,
            told.stderr
        );
    }
    assert_eq!(desk.dump(), before);
    let session = desk.run("stow").stdin("4B\n4A001F\n").any_stderr().any_code().done();
    assert!((session.stdout + &session.stderr).contains("bin 4B is retired since"));
    assert_eq!(desk.json("find 4A-001F")["matches"][0]["bin"], "4A");
}

#[test]
fn a_retired_bin_is_known_and_its_place_is_free() {
    let desk = desk();
    desk.run("bin retire 4B 4D").done();
    assert_eq!(codes(&desk.json("bin list")), ["4A", "4C", "4F"]);
    assert_eq!(codes(&desk.json("bin list --retired --area 4")), ["4B", "4D"]);
    let text = desk.run("bin list --retired --has 4B").done().stdout;
    assert!(text.starts_with("bin  retired     area\n4B   20"), "{text}");
    desk.run("bin list --area 7 --retired").stdout("no retired bins\n").done();
    let found = desk.json("find 4B")["matches"][0].clone();
    assert_eq!(found["retired"].as_str().map(str::len), Some(10), "{found}");
    assert_eq!(found["spot"], Value::Null);
    desk.run("find 4B").stdout_has("4B  bin retired since 20").done();
    desk.run("bin show 4B").stdout_has("bin 4B: Loft, retired since 20").done();
    desk.run("scan").stdin("4B00\n").any_stderr().any_code().done();
    // All five of them stood there.
    assert_eq!(desk.json("spot list 4")["spots"][0]["bins"], 3);
    let strips = desk.run("--json strip 4").any_stderr().done().json();
    assert_eq!(desk.json("run show 1")["placed"][0]["said"]["codes"], json!(["4A", "4C", "4F"]), "{strips}");
    let signs = desk.run("--json sign").any_stderr().done().json();
    assert_eq!(signs["labels"], 3);
    // Its letters are not given again.
    assert_eq!(codes(&desk.json("bin add 4")), ["4G"]);
    desk.run("history 4B").stdout_has("retired, spot rack 1, level 2 → no spot").done();
    sound(&desk);
}

#[test]
fn a_retired_bin_comes_back_and_goes_on_counting() {
    let desk = desk();
    desk.run("item add Wok --bin 4B").done();
    desk.run("gone 4B-001J --why broken").done();
    desk.run("bin retire 4B").done();
    desk.run("bin retire 4B --back")
        .stdout("4B is in use again; say where it stands with `stowmark bin move 4B --spot \"rack 1\"`\n")
        .done();
    let again = desk.json("item add Lid --bin 4B");
    assert_eq!(again["items"][0]["code"], "4B-002G");
    desk.run("history 4B").stdout_has("in use again").done();
    // One that never was is none that comes back.
    desk.run("bin add 4").done();
    desk.run("undo").done();
    for words in ["bin retire 4G", "bin retire 4G --back", "bin change-area 4G 7"] {
        desk.run(words).refused_with(&["bin 4G was taken back"]).done();
    }
    desk.run("bin retire 4A --back").stdout("4A is in use already\n").done();
    sound(&desk);
}

#[test]
fn retiring_is_taken_back_while_that_makes_sense() {
    let desk = desk();
    desk.run("put 4A-001F --in 4B").done();
    desk.run("put 4A-001F --in 4A").done();
    desk.run("bin retire 4B").done();
    // The item would come back into a bin that is not used any more.
    let change = desk.json("history 4A-001F")["history"].as_array().unwrap().last().unwrap()["change"].clone();
    desk.run(&format!("undo --change {change}")).refused_with(&["take these back first", "retire 4B"]).done();
    desk.run("undo").stdout_has("retire 4B").done();
    assert_eq!(desk.json("bin show 4B")["spot"], "rack 1, level 2");
    // Something came into it since: it can't be retired again.
    desk.run("item add Wok --bin 4B").done();
    let undo = desk.json("history --last 2")["changes"].clone();
    let undo = undo.as_array().unwrap().iter().find(|change| change["what"].as_str().unwrap().starts_with("undo"));
    let undo = undo.unwrap()["change"].clone();
    desk.run(&format!("undo --change {undo}")).refused_with(&["take these back first", "enter Wok"]).done();
    desk.run("put 4B-001J --in 4A").any_stderr().any_code().done();
    sound(&desk);
}

/// A bin that had no spot loses none when it is retired, and yet stands nowhere from then on.
#[test]
fn a_retired_bin_is_not_brought_back_to_a_spot() {
    let desk = desk();
    let last = || desk.json("history --last 1")["changes"][0]["change"].clone();
    desk.run("bin retire 4B").done();
    desk.run("bin retire 4B --back").done();
    let used_again = last();
    desk.run("bin move 4B --spot 'rack 1'").done();
    desk.run(&format!("undo --change {used_again}")).refused_with(&["take these back first", "edit 4B"]).done();
    desk.run("undo").done();
    let moved_back = last();
    desk.run("bin retire 4B").done();
    desk.run(&format!("undo --change {moved_back}")).refused_with(&["take these back first", "retire 4B"]).done();
    sound(&desk);
}

#[test]
fn a_bin_goes_to_another_area_with_all_that_is_in_it() {
    let desk = desk();
    desk.run("bin add 7").done();
    let text = desk.run("bin change-area 4A 7").done().stdout;
    assert_eq!(
        text,
        "4A is 7B now, in Cellar; 4A stays a name of it for ever, so a scan of its old sign finds it\n\
         3 items stay in it; 3 tags show other codes, and go on being found: `stowmark retag --bin 7B` gives new codes \
         only if you want them\n\
         its sign is wrong now: `stowmark sign 7B` prints the new one\n"
    );
    desk.run("find 4A").stdout("7B  bin with 3 items: Cellar (old code 4A)\n").done();
    assert_eq!(desk.json("find 4A")["matches"][0]["old_codes"], json!(["4A"]));
    desk.run("find 4A-001F").stdout("4A-001F  Copper jam pan: in 7B, Cellar (its code names 4A)\n").done();
    // A scan of the old sign.
    let payload = desk.json("history 4A")["code"].clone();
    assert_eq!(payload, "7B");
    let scanned = desk.run("--json stow").stdin("4A00R\n").done().json_lines();
    assert_eq!(scanned[0]["bin"]["code"].as_str().or(scanned[0]["bin"].as_str()), Some("7B"), "{scanned:?}");
    // Serials go on, and no letters are given twice.
    assert_eq!(desk.json("item add Wok --bin 4A")["items"][0]["code"].as_str().map(|code| &code[..6]), Some("7B-004"));
    assert_eq!(codes(&desk.json("bin add 4")), ["4G"]);
    assert_eq!(codes(&desk.json("bin add 7")), ["7C"]);
    desk.run("history 7B").stdout_has("code 4A → 7B, spot rack 1, level 2 → no spot").done();
    sound(&desk);
}

#[test]
fn there_and_back_again_is_a_third_code() {
    let desk = desk();
    desk.run("bin change-area 4A 7 --spot 'shelf 2'").done();
    let back = desk.json("bin change-area 7A 4");
    assert_eq!((&back["from"], &back["bin"]["code"], &back["tags"]), (&json!("7A"), &json!("4G"), &json!(3)));
    assert_eq!(back["bin"]["old_codes"], json!(["4A", "7A"]));
    desk.run("bin show 7A").stdout_has("bin 4G: Loft, 3 items (old codes 4A, 7A)").done();
    desk.run("bin change-area 4A 4")
        .refused("bin 4G is in area 4 already; `stowmark bin move 4G --spot TEXT` says where in it")
        .done();
    desk.run("bin change-area 4A 9").refused_with(&["there is no area 9"]).done();
    sound(&desk);
}

#[test]
fn going_to_another_area_is_taken_back_also_after_items_came() {
    let desk = desk();
    desk.run("bin change-area 4A 7 --spot shelf").done();
    desk.run("item add Wok --bin 7A").done();
    let change = desk.json("history 4A")["history"].clone();
    let change = change.as_array().unwrap().iter().find(|line| line["text"].as_str().unwrap().starts_with("code 4A"));
    let change = change.unwrap()["change"].clone();
    desk.run(&format!("undo --change {change}")).done();
    // The item that came meanwhile keeps its code and is found by it; so is the bin.
    desk.run("find 7A-004").stdout_has("Wok: in 4A, Loft, rack 1, level 2 (its code names 7A)").done();
    desk.run("find 7A").stdout("4A  bin with 4 items: Loft, rack 1, level 2 (old code 7A)\n").done();
    assert_eq!(desk.json("item add Lid --bin 4A")["items"][0]["code"].as_str().map(|code| &code[..6]), Some("4A-005"));
    assert_eq!(codes(&desk.json("bin add 7")), ["7B"]);
    sound(&desk);
    // A spot that was given since stands on it.
    desk.run("bin change-area 4A 7").done();
    desk.run("bin move 4A --spot 'under the stairs'").done();
    desk.run("undo --change 1").code(1).any_stderr().done();
    let last = desk.json("history --last 2")["changes"].clone();
    let moved =
        last.as_array().unwrap().iter().find(|line| line["what"].as_str().unwrap().starts_with("change the area"));
    let moved = moved.unwrap()["change"].clone();
    desk.run(&format!("undo --change {moved}")).refused_with(&["take these back first"]).done();
    sound(&desk);
}

/// An area whose only bin has gone to another one stays: its codes never die.
#[test]
fn an_area_that_has_given_codes_stays() {
    let desk = Desk::empty();
    desk.run("area add 4 Loft").any_stderr().done();
    desk.run("bin add 4").done();
    desk.run("area add 7 Cellar").done();
    desk.run("bin change-area 4A 7").done();
    desk.run("undo --change 1").refused_with(&["area 4 stays: its bins have had codes"]).done();
    assert_eq!(codes(&desk.json("bin add 4")), ["4B"]);
}

#[test]
fn areas_are_renamed() {
    let desk = desk();
    desk.run("area rename 4 '  Attic, “warm” 🫖 '")
        .stdout(
            "area 4 is Attic, “warm” 🫖 now, no longer Loft; no code and no tag changes, but signs and strips that were \
             printed before show the old name: `stowmark stale` lists them\n",
        )
        .done();
    desk.run("area rename 4 'Attic, “warm” 🫖'").stdout_has("is named Attic, “warm” 🫖 already").done();
    assert_eq!(desk.json("area rename 7 Shed"), json!({"area": 7, "name": "Shed"}));
    desk.run("area rename 9 Shed").refused_with(&["there is no area 9"]).done();
    desk.run("area rename 7 ' '").refused_with(&["the title or name is empty"]).done();
    desk.run("history --last 1").stdout_has("rename area 7 from Cellar to Shed").done();
    desk.run("undo --last 2").done();
    assert_eq!(desk.json("area list")["areas"][0]["name"], "Loft");
    sound(&desk);
}

#[test]
fn the_check_knows_retired_bins_and_codes_of_all_names() {
    let desk = desk();
    desk.run("bin change-area 4A 7").done();
    let problems = |sql: &str, undo: &str| {
        let register = Connection::open(desk.path(REGISTER)).unwrap();
        register.execute(sql, []).unwrap();
        let found = desk.run("--json check").any_code().any_stderr().done().json();
        register.execute(undo, []).unwrap();
        let kinds =
            found["problems"].as_array().unwrap().iter().map(|problem| problem["kind"].as_str().unwrap().to_owned());
        kinds.collect::<Vec<_>>()
    };
    // The serials of 4A-001F to 4A-003A count for 7A.
    let found = problems(
        "UPDATE bin SET next_serial = 3 WHERE payload LIKE '7A00%'",
        "UPDATE bin SET next_serial = 4 WHERE payload LIKE '7A00%'",
    );
    assert_eq!(found, ["serial"]);
    let back = "UPDATE bin SET retired = NULL WHERE payload LIKE '7A00%'";
    let found = problems("UPDATE bin SET retired = '2026-11-25' WHERE payload LIKE '7A00%'", back);
    assert!(found.contains(&"bin-retired".to_owned()) && found.contains(&"item-bin".to_owned()), "{found:?}");
    desk.run("bin retire 4B").done();
    let found = problems(
        "UPDATE bin SET retired = '2026-02-30' WHERE payload LIKE '4B00%'",
        "UPDATE bin SET retired = (SELECT after ->> 'retired' FROM journal WHERE action = 'bin retired') WHERE payload LIKE '4B00%'",
    );
    assert!(found.contains(&"bin-retired".to_owned()), "{found:?}");
    sound(&desk);
}
