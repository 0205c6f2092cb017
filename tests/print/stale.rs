//! Labels that became wrong, against a full drawing of every label then and now: those whose pictures differ are stale,
//! and no others; printed again they are as they would be now, each in its own look.

use std::path::PathBuf;

use fastrand::Rng;
use jiff::civil::{Date, date};
use rusqlite::Connection;
use stowmark::{
    code::{AreaNumber, BinCode},
    font::Fonts,
    job::{
        Again, Choice, Field, LabelJob, Look, Prepared, PrintOptions, Sheets, StaleScope, Start, area_signs, prepare,
        reprint, stale, stale_of, strips,
    },
    label::{Drawing, SymbolChoice},
    output::{OpenPdf, Pixels},
    register::{
        Access, BinEdit, Edit, Item, ItemEdit, ItemFilter, NewBins, NewItem, Register, RegisterError, RunId, RunKind,
        Title,
    },
    sheet::Turn,
    symbol::SymbolKind,
    unit::{Currency, Dpi, Mm, Money},
};
use tempfile::TempDir;

use super::sweep::in_parallel;

const SEEDS: u64 = 12;
const STEPS: usize = 7;
/// A day on which lists are printed, then and now: that a day has passed is no reason to print.
const DAY: Date = date(2026, 11, 25);

/// Short enough that no label cuts them off.
const TITLES: [&str; 6] = ["Jam pan", "Wok", "Ludo", "Bobble hat", "Crème dish", "«Go», 9 × 9"];
const SPOTS: [&str; 3] = ["rack 1", "rack 2", "shelf"];

/// A label in the world: its run and how it looked when that was printed, as drawing and as pixels.
struct Hanging {
    run: RunId,
    picture: Picture,
}

#[derive(PartialEq)]
struct Picture {
    drawings: Vec<Drawing>,
    pixels: Vec<Pixels>,
}

impl Picture {
    fn of(prepared: &Prepared) -> Self {
        let placed = prepared.pages.iter().flat_map(|page| &page.placed);
        let pdf = OpenPdf::new(&prepared.bytes).unwrap();
        let dpi = prepared.options.device.dpi;
        Self {
            drawings: placed.map(|placed| Drawing::clone(&placed.drawing)).collect(),
            pixels: (1..=pdf.pages()).map(|page| pdf.draw(page, dpi, false).unwrap()).collect(),
        }
    }
}

struct Room {
    register: Register,
    folder: TempDir,
    rng: Rng,
    hanging: Vec<Hanging>,
}

impl Room {
    fn new(seed: u64) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut register = Register::open(&folder.path().join("r.db"), Access::Create).unwrap();
        for (number, name) in [(4, "Loft"), (7, "Cellar")] {
            let area = AreaNumber::new(number).unwrap();
            register.add_area(area, name).unwrap();
            let spot = Some(Title::new(SPOTS[0]).unwrap());
            register.add_bins(area, &NewBins { spot, ..NewBins::new(2) }).unwrap();
        }
        let mut room = Self { register, folder, rng: Rng::with_seed(seed), hanging: Vec::new() };
        for _ in 0..6 {
            let item = NewItem { bin: Some(room.bin()), asking: room.money(), ..NewItem::new(room.title()) };
            room.register.add_items(&[item], None).unwrap();
        }
        room
    }

    fn pick<T: Clone>(&mut self, all: &[T]) -> T {
        all[self.rng.usize(..all.len())].clone()
    }

    fn title(&mut self) -> Title {
        Title::new(self.pick(&TITLES)).unwrap()
    }

    fn money(&mut self) -> Option<Money> {
        let amounts = [None, Money::from_minor(350), Money::from_minor(1200)];
        self.pick(&amounts)
    }

    fn bin(&mut self) -> BinCode {
        let bins: Vec<BinCode> = self.register.bins(None).unwrap().iter().map(|bin| bin.code).collect();
        self.pick(&bins)
    }

    fn item(&mut self) -> Item {
        let items = self.register.items(&ItemFilter::stowed()).unwrap();
        self.pick(&items)
    }

    fn look(&mut self) -> Look {
        let show = [Field::Asking, Field::Bought, Field::Cost].into_iter().filter(|_| self.rng.bool()).collect();
        let texts = [None, Some("mind the lid".to_owned())];
        let symbols = [SymbolChoice::Auto, SymbolChoice::Only(SymbolKind::Qr)];
        let (inside, note, symbol) = (self.pick(&texts), self.pick(&texts), self.pick(&symbols));
        Look { show, inside, note, symbol, read_from: self.pick(&[None, Some(Mm(1500.0))]), ..Look::default() }
    }

    fn file(&self) -> PathBuf {
        self.folder.path().join(format!("{}.pdf", self.register.next_run().unwrap()))
    }

    fn options(&self, kind: RunKind, look: Look) -> PrintOptions {
        let sheet = if kind == RunKind::Tags { "roll-57x32" } else { "roll-100x150" };
        PrintOptions {
            sheet: Sheets::default().find(sheet).unwrap(),
            start: Start::GoOn,
            look,
            device: Dpi::new(203.0).unwrap().into(),
            turn: Turn::None,
            fonts: Fonts::default(),
            currency: Currency::default(),
            printer: None,
            copies: 1,
            out: Some(self.file()),
            force: false,
            reprint_of: None,
        }
    }

    /// A label in a run of its own, since the signs of a run share the height of their codes.
    fn print(&mut self, kind: RunKind, job: LabelJob) {
        let look = self.look();
        let prepared = prepare(&self.register, kind, vec![job], self.options(kind, look)).unwrap().unwrap();
        let picture = Picture::of(&prepared);
        let run = prepared.commit(&mut self.register).unwrap().run;
        self.hanging.push(Hanging { run, picture });
    }

    fn print_all(&mut self) {
        for item in self.register.items(&ItemFilter::stowed()).unwrap() {
            self.print(RunKind::Tags, LabelJob::tag(item).unwrap());
        }
        for bin in self.register.bins(None).unwrap() {
            self.print(RunKind::Signs, LabelJob::Sign(bin.clone()));
            self.print(RunKind::Lids, LabelJob::Lid(bin));
        }
        for job in Choice::All.contents(&self.register, DAY).unwrap() {
            self.print(RunKind::Contents, job);
        }
        for job in strips(&self.register, None, None).unwrap() {
            self.print(RunKind::Strips, job);
        }
        for job in area_signs(&self.register, &[]).unwrap() {
            self.print(RunKind::Areas, job);
        }
    }

    /// Anything that may or may not change what a label says.
    fn step(&mut self) {
        let (item, bin) = (self.item(), self.bin());
        match self.rng.u32(0..12) {
            0..=2 => drop(self.register.move_items(&[item], bin).unwrap()),
            3 => {
                let edit = ItemEdit { title: Some(self.title()), ..ItemEdit::default() };
                self.register.edit_items(&[item], &edit).unwrap();
            }
            4 | 5 => {
                let edit = |money: Option<Money>| money.map_or(Edit::Clear, Edit::Set);
                let (asking, cost) = (edit(self.money()), edit(self.money()));
                let bought = self.pick(&[Edit::Clear, Edit::Set(date(2026, 3, 14)), Edit::Keep]);
                let edit = ItemEdit { asking, cost, bought, ..ItemEdit::default() };
                self.register.edit_items(&[item], &edit).unwrap();
            }
            6 => {
                let all = self.register.items(&ItemFilter::stowed()).unwrap();
                let all = if self.rng.bool() { all } else { vec![item] };
                self.register.retag_items(&all, self.rng.bool()).unwrap();
            }
            7 | 8 => {
                let spots = [Edit::Set(Title::new(self.pick(&SPOTS)).unwrap()), Edit::Clear, Edit::Set(self.title())];
                let edit = BinEdit { spot: self.pick(&spots), ..BinEdit::default() };
                self.register.edit_bins(&[bin], &edit).unwrap();
            }
            9 => self.rename(),
            10 => {
                self.register.list_items(&[item], None, None).unwrap();
            }
            _ => match self.register.undo_last(1) {
                Ok(_) | Err(RegisterError::StandsOn { .. }) => {}
                Err(other) => panic!("{other}"),
            },
        }
    }

    /// Names of areas and spots, straight in the file.
    fn rename(&mut self) {
        let names = ["Loft", "Attic", "Cellar"];
        let other = Connection::open(self.register.path()).unwrap();
        let (name, spot) = (self.pick(&names), self.pick(&["rack 1", "rack 9"]));
        other.execute("UPDATE area SET name = ?1 WHERE number = 4", [name]).unwrap();
        let _ = other.execute("UPDATE OR IGNORE spot SET name = ?1 WHERE id = 1", [spot]).unwrap();
    }

    fn now(&self, run: RunId) -> Option<Prepared> {
        let again = Again {
            slots: None,
            sheet: None,
            from: None,
            skip: None,
            fresh_sheet: false,
            out: Some(self.file()),
            force: false,
            date: DAY,
        };
        let run = self.register.run(run).unwrap();
        let kind = run.kind;
        // A strip of a spot where nothing stands any more can't be drawn.
        let again = reprint(&self.register, run, again).ok()?;
        prepare(&self.register, kind, again.jobs, again.options).unwrap()
    }

    fn stale(&self) -> Vec<RunId> {
        let answer = stale(&self.register, StaleScope::All, DAY).unwrap();
        assert!(answer.labels.iter().all(|label| !label.reasons.is_empty()));
        let mut runs: Vec<RunId> = answer.labels.iter().map(|label| label.run).collect();
        runs.sort_unstable();
        runs
    }
}

/// Prints, changes and compares; gives how many labels there are, and how many of them are wrong.
fn fault(seed: u64) -> (Option<String>, usize, usize) {
    let mut room = Room::new(seed);
    room.print_all();
    // Two tags are printed once more in another look: the older ones don't count.
    for _ in 0..2 {
        let item = room.item();
        room.print(RunKind::Tags, LabelJob::tag(item).unwrap());
    }
    for _ in 0..STEPS {
        room.step();
    }
    let last = room.register.last_labels().unwrap();
    let mut differing = Vec::new();
    for Hanging { run, picture } in room.hanging.iter().filter(|hung| last.iter().any(|label| label.run == hung.run)) {
        let now = room.now(*run).map(|prepared| Picture::of(&prepared));
        if let Some(now) = &now {
            assert_eq!(now.drawings == picture.drawings, now.pixels == picture.pixels, "seed {seed}, run {run}");
        }
        differing.extend(now.filter(|now| now != picture).map(|_| *run));
    }
    differing.sort_unstable();
    let stale = room.stale();
    let fault = (stale != differing).then(|| format!("seed {seed}: stale {stale:?}, pictures differ {differing:?}"));
    (fault, last.len(), differing.len())
}

#[test]
fn just_the_labels_whose_pictures_differ_are_stale() {
    let seeds: Vec<u64> = (0..SEEDS).collect();
    let outcome = in_parallel(&seeds, |seed, outcome| {
        let (fault, labels, wrong) = fault(*seed);
        outcome.note("stale", &seed.to_string(), fault);
        outcome.labels += labels;
        outcome.pages += wrong;
    });
    outcome.assert_no_fault("stale");
    println!("{} labels in {SEEDS} stockrooms, {} of them wrong", outcome.labels, outcome.pages);
    assert!(outcome.labels > 200 && outcome.pages > 50);
}

/// What is printed again is right, in walking order, and looks as each label did; so does a reprint of that.
#[test]
fn the_stale_are_printed_again_in_their_looks() {
    for seed in 0..3 {
        let mut room = Room::new(1000 + seed);
        room.print_all();
        for _ in 0..2 * STEPS {
            room.step();
        }
        for kind in RunKind::ALL {
            let jobs = stale_of(&room.register, kind, &Choice::All, DAY).unwrap();
            let was: Vec<RunId> = stale(&room.register, StaleScope::All, DAY)
                .unwrap()
                .labels
                .iter()
                .filter(|label| label.kind == kind)
                .map(|label| label.run)
                .collect();
            let alone: Vec<Drawing> =
                was.iter().flat_map(|run| Picture::of(&room.now(*run).unwrap()).drawings).collect();
            let Some(prepared) = prepare(&room.register, kind, jobs, room.options(kind, Look::default())).unwrap()
            else {
                continue;
            };
            let drawn = Picture::of(&prepared).drawings;
            // Signs that are printed together have codes of one height.
            assert!(matches!(kind, RunKind::Signs | RunKind::Lids) || drawn == alone, "seed {seed}, {kind:?}");
            let run = prepared.commit(&mut room.register).unwrap().run;
            let rest = stale_of(&room.register, kind, &Choice::All, DAY).unwrap();
            assert_eq!(rest, [], "seed {seed}");
            assert!(Picture::of(&room.now(run).unwrap()).drawings == drawn, "seed {seed}, {kind:?} again");
        }
    }
}
