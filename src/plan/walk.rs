//! The order in which a person walks past the bins: by the order that its owner gave areas and spots, and nothing
//! cleverer.
//!
//! Start with [`WalkKey`]: labels and the picking round are sorted by it. How far it is from a place to the next one is
//! not known here.

use crate::code::{AreaNumber, BinCode, StockCode};

/// Where a bin stands, as far as walking goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stand {
    /// The place of its area among those that were given an order.
    pub area_order: Option<i64>,
    /// Its area.
    pub area: AreaNumber,
    /// The place of its spot in the order of the area.
    pub spot: Option<i64>,
    /// Its place in the stack of its spot, from the top.
    pub stack: Option<u32>,
}

/// By which things are sorted in walking order: areas in the order that was given and then by number, spots in their
/// order, places in the stack from the top, bins, codes. What was not given comes last; what is nowhere, after all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct WalkKey {
    area: Given<Given<i64, AreaNumber>, ()>,
    spot: Given<i64, ()>,
    stack: Given<u32, ()>,
    bin: Option<BinCode>,
    code: Option<StockCode>,
}

/// What was given, and behind all of it what stands in for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Given<T, U> {
    As(T),
    Else(U),
}

impl<T> Given<T, ()> {
    fn of(given: Option<T>) -> Self {
        given.map_or(Self::Else(()), Self::As)
    }
}

impl WalkKey {
    /// The key of what is in, or on, a bin at this place.
    #[must_use]
    pub fn new(stand: Option<Stand>, bin: Option<BinCode>, code: Option<StockCode>) -> Self {
        let area = |stand: Stand| stand.area_order.map_or(Given::Else(stand.area), Given::As);
        Self {
            area: Given::of(stand.map(area)),
            spot: Given::of(stand.and_then(|stand| stand.spot)),
            stack: Given::of(stand.and_then(|stand| stand.stack)),
            bin,
            code,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stand(area_order: Option<i64>, area: u16, spot: Option<i64>, stack: Option<u32>) -> Stand {
        Stand { area_order, area: AreaNumber::new(area).unwrap(), spot, stack }
    }

    fn key(stand: Stand, rank: u16) -> WalkKey {
        let bin = BinCode::at(stand.area, rank).unwrap();
        WalkKey::new(Some(stand), Some(bin), Some(StockCode::Bin(bin)))
    }

    #[test]
    fn what_was_given_comes_first_and_in_its_order() {
        let in_order = [
            key(stand(Some(1), 12, Some(1), None), 0),
            key(stand(Some(2), 4, Some(1), None), 2),
            key(stand(Some(2), 4, Some(1), None), 3),
            key(stand(Some(2), 4, Some(2), Some(1)), 9),
            key(stand(Some(2), 4, Some(2), Some(2)), 1),
            key(stand(Some(2), 4, Some(2), None), 0),
            key(stand(Some(2), 4, None, None), 4),
            key(stand(None, 3, Some(1), None), 0),
            key(stand(None, 7, Some(1), None), 0),
            WalkKey::new(None, Some(BinCode::at(AreaNumber::new(1).unwrap(), 0).unwrap()), None),
        ];
        let mut shuffled = in_order;
        shuffled.reverse();
        shuffled.sort_unstable();
        assert_eq!(shuffled, in_order);
    }

    /// Where a bin stands, and its rank.
    type Visit = (Stand, u16);

    /// What a round costs a person who goes by the order that was given, the dearest first: going from one area into
    /// another, and doing so against the order; going from spot to spot, and against the order; at a spot, going up the
    /// stack again, so that what was lifted off is lifted twice. The same bin twice costs a visit. (Common sense of a
    /// store room; no distances are known.)
    fn cost(round: &[Visit]) -> [usize; 6] {
        let count =
            |is: &dyn Fn(&Visit, &Visit) -> bool| round.windows(2).filter(|pair| is(&pair[0], &pair[1])).count();
        let area = |stand: &Stand| (stand.area_order.unwrap_or(i64::MAX), stand.area.get());
        let spot = |stand: &Stand| stand.spot.unwrap_or(i64::MAX);
        let stack = |stand: &Stand| stand.stack.unwrap_or(u32::MAX);
        let is_same_spot = |a: &Stand, b: &Stand| area(a) == area(b) && a.spot == b.spot;
        [
            count(&|(a, _), (b, _)| area(a) != area(b)),
            count(&|(a, _), (b, _)| area(a) > area(b)),
            count(&|(a, _), (b, _)| !is_same_spot(a, b)),
            count(&|(a, _), (b, _)| area(a) == area(b) && spot(a) > spot(b)),
            count(&|(a, _), (b, _)| is_same_spot(a, b) && stack(a) > stack(b)),
            count(&|(a, rank), (b, other)| area(a) != area(b) || rank != other),
        ]
    }

    /// Calls `look` with every order of the round (the exchange of neighbours after B. R. Heap, from memory).
    fn every_order(round: &mut [Visit], count: usize, look: &mut dyn FnMut(&[Visit])) {
        if count < 2 {
            return look(round);
        }
        for at in 0..count {
            every_order(round, count - 1, look);
            round.swap(if count.is_multiple_of(2) { at } else { 0 }, count - 1);
        }
    }

    fn random_round(rng: &mut fastrand::Rng) -> Vec<Visit> {
        let orders: Vec<Option<i64>> = (0..3).map(|at| rng.bool().then_some(3 - at)).collect();
        let one = |rng: &mut fastrand::Rng| {
            let (area, spot) = (rng.u16(0..3), rng.i64(0..4));
            let spot = (spot > 0).then_some(spot);
            let stack = (spot.is_some() && rng.bool()).then(|| rng.u32(1..4));
            // A bin is at one place only.
            let rank =
                area * 97 + u16::try_from(spot.unwrap_or(0) * 9).unwrap() + u16::try_from(stack.unwrap_or(0)).unwrap();
            (stand(orders[usize::from(area)], area + 1, spot, stack), rank)
        };
        (0..rng.usize(2..=7)).map(|_| one(rng)).collect()
    }

    #[test]
    fn no_other_order_of_up_to_seven_stops_costs_less() {
        let mut rng = fastrand::Rng::with_seed(7);
        let mut dearer = 0;
        for _ in 0..80 {
            let mut round = random_round(&mut rng);
            let drawn = cost(&round);
            round.sort_by_key(|(stand, rank)| key(*stand, *rank));
            let (ours, mut best) = (cost(&round), drawn);
            let count = round.len();
            every_order(&mut round, count, &mut |order| best = best.min(cost(order)));
            assert_eq!(ours, best, "{round:?}");
            dearer += usize::from(drawn > best);
        }
        assert!(dearer > 40, "the rounds are too easy: {dearer}");
    }
}
