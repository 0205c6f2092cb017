//! Registers of a size, made by the library's own methods and kept under `target` for the next run.

use std::{
    fs,
    hash::{DefaultHasher, Hash, Hasher},
    path::{Path, PathBuf},
    time::Instant,
};

use fastrand::Rng;
use jiff::civil::date;
use stowmark::{
    code::{AreaNumber, BinCode},
    register::{Access, Item, NewBins, NewItem, Register, Title},
    unit::Money,
};

use super::titles::title;

/// How the registers are filled; another number makes them anew.
const VERSION: u32 = 1;
const BINS_PER_AREA: usize = 374;
/// Items of one change: what a seller brings home in a good while.
const BATCH: usize = 20_000;
/// Items that change their bin together.
const GROUP: usize = 50;

/// A folder of our own, under `target`.
pub fn folder() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("trade");
    fs::create_dir_all(&folder).expect("a folder");
    folder
}

/// The register of so many items, each in a bin, moved once and listed: three rows of the journal each. 50 items a bin.
pub fn register(items: usize) -> PathBuf {
    let path = folder().join(format!("{items}-{:016x}.db", made_by()));
    if !path.exists() {
        remove_older(items);
        make(&path, items);
    }
    path
}

/// A hash of all that has a say in what is in the file.
fn made_by() -> u64 {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/register/migrations");
    let mut files: Vec<PathBuf> =
        fs::read_dir(folder).expect("our source").map(|entry| entry.expect("a file").path()).collect();
    files.sort();
    let mut hasher = DefaultHasher::new();
    VERSION.hash(&mut hasher);
    (include_str!("titles.rs"), include_str!("stock.rs")).hash(&mut hasher);
    for file in &files {
        fs::read(file).expect("our source").hash(&mut hasher);
    }
    hasher.finish()
}

fn remove_older(items: usize) {
    let ours = |name: &str| name.starts_with(&format!("{items}-"));
    for entry in fs::read_dir(folder()).expect("our own folder") {
        let entry = entry.expect("a file");
        if entry.file_name().to_str().is_some_and(ours) {
            fs::remove_file(entry.path()).expect("our own file");
        }
    }
}

fn make(path: &Path, items: usize) {
    let start = Instant::now();
    let unfinished = path.with_extension("unfinished");
    let _ = fs::remove_file(&unfinished);
    let mut register = Register::open(&unfinished, Access::Create).expect("a register");
    let bins = add_bins(&mut register, (items / GROUP).max(1));
    let mut random = Rng::with_seed(19);
    for first in (0..items).step_by(BATCH) {
        let count = BATCH.min(items - first);
        let added = add_items(&mut register, &mut random, &bins[first / GROUP..], count);
        trade(&mut register, &mut random, &bins, &added);
    }
    register.close().expect("it closes");
    fs::rename(&unfinished, path).expect("our own file");
    fs::remove_file(path.with_extension("unfinished.lock")).expect("our own file");
    println!("made a register of {items} items in {:.0} s", start.elapsed().as_secs_f64());
}

fn add_bins(register: &mut Register, count: usize) -> Vec<BinCode> {
    let mut bins = Vec::with_capacity(count);
    for first in (0..count).step_by(BINS_PER_AREA) {
        let number = u16::try_from(first / BINS_PER_AREA + 1).expect("few areas");
        let area = AreaNumber::new(number).expect("an area");
        register.add_area(area, &format!("Room {area}")).expect("an area");
        let count = u16::try_from(BINS_PER_AREA.min(count - first)).expect("few bins");
        let spot = Title::new("rack 1, level 2").ok();
        let new = NewBins { spot, ..NewBins::new(count) };
        bins.extend(register.add_bins(area, &new).expect("bins").iter().map(|bin| bin.code));
    }
    bins
}

fn add_items(register: &mut Register, random: &mut Rng, bins: &[BinCode], count: usize) -> Vec<Item> {
    let item = |number: usize| NewItem {
        cost: Money::from_minor(random.i64(50..4000)),
        asking: Money::from_minor(random.i64(500..9000)),
        bought: Some(date(2026, random.i8(1..=12), random.i8(1..=28))),
        bin: Some(bins[number / GROUP]),
        ..NewItem::new(Title::new(&title(random)).expect("a title"))
    };
    let items: Vec<NewItem> = (0..count).map(item).collect();
    register.add_items(&items, None).expect("items")
}

/// Every item is moved and listed.
fn trade(register: &mut Register, random: &mut Rng, bins: &[BinCode], items: &[Item]) {
    for group in items.chunks(GROUP) {
        register.move_items(group, bins[random.usize(..bins.len())]).expect("they are there");
    }
    register.list_items(items, None, Some(date(2026, 12, 24))).expect("they are there");
}
