//! Durable changes: stowing beside the bare sync of the same disk, and an import.

use std::{
    fs::{self, File},
    io::Write,
    path::Path,
};

use fastrand::Rng;
use stowmark::register::{Access, Item, ItemId, Register};

use super::{
    figures::{median_of, mention, milliseconds, percentile, tell},
    program, stock, titles,
};

/// Moves in a row, then as many syncs: long enough that checkpoints of the log take their part.
const TURN: usize = 250;
const TURNS: usize = 9;
const ROWS: usize = 100_000;

/// Stows item by item, each a change of its own that is on the disk when the call returns.
pub fn print_stow(path: &Path, items: u32) {
    let mut register = Register::open(path, Access::Existing).expect("a register");
    let mut random = Rng::with_seed(3);
    let appended = path.with_extension("appended");
    let mut file = File::create(&appended).expect("a file");
    let (mut stowed, mut synced) = (Vec::new(), Vec::new());
    for _ in 0..TURNS {
        let items = (0..TURN).map(|_| any(&register, &mut random, items)).collect::<Vec<_>>();
        let bin = any(&register, &mut random, 1000).bin().expect("it is in one");
        stowed.push(rate(|at| {
            let item = &items[at];
            register.move_items(std::slice::from_ref(item), bin).expect("it is there");
        }));
        synced.push(rate(|_| append(&mut file)));
    }
    fs::remove_file(appended).expect("our own file");
    register.close().expect("it closes");
    let mut ratios: Vec<f64> = stowed.iter().zip(&synced).map(|(stowed, synced)| stowed / synced).collect();
    mention("stow, changes a second, median", percentile(&mut stowed, 50), "");
    mention("append of 4 KiB + sync, a second, median", percentile(&mut synced, 50), "");
    let ratio = percentile(&mut ratios, 50) * 100.0;
    tell("stow to sync, median of turns", ratio, "%", "at least 70 %", ratio >= 70.0);
    mention("  the slowest turn", ratios[0] * 100.0, "%");
}

#[expect(clippy::cast_precision_loss, reason = "a small number")]
fn rate(mut work: impl FnMut(usize)) -> f64 {
    1000.0 * TURN as f64 / milliseconds(|| (0..TURN).for_each(&mut work))
}

fn append(file: &mut File) {
    file.write_all(&[7; 4096]).expect("it is written");
    file.sync_data().expect("it is synced");
}

fn any(register: &Register, random: &mut Rng, items: u32) -> Item {
    let id = ItemId::parse(&format!("#{}", random.u32(1..=items))).expect("a number");
    register.item(id).expect("it reads").expect("it is there")
}

/// A buy list comes in through the program, on top of all that is there.
pub fn print_import(path: &Path) {
    let csv = stock::folder().join("buys.csv");
    let mut times = Vec::new();
    for seed in 0..3 {
        fs::write(&csv, buys(seed)).expect("a file");
        let file = csv.to_str().expect("a path in UTF-8");
        times.push(median_of(1, || program(path, &["item", "import", file, "--bin", "4B"])));
    }
    fs::remove_file(csv).expect("our own file");
    let (middle, most) = (percentile(&mut times, 50), percentile(&mut times, 99));
    tell("import of 100,000 rows, whole process, median", middle / 1000.0, "s", "at most 3 s", middle <= 3000.0);
    mention("  the slowest of three", most / 1000.0, "s");
}

fn buys(seed: u64) -> String {
    let mut random = Rng::with_seed(seed);
    let mut row = |_| format!("\"{}\",2026-03-14,{}.50,{}.95\r\n", titles::title(&mut random), seed + 1, 20 + seed);
    let rows: String = (0..ROWS).map(&mut row).collect();
    format!("title,bought,cost,asking\r\n{rows}")
}
