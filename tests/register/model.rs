//! Random weeks: any commands in any order, taken back at random
//!
//! What is refused changes nothing. What is taken back leaves all as it was before, but for codes that were given. What
//! was taken back and is brought back leaves all as it was. The check finds nothing, ever. `STOWMARK_CASES` weeks (12 if
//! it is not set) from `STOWMARK_SEED` (1); a failure prints its seed and its commands.

use std::{env, fmt::Write};

use fastrand::Rng;
use rusqlite::Connection;
use serde_json::Value;
use stowmark::cli::{self, Io};

use super::support::{Desk, REGISTER, number, strings};

fn setting(name: &str, otherwise: u64) -> u64 {
    env::var(name).ok().map_or(otherwise, |text| text.parse().unwrap_or_else(|_| panic!("{name}=`{text}`")))
}

/// What commands did, but for what is never given twice and what is only marked.
const STATE: [&str; 15] = [
    "SELECT json_array(number, name, walk_order) FROM area ORDER BY 1",
    "SELECT json_array(id, area, name, walk_order) FROM spot ORDER BY 1",
    "SELECT json_array(id, area, rank, payload, spot, stack, retired, kind, volume, max_grams, inside)
        FROM bin WHERE state = 'live' ORDER BY 1",
    "SELECT json_array(id, payload, bin, title, words, cost, asking, bought, note, entered, state, listed, gone, why_gone,
            volume, measures, size, grams, listing_code)
        FROM item WHERE state <> 'undone' ORDER BY 1",
    "SELECT json_array(name, volume, max_grams, inside) FROM bin_kind ORDER BY 1",
    "SELECT json_array(name, volume) FROM item_size ORDER BY 1",
    "SELECT json_array(id, state, asked, outcome) FROM regroup ORDER BY 1",
    "SELECT json_array(id, regroup, item, source, target, taken_on, put_on, state) FROM regroup_move ORDER BY 1",
    "SELECT json_array(payload, item, bin, old) FROM name WHERE old IS NOT NULL ORDER BY 1",
    "SELECT json_array(name, value) FROM setting WHERE name NOT LIKE 'told about%' ORDER BY 1",
    "SELECT json_array(id, file, items) FROM import ORDER BY 1",
    "SELECT json_array(id, item, day, price, fees, postage, order_no, listed, picked, returned) FROM sale ORDER BY 1",
    "SELECT json_array(id, sale, day, amount, postage) FROM refund ORDER BY 1",
    "SELECT json_array(id, day, amount, what) FROM expense ORDER BY 1",
    "SELECT json_array(id, bin, day, present, missing, misplaced, unknown) FROM tally ORDER BY 1",
];

/// A bin's code as people write it: `4A` of `4A00R`.
fn code_of(payload: &str) -> &str {
    payload.trim_end_matches(|c: char| !c.is_ascii_digit()).trim_end_matches("00")
}

struct Week {
    desk: Desk,
    rng: Rng,
    log: String,
    /// The changes that can be taken back one after the other, each with the state before it.
    past: Vec<(i64, Vec<String>)>,
    known: Vec<String>,
}

impl Week {
    fn new(seed: u64) -> Self {
        let known = cli::command().get_subcommands().map(|command| command.get_name().to_owned()).collect();
        let log = format!("STOWMARK_SEED={seed}\n");
        let mut week = Self { desk: Desk::with_bins(), rng: Rng::with_seed(seed), log, past: Vec::new(), known };
        if week.rng.bool() {
            week.furnish();
        }
        week
    }

    /// A stock that can be sold, sent and regrouped.
    fn furnish(&mut self) {
        let commands = [
            "bin kind add tub-m --litres 9",
            "bin edit 4A 4B 4C 4D --kind tub-m",
            "item add Whisk --bin 4A --litres 2",
            "item add Teapot --bin 4B --litres 3",
            "item add Sieve --bin 4B --litres 1",
            "item add Dominoes --bin 4C --size small",
            "item add Draughts --bin 4D",
            "listed 4A001F 4B001J 4B002G",
            "sold 4A001F --price 9",
            "expense add 3 tape",
            "area add 5 Attic",
        ];
        for command in commands {
            let words: Vec<String> = command.split(' ').map(str::to_owned).collect();
            assert_eq!(self.run(&words, "").0, 0, "{}", self.log);
        }
        let out = self.desk.path("t.pdf").display().to_string();
        let tag = ["tag", "4B001J", "4C001N", "--no-proof", "--out", &out].map(str::to_owned);
        assert_eq!(self.run(&tag, "").0, 0, "{}", self.log);
    }

    fn register(&self) -> Connection {
        self.desk.register()
    }

    fn state(&self) -> Vec<String> {
        let register = self.register();
        STATE.iter().flat_map(|sql| strings(&register, sql)).collect()
    }

    /// Runs the program in this process: exit code and answer.
    fn run(&mut self, words: &[String], input: &str) -> (u8, Value) {
        let register = self.desk.path(REGISTER).display().to_string();
        let global = ["stowmark", "--json", "--register", &register].map(str::to_owned);
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let code = {
            let mut io = Io::of(input.as_bytes(), &mut out, &mut err);
            cli::run(global.iter().chain(words).map(Into::into), &mut io)
        };
        let told = String::from_utf8_lossy(&err).into_owned();
        let _ = writeln!(self.log, "{words:?} <{input:?} → {code} {told}");
        assert!(code == 0 || code == 1 || code == 3, "{}", self.log);
        (code, serde_json::from_slice(&out).unwrap_or_default())
    }

    fn pick(&mut self, sql: &str) -> Option<String> {
        let all = strings(&self.register(), sql);
        self.rng.choice(all)
    }

    fn item(&mut self) -> String {
        self.pick("SELECT coalesce(payload, '#' || id) FROM item").unwrap_or_else(|| "#1".into())
    }

    fn sold(&mut self) -> String {
        let sql = "SELECT payload FROM item WHERE state IN ('sold', 'picked')";
        if self.rng.bool() { self.pick(sql) } else { None }.unwrap_or_else(|| self.item())
    }

    fn bin(&mut self) -> String {
        // Mostly the same few, so that things meet.
        let sql = if self.rng.u8(..4) > 0 { "SELECT payload FROM bin LIMIT 3" } else { "SELECT payload FROM bin" };
        code_of(&self.pick(sql).unwrap_or_default()).to_owned()
    }

    fn one<const N: usize>(&mut self, words: [&str; N]) -> String {
        self.rng.choice(words).unwrap_or_default().to_owned()
    }

    fn amount(&mut self) -> String {
        format!("{}.{:02}", self.rng.u8(..40), self.rng.u8(..100))
    }

    /// A command, and what it reads from standard input.
    fn command(&mut self) -> (Vec<String>, String) {
        let title = self.one(["Copper jam pan", "Board game", "Knitting pattern", "Große Öse", "Ladle 🫖"]);
        let spot = self.one(["rack 1", "rack 2", "shelf"]);
        let old = format!("K {}", self.rng.u8(..12));
        let (kind, size) = (self.one(["tub-m", "drawer"]), self.one(["medium", "tiny", "board"]));
        let litres = self.rng.u8(1..30);
        let (item, other, sold, bin, amount) = (self.item(), self.item(), self.sold(), self.bin(), self.amount());
        let word = |text: &str| text.split(' ').map(str::to_owned).collect::<Vec<_>>();
        let mut input = String::new();
        let mut words = match self.rng.u8(..61) {
            0 => word(&format!("area add {} Loft", self.rng.u8(1..8))),
            1 => word(&format!("bin add {}", self.rng.u8(1..8))),
            2 | 3 => word(&format!("bin add 4 --count {}", self.rng.u8(1..3))),
            4..=7 => word(&format!("item add --bin {bin} --cost {amount}")),
            8 | 9 => word("item add"),
            10 => word(&format!("item edit {item} --cost {amount}")),
            11 => word(&format!("item edit {item} {other} --asking none")),
            12 => word(&format!("item edit {item}")),
            13 | 14 => word(&format!("listed {item} --asking {amount}")),
            15 => word(&format!("listed {item} {other} --on 2026-11-{:02}", self.rng.u8(1..28))),
            16..=19 => word(&format!("put {item} {other} --in {bin}")),
            20 => word(&format!("put --waiting --in {bin}")),
            21 => word(&format!("item alias {item}")),
            22 => word(&format!("set paper {}", self.one(["a4", "letter"]))),
            23 => word(&format!("set currency {}", self.one(["EUR", "JPY", "none"]))),
            24 => {
                input = format!("{bin}\n{item}\n{other}\nundo\n{item}\n");
                word("stow")
            }
            25 => {
                self.desk.file("buys.csv", format!("title,cost\n{title},{amount}\nPot,1\n"));
                let file = self.desk.path("buys.csv").display().to_string();
                ["item", "import", &file, "--bin", &bin, "--again"].map(str::to_owned).to_vec()
            }
            26 => {
                input = format!("{item}\n{other}\n");
                word(&format!("count {bin} --fix"))
            }
            27 => word(&format!("sold {item} --price {amount} --fees 1 --on 2026-11-20")),
            28 => word(&format!("picked {sold}")),
            29 => word(&format!("return {sold} --in {bin} --refund 1")),
            31 => word(&format!("retag {item} {other}")),
            32 => word(&self.one(["retag --all", "listed --recoded"])),
            33 => word(&format!("tag {item} --no-proof --force --out {}", self.desk.path("t.pdf").display())),
            30 => word(&format!("gone {item} --why broken")),
            34 => word(&format!("area rename {}", self.rng.u8(4..6))),
            35 => word(&format!("bin move {bin}")),
            36 => word(&format!("bin retire {bin}")),
            37 => {
                // One that is empty, so that it goes.
                let sql = "SELECT payload FROM bin WHERE id NOT IN (SELECT bin FROM item WHERE bin IS NOT NULL)";
                let empty = self.pick(sql).unwrap_or_default();
                word(&format!("bin retire {}", code_of(&empty)))
            }
            38 => word(&format!("bin retire {bin} --back")),
            39 => word(&format!("bin change-area {bin} {}", self.rng.u8(4..8))),
            40 => word(&format!("expense remove {}", self.rng.u8(1..4))),
            41 => word(&format!("bin kind add {kind} --litres {litres}")),
            42 => word(&format!("bin kind edit {kind} --litres {litres} --max-kg 9")),
            43 => word(&format!("bin kind remove {kind}")),
            44 | 45 => word(&format!("bin edit {bin} --kind {kind}")),
            46..=48 => word(&format!("bin edit {bin} --litres {litres} --stack {}", self.rng.u8(1..4))),
            49 => word(&format!("size set {size} {litres}")),
            50 => word(&format!("size remove {size}")),
            51 => word(&format!("item edit {item} --size {size} --grams 300")),
            52 => word(&format!("item edit {item} {other} --litres {litres} --size none")),
            53 => word(&format!("refund {sold} 1 --on 2026-11-22")),
            54 => word(&format!("regroup plan --empty {bin}")),
            55 => word(&self.one(["regroup plan", "regroup drop"])),
            56 | 57 => {
                input = format!("{item}\n{bin}\nmissing\n{other}\nundo\n{other}\n{bin}\n");
                word("regroup go")
            }
            58 => word(&format!("run cancel {}", self.rng.u8(1..3))),
            59 => word(&format!(
                "reprint {} --no-proof --force --out {}",
                self.rng.u8(1..3),
                self.desk.path("r.pdf").display()
            )),
            _ => word(&format!("expense add {amount} boxes")),
        };
        let tail = match (words[0].as_str(), words.get(1).map(String::as_str)) {
            ("bin", Some("retire" | "kind" | "edit")) => Vec::new(),
            ("bin", Some("move")) => vec!["--spot".to_owned(), spot],
            ("bin", _) if self.rng.bool() => vec!["--spot".to_owned(), spot],
            ("item", Some("add")) if self.rng.u8(..4) == 0 => vec![title, "--old".into(), old],
            ("item", Some("add")) | ("area", Some("rename")) => vec![title],
            ("item", Some("edit")) if words.len() == 3 => vec!["--title".into(), title],
            ("item", Some("alias")) => vec![old],
            _ => Vec::new(),
        };
        words.extend(tail);
        (words, input)
    }

    fn step(&mut self) {
        let (words, input) = self.command();
        if !self.known.contains(&words[0]) {
            return;
        }
        let (before, all, count) = (self.state(), self.desk.dump(), self.count_changes());
        let (code, _) = self.run(&words, &input);
        if code == 1 {
            assert_eq!(self.desk.dump(), all, "refused, and yet something changed\n{}", self.log);
        }
        match self.count_changes() - count {
            0 => assert_eq!(self.state(), before, "{}", self.log),
            1 => self.past.push((self.last_change(), before)),
            // A session makes several; the states between them are not known here.
            _ => self.past.clear(),
        }
    }

    /// All but what the program notes for itself, which `undo --last` passes over.
    fn count_changes(&self) -> i64 {
        number(&self.register(), "SELECT count(*) FROM change WHERE what NOT LIKE 'set told about%'")
    }

    fn last_change(&self) -> i64 {
        number(&self.register(), "SELECT coalesce(max(id), 0) FROM change")
    }

    fn undo(&mut self, words: &str) -> bool {
        let all = self.desk.dump();
        let words: Vec<String> = words.split(' ').map(str::to_owned).collect();
        let (code, answer) = self.run(&words, "");
        let is_done = code == 0;
        assert_eq!(is_done, answer["undone"].as_array().is_some_and(|undone| !undone.is_empty()), "{}", self.log);
        if !is_done {
            assert_eq!(self.desk.dump(), all, "refused, and yet something changed\n{}", self.log);
        }
        is_done
    }

    /// The last ones go one after the other, and all is as it was before the first of them.
    fn undo_last(&mut self) {
        let count = 1 + self.rng.usize(..4);
        if count > self.past.len() {
            return;
        }
        if self.undo(&format!("undo --last {count}")) {
            let rest = self.past.split_off(self.past.len() - count);
            assert_eq!(self.state(), rest[0].1, "not as it was before change {}\n{}", rest[0].0, self.log);
        }
    }

    /// Any change goes, or stays; when it went it can be brought back.
    fn undo_any(&mut self) {
        let before = self.state();
        let change = self.rng.i64(1..=self.last_change());
        if !self.undo(&format!("undo --change {change}")) {
            return;
        }
        let between = self.state();
        let back = format!("undo --change {}", self.last_change());
        assert!(self.undo(&back), "it can't be brought back\n{}", self.log);
        assert_eq!(self.state(), before, "not as it was before\n{}", self.log);
        if self.rng.bool() {
            let again = format!("undo --change {}", self.last_change());
            assert!(self.undo(&again), "it can't be taken back again\n{}", self.log);
            assert_eq!(self.state(), between, "{}", self.log);
            self.past.clear();
        }
    }

    fn assert_sound(&mut self) {
        let (code, answer) = self.run(&["check".to_owned()], "");
        assert_eq!((code, &answer["problems"]), (0, &serde_json::json!([])), "{answer}\n{}", self.log);
    }
}

fn play(seed: u64) {
    let mut week = Week::new(seed);
    for _ in 0..60 {
        match week.rng.u8(..10) {
            0 => week.undo_last(),
            1 | 2 => week.undo_any(),
            _ => week.step(),
        }
        if week.rng.u8(..6) == 0 {
            week.assert_sound();
        }
    }
    week.assert_sound();
    println!("seed {seed}: {} changes", week.last_change());
}

#[test]
fn whatever_is_done_and_taken_back_adds_up() {
    let first = setting("STOWMARK_SEED", 1);
    (first..first + setting("STOWMARK_CASES", 12)).for_each(play);
}
