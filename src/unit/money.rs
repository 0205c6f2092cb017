//! Money in the minor units of the register's one currency.

use super::amount::{self, AmountError};

/// Currencies without minor units, and those with three digits of them (ISO 4217, from memory).
const NO_DIGITS: [&str; 16] =
    ["BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND", "VUV", "XAF", "XOF"];
const THREE_DIGITS: [&str; 7] = ["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"];

/// An amount of money, never negative, in minor units (cents) of the register's currency.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Money(i64);

impl Money {
    /// The largest amount that is taken, in minor units: far above any item, far below an overflow of sums.
    pub const MAX_MINOR: i64 = 1_000_000_000_000;

    /// An amount in minor units; `None` when negative or above [`Self::MAX_MINOR`].
    #[must_use]
    pub fn from_minor(minor: i64) -> Option<Self> {
        (0..=Self::MAX_MINOR).contains(&minor).then_some(Self(minor))
    }

    /// In minor units.
    #[must_use]
    pub fn minor(self) -> i64 {
        self.0
    }
}

/// Why a currency was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no currency code; write its three letters, such as EUR, GBP or USD")]
pub struct CurrencyError(String);

/// The currency of a register: an ISO 4217 code and its number of minor digits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Currency {
    code: String,
    digits: usize,
}

/// The code of ISO 4217 for "no currency".
const NO_CURRENCY: &str = "XXX";

impl Default for Currency {
    /// No currency yet, counted in hundredths.
    fn default() -> Self {
        Self { code: NO_CURRENCY.into(), digits: 2 }
    }
}

impl Currency {
    /// A currency by its three letters.
    ///
    /// # Errors
    /// [`CurrencyError`] when there are not exactly three ASCII letters.
    pub fn new(code: &str) -> Result<Self, CurrencyError> {
        let upper = code.trim().to_ascii_uppercase();
        if upper.len() != 3 || !upper.bytes().all(|byte| byte.is_ascii_uppercase()) {
            return Err(CurrencyError(code.to_owned()));
        }
        let digits = match upper.as_str() {
            code if NO_DIGITS.contains(&code) => 0,
            code if THREE_DIGITS.contains(&code) => 3,
            _ => 2,
        };
        Ok(Self { code: upper, digits })
    }

    /// Whether none has been set yet.
    #[must_use]
    pub fn is_none(&self) -> bool {
        self.code == NO_CURRENCY
    }

    /// The three letters.
    #[must_use]
    pub fn code(&self) -> &str {
        &self.code
    }

    /// How many digits stand behind the decimal point.
    #[must_use]
    pub fn digits(&self) -> usize {
        self.digits
    }

    /// Reads an amount as people and spreadsheets write it; see [`AmountError`] for what is refused.
    ///
    /// # Errors
    /// [`AmountError`] when it is negative, malformed, too fine, too large, or could mean two amounts.
    pub fn parse(&self, text: &str) -> Result<Money, AmountError> {
        amount::parse(text, self)
    }

    /// In major units with a point and all minor digits: `3.50`.
    #[must_use]
    pub fn format(&self, money: Money) -> String {
        let digits = format!("{:0width$}", money.minor(), width = self.digits + 1);
        let (major, minor) = digits.split_at(digits.len() - self.digits);
        if minor.is_empty() { major.to_owned() } else { format!("{major}.{minor}") }
    }
}
