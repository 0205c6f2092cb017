//! Amounts as people and spreadsheets write them: `3.50`, `3,50`, `1,234.50`, `1.234,50`, `$3`.

use super::{Currency, Money};

/// Why an amount was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AmountError {
    /// Below zero.
    #[error("`{0}` is negative; amounts are zero or more")]
    Negative(String),
    /// No amount at all.
    #[error("`{0}` is no amount; write it as 3.50")]
    Malformed(String),
    /// Three digits behind the only separator: thousands or decimals.
    #[error("`{0}` could be thousands or decimals; write it without thousands separator, or with fewer decimals")]
    Ambiguous(String),
    /// The sign of another currency.
    #[error("`{text}` is not in {code}; amounts are in the register's one currency")]
    Foreign {
        /// What was read.
        text: String,
        /// The register's currency.
        code: String,
    },
    /// More decimals than the currency has.
    #[error("`{text}` has more than {digits} decimals")]
    TooFine {
        /// What was read.
        text: String,
        /// Minor digits of the currency.
        digits: usize,
    },
    /// Beyond [`Money::MAX_MINOR`].
    #[error("`{0}` is too large")]
    TooLarge(String),
}

/// Stands for the separators that only ever group thousands.
const GROUP: char = '_';

pub(super) fn parse(text: &str, currency: &Currency) -> Result<Money, AmountError> {
    if !currency.is_none() && text.chars().any(|sign| is_foreign(sign, currency.code())) {
        return Err(AmountError::Foreign { text: text.trim().to_owned(), code: currency.code().to_owned() });
    }
    let bare = strip_currency(text, currency);
    if bare.starts_with(['-', '−', '(']) {
        return Err(AmountError::Negative(text.trim().to_owned()));
    }
    let plain: String = bare.chars().map(unify_group).collect();
    let (major, minor) = split(&plain, currency.digits()).map_err(|fault| fault.of(text.trim(), currency.digits()))?;
    to_money(&major, &minor, currency.digits()).ok_or_else(|| AmountError::TooLarge(text.trim().to_owned()))
}

/// Whether a sign belongs to other currencies than this one.
fn is_foreign(sign: char, code: &str) -> bool {
    match sign {
        '€' => code != "EUR",
        '£' => !["GBP", "GIP", "FKP", "SHP", "EGP"].contains(&code),
        '¥' => !["JPY", "CNY"].contains(&code),
        '$' => !code.ends_with('D') && !["MXN", "ARS", "CLP", "COP", "UYU", "BRL"].contains(&code),
        _ => false,
    }
}

fn strip_currency<'a>(text: &'a str, currency: &Currency) -> &'a str {
    let symbol = |c: char| matches!(c, '$' | '£' | '¥' | '฿' | '\u{20a0}'..='\u{20cf}') || c.is_whitespace();
    let bare = text.trim_matches(symbol);
    let code = currency.code();
    let starts = bare.get(..3).is_some_and(|start| start.eq_ignore_ascii_case(code));
    let bare = if starts { &bare[3..] } else { bare };
    let cut = bare.len().saturating_sub(3);
    let ends = bare.get(cut..).is_some_and(|end| end.eq_ignore_ascii_case(code));
    if ends { &bare[..cut] } else { bare }.trim_matches(symbol)
}

/// Spaces and apostrophes group thousands and nothing else.
fn unify_group(c: char) -> char {
    if matches!(c, '\'' | '’') || c.is_whitespace() { GROUP } else { c }
}

enum Fault {
    Malformed,
    Ambiguous,
    TooFine,
}

impl Fault {
    fn of(&self, text: &str, digits: usize) -> AmountError {
        match self {
            Self::Malformed => AmountError::Malformed(text.to_owned()),
            Self::Ambiguous => AmountError::Ambiguous(text.to_owned()),
            Self::TooFine => AmountError::TooFine { text: text.to_owned(), digits },
        }
    }
}

/// Major and minor digits of an amount whose grouping is settled.
fn split(plain: &str, digits: usize) -> Result<(String, String), Fault> {
    let separators: Vec<char> = plain.chars().filter(|c| !c.is_ascii_digit()).collect();
    let known = separators.iter().all(|c| matches!(c, '.' | ',' | &GROUP));
    if !known || plain.len() == separators.len() {
        return Err(Fault::Malformed);
    }
    let Some((last, before)) = separators.split_last() else { return Ok((plain.to_owned(), String::new())) };
    let is_decimal = *last != GROUP && !before.contains(last);
    if !is_decimal {
        return ungroup(plain).map(|major| (major, String::new()));
    }
    let (major, minor) = plain.rsplit_once(*last).ok_or(Fault::Malformed)?;
    if before.is_empty() && minor.len() == 3 && is_first_group(major) {
        return if digits == 0 { Ok((format!("{major}{minor}"), String::new())) } else { Err(Fault::Ambiguous) };
    }
    if minor.is_empty() {
        return Err(Fault::Malformed);
    }
    if minor.len() > digits { Err(Fault::TooFine) } else { Ok((ungroup(major)?, minor.to_owned())) }
}

/// `1.234.567` as `1234567`; one kind of separator, three digits in each group but the first.
fn ungroup(text: &str) -> Result<String, Fault> {
    let separator = text.chars().find(|c| !c.is_ascii_digit());
    let Some(separator) = separator else { return Ok(text.to_owned()) };
    let mut groups = text.split(separator);
    let first = groups.next().is_some_and(is_first_group);
    let rest = groups.all(|group| group.len() == 3 && group.bytes().all(|byte| byte.is_ascii_digit()));
    if first && rest { Ok(text.split(separator).collect()) } else { Err(Fault::Malformed) }
}

fn is_first_group(text: &str) -> bool {
    (1..=3).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit()) && !text.starts_with('0')
}

fn to_money(major: &str, minor: &str, digits: usize) -> Option<Money> {
    let joined = format!("{major}{minor:0<digits$}");
    joined.parse().ok().and_then(Money::from_minor)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn euro() -> Currency {
        Currency::new("EUR").unwrap()
    }

    #[test]
    fn amounts_that_mean_one_thing_are_read() {
        let cases = [
            ("3", 300),
            ("3.5", 350),
            ("3,50", 350),
            (".50", 50),
            ("0", 0),
            ("1,234.50", 123_450),
            ("1.234,50", 123_450),
            ("1 234,50", 123_450),
            ("1'234.50", 123_450),
            ("1,234,567", 123_456_700),
            ("€3", 300),
            ("3,50 €", 350),
            ("EUR 3.50", 350),
            ("12.00eur", 1200),
            ("1234.5", 123_450),
        ];
        for (text, minor) in cases {
            assert_eq!(euro().parse(text).map(Money::minor), Ok(minor), "{text}");
        }
    }

    #[test]
    fn what_means_nothing_or_two_things_is_refused() {
        let owned = str::to_owned;
        for text in ["1,234", "1.234", "999,000"] {
            assert_eq!(euro().parse(text), Err(AmountError::Ambiguous(owned(text))), "{text}");
        }
        for text in ["-3", "−3.50", "(3.50)"] {
            assert_eq!(euro().parse(text), Err(AmountError::Negative(owned(text))), "{text}");
        }
        for text in ["", "x", "3.", "1,23,456.00", "3 5", "3.50.", "1..2", "0x10", "1e3", ".", "1.2,3.4", "+3", "é€x"]
        {
            assert_eq!(euro().parse(text), Err(AmountError::Malformed(owned(text))), "{text}");
        }
        let foreign = AmountError::Foreign { text: "$3".into(), code: "EUR".into() };
        assert_eq!(euro().parse("$3 "), Err(foreign));
        assert_eq!(Currency::new("USD").unwrap().parse("$3").map(Money::minor), Ok(300));
        assert_eq!(Currency::default().parse("$3").map(Money::minor), Ok(300));
        for text in ["0.125", "1234.567"] {
            assert_eq!(euro().parse(text), Err(AmountError::TooFine { text: owned(text), digits: 2 }), "{text}");
        }
        assert_eq!(euro().parse("99999999999999"), Err(AmountError::TooLarge("99999999999999".into())));
    }

    #[test]
    fn digits_follow_the_currency() {
        let yen = Currency::new("jpy").unwrap();
        assert_eq!(yen.parse("1,234").map(|money| yen.format(money)), Ok("1234".into()));
        assert!(yen.parse("3.50").is_err());
        let dinar = Currency::new("KWD").unwrap();
        assert_eq!(dinar.parse("0.125").map(|money| dinar.format(money)), Ok("0.125".into()));
        assert_eq!(euro().format(Money::from_minor(5).unwrap()), "0.05");
    }
}
