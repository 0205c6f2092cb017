//! Every sheet at every resolution, printed once and looked at by all checks.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::{
        LazyLock, Mutex,
        atomic::{AtomicUsize, Ordering},
    },
};

use stowmark::{
    label::LabelError,
    sheet::{Sheet, sheets},
    symbol::SymbolKind,
};

use super::{
    checks::{self, Fault},
    samples::{DESIGNS, Label, RESOLUTIONS, dpi},
    specimen::{Specimen, print},
};

/// A check and its name in the outcome.
pub type Check = (&'static str, fn(&Specimen<'_>) -> Fault);

pub const CHECKS: [Check; 8] = [
    ("read", checks::is_read),
    ("read in a dark surround", checks::is_read_in_dark_surround),
    ("read upside down", checks::is_read_upside_down),
    ("quiet zones", checks::has_room_for_quiet_zones),
    ("large enough", checks::is_large_enough),
    ("exact modules", checks::has_exact_modules),
    ("place", checks::is_in_its_place),
    ("clear edges", checks::has_clear_edges),
];

/// What the sweep found.
#[derive(Default)]
pub struct Outcome {
    /// What was wrong, by check; a check that ran has an entry.
    pub faults: BTreeMap<&'static str, Vec<String>>,
    /// Labels looked at, by resolution and symbol.
    pub looked_at: BTreeMap<(String, &'static str), usize>,
    /// Sheets, resolutions and designs among them.
    pub combinations: BTreeSet<String>,
    /// Labels that were refused.
    pub refused: Vec<LabelError>,
    /// Pages drawn.
    pub pages: usize,
    /// Labels drawn, where they are counted.
    pub labels: usize,
}

impl Outcome {
    pub fn note(&mut self, check: &'static str, name: &str, fault: Fault) {
        let faults = self.faults.entry(check).or_default();
        faults.extend(fault.map(|fault| format!("{name}: {fault}")));
    }

    /// Fails with what a check found, and when there was no such check.
    #[track_caller]
    pub fn assert_no_fault(&self, check: &str) {
        let faults = self.faults.get(check).unwrap_or_else(|| panic!("nothing was checked for `{check}`"));
        let shown = faults[..faults.len().min(20)].join("\n");
        assert!(faults.is_empty(), "{check}: {} faults, such as\n{shown}", faults.len());
    }

    fn note_label(&mut self, specimen: &Specimen<'_>) {
        let key = (specimen.dpi.to_string(), specimen.label.design.kind.name());
        *self.looked_at.entry(key).or_default() += 1;
        self.combinations.insert(format!("{} {} {:?}", specimen.sheet.name, specimen.dpi, specimen.label.design));
        for (name, check) in CHECKS {
            self.note(name, &specimen.name, check(specimen));
        }
    }

    pub fn join(&mut self, other: Self) {
        for (check, faults) in other.faults {
            self.faults.entry(check).or_default().extend(faults);
        }
        for (key, count) in other.looked_at {
            *self.looked_at.entry(key).or_default() += count;
        }
        self.combinations.extend(other.combinations);
        self.refused.extend(other.refused);
        self.pages += other.pages;
        self.labels += other.labels;
    }
}

/// The sweep, made once for all tests.
pub static OUTCOME: LazyLock<Outcome> = LazyLock::new(|| {
    let work: Vec<(f64, &'static Sheet)> =
        RESOLUTIONS.into_iter().rev().flat_map(|dots| sheets().iter().map(move |sheet| (dots, sheet))).collect();
    in_parallel(&work, |(dots, sheet), outcome| print_sheet(sheet, *dots, outcome))
});

/// Does all work on as many threads as there are processors.
pub fn in_parallel<T: Sync>(work: &[T], look: impl Fn(&T, &mut Outcome) + Sync) -> Outcome {
    let (next, joined) = (AtomicUsize::new(0), Mutex::new(Outcome::default()));
    let threads = std::thread::available_parallelism().map_or(2, usize::from).min(4);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                let mut outcome = Outcome::default();
                while let Some(task) = work.get(next.fetch_add(1, Ordering::Relaxed)) {
                    look(task, &mut outcome);
                }
                joined.lock().unwrap().join(outcome);
            });
        }
    });
    joined.into_inner().unwrap()
}

/// The first page filled; all four designs, on pages of their own where a page has fewer labels.
fn print_sheet(sheet: &'static Sheet, dots: f64, outcome: &mut Outcome) {
    let dpi = dpi(dots);
    let stock = sheet.stock(dpi);
    let whole_pages = u32::try_from(DESIGNS.len()).unwrap().div_ceil(sheet.slots()) * sheet.slots();
    let (labels, refused): (Vec<_>, Vec<_>) =
        (0..whole_pages).map(|number| Label::numbered(number, &stock)).partition(Result::is_ok);
    outcome.refused.extend(refused.into_iter().filter_map(Result::err));
    let labels: Vec<Label> = labels.into_iter().filter_map(Result::ok).collect();
    print(
        sheet,
        &labels,
        dpi,
        |slot| is_looked_at(sheet, slot),
        |page, specimens| {
            outcome.pages += 1;
            outcome.note("page", &format!("{} at {dpi}", sheet.name), checks::page_fault(page, sheet, dpi));
            for specimen in &specimens {
                outcome.note_label(specimen);
            }
        },
    );
}

/// The first, the middle and the last labels of a page, four of each so that every design is among them.
fn is_looked_at(sheet: &Sheet, slot: u32) -> bool {
    let (slots, middle) = (sheet.slots(), sheet.slots() / 2);
    slot <= 4 || slot + 4 > slots || (middle..middle + 4).contains(&slot)
}

/// How many labels with this symbol were looked at at this resolution.
pub fn looked_at(dots: f64, kind: SymbolKind) -> usize {
    OUTCOME.looked_at.get(&(dpi(dots).to_string(), kind.name())).copied().unwrap_or_default()
}
