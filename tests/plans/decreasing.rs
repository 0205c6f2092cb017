//! Plans against first-fit decreasing, of which it is known how bad it can be: 11/9 of the fewest bins and 6/9 more, and no
//! worse (György Dósa, "The tight bound of first fit decreasing bin-packing algorithm is FFD(I) <= 11/9 OPT(I) + 6/9",
//! ESCAPE 2007, LNCS 4614).

use std::cmp::Reverse;

use fastrand::Rng;
use stowmark::plan::{BinRule, Regrouping, Thing, Tub, Wish, regroup};

use super::{
    cut::{Cut, Weights},
    rules::{checked, thing, tub},
};

/// What first-fit decreasing uses.
fn decreasing(sizes: &[u32], most: u32) -> usize {
    let (mut sizes, mut bins) = (sizes.to_vec(), Vec::<u32>::new());
    sizes.sort_unstable_by_key(|size| Reverse(*size));
    for size in sizes {
        match bins.iter_mut().find(|bin| **bin + size <= most) {
            Some(bin) => *bin += size,
            None => bins.push(size),
        }
    }
    bins.len()
}

/// All things are in one bin that must be emptied, and go into empty bins of one size.
fn packed(sizes: &[u32], most: u32, steps: u64) -> Regrouping {
    let mut tubs: Vec<Tub> = vec![tub(most); sizes.len() + 1];
    tubs[0].rule = BinRule::Empty;
    let things: Vec<Thing> = sizes.iter().map(|size| thing(0, *size, 0)).collect();
    let wish = Wish { free: None, steps };
    let plan = regroup(&tubs, &things, &wish).expect("there is a bin for each");
    let score = checked(&tubs, &things, &wish, &plan);
    assert_eq!((score.2, &plan.freed[..]), (sizes.len(), &[0][..]));
    plan
}

/// The smallest case in which the bound is met with equality: 3 = 11/9 x 2 + 5/9 rounded, from Dósa.
#[test]
fn the_tight_case_is_solved() {
    let sizes = [4, 4, 3, 3, 3, 3];
    assert_eq!(decreasing(&sizes, 10), 3);
    let plan = packed(&sizes, 10, 100_000);
    assert_eq!((plan.used, plan.proven), (2, true));
}

/// The well-known family in which first-fit decreasing uses 11 bins for 9 (D. S. Johnson's thesis, 1973, from memory):
/// halves and quarters, each a little more or less.
#[test]
fn the_family_of_nine_and_eleven_is_solved() {
    for times in [1, 2] {
        let of = |size: u32, count: usize| vec![size; count * times];
        let sizes = [of(510, 6), of(270, 6), of(260, 6), of(230, 12)].concat();
        assert_eq!(decreasing(&sizes, 1000), 11 * times);
        let plan = packed(&sizes, 1000, 3_000_000);
        assert_eq!((plan.used, plan.bins_proven), (9 * times, true));
    }
}

#[test]
fn no_more_bins_are_used_than_the_bound_allows() {
    for seed in 0..20 {
        let optimum = Rng::with_seed(seed).usize(2..9);
        let cut = Cut { things: optimum * 4, tubs: optimum, optimum, weights: Weights::None, is_mixed: false };
        let sizes: Vec<u32> = cut.build(seed).1.iter().map(|thing| thing.load.millilitres).collect();
        let plan = packed(&sizes, 36_000, 300_000);
        assert!(9 * plan.used <= 11 * optimum + 6, "seed {seed}: {} for {optimum}", plan.used);
    }
}

#[test]
fn first_fit_decreasing_is_never_better() {
    for seed in 0..60 {
        let mut rng = Rng::with_seed(seed);
        let most = rng.u32(20..200);
        let sizes: Vec<u32> = (0..rng.usize(1..40)).map(|_| rng.u32(1..=most / 2 + 5)).collect();
        let plan = packed(&sizes, most, 300_000);
        assert!(plan.used <= decreasing(&sizes, most), "seed {seed}: {} of {sizes:?}", plan.used);
    }
}
