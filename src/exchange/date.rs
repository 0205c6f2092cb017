//! Dates as people and spreadsheets write them: `2026-11-21`, `21.11.2026`, `21/11/2026`.
//!
//! Start with [`parse_date`].
//! Whether a date lies ahead, or long before the register was begun, is not checked.

use jiff::civil::Date;

/// Why a date was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DateError {
    /// Not written as a date.
    #[error("`{0}` is no date; write it as year-month-day, such as 2026-11-21")]
    Malformed(String),
    /// The century is left to guess.
    #[error("`{0}` has a year of two digits; write it as year-month-day, such as 2026-11-21")]
    ShortYear(String),
    /// Written as a date, but no such day.
    #[error("`{0}` is not in the calendar; write it as year-month-day, such as 2026-11-21")]
    Impossible(String),
    /// With slashes, and a date both day first and month first.
    #[error("`{text}` could be {} or {}; write {day_first} or {month_first}", long(*day_first), long(*month_first))]
    Ambiguous {
        /// What was read.
        text: String,
        /// The date if the day stands first.
        day_first: Date,
        /// The date if the month stands first.
        month_first: Date,
    },
}

fn long(date: Date) -> String {
    date.strftime("%-d %B").to_string()
}

/// Reads `2026-11-21`; with dots `21.11.2026`, the day first; with slashes either order if just one is a date.
///
/// # Errors
/// [`DateError`] when it is written otherwise, has a year of two digits, is not in the calendar, or could be two
/// dates.
pub fn parse_date(text: &str) -> Result<Date, DateError> {
    let text = text.trim();
    let (separator, parts) = split(text).ok_or_else(|| DateError::Malformed(text.to_owned()))?;
    let [first, second, third] = parts;
    match (separator, parts.map(str::len)) {
        ('-', [4, 2, 2]) => settle(text, real(first, second, third), None),
        ('.', [1 | 2, 1 | 2, 4]) => settle(text, real(third, second, first), None),
        ('/', [1 | 2, 1 | 2, 4]) => settle(text, real(third, second, first), real(third, first, second)),
        ('-', [2, 2, 2]) | ('.' | '/', [1 | 2, 1 | 2, 2]) => Err(DateError::ShortYear(text.to_owned())),
        _ => Err(DateError::Malformed(text.to_owned())),
    }
}

/// Three runs of digits and what stands between them.
fn split(text: &str) -> Option<(char, [&str; 3])> {
    let separator = text.chars().find(|c| !c.is_ascii_digit())?;
    let parts: Vec<&str> = text.split(separator).collect();
    let is_digits = |part: &&str| part.bytes().all(|byte| byte.is_ascii_digit());
    let parts = <[&str; 3]>::try_from(parts).ok().filter(|parts| parts.iter().all(is_digits))?;
    Some((separator, parts))
}

fn settle(text: &str, day_first: Option<Date>, month_first: Option<Date>) -> Result<Date, DateError> {
    match (day_first, month_first) {
        (Some(day_first), Some(month_first)) if day_first != month_first => {
            Err(DateError::Ambiguous { text: text.to_owned(), day_first, month_first })
        }
        _ => day_first.or(month_first).ok_or_else(|| DateError::Impossible(text.to_owned())),
    }
}

fn real(year: &str, month: &str, day: &str) -> Option<Date> {
    Date::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?).ok()
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    #[test]
    fn dates_that_mean_one_day_are_read() {
        let cases = [
            ("2026-11-21", date(2026, 11, 21)),
            (" 2024-02-29 ", date(2024, 2, 29)),
            ("21.11.2026", date(2026, 11, 21)),
            ("1.2.2026", date(2026, 2, 1)),
            ("01.02.2026", date(2026, 2, 1)),
            ("21/11/2026", date(2026, 11, 21)),
            ("11/21/2026", date(2026, 11, 21)),
            ("4/4/2026", date(2026, 4, 4)),
        ];
        for (text, expected) in cases {
            assert_eq!(parse_date(text), Ok(expected), "{text}");
        }
    }

    #[test]
    fn two_orders_are_refused_with_both_dates() {
        let error = parse_date("3/4/2026").unwrap_err();
        assert_eq!(error.to_string(), "`3/4/2026` could be 3 April or 4 March; write 2026-04-03 or 2026-03-04");
        assert!(matches!(parse_date("12/01/2026"), Err(DateError::Ambiguous { .. })));
    }

    #[test]
    fn what_is_no_date_is_refused() {
        let malformed = [
            "",
            "soon",
            "2026",
            "2026-1-2",
            "2026-11",
            "2026-11-21-",
            "20261121",
            "2026/11/21",
            "21-11-2026",
            "21.11",
            "21.11.",
            "21.11/2026",
            "2026-11-21 10:00",
            "+026-11-21",
            "2026--1-21",
            "2026-é-21",
            "٢١.١١.٢٠٢٦",
            "21.11.20260",
        ];
        for text in malformed {
            assert_eq!(parse_date(text), Err(DateError::Malformed(text.into())), "{text}");
        }
        for text in ["21.11.26", "1.2.26", "21/11/26", "26-11-21"] {
            assert_eq!(parse_date(text), Err(DateError::ShortYear(text.into())), "{text}");
        }
        for text in ["2026-02-29", "2026-13-01", "31.4.2026", "11.21.2026", "13/13/2026", "29/02/2026", "0.1.2026"] {
            assert_eq!(parse_date(text), Err(DateError::Impossible(text.into())), "{text}");
        }
    }

    #[test]
    fn messages_say_what_to_write() {
        let cases = [
            ("soon", "`soon` is no date; write it as year-month-day, such as 2026-11-21"),
            ("1.2.26", "`1.2.26` has a year of two digits; write it as year-month-day, such as 2026-11-21"),
            ("31.4.2026", "`31.4.2026` is not in the calendar; write it as year-month-day, such as 2026-11-21"),
        ];
        for (text, message) in cases {
            assert_eq!(parse_date(text).unwrap_err().to_string(), message);
        }
    }
}
