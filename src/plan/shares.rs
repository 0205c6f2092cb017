//! One amount shared out, to the last cent.

/// Shares an amount in proportion to weights, by the method of the largest remainder: each gets its part rounded down,
/// and the cents that are left over go one each to the largest remainders, of equal ones to the first. The shares add
/// up to the amount. Weights that are all the same share evenly.
///
/// `None` when there is no weight, one is negative, or all are zero; and for a negative amount.
#[must_use]
pub fn shares(total: i64, weights: &[i64]) -> Option<Vec<i64>> {
    let sum: i128 = weights.iter().map(|weight| i128::from(*weight)).sum();
    if total < 0 || sum == 0 || weights.iter().any(|weight| *weight < 0) {
        return None;
    }
    let product = |weight: i64| i128::from(total) * i128::from(weight);
    let mut parts: Vec<i128> = weights.iter().map(|weight| product(*weight) / sum).collect();
    let left = i128::from(total) - parts.iter().sum::<i128>();
    let mut order: Vec<usize> = (0..weights.len()).collect();
    order.sort_by_key(|at| std::cmp::Reverse(product(weights[*at]) % sum));
    // Less than one cent is left over of each.
    for at in order.into_iter().take(usize::try_from(left).ok()?) {
        parts[at] += 1;
    }
    parts.into_iter().map(|part| i64::try_from(part).ok()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand; the last is the textbook case of the method: 1000 seats would go 485.7, 342.9 and 171.4.
    #[test]
    fn shares_are_those_done_by_hand() {
        let cases: [(i64, &[i64], &[i64]); 7] = [
            (3500, &[1, 1, 1], &[1167, 1167, 1166]),
            (3500, &[2495, 0, 2495], &[1750, 0, 1750]),
            (1, &[1, 1], &[1, 0]),
            (1, &[1, 3], &[0, 1]),
            (0, &[5, 5], &[0, 0]),
            (700, &[9], &[700]),
            (1000, &[17, 12, 6], &[486, 343, 171]),
        ];
        for (total, weights, expected) in cases {
            assert_eq!(shares(total, weights).as_deref(), Some(expected), "{total} by {weights:?}");
        }
    }

    #[test]
    fn nothing_to_go_by_gives_nothing() {
        for (total, weights) in [(100, &[] as &[i64]), (100, &[0, 0]), (100, &[1, -1, 3]), (-1, &[1])] {
            assert_eq!(shares(total, weights), None, "{total} by {weights:?}");
        }
    }

    /// What the method promises (the quota rule): the whole is shared, and each share is its exact part rounded down
    /// or up; a heavier one never gets less.
    #[test]
    fn shares_add_up_and_keep_their_quota() {
        let mut random = fastrand::Rng::with_seed(7);
        for _ in 0..20_000 {
            let largest = [3, 100, 5_000, 1_000_000_000_000][random.usize(0..4)];
            let weights: Vec<i64> = (0..random.usize(1..40)).map(|_| random.i64(0..=largest)).collect();
            let most = [1, 40, 100_000, 1_000_000_000_000][random.usize(0..4)];
            let total = random.i64(0..=most);
            let sum: i128 = weights.iter().map(|weight| i128::from(*weight)).sum();
            let Some(parts) = shares(total, &weights) else {
                assert_eq!(sum, 0, "{weights:?}");
                continue;
            };
            assert_eq!(parts.iter().sum::<i64>(), total, "{weights:?}");
            for (part, weight) in parts.iter().zip(&weights) {
                let exact = i128::from(total) * i128::from(*weight);
                let (low, high) = (exact / sum, (exact + sum - 1) / sum);
                assert!((low..=high).contains(&i128::from(*part)), "{part} of {total} by {weights:?}");
            }
            for (one, other) in (0..weights.len()).zip(1..weights.len()) {
                assert!(weights[one] <= weights[other] || parts[one] >= parts[other], "{weights:?}: {parts:?}");
            }
        }
    }
}
