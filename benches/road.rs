//! Figures of the road: 10,000 tags laid out and written as PDF, beside the same pages written by hand
//! with `pdf-writer` (which encodes the symbols too, but takes places and text as they were laid out); and finding among 100,000 items.
//!
//! Each figure is the median of several runs, taken in turn with its reference, so that a drift of the
//! machine's speed hits both. Peak memory is that of a process of its own (Linux only).

use std::{hint::black_box, process::Command, sync::Arc, time::Instant};

use stowmark::{
    code::{AreaNumber, BinCode, ItemCode, Origin, Serial},
    job::find,
    label::{SymbolChoice, Tag},
    output::{DocumentInfo, pdf},
    parallel,
    register::{Access, NewBins, NewItem, Register, Title},
    sheet::{Page, find_sheet, lay_out, places},
    symbol::{Symbol, SymbolKind},
    unit::Dpi,
};

mod by_hand;

const TAGS: u32 = 10_000;
const ITEMS: usize = 100_000;
const RUNS: usize = 9;
const KINDS: [SymbolKind; 2] = [SymbolKind::Code128, SymbolKind::Qr];

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    if let Some(at) = arguments.iter().position(|argument| argument == "--peak") {
        return print_peak(&arguments[at + 1], &arguments[at + 2]);
    }
    for kind in KINDS {
        print_pdf(kind);
    }
    print_whole();
    print_find();
}

fn print_pdf(kind: SymbolKind) {
    let pages = layout(kind);
    let (ours, floor) = paired(|| written(&layout(kind)), || (encoded(kind), by_hand::pdf(&pages)));
    let (encoding, _) = paired(|| encoded(kind), || ());
    let (our_size, floor_size) = (written(&pages).len(), by_hand::pdf(&pages).len());
    println!("{TAGS} tags on a4-5x13, {kind}, {} pages, median of {RUNS}:", pages.len());
    println!("  layout + PDF      {ours:8.1} ms  {:8.3} MB  {}", megabytes(our_size), peak(kind, "ours"));
    println!("  PDF by hand       {floor:8.1} ms  {:8.3} MB  {}", megabytes(floor_size), peak(kind, "floor"));
    println!("  of both, encoding {encoding:8.1} ms");
    println!("  ratio             {:8.2}     {:8.2}", ours / floor, megabytes(our_size) / megabytes(floor_size));
}

/// The program itself, from its register to the synced file.
fn print_whole() {
    let folder = std::env::temp_dir().join(format!("stowmark-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let register = folder.join("register.db");
    fill(Register::open(&register, Access::Create).expect("a register"), TAGS as usize).0.close().expect("it closes");
    let tag = |symbol: &str| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_stowmark"));
        command.arg("--register").arg(&register).args([
            "tag",
            "--all",
            "--no-proof",
            "--force",
            "--symbol",
            symbol,
            "--out",
        ]);
        let done = command.arg(folder.join("tags.pdf")).output().expect("it runs");
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    };
    let (code128, qr) = paired(|| tag("code128"), || tag("qr"));
    println!("tag --all of {TAGS} items, whole process, median of {RUNS}:");
    println!("  Code 128          {code128:8.1} ms\n  QR                {qr:8.1} ms");
    std::fs::remove_dir_all(&folder).expect("our own folder");
}

fn print_find() {
    let (register, code) = filled();
    let ask = |text: &str, limit: usize| find(&register, text, Origin::Typed, limit).expect("the register is whole");
    println!("find among {ITEMS} items, median of {RUNS}:");
    for (what, text) in [
        ("code", code.as_str()),
        ("wrong check", "4A-00001X"),
        ("one word", "kettle"),
        ("two words", "enamel ket"),
        ("common prefix", "p"),
    ] {
        let (time, _) = paired(|| ask(text, 50), || ());
        println!("  {what:<16}  {:8.3} ms  {} matches shown", time, ask(text, 50).matches.len());
    }
}

/// Median milliseconds of each, run in turn.
fn paired<A, B>(mut a: impl FnMut() -> A, mut b: impl FnMut() -> B) -> (f64, f64) {
    let (mut first, mut second) = (Vec::new(), Vec::new());
    for _ in 0..RUNS {
        first.push(milliseconds(&mut a));
        second.push(milliseconds(&mut b));
    }
    (median(first), median(second))
}

fn milliseconds<T>(work: &mut impl FnMut() -> T) -> f64 {
    let start = Instant::now();
    black_box(work());
    start.elapsed().as_secs_f64() * 1000.0
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

#[expect(clippy::cast_precision_loss, reason = "for people to read")]
fn megabytes(bytes: usize) -> f64 {
    bytes as f64 / 1e6
}

fn dpi() -> Dpi {
    Dpi::DEFAULT
}

/// The symbols alone: whoever writes the pages by hand needs them as well.
fn encoded(kind: SymbolKind) -> usize {
    let encode = match kind {
        SymbolKind::Code128 => Symbol::code128,
        SymbolKind::Qr => Symbol::qr,
    };
    (0..TAGS).map(|number| encode(&tag(number).code.payload()).expect("a short text").modules() as usize).sum()
}

fn layout(kind: SymbolKind) -> Vec<Page> {
    let sheet = find_sheet("a4-5x13").expect("a known sheet");
    let stock = sheet.stock(dpi());
    let numbers: Vec<u32> = (0..TAGS).collect();
    let draw = |number: &u32| tag(*number).draw(&stock, SymbolChoice::Only(kind)).expect("it fits").drawing;
    let drawings: Vec<_> = parallel::map(&numbers, draw).into_iter().map(Arc::new).collect();
    lay_out(sheet, &drawings, &places(sheet, &[], drawings.len()), dpi())
}

fn tag(number: u32) -> Tag {
    let bin = BinCode::at(AreaNumber::new(4).expect("an area"), u16::try_from(number / 500).expect("few bins"))
        .expect("a bin");
    let code = ItemCode { bin, serial: Serial::new(number % 500 + 1).expect("a serial") };
    Tag::new(code, title(number as usize))
}

fn title(number: usize) -> String {
    const KINDS: [&str; 8] =
        ["kettle", "casserole", "jam pan", "waffle iron", "egg cups", "board game", "knitting pattern", "cake tin"];
    const HOWS: [&str; 7] = ["Enamel", "Copper", "Cast-iron", "Stoneware", "Pressed-glass", "Hand-painted", "Pierced"];
    format!("{} {}, no. {number}, in good order", HOWS[number % 7], KINDS[number % 8])
}

fn written(pages: &[Page]) -> Vec<u8> {
    let info = DocumentInfo { title: "Item tags on sheet a4-5x13".into(), language: "en".into() };
    pdf(pages, &info).expect("the pages are whole")
}

/// A register in memory with all items in 20 bins, and the code of one in the middle.
fn filled() -> (Register, String) {
    fill(Register::in_memory().expect("a register"), ITEMS)
}

fn fill(mut register: Register, count: usize) -> (Register, String) {
    let area = AreaNumber::new(4).expect("an area");
    register.add_area(area, "Loft").expect("an area");
    let bins = register.add_bins(area, &NewBins::new(20)).expect("bins");
    let items: Vec<NewItem> = (0..count)
        .map(|number| NewItem {
            bin: Some(bins[(number / count.div_ceil(bins.len())).min(bins.len() - 1)].code),
            ..NewItem::new(Title::new(&title(number)).expect("a title"))
        })
        .collect();
    let added = register.add_items(&items, None).expect("items");
    let code = added[added.len() / 2].name();
    (register, code)
}

/// Runs one side in a process of its own and gives its peak of resident memory.
fn peak(kind: SymbolKind, side: &str) -> String {
    let own = std::env::current_exe().expect("a path");
    let output = Command::new(own).args(["--peak", kind.name(), side]).output().expect("it runs");
    String::from_utf8_lossy(&output.stdout).trim().to_owned()
}

fn print_peak(kind: &str, side: &str) {
    let kind = SymbolKind::by_name(kind).expect("a kind");
    let pages = layout(kind);
    black_box(if side == "ours" { written(&pages) } else { by_hand::pdf(&pages) });
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    println!("peak {}", peak.map_or("not measured here", str::trim));
}
