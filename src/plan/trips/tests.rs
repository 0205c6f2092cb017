//! Orders of trips, carried out one by one on random floors, and held against all orders of small ones.

use std::collections::HashMap;

use super::*;
use crate::plan::Capacity;

const SMALL: Armful = Armful { things: 2, millilitres: 12, grams: 1000 };

fn tub(millilitres: u32, area: u16) -> Tub {
    let capacity = Capacity { millilitres: Some(millilitres), ..Capacity::default() };
    Tub { capacity, area, ..Tub::default() }
}

fn thing(tub: usize, millilitres: u32) -> Thing {
    Thing { tub, load: Load { millilitres, ..Load::default() }, ..Thing::default() }
}

/// Bins, what is in them, and where each thing goes that moves.
struct Case {
    tubs: Vec<Tub>,
    things: Vec<Thing>,
    moves: Vec<(usize, usize)>,
    armful: Armful,
}

impl Case {
    fn trips(&self) -> Vec<Carry> {
        let walk: Vec<usize> = (0..self.tubs.len()).collect();
        trips(&Floor { tubs: &self.tubs, walk: &walk, things: &self.things, armful: self.armful }, &self.moves)
    }

    /// A floor whose moves fit in the end: things lie somewhere at random, and somewhere else at random afterwards, and
    /// each bin is as large as the fuller of both times, or a little larger.
    fn random(rng: &mut fastrand::Rng, most: usize) -> Self {
        let count = rng.usize(2..=4);
        let things: Vec<Thing> =
            (0..rng.usize(1..=most + 3)).map(|_| thing(rng.usize(0..count), rng.u32(1..=9))).collect();
        let moves: Vec<(usize, usize)> = (0..things.len().min(rng.usize(1..=most)))
            .map(|at| (at, rng.usize(0..count)))
            .filter(|(at, to)| things[*at].tub != *to)
            .collect();
        let mut sums = vec![[0, 0]; count];
        for (at, thing) in things.iter().enumerate() {
            let after = moves.iter().find(|(moved, _)| *moved == at).map_or(thing.tub, |(_, to)| *to);
            sums[thing.tub][0] += thing.load.millilitres;
            sums[after][1] += thing.load.millilitres;
        }
        let spare = if rng.bool() { 0 } else { rng.u32(0..6) };
        // One bin in six is over-full today.
        let size = |[before, after]: [u32; 2], over: bool| if over { after } else { before.max(after) } + spare;
        let tubs = sums.iter().map(|sums| tub(size(*sums, rng.u8(0..6) == 0), rng.u16(1..=2))).collect();
        let armful = Armful { things: rng.usize(1..=4), millilitres: rng.u64(6..30), grams: 1000 };
        Self { tubs, things, moves, armful }
    }

    fn sum(&self, things: impl Iterator<Item = usize>) -> u64 {
        things.map(|at| u64::from(self.things[at].load.millilitres)).sum()
    }

    /// Carries it out by hand: whether each move is made once, nothing is put where there is no room, and nobody carries
    /// more than an armful.
    fn carry_out(&self, carries: &[Carry]) {
        let moved: BTreeSet<(usize, usize)> = carries.iter().map(|carry| (carry.thing, carry.to)).collect();
        assert_eq!((moved, carries.len()), (self.moves.iter().copied().collect(), self.moves.len()));
        let mut inside: Vec<BTreeSet<usize>> = (0..self.tubs.len())
            .map(|tub| (0..self.things.len()).filter(|at| self.things[*at].tub == tub).collect())
            .collect();
        let last = carries.iter().map(|carry| carry.put_on).max().unwrap_or(0);
        for trip in 1..=last {
            let takes: Vec<&Carry> = carries.iter().filter(|carry| carry.taken_on == trip).collect();
            let puts: Vec<&Carry> = carries.iter().filter(|carry| carry.put_on == trip).collect();
            assert!(!takes.is_empty() || !puts.is_empty(), "trip {trip} does nothing");
            for side in [&takes, &puts] {
                let volume = self.sum(side.iter().map(|carry| carry.thing));
                let is_armful = side.len() <= self.armful.things && volume <= self.armful.millilitres;
                assert!(side.len() <= 1 || is_armful, "trip {trip}: {side:?}");
            }
            for carry in takes {
                assert!(carry.put_on >= trip && inside[carry.from].remove(&carry.thing), "{carry:?}");
            }
            for carry in puts {
                inside[carry.to].insert(carry.thing);
                let volume = self.sum(inside[carry.to].iter().copied());
                assert!(volume <= self.tubs[carry.to].capacity.millilitres.unwrap().into(), "{carry:?}: {carries:?}");
            }
        }
    }

    /// The least number of things that are held, by looking at every way: each move is at its bin, held or done, and a
    /// trip takes some and puts some.
    fn least_held(&self) -> usize {
        let mut best: HashMap<Vec<u8>, usize> = HashMap::from([(vec![0; self.moves.len()], 0)]);
        let mut todo: BTreeSet<(usize, Vec<u8>)> = best.iter().map(|(state, held)| (*held, state.clone())).collect();
        while let Some((held, state)) = todo.pop_first() {
            if state.iter().all(|at| *at == 2) {
                return held;
            }
            for next in self.after_a_trip(&state) {
                let held = held + next.iter().zip(&state).filter(|(new, old)| **new == 1 && **old == 0).count();
                if best.get(&next).is_none_or(|known| held < *known) {
                    best.insert(next.clone(), held);
                    todo.insert((held, next));
                }
            }
        }
        panic!("all can be held, so there is a way")
    }

    fn after_a_trip(&self, state: &[u8]) -> Vec<Vec<u8>> {
        let mut ways: Vec<Vec<u8>> = vec![Vec::new()];
        for at in state {
            ways =
                ways.iter().flat_map(|way| (*at..=2).map(|next| way.iter().copied().chain([next]).collect())).collect();
        }
        ways.retain(|next| self.is_a_trip(state, next));
        ways
    }

    fn is_a_trip(&self, state: &[u8], next: &[u8]) -> bool {
        let thing = |at: usize| self.moves[at].0;
        let of =
            |is: &dyn Fn(u8, u8) -> bool| (0..state.len()).filter(|at| is(state[*at], next[*at])).collect::<Vec<_>>();
        let (takes, puts) = (of(&|old, new| old == 0 && new > 0), of(&|old, new| old < 2 && new == 2));
        let is_armful = |side: &[usize]| {
            let volume = self.sum(side.iter().map(|at| thing(*at)));
            side.len() <= 1 || side.len() <= self.armful.things && volume <= self.armful.millilitres
        };
        let has_room = |to: usize| {
            let at = |one: usize| match self.moves.iter().position(|(moved, _)| *moved == one).map(|at| (at, next[at]))
            {
                None | Some((_, 0)) => Some(self.things[one].tub),
                Some((_, 1)) => None,
                Some((at, _)) => Some(self.moves[at].1),
            };
            let volume = self.sum((0..self.things.len()).filter(|one| at(*one) == Some(to)));
            volume <= self.tubs[to].capacity.millilitres.unwrap().into()
        };
        is_armful(&takes) && is_armful(&puts) && puts.iter().all(|at| has_room(self.moves[*at].1))
    }
}

#[test]
fn every_order_can_be_carried_out() {
    let mut rng = fastrand::Rng::with_seed(11);
    let (mut held, mut moves) = (0, 0);
    for _ in 0..6000 {
        let case = Case::random(&mut rng, 14);
        let carries = case.trips();
        case.carry_out(&carries);
        held += carries.iter().filter(|carry| carry.is_held()).count();
        moves += carries.len();
    }
    assert!(held > 200 && held * 5 < moves, "the floors are too easy or too much is held: {held} of {moves}");
}

/// [S] every way to carry out a few moves, tried one by one.
#[test]
fn no_fewer_things_can_be_held() {
    let mut rng = fastrand::Rng::with_seed(5);
    let (mut with, mut without) = (0, 0);
    for _ in 0..1500 {
        let case = Case::random(&mut rng, 5);
        let carries = case.trips();
        case.carry_out(&carries);
        let held = carries.iter().filter(|carry| carry.is_held()).count();
        assert_eq!(held, case.least_held(), "{:?} {:?} {:?}", case.tubs, case.things, case.moves);
        *(if held > 0 { &mut with } else { &mut without }) += 1;
    }
    assert!(with > 50 && without > 500, "{with}, {without}");
}

#[test]
fn full_bins_swap_in_the_hand_or_by_the_holding_box() {
    let case = |large| Case {
        tubs: vec![tub(large, 1), tub(large, 1)],
        things: vec![thing(0, large), thing(1, large)],
        moves: vec![(0, 1), (1, 0)],
        armful: SMALL,
    };
    let on = |case: &Case| case.trips().iter().map(|carry| (carry.taken_on, carry.put_on)).collect::<Vec<_>>();
    assert_eq!(on(&case(6)), [(1, 1), (1, 1)], "both are an armful");
    assert_eq!(on(&case(7)), [(1, 3), (2, 2)], "both at once are too much");
}

#[test]
fn a_full_bin_is_freed_before_it_is_filled() {
    let case = Case {
        tubs: vec![tub(9, 1), tub(9, 1), tub(9, 2)],
        things: vec![thing(0, 9), thing(1, 9)],
        moves: vec![(0, 1), (1, 2)],
        armful: SMALL,
    };
    let order: Vec<(usize, usize)> = case.trips().iter().map(|carry| (carry.thing, carry.put_on)).collect();
    assert_eq!(order, [(1, 1), (0, 2)]);
}

#[test]
fn areas_stay_together_on_the_way() {
    let tubs = [1, 2, 1, 2, 3].map(|area| tub(100, area)).to_vec();
    let things = (0..4).map(|at| thing(at, 1)).collect();
    let case = Case { tubs, things, moves: (0..4).map(|at| (at, 4)).collect(), armful: SMALL };
    let order: Vec<(usize, usize)> = case.trips().iter().map(|carry| (carry.from, carry.taken_on)).collect();
    assert_eq!(order, [(0, 1), (2, 1), (1, 2), (3, 2)]);
}

#[test]
fn what_stays_within_an_area_is_not_carried_through_another_one() {
    let tubs = [1, 1, 2].map(|area| tub(100, area)).to_vec();
    let things = [0, 0, 1].map(|at| thing(at, 1)).to_vec();
    let armful = Armful { things: 9, ..SMALL };
    let case = Case { tubs, things, moves: vec![(0, 1), (1, 2), (2, 2)], armful };
    let order: Vec<(usize, usize)> = case.trips().iter().map(|carry| (carry.thing, carry.taken_on)).collect();
    assert_eq!(order, [(0, 1), (1, 2), (2, 2)]);
}

#[test]
fn a_bin_is_not_spread_over_trips_to_fill_an_armful() {
    let tubs = vec![tub(100, 1); 3];
    let things = [0, 0, 1, 1].map(|at| thing(at, 1)).to_vec();
    let armful = Armful { things: 3, ..SMALL };
    let case = Case { tubs, things, moves: (0..4).map(|at| (at, 2)).collect(), armful };
    let order: Vec<(usize, usize)> = case.trips().iter().map(|carry| (carry.from, carry.taken_on)).collect();
    assert_eq!(order, [(0, 1), (0, 1), (1, 2), (1, 2)]);
}

#[test]
fn what_fits_nowhere_in_the_end_is_put_all_the_same() {
    let things = vec![thing(0, 5), thing(1, 5)];
    let case = Case { tubs: vec![tub(9, 1), tub(4, 1)], things, moves: vec![(0, 1)], armful: SMALL };
    assert_eq!(case.trips().len(), 1);
}

#[test]
fn no_moves_are_no_trips() {
    let case = Case { tubs: vec![tub(9, 1)], things: vec![], moves: vec![], armful: SMALL };
    assert_eq!(case.trips(), []);
}
