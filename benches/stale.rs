//! Which of 100,000 labels are wrong: 96,000 tags, and signs and lids of 2,000 bins.
//!
//! The register is made anew each time by the library's own methods, but for the pages, which nobody looks at here.

use std::{
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use fastrand::Rng;
use jiff::civil::date;
use serde_json::{Value, json};
use stowmark::{
    code::{AreaNumber, BinCode, ItemCode},
    job::{Field, LabelJob, Look, StaleScope, open, stale},
    register::{
        Access, Bin, BinEdit, Edit, Item, ItemEdit, ItemFilter, LabelOf, NewBins, NewItem, NewLabel, NewRun, Register,
        RunKind, Title,
    },
    unit::Money,
};

#[path = "trade/figures.rs"]
mod figures;
#[path = "trade/titles.rs"]
mod titles;

use figures::{at_most, median_of, mention};

const ITEMS: usize = 96_000;
const BINS: usize = 2_000;
const PER_BIN: usize = ITEMS / BINS;
const PER_AREA: usize = 250;
const PER_RUN: usize = 1_000;

fn main() {
    let path = folder().join("stale.db");
    clean(&path);
    let mut register = Register::open(&path, Access::Create).expect("a register");
    let mut random = Rng::with_seed(5);
    fill(&mut register, &mut random);
    print_all(&mut register);
    let looked = |register: &Register| stale(register, StaleScope::All, date(2026, 11, 25)).expect("it reads");
    assert_eq!(looked(&register).labels, [], "all hold at first");
    tell("100,000 labels, all of which hold", &register, &path);
    change(&mut register, &mut random);
    let answer = looked(&register);
    println!("{} of them wrong, {} tags show another bin:", answer.labels.len(), answer.moved.tags);
    assert!(answer.labels.len() > 5_000, "{}", answer.labels.len());
    tell("100,000 labels, some of them wrong", &register, &path);
    register.close().expect("it closes");
    clean(&path);
}

fn tell(what: &str, register: &Register, path: &Path) {
    println!("{what}:");
    let inside = || stale(register, StaleScope::All, date(2026, 11, 25)).expect("it reads");
    at_most("stale, inside", median_of(5, inside), 1000.0);
    at_most("stale, whole process", median_of(5, || program(path, &["stale"])), 1000.0);
    at_most("stale --json, whole process", median_of(5, || program(path, &["--json", "stale"])), 1000.0);
    mention("stale --bin 4A, whole process", median_of(5, || program(path, &["stale", "--bin", "4A"])), "ms");
    mention("opening alone", median_of(5, || open(path, Access::Existing).expect("it opens")), "ms");
}

fn folder() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("stale");
    fs::create_dir_all(&folder).expect("a folder");
    folder
}

fn clean(path: &Path) {
    for end in ["", ".lock", "-wal", "-shm"] {
        let _ = fs::remove_file(format!("{}{end}", path.display()));
    }
}

fn program(register: &Path, arguments: &[&str]) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_stowmark"));
    let done = command.arg("--register").arg(register).args(arguments).output().expect("it runs");
    assert!(matches!(done.status.code(), Some(0 | 3)), "{}", String::from_utf8_lossy(&done.stderr));
}

fn fill(register: &mut Register, random: &mut Rng) {
    for first in (0..BINS).step_by(PER_AREA) {
        let area = AreaNumber::new(u16::try_from(first / PER_AREA + 1).expect("few")).expect("an area");
        register.add_area(area, &format!("Room {area}")).expect("an area");
        let count = u16::try_from(PER_AREA).expect("few");
        let spot = Some(Title::new("rack 1, level 2").expect("a name"));
        let bins = register.add_bins(area, &NewBins { spot, ..NewBins::new(count) }).expect("bins");
        let item = |random: &mut Rng, bin: BinCode| NewItem {
            asking: Money::from_minor(random.i64(500..9000)),
            bin: Some(bin),
            ..NewItem::new(Title::new(&titles::title(random)).expect("a title"))
        };
        let items: Vec<NewItem> =
            bins.iter().flat_map(|bin| (0..PER_BIN).map(|_| bin.code)).map(|bin| item(random, bin)).collect();
        register.add_items(&items, None).expect("items");
    }
}

/// As the program records them.
fn print_all(register: &mut Register) {
    let look = Look { show: vec![Field::Asking], ..Look::default() };
    let items = register.items(&ItemFilter::stowed()).expect("it reads");
    let tag = |item: &Item| {
        let LabelJob::Tag(code, item) = LabelJob::tag(item.clone()).expect("a code") else { unreachable!() };
        let asking = item.asking.map(|asking| format!("{}.{:02}", asking.minor() / 100, asking.minor() % 100));
        json!({"code": code.to_string(), "bin": code.bin.to_string(), "title": item.title, "asking": asking})
    };
    for part in items.chunks(PER_RUN) {
        let labels: Vec<NewLabel<'_>> = part.iter().map(|item| label(LabelOf::Item(item), tag(item))).collect();
        record(register, RunKind::Tags, &labels, &look.to_json());
    }
    let bins = register.bins(None).expect("it reads");
    let sign = |bin: &Bin| {
        let spot = bin.place.spot.as_ref().map(|spot| spot.name.clone());
        json!({"code": bin.code.to_string(), "area_name": bin.place.area_name, "spot": spot})
    };
    for kind in [RunKind::Signs, RunKind::Lids] {
        let labels: Vec<NewLabel<'_>> = bins.iter().map(|bin| label(LabelOf::Bin(bin), sign(bin))).collect();
        record(register, kind, &labels, &Look::default().to_json());
    }
}

fn label(of: LabelOf<'_>, said: Value) -> NewLabel<'_> {
    let payload = match of {
        LabelOf::Item(item) => item.code.map(ItemCode::payload).unwrap_or_default(),
        LabelOf::Bin(bin) => bin.code.payload(),
        LabelOf::Area(_) | LabelOf::Spot(_) => String::new(),
    };
    NewLabel { page: 1, slot: 1, sheet_no: None, payload, symbols: "qr".into(), of, said, look: None }
}

fn record(register: &mut Register, kind: RunKind, labels: &[NewLabel<'_>], options: &Value) {
    let run = NewRun {
        kind,
        sheet: "roll-57x32",
        dpi: 300.0,
        printer: None,
        options,
        pages: labels.len(),
        sha256: "",
        labels,
        spent: &[],
    };
    let lock = register.lock_runs().expect("nobody else prints");
    let id = register.begin_run(&lock, &run, Path::new("a.pdf"), Path::new("b.pdf")).expect("it is recorded");
    register.finish_run(id).expect("it is recorded");
}

/// A tenth of the items moves, half of these get new codes; some have other titles; bins stand elsewhere.
fn change(register: &mut Register, random: &mut Rng) {
    let mut items = register.items(&ItemFilter::stowed()).expect("it reads");
    let bins = register.bins(None).expect("it reads");
    random.shuffle(&mut items);
    for part in items[..ITEMS / 10].chunks(PER_BIN) {
        register.move_items(part, bins[random.usize(..bins.len())].code).expect("they are there");
    }
    register.retag_items(&items[..ITEMS / 20], false).expect("they are there");
    for item in &items[ITEMS / 2..ITEMS / 2 + 200] {
        let title = Some(Title::new(&titles::title(random)).expect("a title"));
        register.edit_items(std::slice::from_ref(item), &ItemEdit { title, ..ItemEdit::default() }).expect("it is");
    }
    let moved: Vec<BinCode> = bins.iter().step_by(10).map(|bin| bin.code).collect();
    let spot = Edit::Set(Title::new("rack 2, level 1").expect("a title"));
    register.edit_bins(&moved, &BinEdit { spot, ..BinEdit::default() }).expect("they are there");
}
