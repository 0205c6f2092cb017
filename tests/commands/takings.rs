//! `takings`: every figure of a year against the same sums done by `SQLite`'s own shell
//!
//! Needs `sqlite3` (Debian: sqlite3). Where it is missing that test says so and passes, unless `STOWMARK_NEED_TOOLS`
//! is set.

use std::process::{Command, Stdio};

use fastrand::Rng;
use jiff::{ToSpan, civil::Date};
use rusqlite::{Connection, params};
use serde_json::{Value, json};

use super::support::{Desk, REGISTER, feed, needs};

const START: Date = jiff::civil::date(2026, 1, 1);
/// The last day that is counted; things happen after it as well.
const END: &str = "2026-12-20";

fn day(number: i64) -> String {
    START.checked_add(number.days()).unwrap().to_string()
}

/// In so many of ten cases.
fn maybe<T>(random: &mut Rng, of_ten: u8, value: T) -> Option<T> {
    (random.u8(0..10) < of_ten).then_some(value)
}

/// In so many of ten cases a day within so many.
fn soon(random: &mut Rng, of_ten: u8, after: i64, within: i64) -> Option<i64> {
    let day = after + random.i64(0..within);
    maybe(random, of_ten, day)
}

/// An item and what happened to it, as other commands write it.
fn trade(register: &Connection, random: &mut Rng, item: i64) {
    let came = random.i64(-200..360);
    let (cost, asking) = (random.i64(0..2000), random.i64(500..9000));
    let (cost, asking) = (maybe(random, 9, cost), maybe(random, 9, asking));
    let bought = maybe(random, 8, day(came));
    let mut sales = Vec::new();
    let mut listed = soon(random, 8, came, 20);
    let mut state = if listed.is_some() { "listed" } else { "held" };
    let mut now = listed.unwrap_or(came);
    for _ in 0..3 {
        if maybe(random, 6, ()).is_none() {
            break;
        }
        now += random.i64(0..60);
        let returned = soon(random, 3, now, 30);
        sales.push((listed, now, returned));
        (listed, state) = (None, "sold");
        let Some(back) = returned else { break };
        now = back;
        listed = soon(random, 5, back, 9);
        state = if listed.is_some() { "listed" } else { "held" };
    }
    let gone = (state != "sold").then(|| soon(random, 1, now, 40)).flatten();
    state = match state {
        "sold" if random.bool() => "picked",
        _ if gone.is_some() => "gone",
        other => other,
    };
    let bin = ["held", "listed", "sold"].contains(&state).then_some(1);
    let sql = "INSERT INTO item (id, payload, bin, title, words, cost, asking, bought, entered, state, listed, gone)
        VALUES (?1, ?2, ?3, 'Pan', 'pan', ?4, ?5, ?6, ?7, ?8, ?9, ?10)";
    let (listed, gone) = (listed.map(day), gone.map(day));
    let payload = format!("P{item}");
    register.execute(sql, params![item, payload, bin, cost, asking, bought, day(came), state, listed, gone]).unwrap();
    for (listed, sold, returned) in sales {
        sell(register, random, item, listed, sold, returned);
    }
}

fn sell(register: &Connection, random: &mut Rng, item: i64, listed: Option<i64>, sold: i64, returned: Option<i64>) {
    let price = random.i64(300..9000);
    let price = maybe(random, 9, price);
    let sql = "INSERT INTO sale (item, day, price, fees, postage, listed, picked, returned)
        VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?2, ?7)";
    let (fees, postage) = (random.i64(0..900), random.i64(0..700));
    let (listed, back) = (listed.map(day), returned.map(day));
    register.execute(sql, params![item, day(sold), price, fees, postage, listed, back]).unwrap();
    let refunded = returned.or_else(|| soon(random, 1, sold, 40));
    if let Some(refunded) = refunded {
        let sql = "INSERT INTO refund (sale, day, amount, postage) SELECT max(id), ?1, ?2, ?3 FROM sale";
        let amount = price.map_or(500, |price| if returned.is_some() { price } else { price / 3 });
        register.execute(sql, params![day(refunded), amount, random.i64(0..500)]).unwrap();
    }
}

/// Some 500 items from half a year before to the end of 2026, some with more than one sale.
fn year(seed: u64) -> Desk {
    let desk = Desk::with_bins();
    desk.run("set currency EUR").done();
    let mut register = Connection::open(desk.path(REGISTER)).unwrap();
    let tx = register.transaction().unwrap();
    let mut random = Rng::with_seed(seed);
    for item in 1..=500 {
        trade(&tx, &mut random, item);
    }
    for _ in 0..40 {
        let sql = "INSERT INTO expense (day, amount, what) VALUES (?1, ?2, 'tape')";
        tx.execute(sql, params![day(random.i64(-30..365)), random.i64(0..9000)]).unwrap();
    }
    let undone = "INSERT INTO item (payload, title, words, cost, entered, state, listed)
        VALUES ('U1', 'Never', '', 99, '2026-03-03', 'undone', '2026-03-04')";
    tx.execute(undone, []).unwrap();
    tx.commit().unwrap();
    desk
}

/// The same figures by `SQLite`'s own shell.
fn by_shell(desk: &Desk, from: &str, to: &str) -> Value {
    let set = |name: &str, day: &str| format!(".parameter set :{name} \"'{day}'\"");
    let mut shell = Command::new("sqlite3");
    shell.args(["-batch", "-readonly", "-cmd", &set("a", from), "-cmd", &set("b", to)]);
    shell.arg(desk.path(REGISTER)).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let answer = feed(shell.spawn().unwrap(), include_bytes!("takings.sql"));
    assert!(answer.status.success() && answer.stderr.is_empty(), "{answer:?}");
    serde_json::from_slice(&answer.stdout).unwrap()
}

/// Minor units of an amount, tenths of a number with a point, or the whole number.
fn whole(value: &Value) -> Value {
    match value {
        Value::String(amount) => json!(amount.replace('.', "").parse::<i64>().unwrap()),
        Value::Number(number) if number.is_f64() => json!(number.to_string().replace('.', "").parse::<i64>().unwrap()),
        other => other.clone(),
    }
}

#[track_caller]
fn compare(desk: &Desk, figures: &Value) -> usize {
    let text = |name: &str| figures[name].as_str().unwrap();
    let shell = by_shell(desk, text("from"), text("to"));
    let names = shell.as_object().unwrap().keys().filter(|name| *name != "ages");
    // Period, from and to are compared by themselves.
    assert_eq!(names.clone().count(), figures.as_object().unwrap().len() - 3);
    for name in names.clone() {
        assert_eq!(whole(&figures[name]), shell[name], "{name} of {}", figures["period"]);
    }
    names.count()
}

#[test]
fn every_figure_of_a_year_is_that_of_sqlites_shell() {
    if !needs("sqlite3", "--version") {
        return;
    }
    let mut compared = 0;
    for seed in 1..=3 {
        let desk = year(seed);
        for options in ["--per month --from 2026-01-01", "--per week --from 2026-06-10", "--from 2025-11-15"] {
            let takings = desk.json(&format!("takings {options} --to {END}"));
            for figures in takings["periods"].as_array().unwrap().iter().chain([&takings["total"]]) {
                compared += compare(&desk, figures);
            }
            let ages = takings["ages"].as_array().unwrap().iter();
            let ages: Vec<_> = ages
                .map(|age| json!([age["from_days"], age["items"], whole(&age["cost"]), whole(&age["asking"])]))
                .collect();
            assert_eq!(json!(ages), by_shell(&desk, "2026-01-01", END)["ages"]);
        }
    }
    // 3 years of 12 months, 28 weeks and 14 months, each with a total, 30 figures each.
    assert_eq!(compared, 3 * (13 + 29 + 15) * 30);
}

/// Two items whose figures were worked out by hand.
fn small() -> Desk {
    let desk = Desk::with_bins();
    let register = Connection::open(desk.path(REGISTER)).unwrap();
    let sql = "
        INSERT INTO item (id, payload, bin, title, words, cost, asking, bought, entered, state, listed) VALUES
            (1, '4A001F', 1, 'Pan', 'pan', 350, 2495, '2026-11-02', '2026-11-03', 'sold', NULL),
            (2, '4A002C', 1, 'Game', 'game', NULL, 1800, NULL, '2026-11-04', 'sold', NULL),
            (3, '4A003A', 1, 'Hat', 'hat', 100, NULL, NULL, '2026-11-04', 'listed', '2026-11-10');
        INSERT INTO sale (item, day, price, fees, postage, listed) VALUES
            (1, '2026-11-12', 2600, 260, 490, '2026-11-04'), (2, '2026-11-13', 1800, 0, 0, NULL);
        INSERT INTO refund (sale, day, amount) VALUES (1, '2026-11-17', 200);
        INSERT INTO expense (day, amount, what) VALUES ('2026-11-18', 1250, 'tape');";
    register.execute_batch(sql).unwrap();
    desk
}

#[test]
fn the_figures_are_shown_by_weeks_with_what_is_not_known() {
    let desk = small();
    let expected = "Takings from 2026-11-02 to 2026-11-22

period    sold  revenue  fees  postage   cost  returned  refunds  expenses   profit  margin
2026-W45     0     0.00  0.00     0.00  0.00       0.00     0.00      0.00    0.00
2026-W46     2    44.00  2.60     4.90  3.50*      0.00     0.00      0.00   15.00*  57.7 %
2026-W47     0     0.00  0.00     0.00  0.00       0.00     2.00     12.50  -14.50
total        2    44.00  2.60     4.90  3.50*      0.00     2.00     12.50    0.50*   2.1 %

2026-W45  -
2026-W46  ████████████████████░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░  15.00 of 44.00
2026-W47  ▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒  -14.50 of 0.00
█ profit, ░ the rest of the revenue, ▒ loss

period    bought    for  listed   worth  shelves   worth  sell-through  days
2026-W45       3  4.50*       1  24.95         1  24.95          0.0 %
2026-W46       0  0.00        1   0.00*        1   0.00*        50.0 %   8.0
2026-W47       0  0.00        0   0.00         1   0.00*         0.0 %
total          3  4.50*       2  24.95*        1   0.00*        50.0 %   8.0

left, by age      items  cost  asking
0 to 30 days          1  1.00   0.00*
31 to 91 days         0  0.00   0.00
92 to 182 days        0  0.00   0.00
183 to 365 days       0  0.00   0.00
366 days or more      0  0.00   0.00

* profit without 1 sale whose cost or price is not known; `stowmark item edit CODE --cost AMOUNT` tells a cost
* 1 item bought whose cost is not known
* 1 item listed whose asking price is not known
Sums of what was entered; no tax advice.
";
    desk.run("takings --to 2026-11-22").stdout(expected).done();
}

#[test]
fn a_terminal_that_is_narrow_gets_narrow_tables() {
    let desk = small();
    for columns in [40, 50, 80, 120] {
        let run = desk.run("takings --to 2026-11-22 --goal 3200 --by 2026-12-31").env("COLUMNS", columns.to_string());
        let answer = run.done().stdout;
        for line in answer.lines() {
            assert!(line.chars().count() <= columns, "{columns}: {line}");
        }
        assert_eq!(answer.matches("-14.50").count(), 2, "{answer}");
    }
}

/// Worked by hand: 3200.00 less 0.50 in 39 days; 0.50 in 21 days.
#[test]
fn a_goal_tells_what_is_needed_and_the_pace() {
    let desk = small();
    let words = "takings --to 2026-11-22 --goal 3200 --by 2026-12-31";
    // 319950 * 7 / 39 = 57426.92; 50 * 7 / 21 = 16.67; 50 + 50 * 39 / 21 = 142.86
    let expected = json!({"goal": "3200.00", "by": "2026-12-31", "profit": "0.50", "needed": "3199.50", "days_left": 39,
        "needed_a_week": "574.27", "pace_a_week": "0.17", "expected": "1.43"});
    assert_eq!(desk.json(words)["goal"], expected);
    let told = "Goal of 3200.00 by 2026-12-31: 0.50 since 2026-11-02, 3199.50 to go.
Needed 574.27 a week in the 39 days left.
Pace so far 0.17 a week; going on like this it is 1.43 by 2026-12-31.\n";
    assert!(desk.run(words).done().stdout.contains(told));
    let reached = desk.run("takings --to 2026-11-22 --goal 0.50 --by 2026-12-31").done().stdout;
    assert!(reached.contains("Goal of 0.50 by 2026-12-31: reached, 0.50 since 2026-11-02.\n"), "{reached}");
    desk.run("takings --goal 3200").code(2).stdout("").any_stderr().done();
    let late = "no day is left from 2026-11-22 until 2026-11-22; give a later --by";
    desk.run("takings --to 2026-11-22 --goal 3200 --by 2026-11-22").refused(late).done();
}

#[test]
fn figures_go_into_files() {
    let desk = small();
    let words = "takings --to 2026-11-22 --csv figures.csv --svg chart.svg";
    let answer = desk.json(&format!("{words} --bom"));
    assert_eq!(answer["files"], json!(["figures.csv", "chart.svg"]));
    let csv = String::from_utf8(desk.read("figures.csv")).unwrap();
    let mut rows = csv::ReaderBuilder::new().from_reader(csv.trim_start_matches('\u{feff}').as_bytes());
    let headings = rows.headers().unwrap().clone();
    assert!(csv.starts_with("\u{feff}period,from,to,bought,bought cost,bought cost unknown,listed,"), "{csv}");
    let all = answer["periods"].as_array().unwrap().iter().chain([&answer["total"]]);
    for (record, figures) in rows.records().map(Result::unwrap).zip(all) {
        for (heading, field) in headings.iter().zip(&record) {
            let value = match &figures[heading.replace(' ', "_")] {
                Value::String(text) => text.clone(),
                Value::Null => String::new(),
                other => other.to_string(),
            };
            assert_eq!(field, value, "{heading}");
        }
    }
    let svg = String::from_utf8(desk.read("chart.svg")).unwrap();
    for part in
        ["<svg ", "Revenue and profit from 2026-11-02 to 2026-11-22", "2026-W46, revenue: 44.00", "profit: -14.50"]
    {
        assert!(svg.contains(part), "{part}");
    }
    desk.run(words).refused_with(&["figures.csv` is there already; give another name, or --force"]).done();
    desk.run(&format!("{words} --force")).done();
}

#[test]
fn without_from_it_begins_with_the_year_or_the_first_day_in_it() {
    let desk = small();
    assert_eq!(desk.json("takings --to 2026-11-22")["total"]["from"], "2026-11-02");
    assert_eq!(desk.json("takings --to 2027-01-05")["total"]["from"], "2027-01-01");
    let months = desk.json("takings --from 2026-08-01 --to 2026-11-22");
    assert_eq!((&months["per"], months["periods"].as_array().unwrap().len()), (&json!("month"), 4));
    let before = "the last day, 2026-11-01, lies before the first, 2026-11-02; give an earlier --from or a later --to";
    desk.run("takings --from 2026-11-02 --to 2026-11-01").refused(before).done();
    let nothing = Desk::with_bins().json("takings --to 2026-11-22");
    assert_eq!((&nothing["total"]["profit"], &nothing["total"]["margin_percent"]), (&json!("0.00"), &Value::Null));
}
