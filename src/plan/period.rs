//! Weeks, months and years, one after the other.
//!
//! Start with [`Periods::between`]. Weeks are those of ISO 8601, from Monday to Sunday.

use jiff::{ToSpan, civil::Date};

/// What the days are gathered by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Per {
    /// Weeks of ISO 8601.
    Week,
    /// Months of the calendar.
    Month,
    /// Years of the calendar.
    Year,
}

/// A week, a month or a year; the first and the last may be cut short.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Period {
    /// `2026-W48`, `2026-11` or `2026`.
    pub name: String,
    /// Its first day.
    pub from: Date,
    /// Its last day.
    pub to: Date,
}

/// Periods without gaps.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Periods {
    /// At least one.
    pub list: Vec<Period>,
    /// What they are.
    pub per: Per,
}

/// Why there are no periods.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PeriodError {
    /// The end lies before the beginning.
    #[error("the last day, {to}, lies before the first, {from}; give an earlier --from or a later --to")]
    Backwards {
        /// The first day.
        from: Date,
        /// The last day.
        to: Date,
    },
    /// More than anyone reads.
    #[error("{from} to {to} is more than {} periods; give a later --from, or --per month", Periods::MOST)]
    TooMany {
        /// The first day.
        from: Date,
        /// The last day.
        to: Date,
    },
}

/// Up to so many days are shown by weeks when nothing else is asked for.
const SHORT: i32 = 70;

impl Periods {
    /// The most periods that are taken.
    pub const MOST: usize = 1200;

    /// The periods from one day to another, both within; without `per` weeks up to ten weeks, else months.
    ///
    /// # Errors
    /// [`PeriodError`].
    pub fn between(from: Date, to: Date, per: Option<Per>) -> Result<Self, PeriodError> {
        if to < from {
            return Err(PeriodError::Backwards { from, to });
        }
        let days = (to - from).get_days() + 1;
        let per = per.unwrap_or(if days <= SHORT { Per::Week } else { Per::Month });
        let mut list = Vec::new();
        let mut next = Some(from);
        while let Some(first) = next.filter(|first| *first <= to) {
            if list.len() == Self::MOST {
                return Err(PeriodError::TooMany { from, to });
            }
            let end = last_day(first, per).min(to);
            list.push(Period { name: name(first, per), from: first, to: end });
            next = end.tomorrow().ok();
        }
        Ok(Self { list, per })
    }

    /// The first day of all.
    #[must_use]
    pub fn from(&self) -> Option<Date> {
        self.list.first().map(|period| period.from)
    }

    /// The last day of all.
    #[must_use]
    pub fn to(&self) -> Option<Date> {
        self.list.last().map(|period| period.to)
    }

    /// Which one a day is in.
    #[must_use]
    pub fn of(&self, day: Date) -> Option<usize> {
        let at = self.list.partition_point(|period| period.to < day);
        self.list.get(at).filter(|period| period.from <= day).map(|_| at)
    }
}

/// Past the last day of the calendar there is none.
fn last_day(day: Date, per: Per) -> Date {
    let left = match per {
        Per::Week => i32::from(7 - day.weekday().to_monday_one_offset()),
        Per::Month => i32::from(day.days_in_month() - day.day()),
        Per::Year => i32::from(day.days_in_year() - day.day_of_year()),
    };
    day.checked_add(left.days()).unwrap_or(Date::MAX)
}

fn name(day: Date, per: Per) -> String {
    match per {
        Per::Week => {
            let week = day.iso_week_date();
            format!("{}-W{:02}", week.year(), week.week())
        }
        Per::Month => format!("{}-{:02}", day.year(), day.month()),
        Per::Year => day.year().to_string(),
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    fn names(from: Date, to: Date, per: Option<Per>) -> Vec<String> {
        Periods::between(from, to, per).unwrap().list.into_iter().map(|period| period.name).collect()
    }

    /// ISO 8601: 1 January 2027 is the Friday of week 53 of 2026 (checked with `date +%G-W%V`).
    #[test]
    fn weeks_run_over_the_end_of_a_year() {
        assert_eq!(names(date(2026, 12, 28), date(2027, 1, 4), None), ["2026-W53", "2027-W01"]);
        let periods = Periods::between(date(2026, 12, 30), date(2027, 1, 5), Some(Per::Week)).unwrap();
        assert_eq!(periods.list[0].to, date(2027, 1, 3));
        assert_eq!((periods.list[1].from, periods.list[1].to), (date(2027, 1, 4), date(2027, 1, 5)));
        assert_eq!(periods.of(date(2027, 1, 3)), Some(0));
        assert_eq!(periods.of(date(2027, 1, 4)), Some(1));
        assert_eq!(periods.of(date(2026, 12, 29)), None);
        assert_eq!(periods.of(date(2027, 1, 6)), None);
    }

    #[test]
    fn months_are_cut_at_both_ends() {
        let periods = Periods::between(date(2028, 1, 31), date(2028, 3, 1), Some(Per::Month)).unwrap();
        let days: Vec<_> = periods.list.iter().map(|period| (period.from, period.to)).collect();
        let expected = [
            (date(2028, 1, 31), date(2028, 1, 31)),
            (date(2028, 2, 1), date(2028, 2, 29)),
            (date(2028, 3, 1), date(2028, 3, 1)),
        ];
        assert_eq!(days, expected);
    }

    #[test]
    fn years_are_those_of_the_calendar() {
        let periods = Periods::between(date(2027, 12, 31), date(2029, 1, 1), Some(Per::Year)).unwrap();
        let names: Vec<_> = periods.list.iter().map(|period| (period.name.as_str(), period.to)).collect();
        assert_eq!(names, [("2027", date(2027, 12, 31)), ("2028", date(2028, 12, 31)), ("2029", date(2029, 1, 1))]);
    }

    #[test]
    fn long_spans_are_months_and_endless_ones_are_refused() {
        assert_eq!(names(date(2026, 1, 1), date(2026, 3, 11), None).len(), 11);
        assert_eq!(names(date(2026, 1, 1), date(2026, 3, 12), None), ["2026-01", "2026-02", "2026-03"]);
        let error = |from, to| Periods::between(from, to, None).unwrap_err();
        let (early, late) = (date(1, 1, 1), date(2026, 1, 1));
        assert_eq!(error(late, early), PeriodError::Backwards { from: late, to: early });
        assert_eq!(error(early, late), PeriodError::TooMany { from: early, to: late });
        assert_eq!(names(Date::MAX, Date::MAX, None).len(), 1);
    }
}
