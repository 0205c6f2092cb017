//! The program killed at random moments while it stows, imports, sells and changes: nothing that it acknowledged is
//! lost, and nothing is half there
//!
//! `STOWMARK_KILLS` times (60 if it is not set) before the program has ended, from `STOWMARK_SEED`; a failure prints
//! its seed.

use std::{
    collections::HashMap,
    env,
    io::{Read, Write},
    process::Child,
    thread::sleep,
    time::{Duration, Instant},
};

use fastrand::Rng;
use serde_json::{Value, json};

use super::support::{Desk, number, strings};

fn setting(name: &str) -> Option<u64> {
    let text = env::var(name).ok()?;
    Some(text.parse().unwrap_or_else(|_| panic!("{name}=`{text}`")))
}

/// What happened over all rounds.
#[derive(Default)]
struct Tally {
    rounds: u64,
    cut_off: u64,
    acknowledged: usize,
    /// Committed, but killed before it could be said.
    unsaid: usize,
}

struct Bench {
    desk: Desk,
    rng: Rng,
    tally: Tally,
    has_sales: bool,
    /// The longest waits before a session and a single command are killed.
    waits: [Duration; 2],
}

/// The lines of a program's answer that came whole.
fn answered(mut child: Child) -> Vec<Value> {
    let mut out = String::new();
    let _ = child.stdout.take().unwrap().read_to_string(&mut out);
    let whole = out.rfind('\n').map_or("", |end| &out[..=end]);
    whole.lines().map(|line| serde_json::from_str(line).unwrap_or_else(|fault| panic!("{fault}: {line}"))).collect()
}

impl Bench {
    fn new(seed: u64) -> Self {
        let desk = Desk::with_bins();
        let rows: String = (1..=80).map(|number| format!("Egg cup no {number},3.50\n")).collect();
        desk.file("stock.csv", format!("title,cost\n{rows}")).run("item import stock.csv --bin 4A").done();
        let rows: String = (1..=400).map(|number| format!("Ladle no {number},1.20\n")).collect();
        desk.file("buys.csv", format!("title,cost\n{rows}"));
        let has_sales = stowmark::cli::command().find_subcommand("sold").is_some();
        let waits = [Duration::from_millis(350), Duration::from_millis(120)];
        Self { desk, rng: Rng::with_seed(seed), tally: Tally::default(), has_sales, waits }
    }

    fn last_change(&self) -> i64 {
        number(&self.desk.register(), "SELECT coalesce(max(id), 0) FROM change")
    }

    /// Kills within a wait that follows the speed of the machine: longer after a kill, shorter after one too late.
    fn kill_after(&mut self, mut child: Child, kind: usize) -> Vec<Value> {
        sleep(self.waits[kind].mul_f64(self.rng.f64()));
        let is_cut_off = child.try_wait().unwrap().is_none();
        self.tally.rounds += 1;
        self.tally.cut_off += u64::from(is_cut_off);
        self.waits[kind] = self.waits[kind].mul_f64(if is_cut_off { 1.1 } else { 0.85 });
        child.kill().unwrap();
        child.wait().unwrap();
        answered(child)
    }

    /// A session: each line of answer is a change that is there, in this order.
    fn stow(&mut self) {
        let before = self.last_change();
        let mut child = self.desk.run("--json stow").spawn();
        let mut input = child.stdin.take().unwrap();
        let signs = strings(&self.desk.register(), "SELECT payload FROM bin WHERE rank > 0 ORDER BY rank");
        let items = strings(&self.desk.register(), "SELECT payload FROM item WHERE bin IS NOT NULL AND id <= 80");
        let mut readings = String::new();
        for _ in 0..6 {
            readings.extend([signs[self.rng.usize(..signs.len())].as_str(), "\n"]);
            for _ in 0..10 {
                readings.extend([items[self.rng.usize(..items.len())].as_str(), "\n"]);
            }
        }
        // The pipe may break when the program is killed.
        let writer = std::thread::spawn(move || drop(input.write_all(readings.as_bytes())));
        let lines = self.kill_after(child, 0);
        writer.join().unwrap();
        let moves: Vec<&Value> = lines.iter().filter_map(|line| line["moved"].get(0)).collect();
        self.assert_moves(before, &moves);
    }

    fn assert_moves(&mut self, before: i64, moves: &[&Value]) {
        let sql = format!(
            "SELECT journal.item || ' ' || bin.payload FROM journal
             JOIN bin ON bin.id = journal.bin WHERE change > {before} AND action = 'item moved' ORDER BY journal.id"
        );
        let there = strings(&self.desk.register(), &sql);
        let said: Vec<String> = moves.iter().map(|moved| as_there(moved, &self.desk)).collect();
        assert!(there.starts_with(&said), "acknowledged {said:?}, and there is {there:?}");
        assert!(there.len() <= said.len() + 1, "acknowledged {said:?}, and there is {there:?}");
        self.note(said.len(), there.len());
    }

    fn note(&mut self, said: usize, there: usize) {
        self.tally.acknowledged += said;
        self.tally.unsaid += there - said;
    }

    /// A single command: all of it or nothing; all of it if it said so.
    fn once(&mut self, words: &str, rows: impl Fn(&Desk) -> i64, each: i64) {
        let before = (self.last_change(), rows(&self.desk));
        let child = self.desk.bare("--json").args(&["--register", "register.db"]).args(&split(words)).spawn();
        let said = self.kill_after(child, 1).len();
        let changes = usize::try_from(self.last_change() - before.0).unwrap();
        assert!(said <= changes && changes <= 1, "{words}: said {said}, and there are {changes}");
        let added = rows(&self.desk) - before.1;
        assert_eq!(added, each * i64::try_from(changes).unwrap(), "{words}: half of it is there");
        self.note(said, changes);
    }

    fn round(&mut self) {
        let item = format!("4A-{:03}", self.rng.u8(1..=80));
        let count = |sql: &'static str| move |desk: &Desk| number(&desk.register(), sql);
        let journal = count("SELECT count(*) FROM journal WHERE change IS NOT NULL");
        // So that the backup of the day is made in some of them.
        if self.rng.u8(..4) == 0 {
            let _ = std::fs::remove_dir_all(self.desk.path("register.db-backups"));
        }
        match self.rng.u8(..10) {
            0..=3 => self.stow(),
            4 | 5 => self.once("item import buys.csv --bin 4B --again", count("SELECT count(*) FROM item"), 400),
            6 | 7 if self.has_sales => self.sell(),
            6 => self.once("bin add 4 --count 2", count("SELECT count(*) FROM bin"), 2),
            7 => {
                let (one, other) = (self.rng.u8(1..=40), self.rng.u8(41..=80));
                let cost = self.rng.u32(1..1_000_000);
                self.once(&format!("item edit 4A-{one:03} 4A-{other:03} --note n{cost}"), journal, 2);
            }
            8 => {
                let day = self.rng.u32(1..100_000);
                self.once(&format!("item alias {item} X{day}"), journal, 1);
            }
            _ => {
                let cost = self.rng.u32(1..1_000_000);
                self.once(&format!("item edit {item} --note m{cost}"), journal, 1);
            }
        }
    }

    /// A sale and its item's state go together.
    fn sell(&mut self) {
        let sql = "SELECT payload FROM item WHERE state IN ('held', 'listed') AND id > 80 LIMIT 1";
        let Some(code) = strings(&self.desk.register(), sql).pop() else { return };
        let sold = |desk: &Desk| {
            number(
                &desk.register(),
                "SELECT (SELECT count(*) FROM sale) + (SELECT count(*) FROM item WHERE state = 'sold')",
            )
        };
        self.once(&format!("sold {code} --price 30 --fees 2"), sold, 2);
    }

    fn assert_sound(&self) {
        assert_eq!(self.desk.json("check"), json!({"ok": true, "problems": []}));
    }
}

fn split(words: &str) -> Vec<&str> {
    words.split(' ').collect()
}

/// A move as the journal has it.
fn as_there(moved: &Value, desk: &Desk) -> String {
    let register = desk.register();
    let bins: HashMap<String, String> = strings(&register, "SELECT payload FROM bin")
        .into_iter()
        .map(|payload| (payload.split("00").next().unwrap().to_owned(), payload))
        .collect();
    let code = moved["code"].as_str().unwrap().replace('-', "");
    // By its number: an item without a tag gets another code with each move.
    let item = number(&register, &format!("SELECT item FROM name WHERE payload = '{code}'"));
    format!("{item} {}", bins[moved["to"].as_str().unwrap()])
}

#[test]
fn killed_at_random_it_loses_nothing_that_it_acknowledged() {
    let seed = setting("STOWMARK_SEED").unwrap_or(1);
    println!("STOWMARK_SEED={seed}");
    let kills = setting("STOWMARK_KILLS").unwrap_or(60);
    let start = Instant::now();
    let mut bench = Bench::new(seed);
    while bench.tally.cut_off < kills {
        bench.round();
        if bench.rng.u8(..10) == 0 {
            bench.assert_sound();
        }
    }
    bench.assert_sound();
    let Tally { rounds, cut_off, acknowledged, unsaid } = bench.tally;
    println!(
        "{rounds} rounds in {:.0?}, killed before the program had ended in {cut_off}; {acknowledged} changes acknowledged, \
         none lost; {unsaid} committed and not acknowledged yet",
        start.elapsed()
    );
}
