//! Dates as people and spreadsheets write them: `2026-11-21`, `21.11.2026`, `21/11/2026`.
//!
//! Start with [`parse_date`]; for a column of them, settle their order first with [`settle_dates`].
//! Whether a date lies ahead, or long before the register was begun, is not checked.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// What stands first in a date such as `3/4/2026`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DateOrder {
    /// The day.
    DayFirst,
    /// The month.
    MonthFirst,
}

impl DateOrder {
    /// As options and answers have it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::DayFirst => "day-first",
            Self::MonthFirst => "month-first",
        }
    }

    /// In words: `the day first`.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::DayFirst => "the day first",
            Self::MonthFirst => "the month first",
        }
    }
}

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
    /// No such day in the order of its column.
    #[error("`{text}` is not in the calendar with {}; write it as year-month-day, such as 2026-11-21", order.words())]
    OtherOrder {
        /// What was read.
        text: String,
        /// In which order.
        order: DateOrder,
    },
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

/// Why the order of day and month in a column can't be told.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DateOrderError {
    /// Nothing in the file tells.
    #[error(
        "line {line}: `{text}` could be {} or {}, and no other date of the file tells; say which with \
         --dates day-first or --dates month-first", long(*day_first), long(*month_first)
    )]
    Open {
        /// The line of the first such date, from 1.
        line: u64,
        /// That date as it is written.
        text: String,
        /// The date if the day stands first.
        day_first: Date,
        /// The date if the month stands first.
        month_first: Date,
    },
    /// Other dates of the file tell, but not the same.
    #[error(
        "line {line}: `{text}` could be two dates, and the others don't agree: `{}` (line {}) has the day first, `{}` \
         (line {}) the month first; mend them, or say how to read them with --dates day-first or --dates month-first",
        day_first.1, day_first.0, month_first.1, month_first.0
    )]
    Both {
        /// The line of the first date that could be two, from 1.
        line: u64,
        /// That date as it is written.
        text: String,
        /// The line of a date that can only have the day first, and it.
        day_first: (u64, String),
        /// The line of a date that can only have the month first, and it.
        month_first: (u64, String),
    },
}

/// What tells the order of the dates of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderProof {
    /// The order.
    pub order: DateOrder,
    /// The line of the first date that can be in no other order, from 1.
    pub line: u64,
    /// That date as it is written.
    pub text: String,
}

/// Tells in which order the dates of one file are written, given with their lines. `None` where none of them could be
/// two dates; else those tell that can be in one order only, if they all agree.
///
/// # Errors
/// [`DateOrderError`].
pub fn settle_dates<'a>(cells: impl Iterator<Item = (u64, &'a str)>) -> Result<Option<OrderProof>, DateOrderError> {
    let (mut open, mut day_first, mut month_first) = (None, None, None);
    for (line, text) in cells {
        let text = text.trim();
        match both_orders(text) {
            Some((Some(day), Some(month))) if day != month => {
                open.get_or_insert((line, text, day, month));
            }
            Some((Some(_), None)) => _ = day_first.get_or_insert((line, text.to_owned())),
            Some((None, Some(_))) => _ = month_first.get_or_insert((line, text.to_owned())),
            _ => {}
        }
    }
    let Some((line, text, day, month)) = open else { return Ok(None) };
    let text = text.to_owned();
    match (day_first, month_first) {
        (Some((line, text)), None) => Ok(Some(OrderProof { order: DateOrder::DayFirst, line, text })),
        (None, Some((line, text))) => Ok(Some(OrderProof { order: DateOrder::MonthFirst, line, text })),
        (None, None) => Err(DateOrderError::Open { line, text, day_first: day, month_first: month }),
        (Some(day_first), Some(month_first)) => Err(DateOrderError::Both { line, text, day_first, month_first }),
    }
}

/// Reads `2026-11-21`; with dots `21.11.2026`, the day first; with slashes or hyphens either order if just one is a
/// date.
///
/// # Errors
/// [`DateError`] when it is written otherwise, has a year of two digits, is not in the calendar, or could be two
/// dates.
pub fn parse_date(text: &str) -> Result<Date, DateError> {
    parse_date_in(text, None)
}

/// Reads a date as [`parse_date`] does; where both orders can be meant, it is read in the given one.
///
/// # Errors
/// [`DateError`].
pub fn parse_date_in(text: &str, order: Option<DateOrder>) -> Result<Date, DateError> {
    let text = text.trim();
    let (separator, parts) = split(text).ok_or_else(|| DateError::Malformed(text.to_owned()))?;
    let [first, second, third] = parts;
    match (separator, parts.map(str::len)) {
        ('-' | '/', [4, 2, 2]) => settle(text, real(first, second, third), None),
        ('.', [1 | 2, 1 | 2, 4]) => settle(text, real(third, second, first), None),
        ('/' | '-', [1 | 2, 1 | 2, 4]) => match order {
            Some(order) => in_order(text, parts, order),
            None => settle(text, real(third, second, first), real(third, first, second)),
        },
        ('-', [2, 2, 2]) | ('.' | '/', [1 | 2, 1 | 2, 2]) => Err(DateError::ShortYear(text.to_owned())),
        _ => Err(DateError::Malformed(text.to_owned())),
    }
}

fn in_order(text: &str, [first, second, year]: [&str; 3], order: DateOrder) -> Result<Date, DateError> {
    let (day_first, month_first) = (real(year, second, first), real(year, first, second));
    let (date, other) = match order {
        DateOrder::DayFirst => (day_first, month_first),
        DateOrder::MonthFirst => (month_first, day_first),
    };
    let impossible = || match other {
        Some(_) => DateError::OtherOrder { text: text.to_owned(), order },
        None => DateError::Impossible(text.to_owned()),
    };
    date.ok_or_else(impossible)
}

/// The dates of a text with the day first and with the month first, if it is written so that either may be meant.
fn both_orders(text: &str) -> Option<(Option<Date>, Option<Date>)> {
    let (separator, parts) = split(text)?;
    let [first, second, year] = parts;
    let may_be_both = matches!((separator, parts.map(str::len)), ('/' | '-', [1 | 2, 1 | 2, 4]));
    may_be_both.then(|| (real(year, second, first), real(year, first, second)))
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
            ("21-11-2026", date(2026, 11, 21)),
            ("2026/11/21", date(2026, 11, 21)),
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
    fn an_order_settles_what_could_be_both() {
        let (day, month) = (Some(DateOrder::DayFirst), Some(DateOrder::MonthFirst));
        assert_eq!(parse_date_in("3/4/2026", day), Ok(date(2026, 4, 3)));
        assert_eq!(parse_date_in("3-4-2026", month), Ok(date(2026, 3, 4)));
        assert_eq!(parse_date_in("2026-04-03", month), Ok(date(2026, 4, 3)));
        assert_eq!(parse_date_in("3.4.2026", month), Ok(date(2026, 4, 3)));
        let told = "`25/11/2026` is not in the calendar with the month first; \
            write it as year-month-day, such as 2026-11-21";
        assert_eq!(parse_date_in("25/11/2026", month).unwrap_err().to_string(), told);
        assert_eq!(parse_date_in("31/31/2026", month), Err(DateError::Impossible("31/31/2026".into())));
    }

    #[test]
    fn other_dates_of_the_file_tell_the_order_if_they_agree() {
        let settle = |cells: &[&str]| settle_dates((2..).zip(cells.iter().copied()));
        for cells in [&["2026-11-21", "x", "", "25/11/2026", "11/25/2026", "4/4/2026"] as &[&str], &[]] {
            assert_eq!(settle(cells), Ok(None), "{cells:?}");
        }
        let proof = |order, line, text: &str| Ok(Some(OrderProof { order, line, text: text.into() }));
        assert_eq!(settle(&["3/4/2026", " 25/11/2026"]), proof(DateOrder::DayFirst, 3, "25/11/2026"));
        assert_eq!(settle(&["3/25/2026", "3/4/2026"]), proof(DateOrder::MonthFirst, 2, "3/25/2026"));
        let told = "line 3: `3/4/2026` could be 3 April or 4 March, and no other date of the file tells; \
            say which with --dates day-first or --dates month-first";
        assert_eq!(settle(&["3.5.2026", "3/4/2026"]).unwrap_err().to_string(), told);
        let told = "line 2: `3/4/2026` could be two dates, and the others don't agree: `25/11/2026` (line 3) has the \
            day first, `11/25/2026` (line 4) the month first; mend them, or say how to read them with \
            --dates day-first or --dates month-first";
        assert_eq!(settle(&["3/4/2026", "25/11/2026", "11/25/2026"]).unwrap_err().to_string(), told);
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
