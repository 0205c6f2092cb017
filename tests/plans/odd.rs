//! Questions that make little sense, and answers that must not change.

use stowmark::plan::{BinRule, Load, RegroupError, Regrouping, Thing, Tub, Wish, regroup};

use super::{
    cut::{Cut, Weights},
    rules::{checked, thing, tub},
};

const WISH: Wish = Wish { free: None, steps: 200_000 };

fn plan(tubs: &[Tub], things: &[Thing]) -> Regrouping {
    let plan = regroup(tubs, things, &WISH).expect("a plan");
    checked(tubs, things, &WISH, &plan);
    plan
}

fn rule(tub: Tub, rule: BinRule) -> Tub {
    Tub { rule, ..tub }
}

#[test]
fn where_nothing_is_nothing_moves() {
    for (tubs, things) in [
        (vec![], vec![]),
        (vec![tub(10)], vec![]),
        (vec![tub(10); 5], vec![]),
        (vec![tub(10)], vec![thing(0, 3, 3)]),
        (vec![tub(0); 3], vec![thing(0, 3, 3)]),
        (vec![Tub::default(); 3], vec![thing(0, 3, 3), thing(1, 0, 0)]),
        (vec![rule(tub(10), BinRule::Keep); 2], vec![thing(0, 1, 1), thing(1, 1, 1)]),
        (vec![rule(tub(10), BinRule::Empty); 2], vec![]),
    ] {
        let plan = plan(&tubs, &things);
        assert_eq!((plan.moves.len(), plan.freed.len(), plan.proven), (0, 0, true), "{tubs:?} {things:?}");
    }
}

#[test]
fn things_without_a_bin_are_passed_over() {
    let plan = regroup(&[tub(10), tub(10)], &[thing(7, 1, 1), thing(1, 2, 2), thing(0, 9, 9), thing(0, 1, 1)], &WISH);
    assert_eq!(plan.map(|plan| (plan.moves, plan.used)), Ok((vec![], 2)));
    assert_eq!(
        regroup(&[], &[thing(0, 1, 1)], &WISH),
        Ok(Regrouping { proven: true, ..regroup(&[], &[], &WISH).unwrap() })
    );
}

#[test]
fn things_without_size_or_beyond_all_size_go_somewhere() {
    let none = plan(&[tub(1), tub(1), tub(0)], &[thing(0, 0, 0), thing(1, 0, 0), thing(2, 0, 0)]);
    assert_eq!((none.used, none.moves.len(), none.proven), (1, 2, true));
    let (most, all) = (u32::MAX, vec![thing(0, u32::MAX, u32::MAX); 40]);
    assert_eq!(plan(&[tub(most), tub(most)], &all).used, 1, "too full is left as it is");
    let mut tubs = vec![tub(most); 41];
    tubs[0].rule = BinRule::Empty;
    assert_eq!(plan(&tubs, &all).used, 40);
}

#[test]
fn without_room_it_is_said_what_is_left() {
    let tubs = [rule(tub(10), BinRule::Empty), tub(10), Tub::default()];
    let things = [thing(0, 6, 0), thing(0, 3, 0), thing(1, 5, 0), thing(2, 4, 0)];
    assert_eq!(regroup(&tubs, &things, &WISH), Err(RegroupError::NoRoom { left: vec![0] }));
    let all = vec![rule(tub(10), BinRule::Empty); 2];
    let refused = regroup(&all, &[thing(0, 1, 1), thing(1, 0, 0)], &WISH);
    assert_eq!(refused, Err(RegroupError::NoRoom { left: vec![0, 1] }));
}

/// A plan worked out by hand: the long thing only goes into the third bin, by way of what makes room there.
#[test]
fn a_long_thing_goes_where_it_fits() {
    let mut tubs = [rule(tub(10), BinRule::Empty), tub(10), tub(10)];
    tubs[1].capacity.longest_mm = Some(300);
    tubs[2].capacity.longest_mm = Some(800);
    let load = Load { millilitres: 6, longest_mm: Some(700), ..Load::default() };
    let things = [Thing { load, ..thing(0, 0, 0) }, thing(1, 4, 0), thing(2, 5, 0), thing(2, 2, 0)];
    let plan = plan(&tubs, &things);
    assert_eq!((&plan.moves[..], plan.proven), (&[(0, 2), (2, 1)][..], true));
}

#[test]
fn no_more_are_freed_than_wished() {
    let tubs = vec![tub(10); 6];
    let things: Vec<Thing> = (0..6).map(|tub| thing(tub, 1, 1)).collect();
    for free in 0..6 {
        let wish = Wish { free: Some(free), ..WISH };
        let plan = regroup(&tubs, &things, &wish).expect("a plan");
        checked(&tubs, &things, &wish, &plan);
        assert_eq!((plan.freed.len(), plan.moves.len(), plan.proven), (free, free, true));
    }
}

#[test]
fn the_same_question_has_the_same_answer() {
    for seed in 0..3 {
        let cut = Cut { things: 200, tubs: 20, optimum: 15, weights: Weights::Loose, is_mixed: true };
        let (tubs, things) = cut.build(seed);
        let wish = Wish { free: None, steps: 500_000 };
        let first = regroup(&tubs, &things, &wish);
        let others = (0..2).map(|_| std::thread::scope(|scope| scope.spawn(|| regroup(&tubs, &things, &wish)).join()));
        others.for_each(|other| assert_eq!(other.expect("no panic"), first));
    }
}

/// All of a bin that must be emptied moves, which is the least; how little of it is carried is not searched through.
#[test]
fn moves_are_known_to_be_least_where_carrying_is_not() {
    let tubs = [(400, 1), (20, 1), (200, 2), (200, 2)].map(|(most, area)| Tub { area, ..tub(most) });
    let mut tubs = tubs.to_vec();
    tubs[0].rule = BinRule::Empty;
    let things: Vec<Thing> = (0..160).map(|_| thing(0, 2, 0)).chain([thing(2, 1, 0), thing(3, 1, 0)]).collect();
    let plan = regroup(&tubs, &things, &Wish { free: Some(0), ..WISH }).unwrap();
    assert_eq!((plan.moves.len(), plan.count_proven, plan.moves_proven), (160, true, false));
}
