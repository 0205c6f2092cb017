//! How far a goal is.
//!
//! Start with [`Goal::new`].

use jiff::civil::Date;

use crate::unit::{Balance, Money};

/// A profit that is wanted by the end of a day, and where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Goal {
    /// What is wanted.
    pub goal: Money,
    /// By the end of this day.
    pub by: Date,
    /// What is there.
    pub profit: Balance,
    /// What is still needed; nothing once it is reached.
    pub needed: Balance,
    /// The days that are left.
    pub days_left: i32,
    /// What is still needed a week, rounded up; all of it when less than a week is left.
    pub needed_a_week: Balance,
    /// What a week has brought so far.
    pub pace_a_week: Balance,
    /// What is there by that day if it goes on like this.
    pub expected: Balance,
}

/// The day of a goal is over.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("no day is left from {to} until {by}; give a later --by")]
pub struct GoalError {
    /// The day that it was wanted by.
    pub by: Date,
    /// The last day that is counted.
    pub to: Date,
}

impl Goal {
    /// Where a goal stands after so much profit from one day to another, both within.
    ///
    /// # Errors
    /// [`GoalError`].
    pub fn new(goal: Money, by: Date, profit: Balance, from: Date, to: Date) -> Result<Self, GoalError> {
        let (days_left, days) = ((by - to).get_days(), (to - from).get_days() + 1);
        let needed = (Balance::from(goal) - profit).max(Balance::ZERO);
        let pace = |numerator: i32| profit.times(numerator.into(), days.into());
        let weekly = needed.times_rounded_up(7, days_left.max(7).into());
        match (weekly, pace(7), pace(days_left)) {
            (Some(needed_a_week), Some(pace_a_week), Some(more)) if days_left > 0 => {
                let expected = profit + more;
                Ok(Self { goal, by, profit, needed, days_left, needed_a_week, pace_a_week, expected })
            }
            _ => Err(GoalError { by, to }),
        }
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    fn goal(by: Date, profit: i128) -> Result<Goal, GoalError> {
        let wanted = Money::from_minor(320_000).unwrap();
        Goal::new(wanted, by, Balance::from_minor(profit), date(2026, 11, 1), date(2026, 11, 14))
    }

    /// Worked by hand: 3200.00 less 400.00 in 47 days, after 400.00 in 14 days.
    #[test]
    fn what_is_needed_a_week_is_rounded_up_to_the_cent() {
        let found = goal(date(2026, 12, 31), 40_000).unwrap();
        assert_eq!(found.days_left, 47);
        // 280000 * 7 / 47 = 41702.13; 40000 / 2; 40000 + 40000 * 47 / 14 = 174285.71
        let figures = [found.needed, found.needed_a_week, found.pace_a_week, found.expected].map(Balance::minor);
        assert_eq!(figures, [280_000, 41_703, 20_000, 174_286]);
    }

    #[test]
    fn less_than_a_week_needs_all_of_it_and_a_reached_goal_nothing() {
        assert_eq!(goal(date(2026, 11, 17), 40_000).unwrap().needed_a_week.minor(), 280_000);
        assert_eq!(goal(date(2026, 12, 31), 320_001).unwrap().needed_a_week, Balance::ZERO);
        assert_eq!(goal(date(2026, 12, 31), -100).unwrap().needed.minor(), 320_100);
        let message = "no day is left from 2026-11-14 until 2026-11-14; give a later --by";
        assert_eq!(goal(date(2026, 11, 14), 0).unwrap_err().to_string(), message);
    }
}
