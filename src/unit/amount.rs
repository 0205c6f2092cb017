//! Amounts as people and spreadsheets write them: `3.50`, `3,50`, `1,234.50`, `1.234,50`, `$3`.

use super::{Currency, Money, sign};

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
    let text = text.trim();
    let malformed = || AmountError::Malformed(text.to_owned());
    let (before, number, behind) = parts(text).ok_or_else(malformed)?;
    let minus = |c: char| matches!(c, '-' | '−' | '(');
    let signs = [before.trim_matches(minus).trim(), behind.trim_end_matches(')').trim()];
    for sign in signs {
        if !sign::fits(sign, currency).ok_or_else(malformed)? {
            return Err(AmountError::Foreign { text: text.to_owned(), code: currency.code().to_owned() });
        }
    }
    if before.contains(minus) {
        return Err(AmountError::Negative(text.to_owned()));
    }
    let plain: String = number.chars().map(unify_group).collect();
    let (major, minor) = split(&plain, currency.digits()).map_err(|fault| fault.of(text, currency.digits()))?;
    to_money(&major, &minor, currency.digits()).ok_or_else(|| AmountError::TooLarge(text.to_owned()))
}

/// What stands before the number, the number, and what stands behind it; `None` where there is no digit. `3,-` is a
/// number without cents.
fn parts(text: &str) -> Option<(&str, &str, &str)> {
    let is_digit = |c: char| c.is_ascii_digit();
    let (first, last) = (text.find(is_digit)?, text.rfind(is_digit)?);
    let (before, rest) = text.split_at(first);
    let (number, behind) = rest.split_at(last + 1 - first);
    // A number may begin with its separator, but that of `kr.` or `Fr.` is none.
    let begins = before.ends_with(['.', ',']) && !before.trim_end_matches(['.', ',']).ends_with(char::is_alphabetic);
    let (before, number) = if begins {
        let at = before.len() - 1;
        (&before[..at], &text[at..=last])
    } else {
        (before, number)
    };
    let no_cents = [",-", ".-", ",–", ".–", ",—", ".—"].iter().find_map(|end| behind.strip_prefix(end));
    Some((before.trim(), number, no_cents.unwrap_or(behind).trim()))
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
            ("€ 1.234,50", 123_450),
            ("1\u{202f}234,50\u{a0}€", 123_450),
            ("3,-", 300),
            ("3,– €", 300),
            ("EUR 35.-", 3500),
            ("€.50", 50),
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
        for text in ["-3", "−3.50", "(3.50)", "-€3", "€-3", "(€3)", "- 3,50 €"] {
            assert_eq!(euro().parse(text), Err(AmountError::Negative(owned(text))), "{text}");
        }
        for text in [
            "",
            "x",
            "3.",
            "1,23,456.00",
            "3 5",
            "3.50.",
            "1..2",
            "0x10",
            "1e3",
            ".",
            "1.2,3.4",
            "+3",
            "é€x",
            "pcs 3",
            "3 pcs",
            "ca. 3",
            "3 + 4",
            "€€3",
            "3 %",
        ] {
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

    /// From memory, as common use is.
    #[test]
    fn signs_of_currencies_are_known() {
        let minor = |code: &str, text: &str| Currency::new(code).unwrap().parse(text).map(Money::minor);
        let cases = [
            ("USD", "US$ 3"),
            ("USD", "$3.00"),
            ("GBP", "£3"),
            ("SEK", "3 kr"),
            ("NOK", "kr. 3,00"),
            ("DKK", "3,00 kr."),
            ("CHF", "Fr. 3.00"),
            ("CHF", "CHF 3.–"),
            ("PLN", "3,00 zł"),
            ("CZK", "3,00 Kč"),
            ("CAD", "C$3.00"),
            ("ZAR", "R 3.00"),
            ("THB", "฿3"),
            ("XCD", "xcd 3"),
        ];
        for (code, text) in cases {
            assert_eq!(minor(code, text), Ok(300), "{code} {text}");
            if code != "XCD" {
                assert_eq!(Currency::default().parse(text).map(Money::minor), Ok(300), "no currency, {text}");
            }
        }
        for (code, text) in [("EUR", "USD 3"), ("EUR", "3 kr"), ("GBP", "3,00 €"), ("SEK", "$3"), ("EUR", "US$3")] {
            let foreign = AmountError::Foreign { text: text.into(), code: code.into() };
            assert_eq!(minor(code, text), Err(foreign), "{code} {text}");
        }
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
