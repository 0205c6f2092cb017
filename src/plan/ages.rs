//! How long what is left has been here.
//!
//! Start with [`Ages::on`]. Left is what has come and is neither sold nor gone by the end of a day.

use jiff::civil::Date;

use super::{Goods, Sold, Worth};

/// Items of an age.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Age {
    /// At least so many days.
    pub from: i32,
    /// At most so many days; `None` without end.
    pub to: Option<i32>,
    /// They, by what they cost.
    pub cost: Worth,
    /// They, by what is asked for them.
    pub asking: Worth,
}

/// The last days of the ages: a month, a quarter, half a year, a year.
const ENDS: [i32; 4] = [30, 91, 182, 365];

/// Gathers ages.
#[derive(Debug)]
pub(super) struct Ages {
    day: Date,
    ages: Vec<Age>,
}

impl Ages {
    /// Nothing is left by the end of this day yet.
    pub(super) fn on(day: Date) -> Self {
        let starts = [0].into_iter().chain(ENDS.map(|end| end + 1));
        let ends = ENDS.map(Some).into_iter().chain([None]);
        let age = |(from, to)| Age { from, to, cost: Worth::default(), asking: Worth::default() };
        Self { day, ages: starts.zip(ends).map(age).collect() }
    }

    /// Takes an item in, if it is left.
    pub(super) fn item(&mut self, goods: &Goods, sales: &[Sold]) {
        let day = self.day;
        let is_away = |sale: &Sold| sale.day <= day && sale.returned.is_none_or(|returned| returned > day);
        if goods.came > day || goods.gone.is_some_and(|gone| gone <= day) || sales.iter().any(is_away) {
            return;
        }
        let days = (day - goods.came).get_days();
        if let Some(age) = self.ages.iter_mut().find(|age| age.to.is_none_or(|to| days <= to)) {
            age.cost.add(goods.cost);
            age.asking.add(goods.asking);
        }
    }

    /// The ages, the newest first.
    pub(super) fn finish(self) -> Vec<Age> {
        self.ages
    }
}
