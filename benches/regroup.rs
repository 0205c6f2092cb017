//! Figures of plans: questions built backwards from a known best answer, by number of things and bins.
//!
//! Each line: the seconds that it took, the bins used, the best that is known, the bound that was found, and how many things
//! move. Each is the worst of several questions.

use std::time::Instant;

use stowmark::plan::{USUAL_STEPS, Wish, regroup};

#[path = "../tests/plans/cut.rs"]
mod cut;

use cut::{Cut, Weights};

const SEEDS: u64 = 3;

fn main() {
    println!("things tubs weights mixed |  seconds  used  best known  bound  over bound  moved  freed  proven");
    for (things, tubs, optimum) in [
        (30, 8, 5),
        (60, 10, 8),
        (200, 20, 14),
        (300, 120, 80),
        (600, 40, 30),
        (1000, 120, 100),
        (3000, 120, 60),
        (3000, 120, 80),
        (3000, 120, 100),
        (3000, 120, 115),
    ] {
        for weights in [Weights::None, Weights::Alike, Weights::Loose] {
            for is_mixed in [false, true] {
                print_worst(Cut { things, tubs, optimum, weights, is_mixed });
            }
        }
    }
}

fn print_worst(cut: Cut) {
    let figures = (0..SEEDS).map(|seed| figures(cut, seed));
    let (seconds, plan) = figures.reduce(worse).expect("a question");
    let over = (plan.used - plan.lower_bound) as f64 / plan.lower_bound as f64 * 100.0;
    println!(
        "{:6} {:4} {:7} {:5} | {seconds:8.2} {:5} {:11} {:6} {over:9.1} % {:6} {:6}  {} {}",
        cut.things,
        cut.tubs,
        format!("{:?}", cut.weights),
        cut.is_mixed,
        plan.used,
        cut.optimum,
        plan.lower_bound,
        plan.moves.len(),
        plan.freed.len(),
        plan.bins_proven,
        plan.moves_proven,
    );
}

type Figures = (f64, stowmark::plan::Regrouping);

fn figures(cut: Cut, seed: u64) -> Figures {
    let (tubs, things) = cut.build(seed);
    let wish = Wish { free: None, steps: USUAL_STEPS };
    let start = Instant::now();
    let plan = regroup(&tubs, &things, &wish).expect("a plan");
    (start.elapsed().as_secs_f64(), plan)
}

fn worse(one: Figures, other: Figures) -> Figures {
    let seconds = one.0.max(other.0);
    let plan = if (other.1.used, other.1.moves.len()) > (one.1.used, one.1.moves.len()) { other.1 } else { one.1 };
    (seconds, plan)
}
