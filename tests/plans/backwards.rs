//! Plans against questions built backwards from a known best answer: bins that are perfectly full are cut into things.

use stowmark::plan::{Wish, regroup};

use super::{
    cut::{Cut, Weights},
    rules::{checked, setting},
};

const WEIGHTS: [Weights; 3] = [Weights::None, Weights::Alike, Weights::Loose];

/// The best answer is known by how the question is made; at most one bin, or one in fifty, more is used.
fn assert_close(cut: Cut, seed: u64) {
    let (tubs, things) = cut.build(seed);
    let wish = Wish { free: None, steps: 3_000_000 };
    let plan = regroup(&tubs, &things, &wish).expect("nothing must be emptied");
    checked(&tubs, &things, &wish, &plan);
    let told = format!("{cut:?}, seed {seed}: {} used, at least {}", plan.used, plan.lower_bound);
    // All that is there fills the best answer's bins, which are the largest: so fewer hold it in no plan.
    assert_eq!(plan.lower_bound, cut.optimum, "{told}");
    assert!(plan.used <= cut.optimum + (cut.optimum / 50).max(1), "{told}");
}

fn assert_all_close(sizes: &[(usize, usize, usize)]) {
    let seed = setting("STOWMARK_SEED", 1);
    for (things, tubs, optimum) in sizes.iter().copied() {
        for weights in WEIGHTS {
            for is_mixed in [false, true] {
                assert_close(Cut { things, tubs, optimum, weights, is_mixed }, seed);
            }
        }
    }
}

#[test]
fn few_bins_are_filled_nearly_as_well_as_can_be() {
    assert_all_close(&[(12, 5, 3), (30, 8, 5), (60, 10, 8), (100, 20, 14)]);
}

#[test]
fn many_bins_are_filled_within_two_in_a_hundred() {
    assert_all_close(&[(300, 40, 30), (1000, 120, 100)]);
}

/// Where bins need not be perfectly full, as many become free as can.
#[test]
fn a_little_room_is_enough() {
    for seed in 0..10 {
        let cut = Cut { things: 120, tubs: 12, optimum: 8, weights: Weights::Loose, is_mixed: false };
        let (mut tubs, things) = cut.build(seed);
        for tub in &mut tubs {
            tub.capacity.millilitres = tub.capacity.millilitres.map(|most| most + most / 100);
        }
        let wish = Wish { free: None, steps: 1_000_000 };
        let plan = regroup(&tubs, &things, &wish).expect("nothing must be emptied");
        checked(&tubs, &things, &wish, &plan);
        assert_eq!((plan.used, plan.bins_proven), (8, true), "seed {seed}");
    }
}
