//! `json`: what the page says of the answers, held against the answers of a week

use std::collections::BTreeSet;

use serde_json::Value;

use super::{photos::scan, regroup::litres, support::Desk};

/// Commands that between them give all kinds of answers; what is read from standard input stands behind `<`.
const WEEK: &str = "
    area order 4
    spot list
    spot order 4 'rack 1, level 2'
    spot rename 4 'rack 1, level 2' 'rack 1, level 2'
    bin edit 4A --stack 1
    bin list
    bin move 4F --spot 'rack 2'
    bin change-area 4F 7
    find 4F
    bin retire 4F
    bin list --retired
    area rename 7 Cellar
    lift --height 20 --to 80 --reach 40
    item add Pot
    item import buys.csv --skip-bad
    item list
    item alias 4A-001F K9
    listed 4A-001F 4A-002C --on 2026-11-01
    put #4 --in 4C
    stow < 4B|4A001F|undo|4A001F|zz
    find K9
    find 4A
    find 4A-001G
    photo sign.png
    scan < 4A002C|4F|
    bin show 4A
    count 4A < 4A002C|4A001F|zz|4A
    count 4A --all-present
    count 4B --fix < 4A-002C|4A001F
    count due
    count accuracy
    sold 4A-002C --price 25 --fees 2 --order 7
    pick
    pick --scan < 4A002C|undo|xx
    picked --all
    find 4A-002C
    return 4A-002C --in 4B
    sold 4A-003A --price 20
    refund 4A-003A 3
    gone 4C-001N --why lost
    find 4C-001N
    sold import orders.csv
    regroup plan
    regroup show
    find Jam
    regroup list --out moves.pdf
    regroup go < missing|undo|#1|#2|#3|#4|#5|#1|#2|find|4A|4B|4C|4D
    regroup drop
    expense add 12 tape
    expense list
    takings --goal 500 --by 2036-12-31
    history
    history 4A-001F
    undo
    backup copy.db
    backup list
    check
    export items -
    export moves -
    export sales -
    export bins -
    export listing-codes
    restore copy.db
    set
    tag --all --no-proof
    strip --no-proof
    listed 4A-002C
    put 4A-002C --in 4D
    bin edit 4A 4B 4C 4D --spot none
    stale
    retag --all
    stale
    find 4A-002C
    export code-changes
    run list
    run show 1
    run cancel 1
    proof tags-0001.pdf
    sheet list --label 63.5x38.1
    sheet show a4-5x13
    printer add p --dpi 600
    printer list
    font list
    bin kind add tub-m --litres 36 --max-kg 9 --inside 58x38x28
    bin kind list
    bin edit 4D --kind tub-m
    item add Urn --bin 4D --litres 40 --measures 30x20x10 --size small --grams 850
    bin list
    bin show 4D
    bin kind add crate
    bin kind remove crate
    bin edit 4B --litres 5
    bin room --litres 2
    bin room --import fits.csv
    item import fits.csv
    size list
    json";

/// Names of an answer's members at any depth. Those of `columns` and `said` are names of columns and what labels say.
fn members(answer: &Value, found: &mut BTreeSet<String>) {
    match answer {
        Value::Object(inner) => {
            for (name, value) in inner {
                found.insert(name.clone());
                if !["columns", "said", "figures"].contains(&name.as_str()) {
                    members(value, found);
                }
            }
        }
        Value::Array(values) => values.iter().for_each(|value| members(value, found)),
        _ => {}
    }
}

fn told_members() -> BTreeSet<String> {
    let desk = Desk::with_items();
    desk.run("area add 7 Shed").done();
    desk.file("buys.csv", "title,bin,cost\nLid,4A,2\nWok,4B,x\n");
    desk.file("fits.csv", "title,litres\nUrn,3\n");
    desk.file("orders.csv", "code,price,date\n4A-001F,9,2026-11-20\n");
    litres(&desk, &["4A", "4B", "4C"], "36");
    let other = Desk::with_bins();
    other.run("sign 4A --symbol qr --no-proof --out sign.pdf").any_stderr().done();
    desk.file("sign.png", scan(&other, "sign.pdf").png().unwrap());
    let mut told = BTreeSet::new();
    for line in WEEK.lines().filter(|line| !line.trim().is_empty()) {
        let (words, input) = line.split_once(" < ").unwrap_or((line, ""));
        let run = desk.run(&format!("--json {}", words.trim())).stdin(input.replace('|', "\n")).any_stderr().any_code();
        let answer = run.done();
        assert!(answer.code == 0 || answer.code == 3, "{line}: {}{}", answer.stdout, answer.stderr);
        answer.json_lines().iter().for_each(|answer| members(answer, &mut told));
    }
    told
}

#[test]
fn every_member_of_an_answer_stands_on_the_page() {
    let page = Desk::empty().bare("json").done().stdout;
    let words: BTreeSet<&str> = page.split(|c: char| !c.is_alphanumeric() && c != '_').collect();
    let told = told_members();
    assert!(told.len() > 120, "{}", told.len());
    let known = |name: &String| words.contains(name.as_str()) || words.contains(name.trim_end_matches("_unknown"));
    let missing: Vec<_> = told.iter().filter(|name| !known(name)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn the_page_fits_a_terminal_and_names_commands_that_there_are() {
    let page = Desk::empty().bare("json").done().stdout;
    assert!(page.lines().all(|line| line.chars().count() <= 105), "{page}");
    let (_, answers) = page.split_once("ANSWERS\n").unwrap();
    let command = stowmark::cli::command();
    let named = answers.lines().filter(|line| !line.starts_with(' ')).map(|line| line.get(..22).unwrap_or(line).trim());
    for name in named.clone() {
        let first = name.split([' ', ',']).next().unwrap();
        assert!(command.find_subcommand(first).is_some(), "{name}");
    }
    assert!(named.count() > 40);
}
