//! The order in which a person walks past the bins.

use crate::code::{AreaNumber, BinCode, StockCode};

/// The key by which labels are sorted: area, spot in its walking order, bin, code. Bins without a spot
/// come after the others of their area.
#[must_use]
pub fn walking_order(
    area: AreaNumber,
    spot: Option<i64>,
    bin: BinCode,
    code: StockCode,
) -> (AreaNumber, i64, BinCode, StockCode) {
    (area, spot.unwrap_or(i64::MAX), bin, code)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spots_come_in_their_order_and_unknown_ones_last() {
        let area = AreaNumber::new(4).unwrap();
        let key = |spot, rank| {
            let bin = BinCode::at(area, rank).unwrap();
            walking_order(area, spot, bin, StockCode::Bin(bin))
        };
        let mut keys = [key(None, 0), key(Some(2), 1), key(Some(1), 3), key(Some(1), 2)];
        keys.sort_unstable();
        assert_eq!(keys, [key(Some(1), 2), key(Some(1), 3), key(Some(2), 1), key(None, 0)]);
    }
}
