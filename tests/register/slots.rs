//! The slots of part-used sheets through random runs, reprints and cancellations, against a plain model: sheets of
//! paper as lists of who printed where

use std::collections::{BTreeMap, BTreeSet};

use stowmark::{
    font::Fonts,
    job::{Again, LabelJob, Look, OwnLook, PrintOptions, Sheets, Start, cancel, prepare, reprint},
    register::{Access, ItemFilter, Register, RunId, RunKind},
    sheet::{Sheet, Turn},
    unit::{Currency, Dpi},
};
use tempfile::TempDir;

use super::support::{Desk, REGISTER};

fn again() -> Again {
    Again {
        slots: None,
        sheet: None,
        from: None,
        skip: None,
        fresh_sheet: false,
        out: None,
        force: false,
        date: jiff::civil::date(2026, 11, 25),
    }
}

const SHEETS: [&str; 3] = ["a4-2x4", "a4-3x4", "cut-a4-90x55"];

/// A linear congruential generator: the same cases every time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, bound: u32) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        u32::try_from(self.0 >> 33).unwrap() % bound
    }
}

/// Each sheet of paper of one name, and the run that spent each slot.
#[derive(Default)]
struct Papers(Vec<BTreeMap<u32, RunId>>);

impl Papers {
    fn forget(&mut self, run: RunId) {
        self.0.iter_mut().for_each(|sheet| sheet.retain(|_, by| *by != run));
        while self.0.last().is_some_and(BTreeMap::is_empty) {
            self.0.pop();
        }
    }

    /// Where so many labels must go, by hand: slot by slot, and the paper changed when it is full.
    fn print(&mut self, run: RunId, start: &Start, slots: u32, count: usize) -> Vec<u32> {
        match start {
            Start::Fresh => self.0.push(BTreeMap::new()),
            Start::Spent(spent) => self.0.push(spent.iter().map(|slot| (*slot, run)).collect()),
            Start::GoOn => {}
        }
        (0..count).map(|_| self.take(run, slots)).collect()
    }

    fn take(&mut self, run: RunId, slots: u32) -> u32 {
        if self.0.last().is_none_or(|sheet| sheet.len() == slots as usize) {
            self.0.push(BTreeMap::new());
        }
        let sheet = self.0.last_mut().unwrap();
        let slot = (1..=slots).find(|slot| !sheet.contains_key(slot)).unwrap();
        sheet.insert(slot, run);
        slot
    }
}

struct Round {
    register: Register,
    folder: TempDir,
    dice: Dice,
    papers: BTreeMap<String, Papers>,
    runs: Vec<RunId>,
}

impl Round {
    fn print(&mut self) {
        let sheet = Sheets::default().find(SHEETS[self.dice.below(3) as usize]).unwrap();
        let start = self.start(&sheet);
        let jobs: Vec<LabelJob> =
            self.register.items(&ItemFilter::stowed()).unwrap().into_iter().filter_map(LabelJob::tag).collect();
        let copies = u16::try_from(1 + self.dice.below(5)).unwrap();
        let options = PrintOptions {
            sheet,
            start,
            look: Look::default(),
            device: Dpi::DEFAULT.into(),
            turn: Turn::None,
            fonts: Fonts::default(),
            currency: Currency::default(),
            printer: None,
            copies,
            out: None,
            force: false,
            reprint_of: None,
        };
        self.finish(jobs, options);
    }

    fn start(&mut self, sheet: &Sheet) -> Start {
        match self.dice.below(6) {
            _ if !sheet.remembers_slots() => Start::GoOn,
            0 => Start::Fresh,
            1 => {
                let spent: BTreeSet<u32> = (0..3).map(|_| 1 + self.dice.below(sheet.slots())).collect();
                Start::Spent(spent)
            }
            _ => Start::GoOn,
        }
    }

    fn any_run(&mut self) -> RunId {
        let count = u32::try_from(self.runs.len()).unwrap();
        self.runs[self.dice.below(count) as usize]
    }

    fn reprint(&mut self) {
        let run = self.any_run();
        let run = self.register.run(run).unwrap();
        let again = reprint(&self.register, run, again()).unwrap();
        self.finish(again.jobs, again.options);
    }

    fn finish(&mut self, jobs: Vec<impl Into<OwnLook>>, options: PrintOptions) {
        let out = self.folder.path().join(format!("{}.pdf", self.runs.len()));
        let options = PrintOptions { out: Some(out), ..options };
        let (sheet, start) = (options.sheet.clone(), options.start.clone());
        let prepared = prepare(&self.register, RunKind::Tags, jobs, options).unwrap().unwrap();
        let printed = prepared.commit(&mut self.register).unwrap();
        self.runs.push(printed.run);
        let slots: Vec<u32> = printed.labels.iter().map(|label| label.slot).collect();
        let papers = self.papers.entry(sheet.name.clone()).or_default();
        if sheet.remembers_slots() {
            assert_eq!(slots, papers.print(printed.run, &start, sheet.slots(), slots.len()));
        } else {
            assert!(slots.iter().zip((1..=sheet.slots()).cycle()).all(|(slot, expected)| *slot == expected));
        }
    }

    fn cancel(&mut self) {
        let run = self.any_run();
        if cancel(&mut self.register, run).is_ok() {
            self.papers.values_mut().for_each(|papers| papers.forget(run));
        }
    }
}

#[test]
fn slots_are_those_of_the_paper() {
    for seed in 0..12 {
        let desk = Desk::with_items();
        let register = Register::open(&desk.path(REGISTER), Access::Existing).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let mut round = Round { register, folder, dice: Dice(seed), papers: BTreeMap::new(), runs: Vec::new() };
        for _ in 0..25 {
            match round.dice.below(4) {
                0 if !round.runs.is_empty() => round.cancel(),
                1 if !round.runs.is_empty() => round.reprint(),
                _ => round.print(),
            }
        }
        round.register.close().unwrap();
    }
}
