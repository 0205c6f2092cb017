//! Figures of the proof: tags on a4-5x13 at 300 dpi read back from the finished PDF, beside drawing its pages alone; and a
//! hundred tags, drawn, written, read back and put through simulated prints.
//!
//! Each figure is the median of several runs, taken in turn with its reference. A core is a processor's worth of time: the
//! wall time of both sides is taken on one core at a time.

use std::{hint::black_box, sync::Arc, time::Instant};

use stowmark::{
    code::{AreaNumber, BinCode, ItemCode, Serial},
    label::{SymbolChoice, Tag},
    output::{DocumentInfo, OpenPdf, pdf},
    proof::{Expected, expected, prove, read_back},
    sheet::{Page, find_sheet, lay_out, places},
    symbol::SymbolKind,
    unit::Dpi,
};

/// A page is never shared between cores, so that one page is read by one of them.
const ONE_PAGE: u32 = 65;
const HUNDRED: u32 = 100;
const RUNS: usize = 15;

fn main() {
    for kind in SymbolKind::ALL {
        print_one_core(kind);
    }
    for kind in SymbolKind::ALL {
        print_whole(kind);
    }
}

fn print_one_core(kind: SymbolKind) {
    let pages = layout(kind, ONE_PAGE);
    let (bytes, expected) = (written(&pages), texts(&pages));
    let draw = || OpenPdf::new(&bytes).and_then(|open| open.draw(1, Dpi::DEFAULT, false)).expect("it can be drawn");
    let read = || {
        let report = read_back(&bytes, &expected, Dpi::DEFAULT.into(), &|_| {}).expect("it can be drawn");
        assert!(report.faults.is_empty(), "{:?}", report.faults);
    };
    let (reading, drawing) = paired(read, draw);
    println!("{ONE_PAGE} tags on a page of a4-5x13, {kind}, one core, median of {RUNS}:");
    println!("  drawn and read   {reading:7.1} ms  {:6.0} labels/s/core", f64::from(ONE_PAGE) / reading * 1000.0);
    println!("  of that, drawing {drawing:7.1} ms");
}

fn print_whole(kind: SymbolKind) {
    let whole = || {
        let pages = layout(kind, HUNDRED);
        let report = prove(&written(&pages), &texts(&pages), Dpi::DEFAULT.into(), &|_| {}).expect("it can be drawn");
        assert_eq!((report.faults.len(), report.kinds.len()), (0, 1));
    };
    let (whole, without) = paired(whole, || written(&layout(kind, HUNDRED)));
    println!("{HUNDRED} tags on a4-5x13, {kind}, all cores, median of {RUNS}:");
    println!("  layout, PDF, proof and simulated prints {whole:7.1} ms");
    println!("  of that, layout and PDF                 {without:7.1} ms");
}

fn tag(number: u32) -> Tag {
    let bin = BinCode::at(AreaNumber::new(4).expect("an area"), 0).expect("a bin");
    let title = format!("Enamel kettle, no. {number}, in good order");
    Tag::new(ItemCode { bin, serial: Serial::new(number + 1).expect("a serial") }, title)
}

fn layout(kind: SymbolKind, tags: u32) -> Vec<Page> {
    let sheet = find_sheet("a4-5x13").expect("a known sheet");
    let stock = sheet.stock(Dpi::DEFAULT);
    let draw = |number| tag(number).draw(&stock, SymbolChoice::Only(kind)).expect("it fits").drawing;
    let drawings: Vec<_> = (0..tags).map(|number| Arc::new(draw(number))).collect();
    lay_out(sheet, &drawings, &places(sheet, &[], drawings.len()), Dpi::DEFAULT)
}

fn written(pages: &[Page]) -> Vec<u8> {
    let info = DocumentInfo { title: "Item tags on sheet a4-5x13".into(), language: "en".into() };
    pdf(pages, &info).expect("the pages are whole")
}

fn texts(pages: &[Page]) -> Vec<Expected> {
    expected(pages, |label, _| tag(u32::try_from(label).expect("few labels")).code.payload())
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
