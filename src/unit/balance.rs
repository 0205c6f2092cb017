//! Sums and differences of money: below zero as well, and never too large to count.

use std::{
    iter::Sum,
    ops::{Add, AddAssign, Neg, Sub, SubAssign},
};

use super::{Currency, Money};

/// A sum of money that may be below zero, in minor units of the register's currency. It is wide enough that no sum of
/// amounts overflows.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Balance(i128);

impl Balance {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// So many minor units.
    #[must_use]
    pub fn from_minor(minor: i128) -> Self {
        Self(minor)
    }

    /// In minor units.
    #[must_use]
    pub fn minor(self) -> i128 {
        self.0
    }

    /// Whether it is below zero.
    #[must_use]
    pub fn is_negative(self) -> bool {
        self.0 < 0
    }

    /// This much times a fraction, rounded to the nearest minor unit, halves away from zero; `None` for a denominator
    /// of 0.
    #[must_use]
    pub fn times(self, numerator: i128, denominator: i128) -> Option<Self> {
        divide(self.0.checked_mul(numerator)?, denominator).map(Self)
    }

    /// The same, rounded up.
    #[must_use]
    pub fn times_rounded_up(self, numerator: i128, denominator: i128) -> Option<Self> {
        let product = self.0.checked_mul(numerator)?;
        let floor = product.checked_div_euclid(denominator)?;
        Some(Self(floor + i128::from(product.rem_euclid(denominator) != 0)))
    }

    /// How many thousandths of another balance this is, rounded to the nearest; `None` of nothing or less.
    #[must_use]
    pub fn thousandths_of(self, whole: Self) -> Option<i128> {
        if whole.0 > 0 { divide(self.0.checked_mul(1000)?, whole.0) } else { None }
    }
}

/// To the nearest, halves away from zero.
fn divide(numerator: i128, denominator: i128) -> Option<i128> {
    let quotient = numerator.checked_div(denominator)?;
    let rest = numerator.checked_rem(denominator)?;
    let is_up = rest.unsigned_abs() * 2 >= denominator.unsigned_abs() && rest != 0;
    let away = if (numerator < 0) == (denominator < 0) { 1 } else { -1 };
    Some(if is_up { quotient + away } else { quotient })
}

impl From<Money> for Balance {
    fn from(money: Money) -> Self {
        Self(money.minor().into())
    }
}

impl Add for Balance {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Balance {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Balance {
    type Output = Self;

    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl AddAssign for Balance {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl SubAssign for Balance {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Sum for Balance {
    fn sum<I: Iterator<Item = Self>>(balances: I) -> Self {
        balances.fold(Self::ZERO, Add::add)
    }
}

impl Currency {
    /// In major units with a point and all minor digits, and a minus below zero: `-3.50`.
    #[must_use]
    pub fn format_balance(&self, balance: Balance) -> String {
        let digits = format!("{:0width$}", balance.0.unsigned_abs(), width = self.digits() + 1);
        let (major, minor) = digits.split_at(digits.len() - self.digits());
        let sign = if balance.is_negative() { "-" } else { "" };
        if minor.is_empty() { format!("{sign}{major}") } else { format!("{sign}{major}.{minor}") }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cents(minor: i128) -> Balance {
        Balance::from_minor(minor)
    }

    #[test]
    fn balances_are_written_with_their_sign() {
        let euro = Currency::new("EUR").unwrap();
        let cases = [(0, "0.00"), (5, "0.05"), (-5, "-0.05"), (-350, "-3.50"), (123_456, "1234.56")];
        for (minor, text) in cases {
            assert_eq!(euro.format_balance(cents(minor)), text);
        }
        assert_eq!(Currency::new("JPY").unwrap().format_balance(cents(-12)), "-12");
    }

    #[test]
    fn fractions_are_rounded_to_the_nearest_and_up() {
        let cases =
            [(100, 1, 3, 33, 34), (200, 1, 3, 67, 67), (5, 1, 2, 3, 3), (-5, 1, 2, -3, -2), (-200, 1, 3, -67, -66)];
        for (minor, numerator, denominator, nearest, up) in cases {
            let balance = cents(minor);
            assert_eq!(balance.times(numerator, denominator), Some(cents(nearest)), "{minor}");
            assert_eq!(balance.times_rounded_up(numerator, denominator), Some(cents(up)), "{minor}");
        }
        assert_eq!(cents(1).times(1, 0), None);
        assert_eq!(cents(1).thousandths_of(cents(3)), Some(333));
        assert_eq!(cents(-1).thousandths_of(cents(8)), Some(-125));
        assert_eq!(cents(1).thousandths_of(Balance::ZERO), None);
    }

    #[test]
    fn sums_of_the_largest_amounts_do_not_overflow() {
        let most = Money::from_minor(Money::MAX_MINOR).unwrap();
        let sum: Balance = std::iter::repeat_n(Balance::from(most), 10_000_000).sum();
        assert_eq!(sum.minor(), 10_000_000 * i128::from(Money::MAX_MINOR));
    }
}
