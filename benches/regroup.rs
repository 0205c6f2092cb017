//! Figures of plans: questions built backwards from a known best answer, by number of things and bins.
//!
//! Each line is the worst of several questions: seconds, bins used, the fewest that are known to be enough, the bound that
//! the plan gives, by how much it is above that, things moved, and bins freed.

use std::time::Instant;

use stowmark::plan::{Regrouping, USUAL_STEPS, Wish, regroup};

#[path = "../tests/plans/cut.rs"]
mod cut;

use cut::{Cut, Weights};

const SEEDS: u64 = 3;
/// Things, bins, and how many of the bins are enough.
const SIZES: [(usize, usize, usize); 9] = [
    (30, 8, 5),
    (60, 10, 8),
    (200, 20, 14),
    (600, 40, 30),
    (1000, 120, 100),
    (3000, 120, 60),
    (3000, 120, 80),
    (3000, 120, 100),
    (3000, 120, 115),
];

fn main() {
    println!("things bins weights sizes |  seconds  used  enough  bound  above   moved  freed");
    for (things, tubs, optimum) in SIZES {
        for weights in [Weights::None, Weights::Alike, Weights::Loose] {
            for is_mixed in [false, true] {
                print_worst(Cut { things, tubs, optimum, weights, is_mixed });
            }
        }
    }
}

fn print_worst(cut: Cut) {
    let questions: Vec<(f64, Regrouping)> = (0..SEEDS).map(|seed| timed(cut, seed)).collect();
    let seconds = questions.iter().map(|(seconds, _)| *seconds).fold(0.0, f64::max);
    let worst = questions.iter().map(|(_, plan)| plan).max_by_key(|plan| (plan.used, plan.moves.len()));
    let plan = worst.expect("a question");
    let thousandths = (plan.used - plan.lower_bound) * 1000 / plan.lower_bound.max(1);
    println!(
        "{:6} {:4} {:7} {:5} | {seconds:8.2} {:5} {:7} {:6} {:3}.{} % {:6} {:6}",
        cut.things,
        cut.tubs,
        format!("{:?}", cut.weights),
        if cut.is_mixed { "mixed" } else { "equal" },
        plan.used,
        cut.optimum,
        plan.lower_bound,
        thousandths / 10,
        thousandths % 10,
        plan.moves.len(),
        plan.freed.len(),
    );
}

fn timed(cut: Cut, seed: u64) -> (f64, Regrouping) {
    let (tubs, things) = cut.build(seed);
    let wish = Wish { free: None, steps: USUAL_STEPS };
    let start = Instant::now();
    let plan = regroup(&tubs, &things, &wish).expect("nothing must be emptied");
    (start.elapsed().as_secs_f64(), plan)
}
